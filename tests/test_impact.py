"""What a change of a ruleset does to kept jobs: counts worked out by hand, names that changed, files of details."""

from __future__ import annotations

import csv
import datetime
import itertools
import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from checker.authoring.impact.impact import Change, Exits, Impact, Way
from checker.authoring.impact.impact_text import Summary, as_json, as_markdown, as_text, csv_line, sentence
from checker.batch.sources import Item
from checker.commands import many_jobs
from checker.engine.checker import Checker
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import open_library
from tests.support.commands import Run, changeout
from tests.support.many_jobs import BELLS, bell
from tests.support.rulesets import ON, TINY

HEIGHT, PAPER, OLD_PAPER, ANY = (
    "lit-lantern-high-enough",
    "paper-fireproof",
    "paper-not-bare-rice",
    "tin-or-unlit-indoors",
)
NETHER = {"site": {"jurisdiction": "xx-nether-lamp"}, "dates": {"hung": "2025-06-01"}}


def changed_guild(folder: Path, *mends: tuple[str, str]) -> Checker:
    """The lantern guild's rulesets with some words replaced."""
    shutil.copytree(TINY / "rulesets", folder)
    file = folder / "guild" / "lanterns.yaml"
    text = file.read_text(encoding="utf-8")
    for old, new in mends:
        assert old in text
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8")
    return Checker(open_library([folder]), job_vocabulary(TINY / "job.schema.json"))


@pytest.fixture
def stricter(tmp_path: Path) -> Checker:
    """Edition 2 asks for 9 ft instead of 8 ft; the paper rule has a new name and takes tin no longer."""
    return changed_guild(
        tmp_path / "new",
        ('value: "8"', 'value: "9"'),
        (f"  {OLD_PAPER}:", f"  {PAPER}:\n    formerly: [{OLD_PAPER}]"),
        ("lantern.paper in [oiled, tin]", "lantern.paper == oiled"),
        ("lantern.paper: tin}, expect: pass", "lantern.paper: tin}, expect: fail"),
    )


def lantern(checker: Checker, job_id: str, **facts: Any) -> Job:
    data = {"job_id": job_id, "schema_version": 1, **NETHER, "lantern": facts}
    return load(read_text(json.dumps(data).encode(), f"{job_id}.json"), checker.vocabulary)


# What each lantern is, and by hand what changes of it: 8 ft before and 9 ft after; oiled or tin before, oiled after.
LANTERNS: dict[str, tuple[dict[str, Any], list[Way]]] = {
    "between": ({"lit": True, "height": 8.5, "paper": "oiled"}, [Way(HEIGHT, "pass", "fail")]),
    "of-tin": ({"lit": True, "height": 10, "paper": "tin"}, [Way(PAPER, "pass", "fail")]),
    "not-measured": ({"lit": True, "paper": "oiled"}, []),
    "unlit": ({"lit": False, "height": 1, "paper": "rice"}, []),
    "low-of-rice": ({"lit": True, "height": 7.5, "paper": "rice"}, []),
    "both": (
        {"lit": True, "height": 8, "paper": "tin"},
        [Way(HEIGHT, "pass", "fail"), Way(PAPER, "pass", "fail")],
    ),
    "at-the-new-limit": ({"lit": True, "height": 9, "paper": "oiled"}, []),
    # whether it is lit is not recorded: it passed whether lit or not, and now fails only if it is lit
    "perhaps-lit": (
        {"height": 8.5, "paper": "tin"},
        [Way(HEIGHT, "pass", "verify_locally"), Way(PAPER, "pass", "verify_locally")],
    ),
}


@pytest.fixture
def impact(tiny: Checker, stricter: Checker) -> Impact:
    found = Impact(tiny, stricter, ON)
    for name, (facts, _) in LANTERNS.items():
        found.add(lantern(tiny, name, **facts), lantern(stricter, name, **facts))
    return found


@pytest.mark.parametrize("name", LANTERNS)
def test_each_job_changes_as_worked_out_by_hand(tiny: Checker, stricter: Checker, name: str) -> None:
    facts, ways = LANTERNS[name]
    found = Impact(tiny, stricter, ON).add(lantern(tiny, name, **facts), lantern(stricter, name, **facts))
    assert ways == [change.way for change in found]
    assert {change.formerly for change in found if change.way.rule == PAPER} <= {OLD_PAPER}
    assert {change.formerly for change in found if change.way.rule == HEIGHT} <= {""}


def test_counts_by_rule_and_way(impact: Impact) -> None:
    counted = {row.way: (row.jobs, row.items, row.example) for row in impact.rows()}
    assert {
        Way(HEIGHT, "pass", "fail"): (2, 2, "between"),
        Way(PAPER, "pass", "fail"): (2, 2, "of-tin"),
        Way(HEIGHT, "pass", "verify_locally"): (1, 1, "perhaps-lit"),
        Way(PAPER, "pass", "verify_locally"): (1, 1, "perhaps-lit"),
    } == counted
    assert (8, 4) == (impact.jobs, impact.changed)
    assert ["fail", "fail", "verify_locally", "verify_locally"] == [row.way.after for row in impact.rows()]


def test_exit_codes_that_change(impact: Impact) -> None:
    """A fail is 1; an open question of life safety, the paper, is 1 too."""
    assert {Exits(0, 1): 4} == impact.exits


def test_it_goes_back_the_same_way(tiny: Checker, stricter: Checker) -> None:
    back = Impact(stricter, tiny, ON)
    for name, (facts, _) in LANTERNS.items():
        back.add(lantern(stricter, name, **facts), lantern(tiny, name, **facts))
    assert {
        (HEIGHT, "fail", "pass"): 2,
        (OLD_PAPER, "fail", "pass"): 2,
        (HEIGHT, "verify_locally", "pass"): 1,
        (OLD_PAPER, "verify_locally", "pass"): 1,
    } == {tuple(row.way): row.jobs for row in back.rows()}
    assert {Exits(1, 0): 4} == back.exits


def test_a_rule_that_is_gone_and_one_that_does_not_apply_any_more(tiny: Checker, tmp_path: Path) -> None:
    text = (TINY / "rulesets" / "guild" / "lanterns.yaml").read_text(encoding="utf-8")
    gone = text[text.index(f"  {ANY}:") :]
    lit = "      - lantern.lit\n    require:\n      - lantern.height"
    less = changed_guild(tmp_path / "less", (gone, ""), (lit, lit.replace("lantern.lit", "lantern.paper == rice")))
    facts = {"lit": True, "height": 7.5, "paper": "oiled"}
    found = Impact(tiny, less, ON).add(lantern(tiny, "one", **facts), lantern(less, "one", **facts))
    assert [Way(HEIGHT, "fail", "does_not_apply"), Way(ANY, "pass", "no_rule")] == [change.way for change in found]


def test_the_same_rulesets_change_nothing(tiny: Checker) -> None:
    found = Impact(tiny, tiny, ON)
    for name, (facts, _) in LANTERNS.items():
        job = lantern(tiny, name, **facts)
        assert [] == found.add(job, job)
    assert (8, 0, [], {}) == (found.jobs, found.changed, found.rows(), found.exits)


def test_what_is_kept_does_not_grow_with_the_jobs(tiny: Checker, stricter: Checker) -> None:
    """Counts and one example a rule and way, however many jobs there are."""
    found = Impact(tiny, stricter, ON)
    facts = LANTERNS["both"][0]
    was, is_now = lantern(tiny, "both", **facts), lantern(stricter, "both", **facts)
    sizes = set()
    for number in range(30):
        found.add(was._replace(id=f"job-{number}"), is_now._replace(id=f"job-{number}"))
        sizes.add((len(found.rows()), len(found.exits), sum(len(repr(row.example)) for row in found.rows())))
    assert 1 == len(sizes)
    assert [30, 30] == [row.jobs for row in found.rows()]


# --- words ---


def test_a_sentence_tells_how_many_and_names_one(impact: Impact) -> None:
    row = next(row for row in impact.rows() if row.way == Way(HEIGHT, "pass", "fail"))
    assert (
        "2 of 300 jobs would newly fail 'A lit lantern hangs high enough' (lit-lantern-high-enough) (before: pass), "
        "for example between."
    ) == sentence(row, 300)


@pytest.mark.parametrize("width", [40, 60, 80, 200])
def test_text_keeps_within_the_terminal(impact: Impact, width: int) -> None:
    text = as_text(Summary(impact, "guild 1.0.0", "guild 1.1.0", 0), width)
    assert max(map(len, text.splitlines())) <= max(width, 40)
    words = " ".join(text.split())
    assert "8 jobs judged by both; outcomes change in 4 of them." in words
    assert "0 → 1 in 4" in words
    assert "authority having jurisdiction decides" in words


def test_json_holds_every_count(impact: Impact) -> None:
    data = json.loads(as_json(Summary(impact, "a", "b", 3)))
    assert (8, 3, 4) == (data["jobs"], data["unusable"], data["changed"])
    assert [{"before": 0, "after": 1, "jobs": 4}] == data["exit_codes"]
    assert [2, 2, 1, 1] == [row["jobs"] for row in data["changes"]]


def test_markdown_shows_words_as_they_are(impact: Impact) -> None:
    impact._first[Way(HEIGHT, "pass", "fail")] = ("A | <b>lamp</b>", "job\n1")
    text = as_markdown(Summary(impact, "a", "b", 0))
    assert "| 2 | pass | fail | A \\| \\<b\\>lamp\\</b\\> (lit-lantern-high-enough) | job 1 |" in text


def test_a_cell_of_details_is_no_formula() -> None:
    change = Change("=1+1", "a.json", "r", "", "T, 1", "", "pass", "fail")
    assert '\'=1+1,a.json,r,,"T, 1",,pass,fail\r\n' == csv_line(change)


# --- the command ---

GROUP = """\
id: crew
version: {version}
title: A crew's own rules (invented)
owner: The crew (invented)
owner_kind: group
reviewed_through: 2030-01-01
"""
TOPIC = """\
rules:
  crew-rope-thin:
    title: No rope thicker than the crew likes
    topic: ropes
    obligation: should
    intent: Invented.
    citation: [{{document: crew, section: "1", section_sure: checked, requirement_sure: checked}}]
    for_each: ropes
    require: [item.girth <= most]
    cases: [{{name: any, given: {{}}, expect: verify_locally}}]
limits:
  most:
    title: Most
    unit: in
    values: [{{value: "{most}", source: invented, sure: checked}}]
"""


def crew(folder: Path, version: str, most: float) -> str:
    folder.mkdir()
    text = GROUP.format(version=version) + "documents: {crew: Crew's book}\n"
    (folder / "ruleset.yaml").write_text(text, encoding="utf-8")
    (folder / "own.yaml").write_text(TOPIC.format(most=most), encoding="utf-8")
    return str(folder)


def job_file(folder: Path, name: str, *girths: float) -> None:
    """A bell with a rope of each girth."""
    ropes = [{"key": f"r{index}", "moves": "bell", "girth": f"{girth} in"} for index, girth in enumerate(girths)]
    (folder / f"{name}.json").write_text(json.dumps(bell(name, ropes=ropes)), encoding="utf-8")


def impact_of(*words: str) -> Run:
    """The command about bells, whose rulesets are made ready in a moment."""
    return changeout("rules", "impact", *words, "--rules", str(BELLS))


@pytest.fixture(scope="module")
def crews(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Both versions, in one place for all tests, so that each is made ready once."""
    folder = tmp_path_factory.mktemp("crews")
    return [crew(folder / "old", "1.0.0", 4), crew(folder / "new", "1.1.0", 3)]


@pytest.fixture
def archive(crews: list[str], tmp_path: Path) -> list[str]:
    """OLD (4 in), NEW (3 in) and three jobs: by hand, one rope of the first and both of the second newly fail."""
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    job_file(jobs, "a", 3, 3.5)
    job_file(jobs, "b", 4, 3.1)
    job_file(jobs, "c", 2.5, 4.5)
    return [*crews, str(jobs)]


def test_a_group_ruleset_is_used_without_being_asked_for(archive: list[str], tmp_path: Path) -> None:
    run = impact_of(*archive, "--on", "2026-11-25", "--format", "json")
    assert 1 == run.returncode, run.stderr
    data = json.loads(run.stdout)
    assert (3, 2) == (data["jobs"], data["changed"])
    (row,) = data["changes"]
    assert ("crew-rope-thin", "pass", "fail", 2, 3, "a") == tuple(
        row[name] for name in ("rule", "before", "after", "jobs", "items", "example")
    )
    assert "" == run.stderr, "no bar where standard error is no terminal"


@pytest.mark.parametrize("ending", ["jsonl", "csv"])
def test_details_name_each_change(archive: list[str], tmp_path: Path, ending: str) -> None:
    file = tmp_path / f"details.{ending}"
    run = impact_of(*archive, "--on", "2026-11-25", "--details", str(file))
    assert 1 == run.returncode, run.stderr
    with file.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines)) if ending == "csv" else [json.loads(line) for line in lines]
    assert [("a", "r1"), ("b", "r0"), ("b", "r1")] == [(row["job"], row["item"]) for row in rows]
    assert {("pass", "fail")} == {(row["before"], row["after"]) for row in rows}


def test_details_of_an_unknown_form_are_refused_before_anything_is_judged(archive: list[str], tmp_path: Path) -> None:
    run = impact_of(*archive, "--details", str(tmp_path / "details.txt"))
    assert 2 == run.returncode
    assert "Details are written as .jsonl" in run.stderr


def test_a_bad_job_does_not_stop_the_rest_and_is_counted(archive: list[str]) -> None:
    (Path(archive[2]) / "aa.json").write_text("{", encoding="utf-8")
    run = impact_of(*archive, "--on", "2026-11-25")
    assert 2 == run.returncode
    assert "aa.json:1:2" in run.stderr
    assert "3 jobs judged by both; outcomes change in 2 of them. 1 job could not be judged by both." in " ".join(
        run.stdout.split()
    )


def test_the_same_version_twice_ends_with_0(archive: list[str]) -> None:
    run = impact_of(archive[0], archive[0], archive[2])
    assert 0 == run.returncode, run.stderr
    assert "outcomes change in 0 of them" in " ".join(run.stdout.split())


def test_an_archive_may_be_one_file_with_a_job_a_line(archive: list[str], tmp_path: Path) -> None:
    lines = [json.dumps(json.loads(path.read_text(encoding="utf-8"))) for path in sorted(Path(archive[2]).iterdir())]
    file = tmp_path / "archive.jsonl"
    file.write_text("\n".join([lines[0], "{", *lines[1:]]), encoding="utf-8")
    run = impact_of(*archive[:2], str(file), "--on", "2026-11-25", "--format", "json")
    assert 2 == run.returncode
    assert f"{file}:2" in run.stderr
    assert (3, 1, 2) == tuple(json.loads(run.stdout)[name] for name in ("jobs", "unusable", "changed"))


def test_jobs_come_one_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of an archive without end the first jobs are there as soon as they are asked for."""
    numbers = itertools.count(1)
    monkeypatch.setattr(many_jobs, "items", lambda *_: (Item("a.jsonl", number, b"{}") for number in numbers))
    names = list(itertools.islice(many_jobs.EachJob(("a.jsonl",)).made(lambda document: document.file), 3))
    assert ["a.jsonl:1", "a.jsonl:2", "a.jsonl:3"] == names
    assert 4 == next(numbers)


def test_versions_of_two_rulesets_are_refused(archive: list[str]) -> None:
    run = impact_of(archive[0], str(BELLS / "chimebook"), archive[2])
    assert 2 == run.returncode
    assert "are not versions of one ruleset" in run.stderr


def test_a_job_before_the_change_is_not_touched_by_it(tiny: Checker, stricter: Checker) -> None:
    """Edition 1, in force before 2024, keeps its 7 ft."""
    data = {"job_id": "old", "schema_version": 1, **NETHER, "lantern": {"lit": True, "height": 8.5, "paper": "oiled"}}
    data["dates"] = {"hung": datetime.date(2023, 12, 31).isoformat()}
    document = read_text(json.dumps(data).encode(), "old.json")
    assert [] == Impact(tiny, stricter, ON).add(load(document, tiny.vocabulary), load(document, stricter.vocabulary))
