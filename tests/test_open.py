"""What is owed over an archive: each kind at its edges, days that are not known, and the sheets of a re-visit."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.portfolio.obligations import Item, days_left
from checker.portfolio.obligations_over_jobs import Owing
from checker.portfolio.obligations_text import as_json, as_text
from checker.portfolio.revisit import Names, sheet
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.rulesets.limits import years_later
from tests.support.commands import ROOT, changeout
from tests.support.rulesets import ON

DONE = {"work_finished": "2026-10-13"}
OUTDOOR = {"outdoor_unit": True, "system": "split_air_conditioner"}


def permit(expires: Any, trade: str = "mechanical") -> dict[str, Any]:
    return {"key": trade, "trade": trade, "number": f"N-{trade}", "expires": expires}


def inspection(day: Any, result: str, *words: str, trade: str = "mechanical", rule: str = "") -> dict[str, Any]:
    listed = [{"key": str(i), "words": said} | ({"rule": rule} if rule else {}) for i, said in enumerate(words)]
    return {"key": f"{trade} {day} {result}", "date": day, "trade": trade, "result": result, "corrections": listed}


def archive_job(shipped: Checker, job_id: str = "j1", **facts: Any) -> Job:
    data = {"job_id": job_id, "schema_version": 1, "site": {"address": "3 Sluice Way", "jurisdiction": "xx-alder"}}
    if isinstance(facts.get("site"), dict):
        data["site"] |= facts.pop("site")
    return load(read_text(json.dumps(data | facts).encode(), f"{job_id}.json"), shipped.vocabulary)


def owed(shipped: Checker, kind: str, *found: Job, near: int = 30, on: datetime.date = ON) -> list[Item]:
    owing = Owing(shipped, on, near)
    for job in found:
        owing.add(job)
    return [item for item in owing.items() if item.kind == kind]


def said(shipped: Checker, kind: str, near: int = 30, on: datetime.date = ON, **facts: Any) -> list[tuple[str, str]]:
    """What is owed and when, for one job of these facts."""
    found = owed(shipped, kind, archive_job(shipped, **facts), near=near, on=on)
    return [(item.what, days_left(item, on.toordinal())) for item in found]


# --- permits that are not issued ---


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ({"permit_applied": "2026-11-19"}, [("permit applied for 2026-11-19, 6 d ago", "no issue day recorded")]),
        (
            {"permit_applied": "2026-11-19", "work_started": "2026-11-20"},
            [("permit applied for 2026-11-19, 6 d ago; work began 2026-11-20", "no issue day recorded")],
        ),
        ({"permit_applied": "2026-11-19", "permit_issued": "2026-11-25"}, []),
        ({"permit_applied": "2026-11-19", "permit_issued": {"none": "the office wants none"}}, []),
        (
            {"permit_issued": "2026-11-26"},
            [("permit is to be issued 2026-11-26", "not issued yet")],
        ),
        ({}, []),
    ],
    ids=["applied for", "and begun", "issued today", "none needed", "issued tomorrow", "nothing recorded"],
)
def test_a_permit_that_is_not_issued_is_open(facts: Any, told: list[tuple[str, str]], shipped: Checker) -> None:
    assert told == said(shipped, "not_issued", dates=facts)


def test_a_job_without_a_permit_is_open_and_one_with_a_permit_is_not(shipped: Checker) -> None:
    applied = {"permit_applied": "2026-11-19"}
    assert [("no permit, and no application on record", "not applied for yet")] == said(
        shipped, "not_issued", permit={"obtained": False}
    )
    assert [("permit applied for 2026-11-19, 6 d ago", "not issued yet")] == said(
        shipped, "not_issued", permit={"obtained": False}, dates=applied
    )
    assert [] == said(shipped, "not_issued", permit={"obtained": True}, dates=applied)


# --- how a correction is put right, and by when ---


def test_a_correction_is_due_on_the_day_that_its_notice_gives(shipped: Checker) -> None:
    asked = inspection("2026-11-20", "corrections", "Redo.", rule="permit-obtained")
    permits = [permit("2027-03-05")]
    with_day = {**asked, "correct_by": "2026-12-05"}
    without = {**asked, "correct_by": {"none": "the notice gives no day"}}
    (dated,) = said(shipped, "corrections", inspections=[with_day], permits=permits)
    (undated,) = said(shipped, "corrections", inspections=[without], permits=permits)
    assert ("2026-12-05, in 10 d", "2027-03-05, in 100 d") == (dated[1], undated[1])


@pytest.mark.parametrize(
    ("words", "rule", "has_permit", "fix"),
    [
        ("Where is it?", "permit-obtained", False, "Do: "),
        ("Where is it?", "permit-obtained", True, "By what was recorded it passes"),
        ("Whip not strapped", "", True, "Maybe: "),
        ("Remove debris from yard", "", True, ""),
    ],
    ids=["failed here", "passes here", "by its words", "like no rule"],
)
def test_the_fix_of_a_correction_is_told_where_it_is_known(
    words: str, rule: str, has_permit: bool, fix: str, shipped: Checker
) -> None:
    job = archive_job(
        shipped,
        inspections=[inspection("2026-11-20", "corrections", words, rule=rule)],
        permit={"obtained": has_permit},
    )
    (item,) = owed(shipped, "corrections", job)
    assert item.fix.startswith(fix)
    assert bool(fix) == bool(item.fix)


# --- inspections ---


def test_finished_work_without_an_inspection_is_due_before_the_first_permit_runs_out(shipped: Checker) -> None:
    permits = [permit("2027-04-05"), permit("2027-03-05", "electrical")]
    assert [
        ("mechanical and electrical inspection: day not recorded; work finished 2026-10-13", "2027-03-05, in 100 d")
    ] == said(shipped, "inspections", dates=DONE, permits=permits)


@pytest.mark.parametrize(
    "facts",
    [
        {"dates": {"work_finished": "2026-11-26"}},
        {"dates": DONE | {"inspection": "2026-11-26"}},
        {"dates": DONE | {"inspection": {"none": "the office looks at nothing"}}},
        {"dates": DONE, "inspections": [inspection("2026-10-13", "passed")]},
        {"dates": DONE, "inspections": [inspection("2026-10-20", "corrections", "Redo.")]},
        {},
    ],
    ids=["not finished", "called", "none made", "passed", "corrections", "nothing recorded"],
)
def test_no_inspection_is_owed_where_none_is(facts: dict[str, Any], shipped: Checker) -> None:
    assert [] == said(shipped, "inspections", permits=[permit("2027-04-05")], **facts)


@pytest.mark.parametrize(
    ("day", "what"),
    [
        ("2026-10-20", "inspection: no result recorded; the day of the final inspection is 2026-10-20"),
        ({"not_known": "nobody wrote it down"}, "inspection: day not known (nobody wrote it down)"),
    ],
)
def test_an_inspection_without_a_result_is_said(day: Any, what: str, shipped: Checker) -> None:
    dates = DONE | {"inspection": day}
    assert [(f"{what}; work finished 2026-10-13", "the permit's last day is not known")] == said(
        shipped, "inspections", dates=dates
    )


def test_a_pass_before_the_work_was_finished_is_not_the_final_one(shipped: Checker) -> None:
    rough = [inspection("2026-10-12", "passed")]
    assert 1 == len(said(shipped, "inspections", dates=DONE, permits=[permit("2027-04-05")], inspections=rough))
    assert [("mechanical permit N-mechanical; a pass is recorded, maybe not for the finished work", "2026-12-25, in 30 d")] \
        == said(shipped, "permits", dates=DONE, permits=[permit("2026-12-25")], inspections=rough)  # fmt: skip


@pytest.mark.parametrize(
    ("dates", "told"),
    [
        ({"work_started": "2026-10-12"}, "work finished: not recorded"),
        (
            {"work_finished": {"between": ["2026-11-20", "2026-11-30"]}},
            "work finished: between 2026-11-20 and 2026-11-30",
        ),
        ({"work_started": "2026-11-26"}, ""),
        ({"work_finished": {"between": ["2026-11-26", "2026-11-30"]}}, ""),
    ],
)
def test_work_whose_end_is_not_known_is_said_and_not_guessed(dates: Any, told: str, shipped: Checker) -> None:
    wanted = [(f"{told}; so it isn't clear if an inspection is due", "no due day")] if told else []
    assert wanted == said(shipped, "inspections", dates=dates)


# --- permits ---


@pytest.mark.parametrize(
    ("expires", "told"),
    [
        ("2026-12-25", "2026-12-25, in 30 d"),
        ("2026-11-25", "2026-11-25, today"),
        ("2026-11-24", "2026-11-24, 1 d overdue"),
        ({"between": ["2026-12-25", "2027-01-05"]}, "between 2026-12-25 and 2027-01-05"),
        ({"not_known": "card lost"}, "day not known (card lost)"),
        ("2026-12-26", ""),
        ({"between": ["2026-12-26", "2027-01-05"]}, ""),
        ({"none": "never runs out"}, ""),
    ],
)
def test_a_permit_that_is_past_or_near_its_last_day(expires: Any, told: str, shipped: Checker) -> None:
    wanted = [("mechanical permit N-mechanical", told)] if told else []
    assert wanted == said(shipped, "permits", permits=[permit(expires)])


def test_a_permit_under_which_the_finished_work_passed_is_done(shipped: Checker) -> None:
    facts = {"dates": DONE, "permits": [permit("2026-11-30"), permit("2026-11-30", "electrical")]}
    left = said(shipped, "permits", inspections=[inspection("2026-10-20", "passed")], **facts)
    assert ["electrical permit N-electrical"] == [what for what, _ in left]


# --- corrections ---


@pytest.mark.parametrize(
    ("again", "left"),
    [
        ([], '"Redo the drain."'),
        ([inspection("2026-10-27", "passed")], ""),
        ([inspection("2026-10-27", "passed", trade="electrical")], '"Redo the drain."'),
        ([inspection("2026-10-13", "passed")], '"Redo the drain."'),
        (
            [inspection({"between": ["2026-10-19", "2026-10-27"]}, "passed") | {"key": "again"}],
            '"Redo the drain."; again passed, and whether it came after is not known',
        ),
        (
            [inspection("2026-10-27", "passed") | {"key": "again", "trade": {"not_known": "tag torn"}}],
            '"Redo the drain."; again passed, and whether it came after is not known',
        ),
    ],
    ids=["nothing since", "passed since", "another trade", "an earlier pass", "day not known", "trade not known"],
)
def test_a_correction_is_open_until_a_pass_of_its_trade_surely_came_after(
    again: Any, left: str, shipped: Checker
) -> None:
    first = inspection("2026-10-20", "corrections", "Redo the drain.")
    wanted = [(f"mechanical 2026-10-20: {left}", "2027-04-05, in 131 d")] if left else []
    assert wanted == said(shipped, "corrections", permits=[permit("2027-04-05")], inspections=[first, *again])


def test_a_call_for_which_the_work_was_not_ready_is_open(shipped: Checker) -> None:
    found = said(shipped, "corrections", inspections=[inspection("2026-10-20", "not_ready")])
    assert [("mechanical 2026-10-20: not ready for inspection", "the permit's last day is not known")] == found


# --- charge ---


@pytest.mark.parametrize(
    ("charge", "told"),
    [
        ({"method": "weighed_in", "outdoor_dry_bulb": "44 °F"}, "set (weighed in) at 44 °F outdoors"),
        (
            {"method": "subcooling", "mode": "cooling", "outdoor_dry_bulb": "54.9 °F"},
            "set (subcooling) at 54.9 °F outdoors",
        ),
        # 55 °F is the least of rulesets/practice/commissioning/charge.yaml; at it the readings stand.
        ({"method": "subcooling", "mode": "cooling", "outdoor_dry_bulb": "55 °F"}, ""),
        (
            {"method": "subcooling", "mode": "cooling", "outdoor_dry_bulb": "12.7 °C"},
            "set (subcooling) at 12.7 °C outdoors",
        ),
        ({"method": "superheat", "mode": "heating", "outdoor_dry_bulb": "70 °F"}, "set (superheat) in heating"),
        ({"method": "weighed_in"}, "set (weighed in), outdoor air not recorded: see whether it was warm enough"),
        ({}, "work finished 2026-10-13, no readings of the charge recorded"),
        ({"suction_pressure": "120 psig"}, ""),
    ],
)
def test_charge_that_was_set_in_cold_air_or_not_read_waits_for_warmer_weather(
    charge: Any, told: str, shipped: Checker
) -> None:
    wanted = [(told, "when it is 55 °F or warmer")] if told else []
    assert wanted == said(shipped, "again", dates=DONE, scope=OUTDOOR, charge=charge)


def test_no_charge_is_owed_where_the_circuit_was_not_touched_or_the_work_goes_on(shipped: Checker) -> None:
    assert [] == said(shipped, "again", dates=DONE, scope={"thermostat": True, "outdoor_unit": False})
    assert [] == said(shipped, "again", dates={"work_finished": "2026-11-26"}, scope=OUTDOOR)


# --- records ---

OLD, CREW, ON_THE = {"charge": "8 lb"}, {"company": "Lock Cove Heating"}, {"recovered_on": "2026-10-12"}
KEEP = "40 CFR 82.156(a)(3), 3 years"
IN = {"equipment_installed": "2026-10-12"}


@pytest.mark.parametrize(
    ("recovery", "what", "when"),
    [
        ({"record_kept": True}, "keep the disposal record of the old refrigerant", "2029-10-12, in 1052 d"),
        ({"record_kept": False}, "write the disposal record of the old refrigerant now", "2026-10-12, 44 d overdue"),
        (
            {},
            "see whether there is a disposal record of the old refrigerant; not recorded: disposal record kept",
            "installed 2026-10-12",
        ),
        (
            {"record_kept": True, "recovered_on": {"not_known": "nobody wrote it down"}},
            "see whether there is a disposal record of the old refrigerant; not recorded: day of recovery",
            "installed 2026-10-12",
        ),
    ],
)
def test_the_disposal_record(recovery: Any, what: str, when: str, shipped: Checker) -> None:
    facts = {"scope": {"outdoor_unit": True, "system": "split_heat_pump"}, "removed": OLD, "dates": IN, "crew": CREW}
    assert [(f"{what} ({KEEP})", when)] == said(shipped, "records", recovery={**ON_THE, **recovery}, **facts)


@pytest.mark.parametrize(
    ("removed", "on"), [({"charge": "5 lb"}, ON), ({"charge": "50 lb"}, ON), (OLD, datetime.date(2029, 10, 13))]
)
def test_no_disposal_record_is_kept_outside_its_sizes_or_past_its_years(
    removed: Any, on: datetime.date, shipped: Checker
) -> None:
    facts = {
        "scope": {"outdoor_unit": True, "system": "split_heat_pump"},
        "removed": removed,
        "dates": IN,
        "crew": CREW,
    }
    assert [] == said(shipped, "records", on=on, recovery={"record_kept": True, **ON_THE}, **facts)


@pytest.mark.parametrize(
    ("state", "kept", "told"),
    [
        # 48 months and the states: 10 CFR 429.142(a)(1)(i), read in the e-CFR of July 2020.
        ("GA", True, [("keep the record of the unit's purchase", "2030-10-12, in 1417 d")]),
        ("GA", False, [("write the record of the unit's purchase now", "2026-10-12, 44 d overdue")]),
        (
            "DC",
            None,
            [
                (
                    "see whether there is a record of the unit's purchase; not recorded: whether it is kept",
                    "installed 2026-10-12",
                )
            ],
        ),
        ("OH", True, []),
        (
            "",
            True,
            [
                (
                    "see whether there is a record of the unit's purchase; not recorded: state or territory",
                    "installed 2026-10-12",
                )
            ],
        ),
    ],
)
def test_the_record_of_a_purchase_where_regional_standards_hold(
    state: str, kept: bool | None, told: list[tuple[str, str]], shipped: Checker
) -> None:
    site = {"state": state} if state else {}
    ratings = {} if kept is None else {"sale_record_kept": kept}
    found = said(shipped, "records", site=site, scope=OUTDOOR, removed={"charge": "4 lb"}, dates=IN, ratings=ratings)
    assert [(f"{what} (10 CFR 429.142(a)(1), 48 months from installation)", when) for what, when in told] == found


def test_a_heat_pump_has_no_record_of_purchase_to_keep(shipped: Checker) -> None:
    scope = {"outdoor_unit": True, "system": "split_heat_pump"}
    found = said(shipped, "records", site={"state": "GA"}, scope=scope, removed={"charge": "4 lb"}, dates=IN)
    assert [] == found


def test_a_record_whose_day_is_not_known_has_no_last_day(shipped: Checker) -> None:
    dates = {"equipment_installed": {"between": ["2026-10-12", "2026-10-14"]}}
    scope = {"outdoor_unit": True, "system": "split_heat_pump"}
    recovery = {"record_kept": True, **ON_THE}
    found = said(shipped, "records", scope=scope, removed=OLD, dates=dates, recovery=recovery, crew=CREW)
    assert [
        (f"keep the disposal record of the old refrigerant ({KEEP})", "installed between 2026-10-12 and 2026-10-14")
    ] == found


def test_three_years_after_a_leap_day_is_the_first_of_march() -> None:
    leap = datetime.date(2028, 2, 29).toordinal()
    assert datetime.date(2031, 3, 1).toordinal() == years_later(leap, 3)
    assert datetime.date(2032, 2, 29).toordinal() == years_later(leap, 4)


# --- acceptances and instruments ---


def accepted(shipped: Checker, until: str) -> Job:
    data = json.loads((ROOT / "examples/jobs/08-accepted.json").read_text())
    data["acceptances"][0]["until"] = until
    return load(read_text(json.dumps(data).encode(), "08.json"), shipped.vocabulary)


def test_an_acceptance_that_runs_out_is_said_while_the_failure_stands(shipped: Checker) -> None:
    found = owed(shipped, "acceptances", accepted(shipped, "2026-12-25"))
    assert ["'working space' [disconnect-working-space]"] == [item.what for item in found]
    assert [] == owed(shipped, "acceptances", accepted(shipped, "2026-12-26"))
    late = owed(shipped, "acceptances", accepted(shipped, "2026-11-24"))
    assert ["2026-11-24, 1 d overdue"] == [days_left(item, ON.toordinal()) for item in late]


def test_an_acceptance_of_what_no_longer_fails_is_not_owed(shipped: Checker) -> None:
    other = {"key": "a", "rule": "r", "finding_id": "0" * 16, "until": "2026-11-30"}
    assert [] == said(shipped, "acceptances", acceptances=[other])


def tool(due: Any, model: str = "DG-4") -> dict[str, Any]:
    return {"key": "manifold", "kind": "refrigerant_pressure", "maker_and_model": model, "calibration_due": due}


def test_the_latest_calibration_recorded_in_any_job_is_the_one(shipped: Checker) -> None:
    old, new = (archive_job(shipped, f"j-{due}", instruments=[tool(due)]) for due in ("2026-06-01", "2026-12-01"))
    for order in ((old, new), (new, old)):
        assert [("j-2026-12-01", datetime.date(2026, 12, 1).toordinal())] == [
            (item.job, item.due) for item in owed(shipped, "instruments", *order)
        ]
    assert [] == owed(shipped, "instruments", old, archive_job(shipped, "j2", instruments=[tool("2027-06-01")]))


@pytest.mark.parametrize(
    ("due", "told"),
    [
        ({"not_known": "sticker gone"}, ["day not known (sticker gone)"]),
        ({"between": ["2026-12-01", "2026-12-31"]}, ["between 2026-12-01 and 2026-12-31"]),
        ({"none": "a tape measure"}, []),
    ],
)
def test_a_calibration_whose_day_is_not_known_is_said(due: Any, told: list[str], shipped: Checker) -> None:
    assert told == [when for _, when in said(shipped, "instruments", instruments=[tool(due)])]


# --- the list ---


def test_the_list_goes_by_kind_and_the_first_due_comes_first(shipped: Checker) -> None:
    owing = Owing(shipped, ON, 30)
    for job_id, day in (("b", "2026-12-01"), ("c", {"not_known": "card lost"}), ("a", "2026-11-01")):
        owing.add(
            archive_job(shipped, job_id, dates=DONE, permits=[permit(day)], instruments=[tool("2026-11-20", job_id)])
        )
    document = json.loads(as_json(owing, 0))
    found = [(item["kind"], item["job"], item["days"]) for item in document["items"]]
    assert [("permits", "a", -24), ("permits", "b", 6), ("permits", "c", None)] == [
        f for f in found if f[0] == "permits"
    ]
    assert list(dict.fromkeys(kind for kind, _, _ in found)) == ["inspections", "permits", "records", "instruments"]
    text = as_text(owing, 1, 60)
    assert max(map(len, text.splitlines())) <= 60
    assert "3 jobs checked on 2026-11-25: 12 open, 5 of them overdue. 1 could not be used." in " ".join(text.split())
    assert "The authority having jurisdiction decides" in " ".join(text.split())


def test_a_bad_job_does_not_stop_the_others_and_ends_with_2(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text("{")
    (tmp_path / "b.json").write_text((ROOT / "examples/archive/05-not-called-yet.json").read_text())
    run = changeout("jobs", "open", str(tmp_path), "--on", "2026-11-25", "--format", "json")
    assert 2 == run.returncode
    assert "a.json:1:2" in run.stderr
    assert (1, 1) == (json.loads(run.stdout)["jobs"], json.loads(run.stdout)["unreadable"])


def test_the_example_archive_owes_what_it_is_there_for() -> None:
    run = changeout("jobs", "open", "examples/archive", "--on", "2026-11-25", "--format", "json")
    assert 0 == run.returncode, run.stderr
    found = {(item["kind"], item["job"]) for item in json.loads(run.stdout)["items"]}
    assert {
        ("inspections", "alder-2026-0271"),
        ("corrections", "alder-2026-0214"),
        ("corrections", "alder-2026-0259"),
        ("again", "alder-2026-0201"),
        ("instruments", "alder-2026-0201"),
    } <= found
    assert ("corrections", "alder-2026-0230") not in found, "it passed a week later"


# --- the sheets of a re-visit ---


def sheet_of(shipped: Checker, job: Job) -> str:
    return " ".join(sheet(job, shipped, shipped.check_job(job, ON), ON).split())


def test_a_sheet_says_what_the_notice_said_and_what_to_do_and_bring(shipped: Checker) -> None:
    file = ROOT / "examples/archive/02-breaker-too-large.json"
    job = load(read_text(file.read_bytes(), file.name), shipped.vocabulary)
    found = {finding.rule: finding for finding in shipped.check_job(job, ON).findings}["overcurrent-within-nameplate"]
    text = sheet_of(shipped, job)
    for part in (
        'The notice says: "50 A breaker on a unit marked 35 A max. Replace."',
        "[overcurrent-within-nameplate]",
        "Section: NEC 2020",
        found.remedy,
        found.bring,
        *(caution.text for caution in found.cautions),
        "No rule here is named.",
        "Done: ____",
        "The authority having jurisdiction decides",
    ):
        assert part
        assert " ".join(part.split()) in text
    assert "approved" not in text


@pytest.mark.parametrize(
    ("rule", "facts", "words"),
    [
        ("permit-obtained", {"obtained": True}, "By what was recorded it passes. Look at what is there"),
        ("permit-obtained", {"obtained": False}, "By what was recorded it fails. No permit yet."),
        ("permit-obtained", {}, "By what was recorded it is open."),
        ("permit-covers-each-trade", {"obtained": False}, "By what was recorded it didn't apply"),
    ],
)
def test_a_sheet_says_how_our_rule_stands(rule: str, facts: Any, words: str, shipped: Checker) -> None:
    one = inspection("2026-10-20", "corrections", "Permit?", rule=rule)
    assert words in sheet_of(shipped, archive_job(shipped, permit=facts, inspections=[one]))


def test_there_is_no_sheet_where_nothing_is_open(shipped: Checker) -> None:
    assert "" == sheet_of(shipped, archive_job(shipped, inspections=[inspection("2026-10-20", "passed")]))


def test_names_of_sheets_are_safe_and_never_the_same() -> None:
    names = Names()
    jobs = ["alder-7", "../etc/passwd", "A/B", "a b", "a-b", "A-B", "Ünder", "", "x" * 300, "alder-7", "a-b_2", "con"]
    given = [names.of(job) for job in jobs]
    assert len(jobs) == len({name.lower() for name in given})
    for name in given:
        assert name.startswith("revisit-")
        assert name.removesuffix(".txt").replace("-", "").replace("_", "").isalnum()
        assert name.isascii()
        assert len(name) < 100
    assert "revisit-alder-7.txt" == given[0]
    assert Names().of("A/B") == given[2], "the same job has the same name in every run"


def test_sheets_are_written_whole_into_a_folder_that_is_made(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "sheets"
    run = changeout("jobs", "open", "examples/archive", "--on", "2026-11-25", "--revisit", str(folder))
    assert 0 == run.returncode, run.stderr
    assert ["revisit-alder-2026-0214.txt", "revisit-alder-2026-0259.txt"] == sorted(p.name for p in folder.iterdir())
    for file in folder.iterdir():
        assert max(map(len, file.read_text(encoding="utf-8").splitlines())) <= 80


def test_a_folder_that_cannot_be_made_is_a_problem_not_a_traceback(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("")
    run = changeout("jobs", "open", "examples/archive", "--revisit", str(tmp_path / "taken" / "sheets"))
    assert 2 == run.returncode
    assert "cannot be made" in run.stderr
    assert "Traceback" not in run.stderr
