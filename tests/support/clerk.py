"""What a question that is put to somebody has to have, so that a clerk can answer it."""

from __future__ import annotations

from checker.findings.finding import Finding
from checker.ir.outcomes import TO_DECIDE, VERIFY
from checker.reporting.words import put_to


def assert_a_clerk_can_answer(finding: Finding) -> None:
    """A question that is put to somebody has all that makes it answerable."""
    if finding.outcome != VERIFY or finding.reason not in TO_DECIDE:
        assert "" == finding.ask
        return
    assert finding.ask.endswith("?"), finding
    assert finding.asked_of, finding
    assert "\x00" not in finding.ask
    assert any(citation.section.split(",")[0] in finding.ask for citation in finding.citations), finding
    assert finding.answers, finding
    assert len({answer.answer for answer in finding.answers}) == len(finding.answers)
    assert all(answer.leads_to.strip() for answer in finding.answers), finding
    assert "{" not in put_to(finding)
