"""Recording that the authority accepts a failure: which one is meant, whether it can be accepted, and what the job notes.

The two digests that bind an acceptance to what the office saw are taken from the finding; nobody types them.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from checker.fieldwork.prompts import Facts, new_item
from checker.findings.acceptances import Accepted, accepted
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import FAIL
from checker.problems.problem import did_you_mean
from checker.reading.job import Job
from checker.reading.typed_input import name_of

NOBODY, STATE = "none", "state"
WORD = re.compile(r"\w+")


class NotAccepted(ValueError):
    """Why a finding cannot be accepted, and what to do."""

    def __init__(self, what: str, hint: str = "") -> None:
        super().__init__(what)
        self.what, self.hint = what, hint


class Given(NamedTuple):
    """What the office gave: who, where it is written, from which day through which, and whether the office is the state's."""

    who: str
    reference: str
    given: datetime.date
    last_day: datetime.date
    by_state: bool


def failures(report: Report) -> list[Finding]:
    """The failures that an office may accept and that it has not accepted yet, code before practice."""
    open_ones = [one for one in report.findings if one.outcome == FAIL and _may_be_accepted(one) and not one.accepted]
    return sorted(open_ones, key=lambda one: one.practice)


def _may_be_accepted(finding: Finding) -> bool:
    return finding.acceptable_by != NOBODY


def meant(report: Report, words: str) -> list[Finding]:
    """The failures that some words mean: an id of a finding or of a rule, or words of the headline or of the title.

    Raises:
        NotAccepted: They mean none, or one that nobody may accept or that does not fail.
    """
    found = _named(report.findings, words)
    if not found:
        known = [name for one in report.findings if one.outcome == FAIL for name in (one.rule, called(one))]
        hint = did_you_mean(words, known) or "Use its id, or words of its headline, as check prints them."
        raise NotAccepted(f"No finding of this job is '{words}'.", hint)
    failed = [one for one in found if one.outcome == FAIL]
    if not failed:
        raise NotAccepted(f"{found[0].title}: it does not fail.", "Only a failure can be accepted.")
    may = [one for one in failed if _may_be_accepted(one)]
    if not may:
        what = f"{called(failed[0])}: no office can accept this one."
        raise NotAccepted(what, "Fix it.")
    if all(one.accepted for one in may):
        taken = may[0].acceptance
        assert taken is not None
        raise NotAccepted(f"{called(may[0])}: it is accepted already, as '{taken.key}', through {taken.until}.")
    return [one for one in may if not one.accepted]


def _named(findings: Sequence[Finding], words: str) -> list[Finding]:
    """The findings of an id; else the failures whose words these are, in any order."""
    wanted = set(WORD.findall(words.casefold()))
    ways: tuple[Callable[[Finding], bool], ...] = (
        lambda one: words in (one.finding_id, f"{one.rule} [{one.item}]"),
        lambda one: words == one.rule or words in one.formerly,
        lambda one: one.outcome == FAIL and wanted == {*WORD.findall(called(one).casefold())},
        lambda one: one.outcome == FAIL and bool(wanted) and wanted <= _words(one),
    )
    return next(filter(None, ([one for one in findings if way(one)] for way in ways)), [])


def _words(finding: Finding) -> set[str]:
    return set(WORD.findall(f"{called(finding)} {finding.title}".casefold()))


def called(finding: Finding) -> str:
    """A failure by what is wrong, and at which item."""
    item = f" [{finding.item}]" if finding.item else ""
    return f"{finding.headline or finding.title}{item}"


def needs_the_state(finding: Finding) -> bool:
    """Whether only a state office may let the rule off."""
    return finding.acceptable_by == STATE


def refuse_days(given: datetime.date, last_day: datetime.date, on: datetime.date) -> None:
    """Look at the days of an acceptance; each of them belongs to it.

    Raises:
        NotAccepted: The first lies ahead, or comes after the last.
    """
    if given > on:
        raise NotAccepted(f"{given.isoformat()} is after {on.isoformat()}.", "Name the day it was OK'd.")
    if last_day < given:
        what = f"The last day, {last_day.isoformat()}, comes before {given.isoformat()}."
        raise NotAccepted(what, "Name the last day it holds; that day counts.")


def facts(job: Job, finding: Finding, said: Given) -> Facts:
    """What the job is to record."""
    values = {
        "rule": finding.rule,
        "finding_id": finding.finding_id,
        "evidence_digest": finding.evidence_digest,
        "accepted_by": said.who,
        "reference": said.reference,
        "accepted_on": said.given.isoformat(),
        "until": said.last_day.isoformat(),
        **({"office_level": STATE} if said.by_state else {}),
    }
    fields = {name_of(job.vocabulary.roles[f"acceptances.{role}"]): value for role, value in values.items()}
    return new_item(job, "acceptances", finding.rule, fields)


def recorded(report: Report, job: Job, on: datetime.date) -> Accepted:
    """The acceptance that a job records last, as it stands."""
    return accepted(report.findings, job, on)[-1]


def told(finding: Finding, said: Given) -> Iterator[str]:
    """What is told of an acceptance that was recorded."""
    days = f"{said.given.isoformat()} through {said.last_day.isoformat()}, both days included"
    yield f"Recorded: {called(finding)}. OK'd by {said.who}, {said.reference}, {days}."
    yield "It is still a failure. It counts as accepted until what was recorded about it changes."
