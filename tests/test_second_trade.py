"""A second invented trade, bells in towers, goes through every command; no word of air conditioners comes out of any.

`tests/tiny/bells/` is all there is of it: a job schema, which names everything its own way, and rulesets. What a command
prints is read, and every file that it writes.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import click
import pytest
from click.testing import CliRunner, Result

from checker.cli import main
from checker.reading.files import read_file
from checker.reading.job_schema import JOB_SCHEMA, schema_problems

TINY = Path(__file__).parent / "tiny"
SCHEMA: dict[str, Any] = json.loads(JOB_SCHEMA.read_text(encoding="utf-8"))
ON, RULES, JOB = ["--on", "2024-05-01"], ["--rules", "bells"], "jobs/great-tom.json"
NOT_DRIVEN = {"compute": "its quantities and calculators are of one trade by purpose"}
ACCEPTED = [
    "the wheel",
    "--who",
    "Verger Hobb",
    "--reference",
    "letter 15",
    "--given",
    "2024-04-20",
    "--until",
    "2024-12-31",
]
FORMS = ("text", "json", "page", "jsonl", "csv", "junit", "sarif", "markdown")

# Words of the shipped job schema that are plain English and that the program uses in any trade, by why it does.
PLAIN = {
    "what a report says": (
        "about added answered answers call failed findings hold left notes only record same since stands while worked working "
        "written every gets into most needed their around hidden"
    ),
    "what is told of authorities and their books": (
        "acceptance amended amendments applied authority card changes codes correction covered inspector passes permit released "
        "ruleset taken writing"
    ),
    "who governs, in the words that stand under everything": "instructions",
    "parts of forms of report and of pages": (
        "base class device failure head itself label level light made marks opens runs scale small span system tool warning width"
    ),
    "what commands tell of files and questions": (
        "back changed clear draft else empty entries entry fill filled finish input tried listed places press reading stopped "
        "went"
    ),
    "what is told of places on a page, and headings of documents of rules": "behind near other stage",
    "units and keepers of rulesets, as a release names them": "manufacturer percent foot",
    "words of SARIF and of the kinds of data in a page": "application external",
}

RUNS = {
    **{f"check as {form}": ["check", JOB, "--format", form, *ON, *RULES] for form in FORMS},
    "check, all there is": ["check", JOB, "--all", *ON, *RULES],
    "check, one station": ["check", JOB, "--station", "belfry", *ON, *RULES],
    "check of all": ["check", "jobs", *ON, *RULES],
    "check with all that is inherited": [
        "check", JOB, "--equipment", "sheets", "--profile", "profile.json", "--ruleset", "ringers", "--all", *ON, *RULES,
    ],
    **{f"check of all as {form}, written":
       ["check", "jobs", "--all", "--format", form, "--output", f"all-jobs.{form}", *ON, *RULES] for form in FORMS},
    "a batch": ["check", "jobs", "--format", "jsonl", "--output", "all.jsonl", "--summary", "sum.json", "--write-baseline",
                "base.json", *ON, *RULES],
    "the batch again": ["check", "jobs", "--format", "jsonl", "--output", "all.jsonl", "--resume", *ON, *RULES],
    "against the baseline": ["check", "jobs", "--baseline", "base.json", *ON, *RULES],
    **{f"explain {rule}": ["explain", rule, JOB, *RULES]
       for rule in ("rope-thick-enough", "wheel-clear-of-the-floor", "tower-swept-first")},
    "prep": ["prep", JOB, *ON, *RULES],
    "prep, all there is": ["prep", JOB, "--all", *ON, *RULES],
    "prep as a page": ["prep", JOB, "--format", "page", *ON, *RULES],
    "prep written": ["prep", JOB, "--format", "page", "--output", "prep.html", *ON, *RULES],
    "sheet": ["sheet", JOB, *ON, *RULES],
    "sheet written": ["sheet", JOB, "--output", "sheet.html", *ON, *RULES],
    "phone": ["phone", "--place", "xx-lowchime", "--output", "phone.html", *ON, *RULES],
    "photograph": ["photograph", JOB, *ON, *RULES],
    "packet": ["packet", JOB, "--output", "packet", *ON, *RULES],
    "accept": ["accept", "jobs/little-tom.json", *ACCEPTED, *ON, *RULES],
    "jobs lessons": ["jobs", "lessons", "jobs", *RULES],
    "jobs pack": ["jobs", "pack", "jobs", "--output", "packed", *RULES],
    "jobs outcomes": ["jobs", "outcomes", "packed", "--output", "outcomes.parquet", *ON, *RULES],
    "jobs open": ["jobs", "open", "jobs", "--on", "2024-06-10", "--revisit", "again", *RULES],
    "jobs acceptances": ["jobs", "acceptances", "jobs", *ON, *RULES],
    "jobs import: an empty sheet": ["jobs", "import", "--headings", *RULES],
    "jobs import": ["jobs", "import", "sheet.csv", "--output", "imported", *RULES],
    "rules overview": ["rules", "overview", *ON, *RULES],
    "rules show": ["rules", "show", "rope-thick-enough", *ON, *RULES],
    "rules facts": ["rules", "facts", "rope", *RULES],
    "rules functions": ["rules", "functions", "days", *RULES],
    "rules index": ["rules", "index", "bells"],
    "rules docs": ["rules", "docs", "bells", "--output", "docs", *ON],
    "rules docs as markdown": ["rules", "docs", "bells", "--format", "markdown", "--output", "md", *ON],
    "rules todo": ["rules", "todo", *ON, *RULES],
    "rules coverage": ["rules", "coverage", "jobs", *ON, *RULES],
    "rules lint": ["rules", "lint", "bells"],
    "rules format": ["rules", "format", "bells"],
    "rules prove": ["rules", "prove", "bells"],
    "rules cases": ["rules", "cases", "bells"],
    "rules cases --flip": ["rules", "cases", "--flip", "bells"],
    "rules compare": ["rules", "compare", "bells/chimebook", "bells/chimebook", *RULES],
    "rules impact": ["rules", "impact", "bells/chimebook", "bells/chimebook", "jobs", *ON, *RULES],
    "rules new": ["rules", "new", "owls", "--uses", "lowchime", "--kind", "group", "--into", "bells", *RULES],
    "rules release": ["rules", "release", "bells/ringers", "--version", "1.0.1", *RULES],
    "rules adopt": ["rules", "adopt", "chimebook", "2", "2026-01-01", "--into", "bells/lowchime", "--counts", "days.asked",
                    "--citation", "Vestry book 3", "--yes", *RULES],
}  # fmt: skip
WRITTEN_LAST = {
    "rules amend": ["rules", "amend", "rope-thick-enough", "--into", "bells/lowchime", "--limit", "least_girth", "--to", "0.9",
                    "--from", "2024-06-01", "--reason", "Great bells hang here.", "--document", "vestry", "--section", "9",
                    "--sure", "checked", "--yes", *RULES],
    "rules answer": ["rules", "answer", "lip-as-wanted", "--into", "bells/lowchime", "--words", "Rounded, as ever.", "--who",
                     "Verger Hobb", "--office", "Vestry of Low Chime", "--on", "2024-06-01", "--reference", "letter 14",
                     "--yes", *RULES],
    "rules confirm": ["rules", "confirm", "rope-tied", "--document", "chimebook", "--edition", "2", "--printing", "Second, 2023",
                      "--by", "Wat Tyne", "--place", "xx-lowchime", "--into", "bells/lowchime", *ON, *RULES],
    "lint of what was written": ["rules", "lint", "bells"],
    "order of what was written": ["rules", "format", "bells", "--check"],
    "cases of what was written": ["rules", "cases", "bells"],
    "check by what was written": ["check", "jobs", "--on", "2024-07-01", *RULES],
}  # fmt: skip
TYPED = {
    "prep without a job": (["prep", *ON, *RULES], "xx-lowchime\n1\n900\n"),
    "interview": (
        ["interview", "talk.json", *ON, *RULES],
        "xx-lowchime\n2024-03-01\n1\n900\nwhy\nfull, 32\nstop\n",
    ),
}
ALL: dict[str, tuple[list[str], str]] = {
    **TYPED,
    **{name: (arguments, "rounded\n" if name == "rules answer" else "") for name, arguments in (RUNS | WRITTEN_LAST).items()},
}  # fmt: skip
RIGHT = ("order of what was written",
         "rules lint", "rules cases", "rules cases --flip", "lint of what was written", "cases of what was written",
         "rules amend", "rules answer", "rules confirm", "rules release", "rules adopt", "rules new")  # fmt: skip


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


class Told(NamedTuple):
    """What a command printed, its exit code, and the texts of the files that it wrote or changed."""

    result: Result
    files: dict[str, str]


def texts_in(folder: Path) -> dict[str, str]:
    """Every file but pictures."""
    return {
        str(file.relative_to(folder)): file.read_text(encoding="utf-8")
        for file in folder.rglob("*")
        if file.is_file()
        and file.suffix not in (".png", ".parquet")
        and file.name != "ruleset.schema.json"  # the language itself
    }


def accepted(job: Path, rule: str) -> None:
    """Write into a job that the verger accepts a failure, with the two digests that its report gives."""
    result = CliRunner().invoke(main, ["check", str(job), "--format", "json", *ON, *RULES])
    found = next(one for one in json.loads(result.stdout)["jobs"][0]["findings"] if one["rule"] == rule)
    facts = json.loads(job.read_text(encoding="utf-8"))
    facts["pardons"] = [{
        "key": "a", "rule": rule, "finding": found["finding_id"], "digest": found["evidence_digest"], "giver": "Verger Hobb",
        "paper": "letter 13", "given": "2024-04-20", "ends": "2024-12-31",
    }]  # fmt: skip
    job.write_text(json.dumps(facts), encoding="utf-8")


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Told]:
    """Every command run once, in one folder, in this order."""
    folder = tmp_path_factory.mktemp("bells")
    shutil.copytree(TINY / "bells", folder / "bells")
    shutil.copytree(TINY / "bells_work", folder, dirs_exist_ok=True)
    found = {}
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        accepted(folder / JOB, "wheel-clear-of-the-floor")
        before = texts_in(folder)
        for name, (arguments, typed) in ALL.items():
            result = CliRunner().invoke(main, arguments, input=typed)
            after = texts_in(folder)
            found[name] = Told(result, {file: text for file, text in after.items() if before.get(file) != text})
            before = after
    return found


def own_words() -> set[str]:
    """Words that the invented trade's own files use."""
    files = (file for file in TINY.rglob("*") if file.suffix in (".json", ".yaml", ".csv"))
    return words(" ".join(file.read_text(encoding="utf-8") for file in files))


FOREIGN = set(words_of(SCHEMA)) - words(" ".join(PLAIN.values())) - own_words()


def shown(text: str) -> set[str]:
    """The words of a text or a page; a page's layout and program are no words, its data are, and where this stands is not."""
    text = text.replace(TINY.parents[1].as_posix(), "")
    return words(re.sub(r"<style.*?</style>|<script>.*?</script>", "", text, flags=re.DOTALL))


def commands(group: click.Group, before: tuple[str, ...] = ()) -> Iterator[str]:
    for name in group.list_commands(click.Context(group)):
        command = group.get_command(click.Context(group), name)
        path = (*before, name)
        if isinstance(command, click.Group) and path[0] not in NOT_DRIVEN:
            yield from commands(command, path)
        else:
            yield " ".join(path)


def test_every_command_is_driven() -> None:
    driven = {" ".join(arguments[: 2 if arguments[0] in ("rules", "jobs") else 1]) for arguments, _ in ALL.values()}
    assert set(commands(main)) == driven | set(NOT_DRIVEN)


@pytest.mark.parametrize("name", ALL)
def test_a_command_runs_and_says_no_word_of_air_conditioners(told: dict[str, Told], name: str) -> None:
    """Among all jobs is one that the code is not written for: exit code 2 and no complaint."""
    result, outside = told[name].result, "jobs" in ALL[name][0]
    assert result.exit_code in ({0} if name in RIGHT else {0, 1, 2} if outside else {0, 1}), result.output
    assert "cannot be" not in result.stderr
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert set() == shown(result.output) & FOREIGN


@pytest.mark.parametrize("name", ALL)
def test_a_command_writes_no_word_of_air_conditioners(told: dict[str, Told], name: str) -> None:
    """A release holds a program, whose form has words of its own."""
    form = {"releases": words(JOB_SCHEMA.with_name("program.schema.json").read_text(encoding="utf-8"))}
    found = {
        file: shown(text) & FOREIGN - form.get(Path(file).parent.name, set()) for file, text in told[name].files.items()
    }
    assert {} == {file: leaked for file, leaked in found.items() if leaked}


def test_files_are_written_and_read(told: dict[str, Told]) -> None:
    written = {file.split("/")[0] for one in told.values() for file in one.files}
    assert {"packet", "docs", "md", "all-jobs.sarif", "imported", "sheet.html", "prep.html", "base.json", "sum.json",
            "all.jsonl", "bells"} <= written  # fmt: skip


def test_there_are_words_to_look_for() -> None:
    assert {"refrigerant", "breaker", "furnace", "condensate", "nameplate"} <= set(words_of(SCHEMA))


def test_its_schema_is_as_a_schema_of_jobs_has_to_be() -> None:
    assert [] == schema_problems(read_file(TINY / "bells" / "job.schema.json"))


def test_what_a_check_finds(told: dict[str, Told]) -> None:
    report = " ".join(told["check, all there is"].result.stdout.split())
    assert "0.6 in thick; 0.8 in is the least." in report, "the printing in force on the day of asking"
    assert "Settle first: The rope is tied. Reeve a rope of 0.8 in or more." in report
    assert "Nothing here settles this: " in report
    assert "lip_wanted" not in report
    assert "A swinging bell crushes." in report
    assert "Accepted: Verger Hobb, letter 13, through 2024-12-31; stands" in report
    assert "One wheel will do." in report, "an answer that the job records"
    assert "Sweep it." in report, "an answer that the ruleset records"
    assert "Cracked: yes" in report.split("Could worry an inspector")[1].split("Passed")[0]
    assert "Caution, see below: crushing, falling" in report


def test_what_a_check_says_first(told: dict[str, Told]) -> None:
    """By station, in the words of its own schema."""
    report = told["check as text"].result.stdout
    assert "2 to fix, 1 to record, 1 to ask the office. Don't call for inspection yet." in " ".join(report.split())
    assert "Still to record: 1\n  Belfry\n" in report
    assert "A swinging bell crushes." in report
    rows = told["check of all"].result.stdout.splitlines()
    assert ["jobs/great-tom.json", "2", "2", "fix", "first"] in [row.split() for row in rows]


def test_one_station(told: dict[str, Told]) -> None:
    report = told["check, one station"].result.stdout
    assert report.startswith("great-tom: Belfry\n")
    assert "The rope is tied" not in report.partition("Passed")[0]


def test_the_first_remedy_that_the_facts_allow_is_said_and_an_amended_limit_is_cited_to_the_place(
    told: dict[str, Told],
) -> None:
    everywhere = told["check of all as text, written"]
    text = " ".join(" ".join(everywhere.files.values()).split())
    assert "Raise the headstock until 6 in are under the wheel." in text
    assert "Raise the second wheel" not in text
    assert "(Vestry book, 7, in place of 4 in, Chime book 7)" in text
    assert "The chime book is written for towers of stone." in text


def test_what_is_inherited(told: dict[str, Told]) -> None:
    report = " ".join(told["check with all that is inherited"].result.stdout.split())
    assert "The owls are counted" in report
    assert "Inherited from the manufacturer's sheet aldous-t" in report


def test_two_schemas_are_not_mixed(tmp_path: Path) -> None:
    for name, title in (("one", "a"), ("two", "b")):
        shutil.copytree(TINY / "bells", tmp_path / name)
        file = tmp_path / name / "job.schema.json"
        file.write_text(file.read_text().replace("Great", title).replace("A bell hung", f"A bell {title}"))
    result = CliRunner().invoke(main, ["rules", "lint", str(tmp_path / "one"), str(tmp_path / "two")])
    assert 2 == result.exit_code
    assert "two job schemas" in result.stderr


def test_an_answer_that_says_a_word_of_no_list_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(TINY / "bells", tmp_path / "bells")
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(main, WRITTEN_LAST["rules answer"], input="roundid\n")
    assert 1 == result.exit_code
    assert "'roundid' is not a word that 'lip_wanted' is compared with.\n" in result.output
    assert "Did you mean 'rounded'?" in result.output
