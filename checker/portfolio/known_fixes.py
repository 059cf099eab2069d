"""What is known to put a correction right: the remedy of the rule that it names, or of the rule that it may be about."""

from __future__ import annotations

from collections.abc import Callable

from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS
from checker.portfolio.notice_rules import NoticeRules
from checker.portfolio.notices import Correction

Fix = Callable[[Correction], str]


def fixes(report: Report, rules: Callable[[], NoticeRules]) -> Fix:
    """How a job's corrections are put right.

    Args:
        report: The job's report on the day that is asked about.
        rules: The rules of its place, made ready where a notice names none.
    """
    by_rule: dict[str, list[Finding]] = {}
    for finding in report.findings:
        by_rule.setdefault(finding.rule, []).append(finding)

    def fix(correction: Correction) -> str:
        if correction.rule:
            return _of_rule(by_rule.get(correction.rule, []))
        if correction.unnamed:
            return ""
        about = rules().about(correction.words)
        failed = [one for one in about if any(finding.outcome == FAIL for finding in by_rule.get(one.rule, ()))]
        likeliest = next(iter([*failed, *about]), None)
        if likeliest is None:
            return ""
        do = _of_rule(by_rule.get(likeliest.rule, []))
        return f"Maybe: {likeliest.title} [{likeliest.rule}]." + (f" {do}" if do else "")

    return fix


def _of_rule(findings: list[Finding]) -> str:
    remedies = dict.fromkeys(one.remedy for one in findings if one.outcome == FAIL and one.remedy)
    if remedies:
        return f"Do: {' '.join(remedies)}"
    passed = findings and all(one.outcome == PASS for one in findings)
    return "By what was recorded it passes. Look again, then call for inspection." if passed else ""
