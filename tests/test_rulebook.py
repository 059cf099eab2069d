"""The rulebook as a whole: its index is current, its doubts can be confirmed, a good job is quiet, every rule is tried."""

from __future__ import annotations

import json
import re
import shutil
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from checker.authoring import cases, rule_index
from checker.authoring.editing import confirm
from checker.authoring.lint import case_gaps
from checker.authoring.lint import linter as lint
from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.ir.outcomes import VERIFY
from checker.problems.problem import ProblemsFound
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.reading.shipped import ROOT
from checker.reporting.folding import folded
from checker.rulesets import library
from checker.rulesets.library import SHIPPED, open_library
from checker.rulesets.models import Citation
from tests.support.commands import Run, changeout
from tests.support.rulesets import ON, ruleset_files

CLEAN = ROOT / "examples" / "jobs" / "01-clean.json"
CODES = (
    "AK AL AR AZ CA CO CT DC DE FL GA HI IA ID IL IN KS KY LA MA MD ME MI MN MO MS MT NC ND NE NH NJ NM NV NY OH OK OR PA RI "
    "SC SD TN TX UT VA VT WA WI WV WY"
)
REAL_STATES = frozenset(CODES.split())


def lines(report: Report) -> int:
    """How many lines of open questions a reader has before him: life safety by itself, the rest folded."""
    return len(report.before_running) + len(folded(report.to_verify))


def test_the_index_of_rules_is_current(shipped: Checker) -> None:
    written = (SHIPPED / "RULES.md").read_text(encoding="utf-8")
    assert rule_index.text(shipped.library) == written, "changeout rules index --output rulesets/RULES.md"


def test_the_index_names_every_rule_once(shipped: Checker) -> None:
    text = rule_index.text(shipped.library)
    for ruleset in shipped.library.rulesets.values():
        for rule in ruleset.rules:
            assert text.count(f"`{rule}`") == 1, rule


# --- how sure --------------------------------------------------------------------------------------------------------

MODEL_CODES = frozenset({"irc", "imc", "ifgc", "iecc", "nec", "umc"})
TOLD_BY_OTHERS = re.compile(r"forum|thread|lesson|course|slides|magazine|newsletter|study|notes|bulletin", re.I)


def requirements(shipped: Checker) -> list[tuple[str, Citation]]:
    """Each citation of a model code, beside its rule."""
    rules = [(name, rule) for ruleset in shipped.library.rulesets.values() for name, rule in ruleset.rules.items()]
    return [(name, one) for name, rule in rules for one in rule.citation if one.document in MODEL_CODES]


def test_at_most_a_quarter_of_the_model_codes_requirements_stands_from_memory(shipped: Checker) -> None:
    marks = Counter(one.requirement_sure for _, one in requirements(shipped))
    assert marks["from_memory"] <= marks.total() / 4, marks


def test_what_is_checked_names_the_text_and_no_forum_or_course(shipped: Checker) -> None:
    for rule, one in requirements(shipped):
        if one.requirement_sure == "checked":
            assert one.read, f"{rule}: {one.section} is checked and names no text"
            assert not TOLD_BY_OTHERS.search(one.read), f"{rule}: {one.section} is checked by {one.read}"


def test_every_federal_requirement_names_the_text_it_was_read_in(shipped: Checker) -> None:
    """The Federal Register and the code of federal regulations are public; what was not reached says so with its mark."""
    federal = [one for one in shipped.library.rulesets.values() if one.header.owner_kind == "federal"]
    assert 2 == len(federal)
    for ruleset in federal:
        for rule, body in ruleset.rules.items():
            assert all(one.read for one in body.citation), rule


# --- a quiet budget --------------------------------------------------------------------------------------------------


def test_a_clean_swap_in_an_answered_county_has_at_most_five_open_lines(shipped: Checker) -> None:
    report = shipped.check(read_file(CLEAN), ON)
    assert lines(report) <= 5


def test_a_clean_swap_where_no_ruleset_covers_has_at_most_twelve(shipped: Checker) -> None:
    job = json.loads(CLEAN.read_text())
    job["site"]["jurisdiction"] = "zz-elsewhere"
    report = shipped.check(read_text(json.dumps(job).encode(), "job.json"), ON)
    assert lines(report) <= 12


def test_questions_of_life_safety_are_never_folded_away(judge: Any) -> None:
    report = judge({"scope": {"outdoor_unit": True}})
    open_ones = [finding for finding in report.with_outcome(VERIFY) if finding.life_safety]
    assert open_ones == report.before_running
    assert len(open_ones) > 5


def test_what_one_manual_answers_is_one_line_and_nothing_is_lost(judge: Any) -> None:
    report = judge({"scope": {"outdoor_unit": True}, "site": {"jurisdiction": "xx-alder"}})
    found = folded(report.to_verify)
    assert Counter(f.finding_id for one in found for f in one.findings) == Counter(
        f.finding_id for f in report.to_verify
    )
    manual = [one for one in found if one.why and all(pattern(n.fact).startswith("instructions.") for n in one.needs)]
    assert len(manual) <= 1


def test_untouched_work_is_counted_and_not_judged(judge: Any) -> None:
    scope = {"outdoor_unit": True, "indoor_coil": True, "furnace": False, "ducts": False, "gas_piping_altered": False}
    report = judge({"scope": scope, "site": {"jurisdiction": "xx-alder"}})
    assert report.left_as_found > 3
    assert not [f for f in report.findings if f.rule.startswith("gas-test-")]


# --- what nobody has confirmed ---------------------------------------------------------------------------------------


def test_what_is_unconfirmed_is_listed_by_how_many_jobs_it_decided(shipped: Checker) -> None:
    found = confirm.todo(shipped, Counter({"primary-drain-falls": 7, "gwp-limit-by-dates": 9}))
    decided = [one.decided for one in found]
    assert decided == sorted(decided, reverse=True)
    assert [one.rule for one in found if one.decided == 9] == ["gwp-limit-by-dates"]
    weak = ("from memory", "doubtful", "second hand")
    assert all(any(word in one.unsure for word in weak) for one in found)


DRAINS = Path("codes") / "irc-mechanical"


def drains_alone(tmp_path: Path) -> Path:
    """A folder of rulesets with the residential code's rules about condensate and no others, for quickness."""
    folder = tmp_path / "rulesets"
    (folder / DRAINS).mkdir(parents=True)
    header = (SHIPPED / DRAINS / "ruleset.yaml").read_text()
    without = re.sub(
        r"^written_for:\n(?:[ #].*\n|\n)+", "", header, flags=re.MULTILINE
    )  # it names rules of other files
    assert without != header
    (folder / DRAINS / "ruleset.yaml").write_text(without)
    shutil.copy(SHIPPED / DRAINS / "condensate.yaml", folder / DRAINS)
    return folder


def opened(folder: Path) -> Checker:
    return Checker(open_library([folder], {folder: "rulesets"}), job_vocabulary())


def confirmed(folder: Path, *words: str) -> Run:
    """`rules confirm` where the rulesets of a folder are those that are shipped."""
    command = ["rules", "confirm", "primary-drain-falls", *words, "--into", str(folder / DRAINS)]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(library, "SHIPPED", folder)
        return changeout(*command, "--printing", '2021, "third" printing', "--by", "O. Marchbank", "--on", "2026-11-20")


def sures(checker: Checker, edition: str) -> list[tuple[str, str, str]]:
    job = read_text(b'{"job_id": "x", "schema_version": 1, "scope": {"indoor_coil": true}}', "job.json")
    found = checker.rule_on(load(job, checker.vocabulary), "primary-drain-falls", {"irc-mechanical": edition}, ON)
    return [(one.document, one.section_sure, one.requirement_sure) for one in found[0].citations]


def test_a_confirmed_section_counts_as_checked_under_its_edition_alone(tmp_path: Path) -> None:
    folder = drains_alone(tmp_path)
    before, problems = sures(opened(folder), "2021"), lint.problems(opened(folder))
    done = confirmed(folder, "--document", "irc", "--edition", "2021")
    assert done.returncode == 0, done.stderr
    assert ("IRC", "checked", "second_hand") in before
    assert ("IRC", "checked", "checked") in sures(opened(folder), "2021")
    assert ("IRC", "checked", "checked") not in sures(opened(folder), "2018")
    assert lint.problems(opened(folder)) == problems


def test_a_second_confirmation_stands_beside_the_first(tmp_path: Path) -> None:
    folder = drains_alone(tmp_path)
    for edition in ("2018", "2021"):
        assert confirmed(folder, "--document", "irc", "--edition", edition).returncode == 0
    for edition in ("2018", "2021"):
        assert ("IRC", "checked", "checked") in sures(opened(folder), edition)


def test_a_confirmation_lapses_when_the_rule_comes_to_mean_something_else(tmp_path: Path) -> None:
    folder = drains_alone(tmp_path)
    confirmed(folder, "--document", "irc", "--edition", "2021")
    file = folder / "codes" / "irc-mechanical" / "condensate.yaml"
    file.write_text(
        file.read_text().replace('value: "0.125", source: "IRC M1411.3', 'value: "0.13", source: "IRC M1411.3')
    )
    assert ("IRC", "checked", "checked") not in sures(opened(folder), "2021")
    said = [problem.what for problem in lint.problems(opened(folder))]
    assert any("'primary-drain-falls' no longer means what was confirmed (edition 2021)." in what for what in said), (
        said
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--edition", "2021"), "The rule cites several documents."),
        (("--document", "nec", "--edition", "2021"), "The rule does not cite 'nec'."),
        (("--document", "irc", "--edition", "2022"), "irc-mechanical has no edition '2022'."),
        (("--document", "irc"), "No edition is named."),
    ],
)
def test_a_confirmation_that_cannot_be_is_told(tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    done = confirmed(drains_alone(tmp_path), *words)
    assert done.returncode == 2
    assert said in done.stderr


def test_a_rule_that_is_not_there_cannot_be_confirmed(shipped: Checker) -> None:
    reader = confirm.Reader("any", "anybody", "2026-11-20")
    with pytest.raises(ProblemsFound) as found:
        confirm.entry(shipped, "", "primary-drain-fals", "irc", ("2021",), reader)
    assert "Did you mean 'primary-drain-falls'?" in str(found.value)


# --- cases -----------------------------------------------------------------------------------------------------------


def gaps_after(tmp_path: Path, file: str, old: str, new: str) -> list[str]:
    folder = drains_alone(tmp_path)
    path = folder / file
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    checker = opened(folder)
    ruleset = checker.library.rulesets[Path(file).parts[1]]
    return [problem.what for problem in case_gaps.gaps(checker, ruleset)]


def test_a_case_taken_away_is_missed(tmp_path: Path) -> None:
    case = next(line for line in (SHIPPED / "codes/irc-mechanical/condensate.yaml").read_text().splitlines(True)
                if "name: at the limit" in line and "primary_drain.slope: 0.125 in/ft" in line)  # fmt: skip
    said = gaps_after(tmp_path, "codes/irc-mechanical/condensate.yaml", case, "")
    assert (
        "No case of 'primary-drain-falls' lies at the limit in 'condensate.primary_drain.slope >= least_drain_slope'."
        in said
    )


def test_a_value_that_changes_with_an_edition_shows_in_the_cases(tmp_path: Path) -> None:
    """The first of the guide's three edits: cases that state no edition are judged under every one."""
    folder = drains_alone(tmp_path)
    path = folder / "codes" / "irc-mechanical" / "condensate.yaml"
    old = '- {value: "0.125", '
    new = (
        '- {value: "0.25", editions: "2024", source: IRC 2024 M1411.9, sure: from_memory}\n'
        '      - {value: "0.125", editions: "-2021", '
    )
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))
    checker = opened(folder)
    ruleset = checker.library.rulesets["irc-mechanical"]
    stated = [one for one in cases.stated(ruleset) if one.rule == "primary-drain-falls"]
    said = [str(problem) for one in stated if (problem := cases.run(checker, one)[0])]
    assert any("'at the limit' expects pass; the rule says verify_locally" in what for what in said), said


def test_real_states_stand_only_in_federal_rulesets() -> None:
    for path in ruleset_files():
        if "federal" not in path.parts:
            for line in path.read_text(encoding="utf-8").splitlines():
                if "site.state" in line or "states:" in line:
                    assert not REAL_STATES & set(re.findall(r"\b[A-Z]{2}\b", line)), f"{path}: {line}"
