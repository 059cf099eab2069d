"""What a job leaves to be done later: charge to read again, records to keep, acceptances and calibrations that run out."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import NamedTuple

from checker import limits, units
from checker.acceptances import accepted
from checker.archive.days import Days, days, missing, years_later
from checker.archive.owed import Item, Looked, finished
from checker.findings import FAIL, PASS, Finding
from checker.job import Job
from checker.layers import Chain, effective
from checker.report.model import Report
from checker.rule import Limit

DISPOSAL_RULE, COLDEST = "disposal-record-kept", "coldest_for_charging"
DISPOSAL_YEARS = 3  # 40 CFR 82.156(a)(3), from memory
SALE_YEARS = 4  # 48 months: 10 CFR 429.142(a)(1)(i), read in the e-CFR of July 2020
# Where a contractor keeps a record of each central air conditioner: the states of that section, read there. XE and XW are
# invented places in the same two regions.
SALE_STATES = frozenset(
    ("AL", "AZ", "AR", "CA", "DE", "FL", "GA", "HI", "KY", "LA", "MD", "MS", "NV", "NM", "NC", "OK", "SC", "TN", "TX", "VA",
     "DC", "XE", "XW")
)  # fmt: skip
READINGS = ("liquid_pressure", "liquid_temperature", "suction_pressure", "suction_temperature")
CIRCUIT = ("outdoor_unit", "indoor_coil", "air_handler", "line_set")


def acceptances(looked: Looked, report: Report) -> Iterator[Item]:
    """Acceptances near their last day, of failures that still stand."""
    day = datetime.date.fromordinal(looked.on)
    for index, one in enumerate(accepted(report.findings, looked.job, day)):
        if one.rule in report.left_out or (one.at >= 0 and report.findings[one.at].outcome == FAIL):
            what = f"'{one.key}'" + (f" [{one.rule}]" if one.rule else "")
            yield from looked.until("acceptances", what, looked.job.at("acceptances.until", index))


# --- charge ---


def charge(looked: Looked, chain: Chain) -> Iterator[Item]:
    """The charge, where the air was too cold to judge it by, or finished work has no readings of it."""
    what = _cold(looked.job, chain, looked.on) or _unread(looked)
    if what and any(looked.job.worth(f"scope.{part}") is True for part in CIRCUIT):
        yield looked.item("charge", what, None, f"when it is {_coldest_written(chain, looked.on)} or warmer")


def _cold(job: Job, chain: Chain, on: int) -> str:
    """Why a charge that was set has to be read again in cooling weather, or nothing."""
    method, outdoors, coldest = job.text("charge.method"), job.worth("charge.outdoor_dry_bulb"), _coldest(chain, on)
    if not method:
        return ""
    how = f"set ({job.readings['charge.method'].written})"
    if job.text("charge.mode") == "heating":
        return f"{how} in heating"
    if not isinstance(outdoors, float):
        return f"{how}, outdoor air {missing(job, 'charge.outdoor_dry_bulb')}: see whether it was warm enough"
    if coldest is not None and outdoors < coldest:
        return f"{how} at {job.readings['charge.outdoor_dry_bulb'].written} outdoors"
    return ""


def _unread(looked: Looked) -> str:
    done = finished(looked.job)
    if done is None or done.last > looked.on or looked.job.text("charge.method"):
        return ""
    read = any(looked.job.worth(f"charge.{name}") is not None for name in READINGS)
    return "" if read else f"work finished {done.written}, no readings of the charge recorded"


def _coldest(chain: Chain, on: int) -> float | None:
    """The coldest outdoor air for charging that the rulesets give, in the base unit; None where they give none."""
    if COLDEST not in chain.limit_names:
        return None
    limit = effective(chain, "limits", COLDEST, {}, on).data
    assert isinstance(limit, Limit)
    value = limits.pick(limit, None, on)
    coldest = limits.read(limit, str(value.value)) if value and value.value else None
    return coldest if isinstance(coldest, float) else None


def _coldest_written(chain: Chain, on: int) -> str:
    coldest = _coldest(chain, on)
    return "warm enough" if coldest is None else units.write_amount(coldest, "temperature", "degF")


# --- records ---


def records(looked: Looked, report: Report) -> Iterator[Item]:
    """The records of the old refrigerant and of the sale, until the last day they must be kept."""
    yield from _sale_record(looked)
    found = [finding for finding in report.findings if finding.rule == DISPOSAL_RULE]
    for finding in found:
        yield from _disposal_record(looked, finding)


def _disposal_record(looked: Looked, finding: Finding) -> Iterator[Item]:
    """What the rule of the disposal record leaves to do; whether it applies is the rule's to say."""
    source = f"40 CFR 82.156(a)(3), {DISPOSAL_YEARS} years, from memory"
    kept = {PASS: True, FAIL: False}.get(finding.outcome)
    lacking = " and ".join(need.title.lower() for need in finding.needs)
    yield from _record(looked, Record("disposal record of the old refrigerant", source, DISPOSAL_YEARS, kept, lacking))


def _sale_record(looked: Looked) -> Iterator[Item]:
    """The record of an air conditioner put in where the regional standards hold; heat pumps have none there."""
    job, state = looked.job, looked.job.text("site.state")
    split = job.worth("scope.outdoor_unit") is True and job.text("scope.system") == "split_air_conditioner"
    if not split or (state and state not in SALE_STATES):
        return
    kept = job.worth("ratings.sale_record_kept") if state else None
    source = f"10 CFR 429.142(a)(1), {12 * SALE_YEARS} months from installation"
    lacking = "whether it is kept" if state else "the state"
    known = kept if isinstance(kept, bool) else None
    yield from _record(looked, Record("record of the unit's purchase", source, SALE_YEARS, known, lacking))


class Record(NamedTuple):
    """A record the law wants. `kept` is None where that is not known, for want of what `lacking` names."""

    name: str
    source: str
    years: int
    kept: bool | None
    lacking: str


def _record(looked: Looked, record: Record) -> Iterator[Item]:
    """What is to be done about a record of work that is done: keep it until a day, write it, or see whether it is there."""
    day, named = _work_day(looked.job)
    if (day and day.first > looked.on) or (day is None and record.kept is None):
        return
    when = f"{named} {day.written}" if day else "the day of the work is not known"
    known = day.last if day and day.known else None
    if record.kept is None:
        what = f"see whether there is a {record.name}; not recorded: {record.lacking} ({record.source})"
        yield looked.item("records", what, None, when)
    elif not record.kept:
        yield looked.item("records", f"write the {record.name} now ({record.source})", known, when)
    elif day is None or years_later(day.last, record.years) >= looked.on:
        last = years_later(known, record.years) if known else None
        yield looked.item("records", f"keep the {record.name} ({record.source})", last, when)


def _work_day(job: Job) -> tuple[Days | None, str]:
    """The day the equipment went in, else the day the work was finished."""
    for path in ("dates.equipment_installed", "dates.work_finished"):
        if found := days(job, path):
            return found, "installed" if path.endswith("installed") else "finished"
    return None, "installed"
