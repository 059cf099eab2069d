"""The report as Markdown for a comment: the counts, what to fix, what to settle. What others wrote in a job stays text.

A comment has a bound, so the jobs that are told in full have one too; how many are not is said. No HTML is written, and
nothing out of a job becomes a link, a picture, a mention or a heading.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.findings.report import DEFERRAL, Report
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.problems.problem import ProblemsFound
from checker.problems.sanitize import inert
from checker.reporting.form import Form, Judged
from checker.reporting.totals import Totals
from checker.reporting.words import (
    UNREAD,
    WORRYING,
    accepted,
    answered_for_the_job,
    answers_in,
    caution_names,
    cautions_in,
    compared,
    do_label,
    explained,
    how_known,
    limits_apart,
    not_judged,
    sections_of,
    telling,
    unread_titles,
    worrying,
)

MOST_TOLD = 50_000  # characters of jobs told in full; hosts take about 65,000 in a comment (from memory)
MOST_SETTLED = 10  # open questions of life safety that are named on one job
# Signs that mean something inside a line; & and @ are written as what they stand for.
SIGNS = re.compile(r"([\\`*_\[\]<>|~#$!])")
LINK = re.compile(r"(?i)(?<=[a-z])://|(?<=www)\.|(?<=mailto):|(?<=xmpp):")


class Markdown(Form):
    def __init__(self) -> None:
        self.told: list[str] = []
        self.size = self.left_out = 0

    def job(self, one: Judged) -> str:
        return "\n".join(_job(one.report, one.name, one.known or frozenset()))

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        lines = [f"### {plain(name)}: could not be read or judged", ""]
        lines += [f"- {plain(str(p.where))}: {plain(p.what)} {plain(p.hint)}".rstrip() for p in found.problems]
        return "\n".join([*lines, ""])

    def add(self, text: str, first: bool) -> str:
        """Nothing yet: what is told stands below the counts, which are known at the end."""
        if text and self.size + len(text) > MOST_TOLD:
            self.left_out += 1
        elif text:
            self.told.append(text)
            self.size += len(text)
        return ""

    def end(self, totals: Totals, checker: Checker, whole: bool) -> str:
        parts = [*_head(totals, whole), *self.told]
        if self.left_out:
            parts += [f"{self.left_out} more with something to tell; the report in another form has all.", ""]
        parts += _limits(totals)
        if mark := explained("".join(parts)):
            parts += [plain(mark), ""]
        return "\n".join([*parts, plain(checker.vocabulary.caution), "", plain(DEFERRAL), ""])


def _limits(totals: Totals) -> list[str]:
    """The limits that a place or group set, with who set them: also those that every job met."""
    if not totals.limits:
        return []
    return ["Limits set by a place or group:", "", *(f"- {plain(limit)}" for limit in totals.limits), ""]


def _head(totals: Totals, whole: bool) -> Iterator[str]:
    counts = totals.outcomes()
    yield "## Self-check of the jobs"
    yield ""
    if not whole:
        yield f"Stopped after {totals.seen} jobs."
        yield ""
    yield "| jobs | unreadable | not judged in full | pass | fail | verify locally |"
    yield "|---:|---:|---:|---:|---:|---:|"
    told = (totals.jobs, totals.unreadable, totals.not_judged, counts["pass"], counts[FAIL], counts[VERIFY])
    yield f"| {' | '.join(map(str, told))} |"
    yield ""
    if totals.known:
        yield f"{totals.known} findings are in the baseline and do not count."
        yield ""
    if totals.often and totals.jobs > 1:
        yield "What to fix most often:"
        yield ""
        yield from (f"- {jobs} × {plain(title)}. {plain(sections)}" for title, sections, jobs in totals.most_often())
        yield ""


def _job(report: Report, name: str, known: frozenset[str]) -> Iterator[str]:
    """A job, where there is something to fix, to settle, or to say; others are in the counts."""
    fixes = [finding for finding in (*report.failed, *report.accepted) if finding.finding_id not in known]
    settle = [finding for finding in report.before_running if finding.finding_id not in known]
    answered = [finding for finding in report.findings if finding.outcome == PASS and answered_for_the_job(finding)]
    if not (fixes or settle or answered or report.not_judged or worrying(report) or not report.findings):
        return
    title = f": {plain(report.title)}" if report.title else ""
    yield f"### {plain(report.job_id)}{title}"
    yield ""
    yield f"{plain(name)}. {plain(' '.join(filter(None, (report.headline, how_known(report)))))}"
    yield ""
    yield from (f"- **Not judged**: {plain(line)}" for line in not_judged(report))
    yield from (f"- **{WORRYING}**: {plain(line)}" for line in worrying(report))
    for finding in fixes:
        yield from _fix(finding, report)
    yield from (f"- Caution, {plain(name)}: {plain(text)}" for name, text in cautions_in(fixes))
    yield from (
        f"- **Settle before running**: {_titled(finding)}{_known(finding, report)}" for finding in settle[:MOST_SETTLED]
    )
    if len(settle) > MOST_SETTLED:
        yield f"- and {len(settle) - MOST_SETTLED} more questions of life safety to settle before running"
    for finding in answered:
        yield f"- {_titled(finding)}{_known(finding, report)}"
        yield from (f"  - {plain(said)}" for said in answered_for_the_job(finding))
    rest = unread_titles(report)
    yield from [f"- {plain(UNREAD)}: {plain(', '.join(rest))}"] if rest else []
    yield ""


def _fix(finding: Finding, report: Report) -> Iterator[str]:
    word = "Accepted in writing" if finding.accepted else "Practice not followed" if finding.practice else "Fix"
    yield f"- **{word}{', life safety' if finding.life_safety else ''}**: {_titled(finding)}"
    yield f"  - {plain(finding.message)}"
    wrong = [w for w in finding.workings if w.holds == "does not hold" and telling(w)]
    yield from (f"  - {plain(compared(w))}, margin {plain(w.margin)}" for w in wrong)
    yield from (f"  - Limit: {plain(limit)}" for limit in limits_apart(finding, wrong))
    yield f"  - How known: {plain(report.known.words(finding))}"
    if finding.remedy:
        yield f"  - {do_label(finding)}: {plain(finding.remedy)}"
    if finding.acceptance:
        yield f"  - Accepted: {plain(accepted(finding.acceptance))}"
    yield from (f"  - {plain(said)}" for said in answers_in(finding))
    if finding.cautions:
        yield f"  - Caution, see below: {plain(caution_names(finding))}"


def _known(finding: Finding, report: Report) -> str:
    how = report.known.line(finding)
    return f" How known: {plain(how)}." if how else ""


def _titled(finding: Finding) -> str:
    item = f" ({plain(finding.item)})" if finding.item else ""
    return f"{plain(finding.title)}{item}. {plain(sections_of(finding))}"


def plain(text: str) -> str:
    """A text on one line that Markdown shows as it is."""
    line = " ".join(inert(text).split()).replace("&", "&amp;").replace("@", "&#64;")
    line = SIGNS.sub(r"\\\1", line)
    return LINK.sub(lambda found: "".join(f"&#{ord(sign)};" for sign in found[0]), line)
