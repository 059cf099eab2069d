"""What failed and what is open, in short: for the first printed page, where a reader looks before anything else.

A job with much open has the most decisive of it here and the rest counted by station; all of it stands further on.
"""

from __future__ import annotations

from typing import NamedTuple

from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.reporting import next_step, words
from checker.reporting.open_facts import OpenFact, counted, how_many, open_facts

LIFE_SAFETY, NO_LIFE_SAFETY = ", ● life safety", ", none of it life safety"
MOST_FAILED, MOST_TO_RECORD, MOST_OTHERS = 10, 10, 4


class Listed(NamedTuple):
    """A few lines under a heading; `more` says how many there are besides, and where. `kind` is that of what they tell."""

    heading: str
    kind: str
    lines: tuple[str, ...]
    more: str = ""


def in_short(report: Report) -> list[Listed]:
    """What failed, what is to record, to measure again and to ask; parts with nothing in them are left out."""
    found = next_step.opened(report)
    asked = list(next_step.questions(found.ask))
    parts = [
        _listed("To fix", "fix", [_failed(one) for one in report.to_fix], MOST_FAILED),
        _listed("Practice not followed", "practice", [_failed(one) for one in report.practice], MOST_OTHERS),
        _listed(
            "Accepted by the office in writing", "accepted", [_failed(one) for one in report.accepted], MOST_OTHERS
        ),
        _to_record(found.waiting, report),
        _listed("To measure again", "verify", [words.named(one) for one in found.again], MOST_OTHERS),
        _listed("To ask the office", "verify", asked, MOST_OTHERS),
    ]
    return [part for part in parts if part.lines]


def _listed(heading: str, kind: str, lines: list[str], most: int) -> Listed:
    more = f"and {len(lines) - most} more" if len(lines) > most else ""
    return Listed(f"{heading} ({len(lines)})", kind, tuple(f"– {line}" for line in lines[:most]), more)


def _failed(finding: Finding) -> str:
    return f"{words.named(finding)}. {words.cited(finding.citations[:1], finding.published)}"


def _to_record(waiting: list[Finding], report: Report) -> Listed:
    facts = open_facts(waiting)
    heading = f"To record ({how_many(facts, waiting)}){LIFE_SAFETY if any(one.life_safety for one in facts) else NO_LIFE_SAFETY}"
    more = _by_station(facts[MOST_TO_RECORD:], report)
    return Listed(heading, "verify", tuple(map(_question, facts[:MOST_TO_RECORD])), more)


def _question(one: OpenFact) -> str:
    mark = "● " if one.life_safety else "– "
    return f"{mark}{one.need.ask or one.need.title}" + (f" [{one.item}]" if one.item else "")


def _by_station(facts: list[OpenFact], report: Report) -> str:
    told = (f"{heading} {many}" for heading, many in counted(facts, report.stations))
    return f"and {len(facts)} more: {'; '.join(told)}" if facts else ""
