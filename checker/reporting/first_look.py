"""What an inspector looks at first, each with its reading, limit, section and how it is known.

Which things these are, and which rules tell of them, stands in the job schema under `commands`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from checker.findings.finding import Finding, Working
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS
from checker.problems.sanitize import low
from checker.reading.job import Job
from checker.reporting import passed, words

NO_PICTURE = "no picture"
NOT_JUDGED = "no rule here applies to this job"
PASSED = "Passed"
MOST_FACTS = 3  # of a requirement without an amount


class Line(NamedTuple):
    """One finding: the word beside it, what it is, what was read, the limit, the section, how it is known."""

    word: str
    title: str
    reading: str
    limit: str
    section: str
    known: str
    rule: str
    finding_id: str

    @property
    def met(self) -> bool:
        return self.word == PASSED


class Look(NamedTuple):
    """One thing to look at, and what there is of it in a few facts; without lines where no rule applies."""

    title: str
    lines: tuple[Line, ...]
    there: str = ""


def first_look(report: Report, job: Job) -> list[Look]:
    """The things to look at first, in the order of the schema; what did not pass leads among its lines."""
    found = []
    for told in job.vocabulary.commands.get("first_look", ()):
        of_rules = [one for rule in told["rules"] for one in report.findings if one.rule == rule]
        ordered = sorted(of_rules, key=lambda one: one.outcome == PASS)
        there = "; ".join(_there(told.get("there", ()), job))
        found.append(Look(told["title"], tuple(_line(one, report) for one in ordered), there))
    return found


def _there(facts: Iterable[str], job: Job) -> Iterator[str]:
    recorded = ((job.vocabulary.title(fact), job.readings[fact].written) for fact in facts if fact in job.readings)
    yield from (f"{low(title)}: {written.replace('_', ' ')}" for title, written in recorded)


def _line(finding: Finding, report: Report) -> Line:
    layers = any(set(one.set_by.citations) - set(finding.citations) for one in finding.limits if not one.own)
    told = {passed.reading(one, layers): one for one in finding.workings if words.telling(one)}
    amounts = list(told)
    read = [_named(one, read, finding, len(told)) for (read, _), one in told.items()] or _facts(finding)
    limit = "; ".join(dict.fromkeys(limit for _, limit in amounts))
    title = words.named(finding) if finding.outcome == FAIL else finding.title
    item = f" [{finding.item}]" if finding.item and finding.outcome != FAIL else ""
    return Line(
        _word(finding),
        title + item,
        "; ".join([*read, *_missing(finding)]),
        limit,
        words.sections_of(finding),
        _known(finding, report),
        finding.rule,
        finding.finding_id,
    )


def _named(working: Working, read: str, finding: Finding, count: int) -> str:
    """What was read; with what it is where there are several readings."""
    name = working.text.split()[0].rpartition(".")[2]
    title = next((one.title for one in finding.evidence if one.fact.rpartition(".")[2] == name), "")
    return f"{low(title)} {read}" if title and count > 1 else read


def _known(finding: Finding, report: Report) -> str:
    """How it is known, with the picture of it, or that there is none."""
    pictures = report.known.pictures(finding)
    return "; ".join(filter(None, (report.known.line(finding), "" if pictures else NO_PICTURE)))


def _word(finding: Finding) -> str:
    if finding.outcome == PASS:
        return PASSED
    if finding.outcome == FAIL:
        return "Accepted" if finding.accepted else "Fix"
    return "Open"


def _facts(finding: Finding) -> list[str]:
    """What was found, a few facts of it."""
    recorded = {one.fact: f"{one.title}: {one.written.replace('_', ' ')}" for one in finding.evidence}
    return [_few([recorded[fact] for fact in finding.required])] if finding.required and not finding.needs else []


def _missing(finding: Finding) -> list[str]:
    """What is still missing, a few facts of it."""
    titles = dict.fromkeys(low(need.title) for need in finding.needs)
    return [f"not recorded: {_few(list(titles))}"] if titles else []


def _few(facts: list[str]) -> str:
    more = f"; and {len(facts) - MOST_FACTS} more" if len(facts) > MOST_FACTS else ""
    return "; ".join(facts[:MOST_FACTS]) + more
