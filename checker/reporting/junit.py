"""The report as JUnit XML: a job is a suite, a rule on an item of it a case.

What failed is a failure, practice not followed too, and so is an open question of life safety: the run ends with exit code 1
because of it. What the authority has accepted, and what stands in a baseline, is skipped and says so. Every other open
question is skipped, with its reason. A ruleset that is not written for a job, and a job that could not be read or judged, are
errors. The `type` of each is its outcome, so that the outcomes can be counted.

Source: the schema of JUnit reports that the tests hold every report against.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.findings.report import DEFERRAL, Report
from checker.ir.outcomes import FAIL, PASS
from checker.problems.problem import ProblemsFound
from checker.problems.sanitize import inert
from checker.reporting.form import Form, Judged
from checker.reporting.totals import Totals
from checker.reporting.words import (
    NOTHING_JUDGED,
    UNREAD,
    WORRYING,
    accepted,
    answered_for_the_job,
    asked,
    compared,
    do_label,
    explained,
    how_known,
    limits_apart,
    limits_from_layers,
    not_judged,
    noted,
    put_to,
    sections_of,
    telling,
    unread_titles,
    worrying,
)

HOW = "How known: {}"
# Characters that no XML may hold, written out or not.
UNWRITABLE = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


class JUnit(Form):
    def begin(self) -> str:
        return '<?xml version="1.0" encoding="UTF-8"?>\n<testsuites name="changeout check">\n'

    def job(self, one: Judged) -> str:
        report, known = one.report, one.known or frozenset()
        cases = [_of_finding(f, f.finding_id in known, report.known.line(f)) for f in report.findings]
        left_out = zip(report.not_judged, not_judged(report), strict=True)
        cases += [_case("judged", out.ruleset, "error", "not_judged", said) for out, said in left_out]
        cases = cases or [_case("judged", "job", "error", "not_judged", NOTHING_JUDGED)]
        cases += [
            _case(one.fact, "job", "skipped", "not_looked_at", f"{WORRYING}: {said}")
            for one, said in zip((u for u in report.unread if u.alarming), worrying(report), strict=True)
        ]
        return _suite(report.job_id, one.name, cases, report)

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        said = "\n".join(map(str, found.problems))
        return _suite(name, name, [_case("readable", "job", "error", "unreadable", said)])

    def end(self, totals: Totals, checker: Checker, whole: bool) -> str:
        return "</testsuites>\n"


def _suite(name: str, file: str, cases: list[str], report: Report | None = None) -> str:
    count = {tag: sum(f"<{tag} " in case for case in cases) for tag in ("failure", "error", "skipped")}
    head = (
        f"<testsuite name={_quoted(name)} file={_quoted(file)} tests={_quoted(str(len(cases)))} "
        f'failures="{count["failure"]}" errors="{count["error"]}" skipped="{count["skipped"]}">'
    )
    properties = "".join(f"<property name={_quoted(key)} value={_quoted(said)}/>" for key, said in _properties(report))
    return f"{head}\n<properties>{properties}</properties>\n{''.join(cases)}</testsuite>\n"


def _properties(report: Report | None) -> Iterator[tuple[str, str]]:
    yield "who decides", DEFERRAL
    if report:
        yield "job", report.title
        yield "place", report.place
        yield "looked at on", report.on
        yield "headline", report.headline
        yield "how known", how_known(report)
        yield "does not apply", str(report.not_applying)
        yield UNREAD, ", ".join(unread_titles(report))
        yield from (("ruleset", f"{used.id} {used.version} ({used.digest})") for used in report.rulesets)


def _of_finding(finding: Finding, known: bool, how: str) -> str:
    """
    Args:
        known: Whether it stands in the baseline.
        how: How what it rests on is known.
    """
    name = finding.rule + (f" [{finding.item}]" if finding.item else "")
    if finding.outcome == PASS:
        return _passed(name, finding, how)
    said = _said(finding, known, how)
    wrong = not finding.accepted if finding.outcome == FAIL else finding.life_safety
    tag = "failure" if wrong and not known else "skipped"
    return _case(name, finding.ruleset, tag, finding.outcome, said)


def _passed(name: str, finding: Finding, how: str) -> str:
    """A case that passed: how it is known, the limits of it that a layer set, the answers to it that the job records."""
    case = f"<testcase name={_quoted(name)} classname={_quoted(finding.ruleset)}"
    limits = [f"Limit: {limit}" for limit in limits_from_layers(finding)]
    answers = answered_for_the_job(finding)
    told = [HOW.format(how)] if how else []
    told += [*limits, *answers, sections_of(finding)] if limits or answers else []
    if not told:
        return f"{case}/>\n"
    said = "\n".join(filter(None, [*told, explained("".join(told))]))
    return f"{case}><system-out>{escape(_writable(said))}</system-out></testcase>\n"


def _said(finding: Finding, known: bool, how: str) -> str:
    """What is to be told of a finding that did not pass, the chief thing on the first line."""
    told = [
        _first(finding),
        finding.message,
        "It is in the baseline." if known else "",
        f"Accepted: {accepted(finding.acceptance)}" if finding.acceptance else "",
        *(f"{compared(w)}: {w.holds}, margin {w.margin}" for w in finding.workings if telling(w)),
        *(f"Limit: {limit}" for limit in limits_apart(finding, filter(telling, finding.workings))),
        HOW.format(how) if how else "",
        *(f"Record: {asked(need)} [{need.fact}]" for need in finding.needs),
        f"Ask: {put_to(finding)}" if finding.ask and finding.outcome != FAIL else "",
        f"{do_label(finding)}: {finding.remedy}" if finding.remedy and finding.outcome == FAIL else "",
        *(f"Caution: {caution.text}" for caution in finding.cautions),
        *(f"Note: {noted(note)}" for note in finding.notes),
        sections_of(finding),
        f"finding {finding.finding_id}, evidence {finding.evidence_digest}",
    ]
    told.insert(-1, explained("".join(told)))
    return "\n".join(" ".join(line.split()) for line in told if line)


def _first(finding: Finding) -> str:
    if finding.outcome == FAIL:
        return f"Accepted in writing: {finding.headline}" if finding.accepted else finding.headline
    settle = " (life safety)" if finding.life_safety else ""
    return f"To verify, {finding.reason.replace('_', ' ')}{settle}: {finding.title}"


def _case(name: str, of: str, tag: str, outcome: str, said: str) -> str:
    first = said.partition("\n")[0]
    return (
        f"<testcase name={_quoted(name)} classname={_quoted(of)}>"
        f"<{tag} type={_quoted(outcome)} message={_quoted(first)}>{escape(_writable(said))}</{tag}></testcase>\n"
    )


def _quoted(text: str) -> str:
    return quoteattr(" ".join(_writable(text).split()))


def _writable(text: str) -> str:
    return UNWRITABLE.sub(" ", inert(text))
