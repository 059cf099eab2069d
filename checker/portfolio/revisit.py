"""A sheet to take along to a re-visit: what the notice said, our rule where it names one, and room to note what was done."""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Iterator

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.findings.report import DEFERRAL, Report
from checker.ir.digests import digest
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.portfolio.notices import Correction, Inspection, inspections, still_open
from checker.portfolio.obligations import asked
from checker.portfolio.recorded_days import recorded
from checker.reading.job import Job
from checker.reporting.paragraphs import paragraphs
from checker.reporting.words import explained, sections_of
from checker.rulesets.chain import Chain

WIDTH, LONGEST_NAME = 80, 60
Open = list[tuple[Inspection, list[Inspection]]]
BLANKS = (
    "Done: " + "_" * 60,
    "Reading or photograph: " + "_" * 43,
    "Day: " + "_" * 14 + " Looked at again: " + "_" * 14,
)
SAID = {
    FAIL: "By what was recorded it fails.",
    VERIFY: "By what was recorded it is open.",
    PASS: "By what was recorded it passes. Look at what is there, and record it again.",
}
SAID_NOTHING = "By what was recorded it didn't apply. Look at what is there, and record it."


def sheet(job: Job, checker: Checker, report: Report, on: datetime.date) -> str:
    """The sheet of a job, or nothing where no correction is open.

    Args:
        report: The job's report on that day.
    """
    open_notices = still_open(inspections(job))
    if not open_notices:
        return ""
    lines_told = [*_head(job, on), *_notices(job, checker, report, open_notices), ""]
    lines = [*lines_told, *filter(None, [explained("".join(lines_told))]), job.vocabulary.caution, DEFERRAL]
    return paragraphs(((line, len(line) - len(line.lstrip(" "))) for line in lines), WIDTH)


def _head(job: Job, on: datetime.date) -> Iterator[str]:
    yield f"RE-VISIT, job {job.id}, {on.isoformat()}"
    yield job.text(job.at("address")) or "Address not recorded."
    for index in job.items("permits"):
        trade = job.text(job.at("permits.trade", index))
        number = job.text(job.at("permits.number", index)) or "number not recorded"
        yield f"Permit: {trade} {number}; last day {recorded(job, job.at('permits.expires', index))}."


def _notices(job: Job, checker: Checker, report: Report, open_notices: Open) -> Iterator[str]:
    chain = checker.chain_of(job)
    for one, perhaps in open_notices:
        yield ""
        yield f"Notice of the {one.trade or 'trade not known'} inspection, {one.written}"
        for other in perhaps:
            yield f"  The inspection '{other.key}' passed; whether it came after is not known."
        if not one.corrections:
            yield f"  {asked(one)[0]}"
        for number, correction in enumerate(one.corrections or (), start=1):
            yield ""
            yield from _correction(number, correction, chain, report)


def _correction(number: int, correction: Correction, chain: Chain, report: Report) -> Iterator[str]:
    yield f'{number}. The notice says: "{correction.words}"'
    findings = [finding for finding in report.findings if finding.rule == correction.rule]
    if correction.rule and correction.rule in chain.rule_ids:
        yield from _rule(correction.rule, findings, chain)
    else:
        yield "   No rule here is named. Go by the notice and the adopted code."
    yield from (f"   {blank}" for blank in BLANKS)


def _rule(rule: str, findings: list[Finding], chain: Chain) -> Iterator[str]:
    """Our rule with its section, and what is to be done where it fails, else where it is open."""
    worst = next((outcome for outcome in (FAIL, VERIFY, PASS) if any(one.outcome == outcome for one in findings)), "")
    worst_ones = [one for one in findings if one.outcome == worst]
    yield f"   Rule: {chain.homes['rules', rule].rules[rule].title} [{rule}]"
    yield from (f"   Section: {section}" for section in dict.fromkeys(sections_of(one) for one in worst_ones))
    yield f"   {SAID.get(worst, SAID_NOTHING)}"
    yield from (line for one in worst_ones for line in _finding(one))
    yield from (
        f"   Caution: {caution}"
        for caution in dict.fromkeys(caution.text for one in worst_ones for caution in one.cautions)
    )


def _finding(finding: Finding) -> Iterator[str]:
    item = f"{finding.item}: " if finding.item else ""
    if finding.message:
        yield f"   {item}{finding.message}"
    for need in finding.needs:
        yield f"   {item}{need.ask or need.title}"
    for label, text in (("Do", finding.remedy), ("Bring", finding.bring)):
        if text:
            yield f"   {label}: {item}{text}"


class Names:
    """A file name for each sheet: safe on any disk, known again for the same job, and no name twice in a run."""

    def __init__(self) -> None:
        self.given: set[str] = set()

    def of(self, job: str) -> str:
        plain = unicodedata.normalize("NFKD", job).encode("ascii", "ignore").decode().lower()
        safe = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST_NAME]
        stem = f"revisit-{job}" if safe == job else f"revisit-{safe}-{digest(job)[:8]}".replace("--", "-")
        name, again = f"{stem}.txt", 2
        while name in self.given:
            name, again = f"{stem}_{again}.txt", again + 1
        self.given.add(name)
        return name
