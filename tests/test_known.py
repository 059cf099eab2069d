"""How what a finding rests on is known, the title block, the first look, and when a review is old.

What counts as measured or photographed is decided here and has no source; the words are the schema's.
"""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from checker.engine.checker import Checker
from checker.engine.reviews import outdated
from checker.findings.known import MEASURED, PHOTOGRAPHED, STATED, near
from checker.findings.report import Report
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reporting.first_look import first_look
from checker.reporting.title_block import title_block

JOBS = Path(__file__).parent.parent / "examples" / "jobs"
ON = datetime.date(2026, 11, 25)
STATIC, BREAKER, GFCI = (
    "static-within-makers-limit",
    "overcurrent-within-nameplate",
    "service-receptacle-ground-fault-protected",
)


def judged(checker: Checker, folder: Path | None = None, **changes: Any) -> tuple[Report, Job]:
    facts = json.loads((JOBS / "01-clean.json").read_text())
    facts["photographs"] = []
    job = load(read_text(json.dumps(facts | changes).encode(), "job.json", folder), checker.vocabulary)
    return checker.check_job(job, ON), job


def known(report: Report, rule: str) -> tuple[str, str]:
    finding = next(one for one in report.findings if one.rule == rule)
    return report.known.way(finding), report.known.words(finding)


def test_a_reading_with_its_instrument_is_measured_and_a_yes_is_stated(shipped: Checker) -> None:
    report, _ = judged(shipped)
    assert (MEASURED, "measured: static gauge; from the manual") == known(report, STATIC)
    assert (STATED, STATED) == known(report, GFCI)


def test_a_limit_off_the_nameplate_does_not_make_a_stated_reading_better(shipped: Checker) -> None:
    report, _ = judged(shipped)
    assert (STATED, "stated; from the nameplate") == known(report, BREAKER)


def test_what_the_job_says_of_how_it_is_known_goes_first(shipped: Checker) -> None:
    report, _ = judged(shipped, known_by={"measured": ["service_receptacle.gfci"]})
    assert (MEASURED, "measured: instrument not recorded") == known(report, GFCI)


def test_a_picture_of_the_thing_counts_and_one_of_what_is_around_it_does_not(shipped: Checker, tmp_path: Path) -> None:
    Image.new("RGB", (8, 8)).save(tmp_path / "a.jpg")
    shown = {"photographs": [{"key": "outlet", "file": "a.jpg", "shows": "service_receptacle"}]}
    assert (PHOTOGRAPHED, "photographed (“outlet”)") == known(judged(shipped, tmp_path, **shown)[0], GFCI)
    drain = {"photographs": [{"key": "drain", "file": "a.jpg", "shows": "condensate"}]}
    assert STATED == known(judged(shipped, tmp_path, **drain)[0], "overflow-device-tested")[0]
    gone = {"photographs": [{"key": "outlet", "file": "gone.jpg", "shows": "service_receptacle"}]}
    assert STATED == known(judged(shipped, tmp_path, **gone)[0], GFCI)[0]


@pytest.mark.parametrize(
    ("fact", "shows", "counts"),
    [
        ("a.0.b.c", "a.0.b", True),
        ("a.0.b.c", "a.b", True),
        ("a.0.b.c", "a.b.c", True),
        ("a.0.b.c", "a", False),
        ("a.0.bc.d", "a.0.b", False),
    ],
)
def test_near_is_the_fact_or_what_it_stands_in(fact: str, shows: str, counts: bool) -> None:
    assert counts == near(fact, shows)


def test_the_counts_add_up_to_what_passed(shipped: Checker) -> None:
    report, _ = judged(shipped)
    counts = report.known.counts(report.passed)
    assert len(report.passed) == sum(counts.values())
    assert (MEASURED, STATED) == (min(counts, key=list(counts).index), max(counts, key=list(counts).index))


def test_each_instrument_has_its_accuracy_and_the_day_until_which_it_is_calibrated(shipped: Checker) -> None:
    report, _ = judged(shipped)
    told = dict(report.known.instruments(report.findings))
    assert "Tarnholt DG-4, ±2 psi, next calibration due 2027-02-10" == told["manifold"]
    assert "Ostrel C-600, ±1.5 % of reading, next calibration due 2027-03-02" == told["clamp meter"]


# --- the title block ---


def test_the_title_block_names_the_job_and_what_of_it_is_missing(shipped: Checker) -> None:
    crew = json.loads((JOBS / "01-clean.json").read_text())["crew"]
    report, job = judged(shipped, crew={name: value for name, value in crew.items() if name != "company"})
    rows = {row.title: row.text for row in title_block(job, report.authority, report).rows}
    assert (
        "Nivarrick, model NV14-036, serial NV26-0318842, R-454B, factory charge 6.4 lb, total charge 6.90 lb"
        == (rows["Outdoor unit"])
    )
    assert "electrical, No. AE-26-0921, issued 2026-08-28, expires 2027-02-28" == rows["Permit"]  # the last of two
    assert rows["Contractor"].endswith("; company not recorded")
    assert "National Electrical Code 2023 (Ordinance 2026-07)" in rows["Editions in force"]


def test_every_field_of_the_title_block_has_a_question_and_a_station(shipped: Checker) -> None:
    vocabulary = shipped.vocabulary
    rows = vocabulary.commands["title_block"]["rows"]
    facts = [fact for row in rows for fact in (*row["facts"], *row.get("otherwise", ()))]
    assert [] == [fact for fact in facts if not vocabulary.leaves[fact].ask or not vocabulary.station_names[fact]]


def test_a_date_that_is_not_one_day_leaves_the_edition_open(shipped: Checker) -> None:
    facts = json.loads((JOBS / "01-clean.json").read_text())["dates"]
    report, _ = judged(shipped, dates={**facts, "permit_applied": {"not_known": "the office has it"}})
    electrical = next(one for one in report.editions if one.code == "National Electrical Code")
    assert {"2020", "2023"} <= set(electrical.editions)
    assert "not recorded as one day" in electrical.by


# --- the first look ---


def test_the_first_look_names_rules_that_exist_and_each_has_a_line_on_a_usual_job(shipped: Checker) -> None:
    rules = {rule for ruleset in shipped.library.rulesets.values() for rule in ruleset.rules}
    told = shipped.vocabulary.commands["first_look"]
    assert 5 == len(told)
    assert [] == [rule for one in told for rule in one["rules"] if rule not in rules]
    looks = first_look(*judged(shipped))
    assert [one["title"] for one in told] == [look.title for look in looks]
    assert [] == [look.title for look in looks if not look.lines]
    assert all(line.reading and line.section and line.known for look in looks for line in look.lines)


# --- reviews ---


def reviewed(checker: Checker, ruleset: str, through: str, on: str) -> str:
    chain = checker.chain("xx-alder")
    found = checker.library.rulesets[ruleset]
    header = found.header.replaced(reviewed_through=through)
    return outdated(found._replace(header=header), chain, datetime.date.fromisoformat(on))


@pytest.mark.parametrize(
    ("through", "on", "says"),
    [
        ("2026-11-21", "2026-11-25", ""),
        ("2026-07-01", "2027-07-01", ""),
        ("2026-07-01", "2027-07-02", "The rules of nec were last reviewed on 2026-07-01, more than a year ago."),
        ("2026-06-30", "2026-07-01", "before nec 2023 took effect here on 2026-07-01"),
        ("2026-06-30", "2026-06-30", ""),
    ],
)
def test_a_review_is_good_for_a_year_or_until_a_new_edition(shipped: Checker, through: str, on: str, says: str) -> None:
    told = reviewed(shipped, "nec", through, on)
    assert says in told if says else not told
