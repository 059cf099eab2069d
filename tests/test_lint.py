"""The shipped rulesets and the invented ones have no problem that can be known without a job."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from checker.authoring.lint import linter as lint
from checker.cli import main
from checker.engine.checker import Checker
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import SHIPPED, open_library
from tests.support.many_jobs import BELLS
from tests.support.rulesets import TINY
from tests.support.sarif import sarif_faults

MISTAKES = Path(__file__).parent / "mistakes"


@pytest.mark.long
def test_the_shipped_rulesets_have_no_problems(shipped: Checker) -> None:
    assert [] == [str(problem) for problem in lint.problems(shipped)]


def test_the_invented_rulesets_have_no_problems(tiny: Checker) -> None:
    assert [] == [str(problem) for problem in lint.problems(tiny)]


def lanterns(folder: Path, old: str, new: str) -> list[str]:
    """What is wrong with the guild's rules once a text in them is another."""
    guild = TINY / "rulesets" / "guild"
    (folder / "ruleset.yaml").write_text((guild / "ruleset.yaml").read_text())
    text = (guild / "lanterns.yaml").read_text()
    assert old in text
    (folder / "lanterns.yaml").write_text(text.replace(old, new, 1))
    checker = Checker(open_library([folder]), job_vocabulary(TINY / "job.schema.json"))
    return sorted({problem.what for problem in lint.problems(checker)})


VALUE_2 = '      - {value: "8", editions: "2", source: Guild book 3, sure: checked}\n'


def test_every_edition_is_looked_at(tmp_path: Path) -> None:
    assert lanterns(tmp_path, VALUE_2, "") == ["The limit 'least_height' has no value under edition 2."]


def test_every_period_is_looked_at(tmp_path: Path) -> None:
    ended = VALUE_2.replace("source:", "until: 2027-01-01, source:")
    assert lanterns(tmp_path, VALUE_2, ended) == [
        "The limit 'least_height' has no value under edition 2 on 2027-01-01."
    ]


@pytest.mark.parametrize("editions", ['"1-2"', '"1-"', '"-1"', '"1, 2"'])
def test_values_that_share_an_edition_and_a_day_are_a_problem(editions: str, tmp_path: Path) -> None:
    found = lanterns(tmp_path, VALUE_2, VALUE_2 + VALUE_2.replace('"2"', editions).replace('"8"', '"9"'))
    assert found
    assert all(what.startswith("Two values of 'least_height' hold on the same day") for what in found)


def test_values_whose_periods_only_touch_are_none(tmp_path: Path) -> None:
    old = VALUE_2.replace("source:", "until: 2027-01-01, source:")
    new = VALUE_2.replace("source:", "from: 2027-01-01, source:")
    assert lanterns(tmp_path, VALUE_2, old + new) == []


def test_every_shipped_ruleset_is_looked_at(shipped: Checker) -> None:
    headers = {path.parent.name for path in SHIPPED.rglob("ruleset.yaml")}
    assert len(headers) == len(shipped.library.rulesets) > 0


# --- the command -----------------------------------------------------------------------------------------------------

ALL_OF_THEM = [folder for folder in sorted(MISTAKES.iterdir()) if (folder / "rulesets").is_dir()]


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["rules", "lint", *arguments])


@pytest.mark.long
def test_a_folder_of_shipped_rulesets_is_looked_at_where_it_stands() -> None:
    assert (0, "") == ((result := run(str(SHIPPED / "codes" / "nec"))).exit_code, result.stderr)


def test_a_log_names_the_same_places_as_the_text(tmp_path: Path) -> None:
    mistake = str(MISTAKES / "rule-bare-number" / "rulesets")
    log = tmp_path / "lint.sarif"
    text, logged = run(mistake), run(mistake, "--format", "sarif", "--output", str(log))
    assert (2, 2) == (text.exit_code, logged.exit_code)
    written = json.loads(log.read_text())
    assert [] == sarif_faults(written)
    (seen,) = written["runs"]
    places = [result["locations"][0]["physicalLocation"] for result in seen["results"]]
    named = [f"{p['region']['startLine']}:{p['region']['startColumn']}" for p in places]
    assert named
    assert re.findall(r"\.yaml:(\d+:\d+)$", text.stderr, re.MULTILINE) == named
    assert {"text", "unused", "direction", "identity"} <= {rule["id"] for rule in seen["tool"]["driver"]["rules"]}


def test_a_file_that_cannot_be_read_is_in_the_log_too() -> None:
    result = run(str(MISTAKES / "rule-not-yaml" / "rulesets"), "--format", "sarif")
    assert 2 == result.exit_code
    log = json.loads(result.stdout)
    assert [] == sarif_faults(log)
    assert {"shape"} == {one["ruleId"] for one in log["runs"][0]["results"]}


def test_a_clean_log_has_no_results_and_exit_code_0() -> None:
    result = run(str(BELLS), "--format", "sarif")
    assert 0 == result.exit_code
    assert [] == json.loads(result.stdout)["runs"][0]["results"]


@pytest.mark.long
def test_every_sort_of_mistake_is_among_the_folders(tmp_path: Path) -> None:
    seen = set()
    for folder in ALL_OF_THEM:
        try:
            library = open_library([TINY / "rulesets", folder / "rulesets"])
            checker = Checker(library, job_vocabulary(TINY / "job.schema.json"))
        except lint.ProblemsFound:
            seen.add("shape")
            continue
        seen |= {problem.sort for problem in lint.problems(checker)}
    assert set(lint.SORTS) - {"answer", "confirmation", "missing"} <= seen <= set(lint.SORTS)
