"""What a committee has to look at again and when: reviews, ends and beginnings by date, and what is not sure yet."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from checker.authoring.limit_words import amount
from checker.findings.report import DEFERRAL
from checker.reading.job import Job
from checker.reading.sureness import SURE, least_sure
from checker.rulesets.models import Change, Limit, Rule
from checker.rulesets.ruleset import Ruleset

CHANGES = {"amend": "Amendment", "withdraw": "Withdrawal", "restore": "Restoration"}
Lapsed = Callable[[str, Mapping[str, str]], list[str]]


class Due(NamedTuple):
    """A day on which something ends, begins or wants to be looked at: an ISO date, and where it is written."""

    day: str
    what: str
    ruleset: str
    place: str
    past: bool


class Counted(NamedTuple):
    """A ruleset's rules, its citations and the values of its limits by how sure they are, and who confirmed any."""

    ruleset: str
    version: str
    owner: str
    rules: int
    citations: Mapping[str, int]
    values: Mapping[str, int]
    confirmed: int
    lapsed: int


class Review(NamedTuple):
    """The committee's list, the nearest date first, as of a day."""

    on: str
    due: tuple[Due, ...]
    counted: tuple[Counted, ...]


def review(rulesets: list[Ruleset], on: datetime.date, lapsed: Lapsed, besides: tuple[Due, ...] = ()) -> Review:
    """What is to be looked at again in these rulesets.

    Args:
        lapsed: The editions for which a confirmation of a rule no longer fits it.
        besides: What else is to be listed, such as acceptances on jobs.
    """
    days = [*besides, *(due for ruleset in rulesets for due in _due(ruleset, on.isoformat()))]
    return Review(
        on.isoformat(),
        tuple(sorted(days, key=lambda one: (one.day, one.ruleset, one.what))),
        tuple(_counted(ruleset, lapsed) for ruleset in rulesets),
    )


def accepted(job: Job, name: str, on: datetime.date) -> Iterator[Due]:
    """The acceptances that a job notes, each with its last day. `name` is that of the job's file."""
    for index in job.items("acceptances"):
        last = job.value(job.at("acceptances.until", index))
        if isinstance(last, int):
            office, rule = (job.text(job.at(f"acceptances.{field}", index)) for field in ("accepted_by", "rule"))
            what = f"Acceptance of {rule or 'a finding'} on {job.id} by {office or 'somebody'} ends"
            day = datetime.date.fromordinal(last)
            yield Due(day.isoformat(), what, "", name, day < on)


def _due(ruleset: Ruleset, on: str) -> Iterator[Due]:
    header = ruleset.parts["header", ""].place
    day = ruleset.header.reviewed_through
    yield Due(day, f"{ruleset.id} {ruleset.header.version} is reviewed up to this day", ruleset.id, header, day < on)
    for section, name, what, starts, until in _dated(ruleset):
        place = ruleset.parts[section, name].place if (section, name) in ruleset.parts else header
        if starts and starts > on:
            yield Due(starts, f"{what} begins", ruleset.id, place, False)
        if until:
            yield Due(until, f"{what} ends", ruleset.id, place, until <= on)


def _dated(ruleset: Ruleset) -> Iterator[tuple[str, str, str, str | None, str | None]]:
    """What begins or ends: where it is written, what it is, its first day and the first day on which it is over."""
    for adopted in ruleset.header.adopts:
        yield "header", "", f"Adoption of {adopted.code} {adopted.edition}", adopted.starts, adopted.until
    for operation, word in CHANGES.items():
        changes: Mapping[str, Change] = getattr(ruleset, operation)
        for name, change in changes.items():
            yield operation, name, f"{word} of {name}", change.starts, change.until
    for key, answer in ruleset.answers.items():
        yield "answers", key, f"Answer of {answer.office} on {answer.rule}", answer.first_day, answer.until
    for name, limit in ruleset.limits.items():
        for what, starts, until in _values(limit):
            yield "limits", name, what, starts, until


def _values(limit: Limit) -> Iterator[tuple[str, str | None, str | None]]:
    """The values of a limit with their first and last days; a value that another one follows has no end to tell."""
    for value in limit.values:
        followed = any(other.starts == value.until for other in limit.values if value.until)
        amount_held = "A table" if value.rows else f"The value {amount(limit, value)}"
        title = " ".join(limit.title.split())
        yield f"{amount_held} of the limit “{title}”", value.starts, None if followed else value.until


def _counted(ruleset: Ruleset, lapsed: Lapsed) -> Counted:
    rules: list[Rule] = list(ruleset.rules.values())
    citations: Counter[str] = Counter(
        least_sure(c.section_sure, c.requirement_sure) for rule in rules for c in rule.citation
    )
    values: Counter[str] = Counter(value.sure for limit in ruleset.limits.values() for value in limit.values)
    fallen = sum(bool(lapsed(one.rule, one.meaning)) for one in ruleset.confirm.values())
    return Counted(
        ruleset.id, ruleset.header.version, ruleset.header.owner, len(rules),
        {SURE[sure]: citations[sure] for sure in SURE}, {SURE[sure]: values[sure] for sure in SURE},
        len(ruleset.confirm) - fallen, fallen,
    )  # fmt: skip


def text(review: Review) -> str:
    """The committee's list for a terminal."""
    lines = [f"To review again, as of {review.on}", ""]
    for due in review.due:
        lines += [f"{due.day}{' past' if due.past else ''}  {due.what}", f"            {due.place}"]
    lines += ["", f"How sure the rulesets are: citations, then values of limits ({', '.join(SURE.values())})", ""]
    for one in review.counted:
        counts = ["/".join(map(str, part.values())) for part in (one.citations, one.values)]
        read = f"{one.confirmed} confirmed" + (f", {one.lapsed} lapsed" if one.lapsed else "")
        lines += [f"{one.ruleset} {one.version}: {one.rules} rules; citations {counts[0]}; values {counts[1]}; {read}"]
    return "\n".join([*lines, "", DEFERRAL]) + "\n"
