"""What a job leaves to be done later: what to read again, records to keep, acceptances that run out."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.findings.acceptances import accepted
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS
from checker.portfolio.obligations import Item, Looked, finished
from checker.portfolio.recorded_days import Days, days, missing, years_later
from checker.reading import units
from checker.reading.job import Job
from checker.rulesets import limits
from checker.rulesets.layering import Chain, effective
from checker.rulesets.models import Limit


def acceptances(looked: Looked, report: Report) -> Iterator[Item]:
    """Acceptances near their last day, of failures that still stand."""
    day = datetime.date.fromordinal(looked.on)
    for index, one in enumerate(accepted(report.findings, looked.job, day)):
        if one.rule in report.left_out or (one.at >= 0 and report.findings[one.at].outcome == FAIL):
            what = f"'{one.key}'" + (f" [{one.rule}]" if one.rule else "")
            yield from looked.until("acceptances", what, looked.job.at("acceptances.until", index))


# --- what was read where it tells nothing ---


def again(looked: Looked, chain: Chain) -> Iterator[Item]:
    """What has to be read again because it was read too low to judge by, or finished work has no readings of it."""
    for told in looked.job.vocabulary.commands.get("again", ()):
        least = _least(chain, looked.on, told["least"])
        what = _too_low(looked.job, told, least) or _unread(looked, told)
        if what and any(looked.job.worth(path) is True for path in told["if_any"]):
            yield looked.item("again", what, None, told["when"].format(least=_written(looked.job, told, least)))


def _too_low(job: Job, told: Mapping[str, Any], least: float | None) -> str:
    """Why what was set has to be read again, or nothing."""
    by, read = job.readings.get(told["set_by"]), told["read"]
    amount = job.worth(read)
    if by is None or not job.text(told["set_by"]):
        return ""
    how = f"set ({by.written})"
    for path, otherwise in told["otherwise"].items():
        if job.text(path) in otherwise:
            return f"{how} {otherwise[job.text(path)]}"
    if not isinstance(amount, float):
        return f"{how}, {told['unknown'].format(missing=missing(job, read))}"
    if least is not None and amount < least:
        return f"{how} {told['low'].format(read=job.readings[read].written)}"
    return ""


def _unread(looked: Looked, told: Mapping[str, Any]) -> str:
    done = finished(looked.job)
    if done is None or done.last > looked.on or looked.job.text(told["set_by"]):
        return ""
    read = any(looked.job.worth(path) is not None for path in told["readings"])
    return "" if read else f"work finished {done.written}, {told['none_read']}"


def _least(chain: Chain, on: int, name: str) -> float | None:
    """The least amount to read at that the rulesets give, in the base unit; None where they give none."""
    if name not in chain.limit_names:
        return None
    limit = effective(chain, "limits", name, {}, on).data
    assert isinstance(limit, Limit)
    value = limits.pick(limit, None, on)
    least = limits.read(limit, str(value.value)) if value and value.value else None
    return least if isinstance(least, float) else None


def _written(job: Job, told: Mapping[str, Any], least: float | None) -> str:
    leaf = job.vocabulary.leaves[told["read"]]
    return str(told["enough"]) if least is None else units.write_amount(least, leaf.kind, leaf.unit)


# --- records ---


def records(looked: Looked, report: Report) -> Iterator[Item]:
    """The records that the law wants of a job, until the last day they must be kept."""
    for told in looked.job.vocabulary.commands.get("kept", ()):
        source, years = f"{told['ground']}", told["years"]
        if "rule" in told:
            its_findings = (finding for finding in report.findings if finding.rule == told["rule"])
            known = [(_by_rule(one), " and ".join(need.title.lower() for need in one.needs)) for one in its_findings]
        else:
            known = list(_by_facts(looked.job, told))
        for kept, lacking in known:
            yield from _record(looked, Record(told["name"], source, years, kept, lacking))


def _by_rule(finding: Finding) -> bool | None:
    return {PASS: True, FAIL: False}.get(finding.outcome)


def _by_facts(job: Job, told: Mapping[str, Any]) -> Iterator[tuple[bool | None, str]]:
    """Whether a record is kept that is asked for only where some facts hold; what is missing to tell that, in words."""
    if not all(job.worth(path) in values for path, values in told["when"].items()):
        return
    for path, values in told["where"].items():
        if not job.text(path):
            yield None, job.vocabulary.title(path).lower()
            return
        if job.text(path) not in values:
            return
    kept = job.worth(told["fact"])
    yield kept if isinstance(kept, bool) else None, "whether it is kept"


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
    """The day from which a record is kept, and what was done on it."""
    counted = job.vocabulary.commands.get("kept_from", {})
    for path, done in counted.items():
        if day := days(job, path):
            return day, done
    return None, ""
