"""`changeout accept`: what the office accepts is recorded without a digest typed by hand; both of its days count."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.support.commands import Run, changeout

JOB: dict[str, Any] = {
    "job_id": "a-1",
    "schema_version": 1,
    "scope": {"outdoor_unit": True},
    "recovery": {"released": "knowingly"},
    "circuits": [
        {
            "key": key, "serves": "outdoor_unit", "nameplate": {"maximum_breaker": "30 A", "maximum_fuse": "30 A"},
            "devices": [{"key": "panel", "kind": "breaker", "place": "panel", "rating": rating}],
        }
        for key, rating in (("condenser", "40 A"), ("second", "45 A"), ("third", "20 A"))
    ],
}  # fmt: skip
RULE = "overcurrent-within-nameplate"
ALL = (
    "--who",
    "W. Garrick, building office",
    "--reference",
    "letter 7",
    "--given",
    "10/1/2026",
    "--until",
    "12/31/2026",
)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "job.json").write_text(json.dumps(JOB))
    return tmp_path


def accept(home: Path, *words: str, on: str = "2026-11-25", stdin: str = "") -> Run:
    return changeout("accept", "job.json", *words, "--on", on, "--no-config", stdin=stdin, cwd=home)


def acceptances(home: Path) -> list[dict[str, str]]:
    found: list[dict[str, str]] = json.loads((home / "job.json").read_text()).get("acceptances", [])
    return found


def finding(home: Path, item: str, on: str = "2026-11-25") -> dict[str, Any]:
    said = changeout("check", "job.json", "--format", "json", "--on", on, "--no-config", cwd=home).stdout
    found: list[dict[str, Any]] = json.loads(said)["jobs"][0]["findings"]
    return next(one for one in found if one["rule"] == RULE and one["item"] == item)


@pytest.mark.parametrize(
    "words",
    [
        [f"{RULE} [condenser]"],
        ["Breaker too big: 40 A, nameplate max 30 A"],
        ["breaker", "too", "big", "condenser"],
        ["too big 40 a"],
    ],
    ids=["rule and item", "headline", "words", "words with the reading"],
)
def test_a_failure_is_named_by_its_rule_or_by_words_of_its_headline(home: Path, words: list[str]) -> None:
    told = accept(home, *words, *ALL)
    (one,) = acceptances(home)
    accepted = finding(home, "condenser")
    assert (0, accepted["finding_id"], accepted["evidence_digest"]) == (
        told.returncode, one["finding_id"], one["evidence_digest"],
    )  # fmt: skip
    assert ("2026-10-01", "2026-12-31") == (one["accepted_on"], one["until"])
    assert "stands" == accepted["acceptance"]["standing"]
    assert "2026-10-01 through 2026-12-31, both days included." in " ".join(told.stdout.split())


def test_by_the_id_of_the_finding(home: Path) -> None:
    accept(home, finding(home, "second")["finding_id"], *ALL)
    assert "stands" == finding(home, "second")["acceptance"]["standing"]
    assert not finding(home, "condenser").get("acceptance")


@pytest.mark.parametrize(("day", "stands"), [("2026-10-01", True), ("2026-12-31", True), ("2027-01-01", False)])
def test_both_of_its_days_count(home: Path, day: str, stands: bool) -> None:
    accept(home, f"{RULE} [condenser]", *ALL)
    assert stands == (finding(home, "condenser", day)["acceptance"]["standing"] == "stands")


def test_what_is_not_given_is_asked_until_it_can_be_used(home: Path) -> None:
    typed = "1\nW. Garrick\n\nletter 7\n12/1/2026\n10/1/2026\n9/30/2026\n12/31/2026\n"
    told = accept(home, RULE, stdin=typed)
    said = " ".join(told.stdout.split())
    assert (0, ["letter 7"]) == (told.returncode, [one["reference"] for one in acceptances(home)])
    assert "Which failure?" in said
    assert "2026-12-01 is after 2026-11-25." in said
    assert "The last day, 2026-09-30, comes before 2026-10-01." in said


def test_without_a_finding_those_that_may_be_accepted_are_listed(home: Path) -> None:
    told = " ".join(accept(home).stdout.split())
    assert "Breaker too big: 40 A, nameplate max 30 A [condenser]" in told
    assert "released" not in told.lower()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("braker too big", "No finding of this job is 'braker too big'."),
        ("overcurrent-within-namplate", f"Did you mean '{RULE}'?"),
        ("disconnect-working-space", "it does not fail."),
        ("no-knowing-release", "no office can accept this one."),
        ("", "Stopped. Nothing was written."),
    ],
)
def test_what_cannot_be_accepted_is_told_and_nothing_is_written(home: Path, words: str, said: str) -> None:
    before = (home / "job.json").read_bytes()
    told = accept(home, *([words] if words else []), *(ALL if words else ()))
    assert told.returncode in (2, 130)
    assert said in " ".join((told.stderr + told.stdout).split())
    assert before == (home / "job.json").read_bytes()


def test_what_is_accepted_already_is_told(home: Path) -> None:
    accept(home, f"{RULE} [condenser]", *ALL)
    told = accept(home, "breaker too big: 40", *ALL)
    assert (2, 1) == (told.returncode, len(acceptances(home)))
    assert "it is accepted already, as 'overcurrent-within-nameplate', through 2026-12-31." in " ".join(
        told.stderr.split()
    )


def test_one_whose_last_day_is_past_is_recorded_and_told_not_to_count(home: Path) -> None:
    told = accept(home, f"{RULE} [condenser]", *ALL, on="2027-01-05")
    assert (1, 1) == (told.returncode, len(acceptances(home)))
    assert "It does not count: its last day was 2026-12-31." in " ".join(told.stdout.split())


def test_after_the_evidence_changed_it_is_accepted_anew_under_another_name(home: Path) -> None:
    accept(home, f"{RULE} [condenser]", *ALL)
    job = json.loads((home / "job.json").read_text())
    job["circuits"][0]["devices"][0]["rating"] = "45 A"
    (home / "job.json").write_text(json.dumps(job))
    assert "what it was given for has changed since" in finding(home, "condenser")["acceptance"]["standing"]
    assert 0 == accept(home, f"{RULE} [condenser]", *ALL).returncode
    assert [RULE, f"{RULE}-2"] == [one["key"] for one in acceptances(home)]
    assert "stands" == finding(home, "condenser")["acceptance"]["standing"]


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [
        ("--who", "", "The acceptance doesn't count without it."),
        ("--given", "13/13/2026", "13/13/2026"),
        ("--given", "yesterday", "yesterday"),
        ("--until", "2026-09-30", "comes before"),
        ("--given", "2026-12-24", "is after 2026-11-25."),
    ],
)
def test_an_option_that_cannot_be_used_is_told(home: Path, option: str, value: str, said: str) -> None:
    given = dict(zip(ALL[::2], ALL[1::2], strict=True)) | {option: value}
    told = accept(home, f"{RULE} [condenser]", *(word for pair in given.items() for word in pair))
    assert (2, []) == (told.returncode, acceptances(home))
    assert said in " ".join(told.stderr.split())
