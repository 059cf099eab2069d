"""Jobs judged over columns come to what each comes to by itself. The oracle is `Checker.outcomes`, whose own is the walk."""

from __future__ import annotations

import json
import random
import shutil
import sys
from itertools import product
from pathlib import Path

import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner, Result

from checker.cli import main
from checker.commands import extras
from checker.engine.checker import Checker
from checker.engine.startup import open_checker
from checker.reading.archive import INDEX
from checker.reading.files import read_text
from checker.reading.job import Job, load
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
    elif how == "a part outside":
        index.write_text(json.dumps(data | {"parts": [{**data["parts"][0], "name": "../elsewhere"}]}))
    else:
        index.write_text("[]")


@pytest.mark.parametrize(
    ("how", "said"),
    [
        ("cut off", "This part of the archive cannot be read"),
        ("another table", "This part of the archive is not whole."),
        ("newer", "The archive is of format 99; this program reads format 1."),
        ("another schema", "The jobs were packed by another job schema"),
        ("a part outside", "This is no index of an archive of packed jobs."),
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


# --- the larger language ----------------------------------------------------------------------------------------------

LARGER = """\
limits:
  thick:
    title: Thick
    unit: in
    values: [{value: "1", source: ours, sure: checked}]
  fewest:
    title: Fewest thick ropes
    unit: one
    values: [{value: "2", source: ours, sure: checked}]
rules:
  most-ropes-thick:
    title: Two ropes at least are thick
    topic: ropes
    obligation: shall
    intent: Ours.
    citation: [{document: ours, section: "1", section_sure: checked, requirement_sure: checked}]
    applies_when: [done.ropes]
    where: {many: "count(ropes, ropes.girth >= thick)"}
    require: [many >= fewest]
    on_fail: Too few.
    cases: [{name: none, given: {done.ropes: "true", ropes: []}, expect: fail}]
  clearance-as-wide-as-it-must:
    title: Clearance as wide as the larger of two
    topic: wheel
    obligation: shall
    intent: Ours.
    citation: [{document: ours, section: "2", section_sure: checked, requirement_sure: checked}]
    applies_when: [done.bell]
    where:
      needed: bell.clearance when bell.second_wheel otherwise thick
      wanted: larger_of(thick, needed)
    require: [wanted <= bell.clearance]
    on_fail: Too narrow.
    cases: [{name: open, given: {done.bell: "true"}, expect: verify_locally}]
"""


def test_rules_that_count_by_comparison_or_pick_a_value_come_to_the_same(bells: Path) -> None:
    Path("bells/ours").mkdir()
    Path("bells/ours/ruleset.yaml").write_text(
        "id: ours-group\nversion: 1.0.0\ntitle: Ours\nowner: Ours\nowner_kind: group\nuses: {chimebook: '>=1, <9'}\n"
        "reviewed_through: 2030-01-01\ndocuments: {ours: Ours}\n"
    )
    Path("bells/ours/rules.yaml").write_text(LARGER)
    checker = open_checker((Path("bells"),), ("ours-group",))
    girths = [["2 in", "1 in"], ["1 in", "0.5 in"], ["1 in", None], ["0.5 in", None], [None, None], []]
    jobs = []
    for number, (several, clearance, second) in enumerate(
        product(girths, ("3 in", "0.5 in", None), (True, False, None))
    ):
        ropes = [{"key": f"r{at}", "moves": "bell"} | ({"girth": one} if one else {}) for at, one in enumerate(several)]
        facts = {"clearance": clearance, "second_wheel": second}
        data = bell(f"{number}", ropes=ropes, bell={name: one for name, one in facts.items() if one is not None})
        jobs.append(load(read_text(json.dumps(data).encode(), "job.json"), checker.vocabulary))
    expected, unusable = one_by_one(checker, jobs, ON)
    found, _, _ = over_columns(checker, jobs, ON)
    assert not unusable
    assert expected == found
    for rule in ("most-ropes-thick", "clearance-as-wide-as-it-must"):
        assert {"pass", "fail", "verify_locally"} <= {said[0] for key, said in found.items() if key[1] == rule}


# --- without the library ---------------------------------------------------------------------------------------------


def test_without_the_library_archives_are_refused_by_words_and_jobs_are_judged_as_ever(
    bells: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    moved()
    monkeypatch.setattr(extras, "find_spec", lambda _: None)
    for name in [name for name in sys.modules if name.startswith("pyarrow") or "packed" in name or "column" in name]:
        if name != "checker.commands.packed":
            monkeypatch.setitem(sys.modules, name, None)
    for words in (
        ("jobs", "pack", "jobs", "--output", "other"),
        ("jobs", "outcomes", "pack", "--output", "outcomes.parquet"),
        ("rules", "impact", "bells/chimebook", "new", "pack"),
    ):
        done = run(*words)
        assert 2 == done.exit_code
        assert "pip install 'changeout-checker[columns]'" in done.stderr
    assert 1 == run("rules", "impact", "bells/chimebook", "new", "jobs", "--on", ON.isoformat()).exit_code


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
