"""What a job leaves to be done later: what to read again, records to keep, acceptances that run out."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.findings.acceptances import accepted
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS
from checker.portfolio.obligations import Item, JobView, finished
from checker.portfolio.recorded_days import Days, days, missing
from checker.reading import units
from checker.reading.job import Job
from checker.rulesets import limits
from checker.rulesets.chain import Chain
from checker.rulesets.layering import effective
from checker.rulesets.models import Limit


def acceptances(view: JobView, report: Report) -> Iterator[Item]:
    """Acceptances near their last day, of failures that still stand."""
    day = datetime.date.fromordinal(view.on)
    for index, one in enumerate(accepted(report.findings, view.job, day)):
        if one.rule in report.left_out or (one.at >= 0 and report.findings[one.at].outcome == FAIL):
            what = f"'{one.key}'" + (f" [{one.rule}]" if one.rule else "")
            yield from view.until("acceptances", what, view.job.at("acceptances.until", index))


# --- what was read where it tells nothing ---


def again(view: JobView, chain: Chain) -> Iterator[Item]:
    """Readings to take again: those taken too low to judge by, and those that finished work has none of."""
    for order in view.job.vocabulary.commands.get("again", ()):
        least = _least(chain, view.on, order["least"])
        what = _too_low(view.job, order, least) or _unread(view, order)
        if what and any(view.job.value(path) is True for path in order["if_any"]):
            yield view.item("again", what, None, order["when"].format(least=_written(view.job, order, least)))


def _too_low(job: Job, order: Mapping[str, Any], least: float | None) -> str:
    """Why what was set has to be read again, or nothing."""
    by, read = job.readings.get(order["set_by"]), order["read"]
    amount = job.value(read)
    if by is None or not job.text(order["set_by"]):
        return ""
    how = f"set ({by.written})"
    for path, otherwise in order["otherwise"].items():
        if job.text(path) in otherwise:
            return f"{how} {otherwise[job.text(path)]}"
    if not isinstance(amount, float):
        return f"{how}, {order['unknown'].format(missing=missing(job, read))}"
    if least is not None and amount < least:
        return f"{how} {order['low'].format(read=job.readings[read].written)}"
    return ""


def _unread(view: JobView, order: Mapping[str, Any]) -> str:
    done = finished(view.job)
    if done is None or done.last > view.on or view.job.text(order["set_by"]):
        return ""
    read = any(view.job.value(path) is not None for path in order["readings"])
    return "" if read else f"work finished {done.written}, {order['none_read']}"


def _least(chain: Chain, on: int, name: str) -> float | None:
    """The least amount to read at that the rulesets give, in the base unit; None where they give none."""
    if name not in chain.limit_names:
        return None
    limit = effective(chain, "limits", name, {}, on).data
    assert isinstance(limit, Limit)
    value = limits.pick(limit, None, on)
    least = limits.read(limit, str(value.value)) if value and value.value else None
    return least if isinstance(least, float) else None


def _written(job: Job, order: Mapping[str, Any], least: float | None) -> str:
    leaf = job.vocabulary.leaves[order["read"]]
    return str(order["enough"]) if least is None else units.write_amount(least, leaf.kind, leaf.unit)


# --- records ---


def records(view: JobView, report: Report) -> Iterator[Item]:
    """The records that the law wants of a job, until the last day they must be kept."""
    for order in view.job.vocabulary.commands.get("kept", ()):
        source, years = f"{order['ground']}", order["years"]
        if "rule" in order:
            its_findings = (finding for finding in report.findings if finding.rule == order["rule"])
            known = [(_by_rule(one), " and ".join(need.title.lower() for need in one.needs)) for one in its_findings]
        else:
            known = list(_by_facts(view.job, order))
        for kept, lacking in known:
            yield from _record(view, Record(order["name"], source, years, kept, lacking))


def _by_rule(finding: Finding) -> bool | None:
    return {PASS: True, FAIL: False}.get(finding.outcome)


def _by_facts(job: Job, order: Mapping[str, Any]) -> Iterator[tuple[bool | None, str]]:
    """Whether a record is kept that is asked for only where some facts hold; what is missing to tell that, in words."""
    if not all(job.value(path) in values for path, values in order["when"].items()):
        return
    for path, values in order["where"].items():
        if not job.text(path):
            yield None, job.vocabulary.title(path).lower()
            return
        if job.text(path) not in values:
            return
    kept = job.value(order["fact"])
    yield kept if isinstance(kept, bool) else None, "whether it is kept"


class Record(NamedTuple):
    """A record the law wants. `kept` is None where that is not known, for want of what `lacking` names."""

    name: str
    source: str
    years: int
    kept: bool | None
    lacking: str


def _record(view: JobView, record: Record) -> Iterator[Item]:
    """What to do about a record of finished work: keep it until a day, write it, or see whether there is one."""
    day, named = _work_day(view.job)
    if (day and day.first > view.on) or (day is None and record.kept is None):
        return
    when = f"{named} {day.written}" if day else "the day of the work is not known"
    known = day.last if day and day.known else None
    if record.kept is None:
        what = f"see whether there is a {record.name}; not recorded: {record.lacking} ({record.source})"
        yield view.item("records", what, None, when)
    elif not record.kept:
        yield view.item("records", f"write the {record.name} now ({record.source})", known, when)
    elif day is None or limits.years_later(day.last, record.years) >= view.on:
        last = limits.years_later(known, record.years) if known else None
        yield view.item("records", f"keep the {record.name} ({record.source})", last, when)


def _work_day(job: Job) -> tuple[Days | None, str]:
    """The day from which a record is kept, and what was done on it."""
    counted = job.vocabulary.commands.get("kept_from", {})
    for path, done in counted.items():
        if day := days(job, path):
            return day, done
    return None, ""
