"""`changeout jobs import` as a person uses it: exit codes, what is written and what is not, and the mistakes.

A mistake is a sheet in `data/import` with the whole message beside it.
"""

from __future__ import annotations

import csv
import io
import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st

from checker.cli import main
from checker.importing import table
from checker.importing import workbook as workbooks
from checker.importing.writing import file_name
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from checker.rulesets import library
from tests.support.commands import ROOT
from tests.support.import_sheets import VOCABULARY, imported, in_csv

MISTAKES = sorted((Path(__file__).parent / "data" / "import").glob("*.csv"))


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(library, "SHIPPED", tmp_path / "no rulesets")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def changeout(*words: str, stdin: bytes = b"") -> Result:
    return CliRunner().invoke(main, ["jobs", "import", *words], input=stdin, catch_exceptions=False)


@pytest.mark.parametrize("path", MISTAKES, ids=lambda path: path.stem)
def test_a_mistake_is_told_with_its_row_and_column_and_its_mend(path: Path, here: Path) -> None:
    shutil.copy(path, here)
    result = changeout(path.name, "--output", "out")
    assert path.with_suffix(".txt").read_text(encoding="utf-8") == result.stderr
    assert (2, "", [path.name]) == (result.exit_code, result.stdout, [found.name for found in here.iterdir()])


TWO_OF_THREE = b"job_id,scope.furnace\n1,yes\n2,perhaps\n3,no\n"


def test_nothing_is_written_if_any_row_is_wrong_unless_asked(here: Path) -> None:
    (here / "jobs.csv").write_bytes(TWO_OF_THREE)
    refused = changeout("jobs.csv", "--output", "out")
    assert (2, False) == (refused.exit_code, (here / "out").exists())
    last = "Nothing was written: something is wrong in 1 row of 3. --keep-good writes the other 2."
    assert last == refused.stderr.splitlines()[-1]
    kept = changeout("jobs.csv", "--output", "out", "--keep-good")
    assert 2 == kept.exit_code
    assert ["2 jobs written to out; read, not judged.", "1 row of 3 left out."] == kept.stderr.splitlines()[-2:]
    assert ["1.json", "3.json"] == sorted(file.name for file in (here / "out").iterdir())


def test_keep_good_keeps_nothing_of_a_sheet_whose_headings_are_wrong(here: Path) -> None:
    (here / "jobs.csv").write_bytes(b"job_id,vanished\n1,yes\n")
    assert (2, False) == (changeout("jobs.csv", "--output", "out", "--keep-good").exit_code, (here / "out").exists())


def test_a_folder_of_jobs_that_are_read_as_any_other(here: Path) -> None:
    result = changeout("-", "--output", "out", stdin=b"job_id,scope.furnace\n../7 Alder/Way,yes\ncon,no\n")
    assert (0, "2 jobs written to out; read, not judged.\n", "") == (result.exit_code, result.stdout, result.stderr)
    assert ["7-Alder-Way.json", "job-con.json"] == sorted(file.name for file in (here / "out").iterdir())
    assert "../7 Alder/Way" == load(read_file(here / "out" / "7-Alder-Way.json"), VOCABULARY).id


def test_lines_of_jobs(here: Path) -> None:
    result = changeout("-", "--output", "jobs.jsonl", stdin=b"job_id,scope.furnace\na b,yes\na/b,no\n")
    assert 0 == result.exit_code, result.stderr
    lines = (here / "jobs.jsonl").read_text().splitlines()
    assert ["a b", "a/b"] == [json.loads(line)["job_id"] for line in lines]


@pytest.mark.parametrize("output", ["out", "jobs.jsonl"])
def test_a_file_that_is_there_is_not_replaced_unless_asked(output: str, here: Path) -> None:
    first, second = b"job_id,notes\n1,old\n2,old\n", b"job_id,notes\n2,new\n3,new\n"
    assert 0 == changeout("-", "--output", output, stdin=first).exit_code
    before = {path: path.read_text() for path in here.rglob("*.json*")}
    refused = changeout("-", "--output", output, stdin=second)
    at = output if output.endswith("l") else str(Path(output) / "2.json")
    assert f"{at}\n  That file exists already.\n  Add --replace, or name another place.\n\n" == refused.stderr
    assert (2, before) == (refused.exit_code, {path: path.read_text() for path in here.rglob("*.json*")})
    assert 0 == changeout("-", "--output", output, "--replace", stdin=second).exit_code
    assert "new" in (here / at).read_text()


def test_what_cannot_be_written_is_not_half_written(here: Path) -> None:
    (here / "file").write_text("")
    (here / "out" / "2.json").mkdir(parents=True)
    rows = b"job_id\n1\n2\n"
    for output, said in [
        ("file", "This is a file, not a folder."),
        ("out", "There is a folder where the file would go."),
        ("no/such", "The jobs cannot be written: No such file or directory."),
        ("no/such.jsonl", "The file cannot be written: No such file or directory."),
    ]:
        result = changeout("-", "--output", output, "--replace", stdin=rows)
        assert 2 == result.exit_code
        assert said in result.stderr
    assert ["2.json", "file", "out"] == sorted(path.name for path in here.rglob("*"))


def test_a_long_list_of_mistakes_is_cut_and_counted(here: Path) -> None:
    result = changeout(
        "-", "--output", "out", stdin=b"job_id,scope.furnace\n" + b"".join(b"%d,x\n" % n for n in range(250))
    )
    assert 200 == result.stderr.count("column B")
    assert "… and 50 more." in result.stderr


@pytest.mark.parametrize(
    "words", [(), ("jobs.csv",), ("--headings", "jobs.csv"), ("--headings", "--output", "x"), ("no.csv", "--output", "x"),
              ("--headings", "--scope", "nothing"), ("jobs.csv", "--output", "x", "--scope", "panel")]
)  # fmt: skip
def test_wrong_usage_ends_with_2(words: tuple[str, ...], here: Path) -> None:
    assert 2 == changeout(*words).exit_code
    assert [] == list(here.iterdir())


@pytest.mark.parametrize("words", [(), ("--scope", "evacuation", "--scope", "circuits"), ("--scope", "acceptances")])
def test_the_headings_that_are_printed_can_be_filled_in_and_read(words: tuple[str, ...], here: Path) -> None:
    result = changeout("--headings", *words)
    assert 0 == result.exit_code, result.stderr
    heading, unit = csv.reader(io.StringIO(result.stdout))
    row = ["7 Alder Way"] + ["not known: painted over" for _ in heading[1:]]
    row = [
        f"{index}" if name.endswith(".key") else cell
        for index, (name, cell) in enumerate(zip(heading, row, strict=True))
    ]
    read = imported(in_csv([heading, unit, row]))
    assert [] == list(map(str, read.problems))
    job = load(read_text(json.dumps(read.jobs[0].data).encode(), "job.json"), VOCABULARY)
    assert {pattern(name) for name in heading if not name.endswith(".key")} - {"job_id"} == set(
        map(pattern, job.not_known)
    )


@given(st.text(min_size=1, max_size=300))
def test_a_file_name_is_one_on_every_system(job_id: str) -> None:
    name = file_name(job_id)
    assert name.endswith(".json")
    assert not set(name) & set('/\\:*?"<>|\0\n ')
    assert not name.startswith((".", "-"))
    assert len(name) <= 110


def test_the_bounds_that_the_guide_names_are_those_that_hold() -> None:
    said = (ROOT / "DEVELOPERS.md").read_text()
    unpacked = f"{table.MOST_BYTES // 2**20} MiB packed, {workbooks.MOST_UNPACKED // 2**20} MiB unpacked"
    assert f"{unpacked}, {table.MOST_ROWS:,} rows" in said
    assert f"{table.MOST_LETTERS:,} characters a cell" in said
