"""What to do now, in a sentence and in a word, and the counts that stand beside it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from checker.findings.finding import WEIGHTS, Finding
from checker.findings.report import Report
from checker.ir.outcomes import AGAIN, FAIL, PASS, TO_DECIDE, VERIFY
from checker.reporting.open_facts import how_many, open_facts

CORE = WEIGHTS[0]
NOT_YET = "Don't call for inspection yet."


class Open(NamedTuple):
    """What is open, by what to do about it: to record (life safety apart), to measure again, to ask the authority."""

    life_safety: list[Finding]
    record: list[Finding]
    again: list[Finding]
    ask: list[Finding]

    @property
    def waiting(self) -> list[Finding]:
        """Those that wait for facts to be recorded, life safety first."""
        return [*self.life_safety, *self.record]


def opened(report: Report) -> Open:
    """The open findings of a report, each in one place."""
    found = Open([], [], [], [])
    for finding in report.with_outcome(VERIFY):
        if finding.reason in TO_DECIDE:
            found.ask.append(finding)
        elif finding.reason == "too_close":
            found.again.append(finding)
        elif finding.life_safety:
            found.life_safety.append(finding)
        elif finding.reason in AGAIN:
            found.again.append(finding)
        else:
            found.record.append(finding)
    return found


def questions(findings: Iterable[Finding]) -> dict[str, list[Finding]]:
    """The questions to the authority, each once, with the findings that wait for it."""
    found: dict[str, list[Finding]] = {}
    for finding in findings:
        found.setdefault(finding.question or finding.title, []).append(finding)
    return found


def headline(report: Report) -> str:
    """What to do now, and what was not judged."""
    return " ".join(filter(None, (_to_do(report), report.not_judged_in_short)))


def _to_do(report: Report) -> str:
    if not report.findings:
        return "Nothing was judged."
    still = _still(report)
    if report.to_fix:
        return f"{', '.join([f'{len(report.to_fix)} to fix', *still])}. {NOT_YET}"
    if report.before_running:
        return f"Nothing failed so far, but life safety is open: {', '.join(still)}. {NOT_YET}"
    if still:
        return f"Nothing failed. Still open: {', '.join(still)}."
    if report.not_judged:
        return "Nothing was found wrong in the part that was judged."
    return "Nothing was found wrong in what these rules read. That doesn't mean the job is ready."


def _still(report: Report) -> list[str]:
    found = opened(report)
    facts = open_facts(found.waiting)
    parts = [f"{how_many(facts, found.waiting)} to record"] if facts else []
    parts += [f"{len(found.again)} to measure again"] if found.again else []
    parts += [f"{len(questions(found.ask))} to ask the office"] if found.ask else []
    return parts


def verdict(report: Report) -> str:
    """A word or two for a line of a table."""
    if report.not_judged or not report.findings:
        return "not judged in full"
    if report.to_fix:
        return "fix first"
    if report.before_running:
        return "don't start it yet"
    return "still open" if report.with_outcome(VERIFY) else "nothing found wrong"


def answered(report: Report) -> str:
    """How many requirements are answered, those apart that are written up most."""
    core = [finding for finding in report.findings if finding.weight == CORE]
    rest = [finding for finding in report.findings if finding.weight != CORE]
    if not report.findings:
        return ""
    if not core:
        return f"Requirements: {_counted(rest)}."
    done = sum(finding.outcome != VERIFY for finding in rest)
    more = f" The rest: {done} of {len(rest)} answered." if rest else ""
    return f"Core: {_counted(core)}.{more}"


def _counted(findings: list[Finding]) -> str:
    met = sum(finding.outcome == PASS for finding in findings)
    parts = [f"{met} of {len(findings)} met"]
    for outcome, word in ((FAIL, "failed"), (VERIFY, "open")):
        count = sum(finding.outcome == outcome for finding in findings)
        parts += [f"{count} {word}"] if count else []
    return ", ".join(parts)


def passed(report: Report) -> str:
    """What passed, as counts."""
    if not report.passed:
        return ""
    practice = sum(finding.practice for finding in report.passed)
    near = sum(finding.near for finding in report.passed)
    parts = [f"{len(report.passed) - practice} required", *([f"{practice} good practice"] if practice else [])]
    close = f" {near} of them too close for the instrument to tell." if near else ""
    return f"Passed: {', '.join(parts)}.{close}"
