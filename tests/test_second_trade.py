"""A second invented trade, bells in towers, goes through every command; no word of air conditioners comes out of any.

`tests/tiny/bells/` is all there is of it: a job schema, which names everything its own way, and rulesets. `compute` is left
out: its quantities are of one trade by purpose. `rules amend`, `answer` and `confirm` write what they are told.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from checker.cli import main
from checker.job_schema import schema_problems
from checker.library import JOB_SCHEMA, OF_JOB_SCHEMAS
from checker.source import read_file

TINY = Path(__file__).parent / "tiny"
SCHEMA: dict[str, Any] = json.loads(JOB_SCHEMA.read_text(encoding="utf-8"))
ON, RULES, JOB = ["--on", "2024-05-01"], ["--rules", "bells"], "jobs/great-tom.json"
FORMS = ("text", "json", "page", "jsonl", "csv", "junit", "sarif", "markdown")

# Words of the shipped job schema that are plain English and that the program uses in any trade, by why it does.
PLAIN = {
    "what a report says": (
        "about added answered answers failed findings hold left notes only record same since stands working written"
    ),
    "what is told of authorities and their books": (
        "acceptance applied authority codes correction covered passes permit released ruleset taken"
    ),
    "who governs, in the words that stand under everything": "instructions",
    "parts of forms of report and of pages": (
        "base class device failure head itself label level light made marks opens runs scale small span tool warning width"
    ),
    "what commands tell of files and questions": (
        "back changed clear draft else empty entry filled finish listed places reading stopped went"
    ),
}

RUNS = {
    **{f"check as {form}": ["check", JOB, "--format", form, *ON, *RULES] for form in FORMS},
    "check with all that is inherited": [
        "check", JOB, "--equipment", "sheets", "--profile", "profile.json", "--ruleset", "ringers", *ON, *RULES,
    ],
    "a batch": ["check", "jobs", "--format", "jsonl", "--output", "all.jsonl", "--summary", "sum.json", "--write-baseline",
                "base.json", *ON, *RULES],
    "the batch again": ["check", "jobs", "--format", "jsonl", "--output", "all.jsonl", "--resume", *ON, *RULES],
    "against the baseline": ["check", "jobs", "--baseline", "base.json", *ON, *RULES],
    "explain": ["explain", "rope-thick-enough", JOB, *RULES],
    "prep": ["prep", JOB, *ON, *RULES],
    "prep as a page": ["prep", JOB, "--format", "page", *ON, *RULES],
    "sheet": ["sheet", JOB, *ON, *RULES],
    "fillable sheet": ["sheet", "--place", "xx-lowchime", "--fillable", *ON, *RULES],
    "packet": ["packet", JOB, "--output", "packet", *ON, *RULES],
    "lessons": ["lessons", "jobs", *RULES],
    "open": ["open", "jobs", "--on", "2024-06-10", "--revisit", "again", *RULES],
    "acceptances": ["acceptances", "jobs", *ON, *RULES],
    "import: an empty sheet": ["import", "--headings", *RULES],
    "import": ["import", "sheet.csv", "--output", "imported", *RULES],
    "rules list": ["rules", "list", *ON, *RULES],
    "rules show": ["rules", "show", "rope-thick-enough", *ON, *RULES],
    "rules index": ["rules", "index", "bells"],
    "rules docs": ["rules", "docs", "bells", "--output", "docs", *ON],
    "rules docs as markdown": ["rules", "docs", "bells", "--format", "markdown", "--output", "md", *ON],
    "rules todo": ["rules", "todo", *ON, *RULES],
    "rules coverage": ["rules", "coverage", "jobs", *ON, *RULES],
    "rules lint": ["rules", "lint", "bells"],
    "rules cases": ["rules", "cases", "bells"],
    "rules cases --flip": ["rules", "cases", "--flip", "bells"],
    "rules compare": ["rules", "compare", "bells/chimebook", "bells/chimebook", *RULES],
    "rules impact": ["rules", "impact", "bells/chimebook", "bells/chimebook", "jobs", *ON, *RULES],
    "rules new": ["rules", "new", "owls", "--uses", "lowchime", "--kind", "group", "--into", "bells", *RULES],
    "rules release": ["rules", "release", "bells/ringers", "--version", "1.0.1", *RULES],
    "rules adopt": ["rules", "adopt", "chimebook", "2", "2026-01-01", "--into", "bells/lowchime", "--counts", "days.asked",
                    "--citation", "Vestry book 3", "--yes", *RULES],
}  # fmt: skip
TYPED = {
    "start": (["start", "new.json", *ON, *RULES], "xx-lowchime\n2024-03-01\n1\n900\n32\nfull\n0.7 hemp\n"),
    "interview": (["interview", "talk.json", *ON, *RULES], "xx-lowchime\n2024-03-01\n1\n900\nwhy\nfull\nyes\nstop\n"),
}


def words(text: str) -> set[str]:
    return set(re.findall(r"[a-z]{4,}", text.lower().replace("_", " ")))


def words_of(node: dict[str, Any], name: str = "") -> Iterator[str]:
    """The names, titles and closed lists of words of a job schema."""
    yield from words(name) | words(str(node.get("title", "")))
    yield from (word for part in node.get("anyOf", ()) for word in words(" ".join(map(str, part.get("enum", ())))))
    for inside, child in node.get("properties", {}).items():
        yield from words_of(child, inside)
    if "items" in node:
        yield from words_of(node["items"])


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Result]:
    """Every command run once, in one folder, in this order."""
    folder = tmp_path_factory.mktemp("bells")
    shutil.copytree(TINY / "bells", folder / "bells")
    shutil.copytree(TINY / "bells_work", folder, dirs_exist_ok=True)
    found = {}
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        for name, (arguments, typed) in TYPED.items():
            found[name] = CliRunner().invoke(main, arguments, input=typed)
        for name, arguments in RUNS.items():
            found[name] = CliRunner().invoke(main, arguments)
    return found


@pytest.mark.parametrize("name", [*TYPED, *RUNS])
def test_a_command_runs_and_says_no_word_of_air_conditioners(told: dict[str, Result], name: str) -> None:
    result = told[name]
    assert result.exit_code in (0, 1), result.output
    assert result.exception is None or isinstance(result.exception, SystemExit)
    plain = words(" ".join(PLAIN.values()))
    written = [
        file.read_text(encoding="utf-8") for file in TINY.rglob("*") if file.suffix in (".json", ".yaml", ".csv")
    ]
    own = words(" ".join(written))
    shown = re.sub(r"<(style|script).*?</\1>", "", result.output, flags=re.DOTALL)
    assert set() == words(shown) & (set(words_of(SCHEMA)) - plain - own)


def test_there_are_words_to_look_for() -> None:
    assert {"refrigerant", "breaker", "furnace", "condensate", "nameplate"} <= set(words_of(SCHEMA))


def test_its_schema_is_as_a_schema_of_jobs_has_to_be() -> None:
    of_schemas = json.loads(OF_JOB_SCHEMAS.read_text(encoding="utf-8"))
    assert [] == schema_problems(read_file(TINY / "bells" / "job.schema.json"), of_schemas)


def test_what_a_check_finds(told: dict[str, Result]) -> None:
    report = told["check as text"].stdout
    assert "0.6 in thick; 0.8 in is the least." in report, "the printing in force on the day of asking"
    assert "Settle first: The rope is tied. Reeve a rope of 0.8 in or more." in " ".join(report.split())
    assert "'lip_wanted' is left open here." in report
    assert "A swinging bell crushes." in report


def test_what_is_inherited(told: dict[str, Result]) -> None:
    report = " ".join(told["check with all that is inherited"].stdout.split())
    assert "The owls are counted" in report
    assert "Inherited from the maker's sheet aldous-t" in report.replace("manufacturer's", "maker's")


def test_what_start_records(told: dict[str, Result]) -> None:
    assert "Fix first" in told["start"].stdout or "Record this" in told["start"].stdout


def test_two_schemas_are_not_mixed(tmp_path: Path) -> None:
    for name, title in (("one", "a"), ("two", "b")):
        shutil.copytree(TINY / "bells", tmp_path / name)
        file = tmp_path / name / "job.schema.json"
        file.write_text(file.read_text().replace("Great", title).replace("A bell hung", f"A bell {title}"))
    result = CliRunner().invoke(main, ["rules", "lint", str(tmp_path / "one"), str(tmp_path / "two")])
    assert 2 == result.exit_code
    assert "two job schemas" in result.stderr
