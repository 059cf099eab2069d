"""Jobs judged over columns come to what each comes to by itself. The oracle is `Checker.outcomes`, whose own is the walk."""

from __future__ import annotations

import json
import random
import shutil
from pathlib import Path

import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner, Result

from checker.cli import main
from checker.engine.checker import Checker
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.packed_jobs import INDEX
from tests.benchmarks.real import houses, texts
from tests.long.random_jobs import random_job, worked
from tests.support.columns import one_by_one, over_columns
from tests.support.many_jobs import bell
from tests.support.rulesets import ON, TINY


def differing(checker: Checker, jobs: list[Job]) -> list[object]:
    """What is said otherwise; the jobs that cannot be judged are the same."""
    expected, unusable = one_by_one(checker, jobs, ON)
    found, not_judged, counts = over_columns(checker, jobs, ON)
    assert unusable == not_judged
    assert counts.by_columns > 9 * counts.by_walk
    return [(key, expected.get(key), found.get(key)) for key in expected.keys() | found.keys()
            if expected.get(key) != found.get(key)]  # fmt: skip


def randomly(checker: Checker, seed: int, many: int) -> list[Job]:
    rng, bases = random.Random(seed), worked()
    return [random_job(rng, bases, checker).job for _ in range(many)]


def test_a_worked_job_comes_to_the_same(shipped: Checker) -> None:
    assert [] == differing(shipped, [load(read_text(texts()[1], "job.json"), shipped.vocabulary)])


@pytest.mark.long
@pytest.mark.parametrize("seed", [1, 2])
def test_random_jobs_come_to_the_same(shipped: Checker, seed: int) -> None:
    assert [] == differing(shipped, randomly(shipped, seed, 100))


@pytest.mark.long
def test_jobs_that_differ_as_houses_do_come_to_the_same(shipped: Checker) -> None:
    jobs = [load(read_text(text, "job.json"), shipped.vocabulary) for text in houses(texts(), 3)]
    assert [] == differing(shipped, jobs)


# --- the archive on disk, of the bells -------------------------------------------------------------------------------


def run(*words: str) -> Result:
    return CliRunner().invoke(main, [*words, "--rules", "bells"])


@pytest.fixture
def bells(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The bells with four jobs, packed in `pack`."""
    monkeypatch.chdir(tmp_path)
    shutil.copytree(TINY / "bells", "bells")
    Path("jobs").mkdir()
    for index in range(4):
        job = bell(f"bell {index}", bell={"clearance": f"{3 + index} in", "second_wheel": True})
        Path(f"jobs/{index}.json").write_text(json.dumps(job))
    assert pack().stdout.startswith("4 jobs packed in pack")
    return tmp_path


def pack() -> Result:
    return run("jobs", "pack", "jobs", "--output", "pack")


def part() -> Path:
    return next(Path("pack").glob("*/jobs.parquet"))


def moved() -> None:
    """The bells once more in `new`, with another limit."""
    shutil.copytree("bells/chimebook", "new")
    file = Path("new/bell.yaml")
    old = file.read_text()
    file.write_text(old.replace('value: "4"', 'value: "5"'))
    assert old != file.read_text()


def test_an_amended_limit_has_the_same_impact_on_packed_jobs_as_on_the_jobs(bells: Path) -> None:
    moved()
    one, other = (
        run("rules", "impact", "bells/chimebook", "new", where, "--on", ON.isoformat()) for where in ("jobs", "pack")
    )
    assert 1 == one.exit_code, one.stderr
    assert "wheel-clear-of-the-floor" in one.stdout
    assert (one.exit_code, one.stdout) == (other.exit_code, other.stdout)


def test_what_is_packed_already_is_not_packed_again(bells: Path) -> None:
    before = part().stat().st_mtime_ns
    assert 0 == pack().exit_code
    assert before == part().stat().st_mtime_ns
    Path("jobs/0.json").write_text(Path("jobs/1.json").read_text().replace("bell 1", "another"))
    first = part().parent.name
    assert 0 == pack().exit_code
    assert first != part().parent.name
    assert 1 == len(list(Path("pack").glob("*/jobs.parquet")))


def test_a_job_that_cannot_be_used_is_told_and_the_others_are_packed(bells: Path) -> None:
    Path("jobs/4.json").write_text("{")
    done = pack()
    assert (2, "4 jobs packed in pack; 1 cannot be used.\n") == (done.exit_code, done.stdout)
    assert "jobs/4.json" in done.stderr


def test_a_run_that_was_killed_leaves_nothing_that_counts_twice(bells: Path) -> None:
    half = Path("pack/.0123456789abcdef.new")
    half.mkdir()
    shutil.copy(part(), half)
    Path("pack", INDEX).unlink()  # it is written last
    assert "4 jobs packed" in pack().stdout
    assert 1 == len(list(Path("pack").glob("[!.]*/jobs.parquet")))


def spoilt(how: str) -> None:
    index = Path("pack", INDEX)
    data = json.loads(index.read_text())
    if how == "cut off":
        part().write_bytes(part().read_bytes()[:200])
    elif how == "another table":
        pq.write_table(pq.read_table(part()).slice(0, 2), part())
    elif how == "newer":
        index.write_text(json.dumps(data | {"pack": 99}))
    elif how == "another schema":
        index.write_text(json.dumps(data | {"vocabulary": "0" * 16}))
    else:
        index.write_text("[]")


@pytest.mark.parametrize(
    ("how", "said"),
    [
        ("cut off", "This part of the archive cannot be read"),
        ("another table", "This part of the archive is not whole."),
        ("newer", "The archive is of format 99; this program reads format 1."),
        ("another schema", "The jobs were packed by another job schema"),
        ("no index", "This is no index of an archive of packed jobs."),
    ],
)
def test_an_archive_that_cannot_be_used_is_refused_and_says_how_to_mend_it(bells: Path, how: str, said: str) -> None:
    moved()
    spoilt(how)
    done = run("rules", "impact", "bells/chimebook", "new", "pack")
    assert 2 == done.exit_code
    assert said in done.stderr
    assert "Pack the jobs again with 'changeout jobs pack'." in done.stderr


# --- the table of outcomes -------------------------------------------------------------------------------------------


def test_the_table_of_outcomes_says_what_the_reports_say(bells: Path) -> None:
    done = run("jobs", "outcomes", "pack", "--output", "outcomes.parquet", "--on", ON.isoformat())
    assert 0 == done.exit_code, done.stderr
    rows = pq.read_table("outcomes.parquet").to_pylist()
    assert f"{len(rows)} outcomes of 4 jobs written" in done.stdout
    reports = json.loads(run("check", "jobs", "--format", "json", "--on", ON.isoformat()).stdout)["jobs"]
    said = {
        (job["job_id"], one["rule"], one.get("item", ""), one["outcome"]) for job in reports for one in job["findings"]
    }
    assert said == {(row["job"], row["rule"], row["item"], row["outcome"]) for row in rows}
    assert {"xx-lowchime"} == {row["place"] for row in rows}


def test_no_half_of_a_table_is_left_where_the_archive_is_cut_off(bells: Path) -> None:
    spoilt("cut off")
    assert 2 == run("jobs", "outcomes", "pack", "--output", "outcomes.parquet").exit_code
    assert [] == list(Path().glob("*outcomes*"))
