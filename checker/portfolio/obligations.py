"""What is still owed on a job to the authority: inspections, corrections, permits. A day not known is said, not guessed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from checker.ir.kleene import NONE
from checker.portfolio.known_fixes import Fix
from checker.portfolio.notices import NOT_READY, PASSED, Inspection, inspections, still_open
from checker.portfolio.recorded_days import Days, days, recorded, written
from checker.reading.job import Job

KINDS = {
    "not_issued": "Permits not issued yet",
    "inspections": "Inspections to call",
    "corrections": "Corrections not yet passed at a re-inspection",
    "permits": "Permits that run out",
    "acceptances": "The authority's acceptances that run out",
    "again": "To be read again",
    "records": "Records to keep until their day",
    "instruments": "Instruments due for calibration",
}
UNDATED = "no due day"


class Item(NamedTuple):
    """One thing owed. `due` is a day number; None where there is none, `why` then says why. `fix` is how it is put right."""

    kind: str
    job: str
    address: str
    what: str
    due: int | None
    why: str = ""
    fix: str = ""

    @property
    def order(self) -> tuple[int, bool, int, str, str]:
        return list(KINDS).index(self.kind), self.due is None, self.due or 0, self.job, self.what


class JobView(NamedTuple):
    """A job as seen on a day (a day number), and how many days ahead count as near."""

    job: Job
    on: int
    near: int

    def item(self, kind: str, what: str, due: int | None, why: str = UNDATED, fix: str = "") -> Item:
        address = self.job.text(self.job.at("address")) or "address not recorded"
        return Item(kind, self.job.id, address, what, due, "" if due is not None else why, fix)

    def soon(self, day: Days) -> bool:
        """Whether a day is past or may come within the days that are near."""
        return day.first <= self.on + self.near

    def until(self, kind: str, what: str, path: str) -> Iterator[Item]:
        """An item for a recorded last day that is near, past or not known; none where the job says that there is no such day."""
        day = days(self.job, path)
        if day is None and self.job.value(path) != NONE:
            yield self.item(kind, what, None, f"day {recorded(self.job, path)}")
        elif day and self.soon(day):
            yield self.item(kind, what, day.last if day.known else None, day.written)


def owed_to_authority(view: JobView, fix: Fix) -> Iterator[Item]:
    """Permits that are not issued, inspections, corrections and permits that run out.

    Args:
        fix: How a correction is put right, where that is known.
    """
    seen = inspections(view.job)
    permits = list(_permits(view.job))
    yield from _not_issued(view)
    yield from _inspections(view, seen, permits)
    yield from _corrections(view, seen, permits, fix)
    yield from _running_out(view, seen, permits)


def _not_issued(view: JobView) -> Iterator[Item]:
    """A permit that was applied for and not issued, or that the job says there is none of."""
    job = view.job
    applied, issued = days(job, job.at("adoption_date")), days(job, job.at("permit_issued"))
    has_one, needs_none = job.value(job.at("permit_obtained")), job.value(job.at("permit_issued")) == NONE
    if needs_none or has_one is True or (issued and issued.first <= view.on):
        return
    started = days(job, job.at("work_started"))
    begun = f"; work began {started.written}" if started and started.first <= view.on else ""
    why = "not issued yet" if issued or has_one is False else "no issue day recorded"
    if issued:
        yield view.item("not_issued", f"permit is to be issued {issued.written}{begun}", None, why)
    elif applied:
        waiting = f", {view.on - applied.first} d ago" if applied.known and view.on > applied.first else ""
        yield view.item("not_issued", f"permit applied for {applied.written}{waiting}{begun}", None, why)
    elif has_one is False:
        yield view.item("not_issued", f"no permit, and no application on record{begun}", None, "not applied for yet")


class Permit(NamedTuple):
    """A permit of a job; `ends` is the path of its last day."""

    ends: str
    trade: str
    number: str
    expires: Days | None


def _permits(job: Job) -> Iterator[Permit]:
    for index in job.items("permits"):
        trade, number = (job.text(job.at(role, index)) for role in ("permits.trade", "permits.number"))
        ends = job.at("permits.expires", index)
        yield Permit(ends, trade, number, days(job, ends))


def finished(job: Job) -> Days | None:
    return days(job, job.at("work_finished"))


def _final(job: Job, inspection: Inspection) -> bool:
    """Whether an inspection is surely one of the finished work."""
    done = finished(job)
    return done is not None and inspection.days is not None and inspection.days.first >= done.last


def _inspections(view: JobView, seen: tuple[Inspection, ...], permits: list[Permit]) -> Iterator[Item]:
    """Inspections of finished work that were not called, or of which no result is recorded."""
    job = view.job
    if job.value(job.at("final_inspection")) == NONE:
        return
    if not _is_finished(view):
        yield from _unfinished(view)
        return
    trades = list(dict.fromkeys(permit.trade for permit in permits)) or [""]
    lacking = [
        trade for trade in trades if not any(_final(job, one) for one in seen if not trade or one.trade == trade)
    ]
    if not lacking:
        return
    named = " and ".join(filter(None, lacking))
    due, why = _before_expiry([permit for permit in permits if permit.trade in lacking])
    done = f"work finished {recorded(job, job.at('work_finished'))}"
    for what in _what_of_inspection(view, f"{named} inspection".strip()):
        unsure = [one.key for one in seen if not _final(job, one) and (one.days is None or not one.trade)]
        hint = f"; it may be {', '.join(unsure)}, whose day or trade is not known" if unsure else ""
        yield view.item("inspections", f"{what}; {done}{hint}", due, why)


def _what_of_inspection(view: JobView, called: str) -> Iterator[str]:
    """What is owed of inspections without a result: one line, or none where the inspection's day is still to come."""
    final = view.job.at("final_inspection")
    day = days(view.job, final)
    if day is None:
        yield f"{called}: day {recorded(view.job, final)}"
    elif day.first <= view.on:
        yield f"{called}: no result recorded; the day of the final inspection is {day.written}"


def _is_finished(view: JobView) -> bool:
    done = finished(view.job)
    return done is not None and done.last <= view.on


def _unfinished(view: JobView) -> Iterator[Item]:
    """Work that began and whose end is not known: so it isn't clear if an inspection is due."""
    done, start = finished(view.job), days(view.job, view.job.at("work_started"))
    began = start is not None and start.last <= view.on
    if (began and done is None) or (done is not None and not done.known and done.first <= view.on):
        when = recorded(view.job, view.job.at("work_finished"))
        yield view.item("inspections", f"work finished: {when}; so it isn't clear if an inspection is due", None)


def _before_expiry(permits: list[Permit]) -> tuple[int | None, str]:
    """The first day on which one of these permits runs out (None: not known), and why it is not known."""
    known = [permit.expires.last for permit in permits if permit.expires and permit.expires.known]
    return min(known, default=None), "the permit's last day is not known"


def _corrections(view: JobView, seen: tuple[Inspection, ...], permits: list[Permit], fix: Fix) -> Iterator[Item]:
    for one, perhaps in still_open(seen):
        due, why = _before_expiry([permit for permit in permits if not one.trade or permit.trade == one.trade])
        if one.due and one.due.known:
            due = one.due.last
        doubt = f"; {perhaps[0].key} passed, and whether it came after is not known" if perhaps else ""
        known = [fix(correction) for correction in one.corrections or ()] or [""]
        for words, how in zip(asked(one), known, strict=True):
            yield view.item("corrections", f"{one.called}: {words}{doubt}", due, why, how)


def asked(inspection: Inspection) -> list[str]:
    """What an inspection asked for, in the words of its notice."""
    if inspection.corrections:
        return [f'"{correction.words}"' for correction in inspection.corrections]
    return (
        ["not ready for inspection"]
        if inspection.result == NOT_READY
        else ["corrections asked for, words not recorded"]
    )


def _running_out(view: JobView, seen: tuple[Inspection, ...], permits: list[Permit]) -> Iterator[Item]:
    """Permits under which the finished work has not passed."""
    for permit in permits:
        of_trade = [one for one in seen if one.trade == permit.trade]
        passed = [one for one in of_trade if one.result == PASSED]
        if any(_final(view.job, one) for one in passed) and not still_open(tuple(of_trade)):
            continue
        rough = "; a pass is recorded, maybe not for the finished work" if passed else ""
        named = " ".join(filter(None, (permit.trade, "permit", permit.number)))
        yield from view.until("permits", f"{named}{rough}", permit.ends)


def days_left(item: Item, on: int) -> str:
    """How far off an item's due day is, in words."""
    if item.due is None:
        return item.why
    left = item.due - on
    when = "today" if left == 0 else f"in {left} d" if left > 0 else f"{-left} d overdue"
    return f"{written(item.due)}, {when}"
