"""What to do before leaving for the visit: bring, ask, see while it can be seen, measure, photograph.

Made from what the rules still have open on a job, so nothing that is settled is listed.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.fieldwork.open_requirements import Looked, Measurement, measurements, wanted
from checker.findings.composer import BLANK
from checker.findings.finding import Finding, Published
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job
from checker.reading.vocabulary import Vocabulary
from checker.reporting.words import cited, put_to

CONFIRM = "confirm on the plate"


class Line(NamedTuple):
    """One thing to do: what, on which item, for which rules with their sections."""

    text: str
    item: str
    rules: tuple[str, ...]
    cited: str


class Section(NamedTuple):
    heading: str
    lines: tuple[Line, ...]


class Prep(NamedTuple):
    """The plan of a visit, for the job as it is ordered.

    `stand_ins` are the facts of plates that nobody has read there: as ordered, or off a sheet.
    """

    report: Report
    sections: tuple[Section, ...]
    job: Job
    stand_ins: frozenset[str]
    measurements: tuple[Measurement, ...]

    @property
    def ordered(self) -> bool:
        """Whether sizes rest on what was ordered or on a manufacturer's sheet, not on the plate."""
        return bool(self.stand_ins)


def as_ordered(job: Job) -> tuple[Job, frozenset[str]]:
    """The job with the figures as ordered standing in for plates that have not been read.

    Returns:
        The job, and the paths of the facts of plates that nobody has read there: as ordered, or out of a manufacturer's sheet.
    """
    vocabulary = job.vocabulary
    stand_ins = {
        plate: reading
        for path, reading in job.readings.items()
        if vocabulary.holds(path, "order") and (plate := _on_the_plate(path, vocabulary)) and plate not in job.readings
    }
    inherited = {path for path, reading in job.readings.items() if reading.origin and vocabulary.holds(path, "plate")}
    return job._replace(readings={**job.readings, **stand_ins}), frozenset({*stand_ins, *inherited})


def _on_the_plate(path: str, vocabulary: Vocabulary) -> str:
    """The fact of the same name on the plate beside the section of an order; nothing where the plate has none."""
    around, _, name = path.rpartition(".")
    beside = around.rpartition(".")[0]
    plates = (f"{beside}.{section}.{name}" for section in vocabulary.children(pattern(beside)))
    return next((plate for plate in plates if vocabulary.leaf(plate) and vocabulary.holds(plate, "plate")), "")


def prepare(checker: Checker, job: Job, on: datetime.date) -> Prep:
    """The plan for a visit, from whatever the job records so far.

    Raises:
        ProblemsFound: A ruleset that the job needs cannot be used.
    """
    planned, ordered = as_ordered(job)
    report, looked_at = checker.check_job(planned, on), list(checker.looked_at(planned, on))
    sections = [
        Section("Bring: something is wrong already", tuple(_merged(_brought(report, FAIL, ordered)))),
        Section("Bring, unless you see you don't need it", tuple(_merged(_brought(report, VERIFY, ordered)))),
        Section("Ask the office before the day", tuple(_merged(_asked(report)))),
        *_seen_early(looked_at, planned, report),
        Section("Measure", tuple(_measured(looked_at, planned, report))),
        Section("Photograph", tuple(_merged(_photographed(report)))),
    ]
    kept = tuple(section for section in sections if section.lines)
    return Prep(report, kept, planned, ordered, tuple(measurements(looked_at, planned)))


def _brought(report: Report, outcome: str, ordered: frozenset[str]) -> Iterator[Line]:
    for finding in report.with_outcome(outcome):
        if finding.bring:
            unsure = BLANK in finding.bring or any(one.fact in ordered for one in finding.evidence)
            yield _line(f"{finding.bring.rstrip('.')} ({CONFIRM})" if unsure else finding.bring, finding)


def _asked(report: Report) -> Iterator[Line]:
    for finding in report.with_outcome(VERIFY):
        if finding.ask:
            yield _line(put_to(finding), finding)


def _seen_early(looked_at: Looked, job: Job, report: Report) -> Iterator[Section]:
    """What can be seen only for a while, by the stage that ends it."""
    published = _published(report)
    needed = {need.fact for finding in report.with_outcome(VERIFY) for need in finding.needs}
    found = [one for one in wanted(looked_at, job) if one.path in needed and not one.written]
    for place, stage in enumerate(job.vocabulary.stages[:-2]):  # not before leaving, and not at any time
        lines = [
            Line(
                " ".join([one.leaf.ask, *([_bracketed(one.limits)] if one.leaf.form == "quantity" else [])]).strip(),
                one.item,
                tuple(rule.id for rule in one.rules),
                "; ".join(dict.fromkeys(cited(rule.citations[:1], published.get(rule.id, ())) for rule in one.rules)),
            )
            for one in found
            if one.stage == place
        ]
        yield Section(stage.heading, tuple(lines))


def _bracketed(limits: tuple[str, ...]) -> str:
    return f"({'; '.join(limits)})" if limits else ""


def _published(report: Report) -> dict[str, tuple[Published, ...]]:
    """By rule, the documents whose edition is only the one published for the state."""
    return {finding.rule: finding.published for finding in report.findings}


def _measured(looked_at: Looked, job: Job, report: Report) -> Iterator[Line]:
    open_ones = {(finding.rule, finding.item) for finding in report.findings if finding.outcome != PASS}
    published = _published(report)
    by_place: dict[tuple[str, str], list[Measurement]] = {}
    for one in measurements(looked_at, job):
        if (one.rule.id, one.item) in open_ones:
            by_place.setdefault((one.rule.id, one.item), []).append(one)
    for (rule, item), several in by_place.items():
        said = "; ".join(one.text for one in several)
        yield Line(f"{several[0].rule.title}: {said}", item, (rule,), cited(several[0].rule.citations, published[rule]))


def _photographed(report: Report) -> Iterator[Line]:
    for finding in report.findings:
        if finding.photograph:
            yield _line(finding.photograph, finding)


def _line(text: str, finding: Finding) -> Line:
    return Line(text, finding.item.split("/")[0], (finding.rule,), cited(finding.citations[:1], finding.published))


def _merged(lines: Iterable[Line]) -> Iterator[Line]:
    """The same thing for several rules or items, once."""
    found: dict[str, list[Line]] = {}
    for line in lines:
        found.setdefault(line.text, []).append(line)
    for text, same in found.items():
        yield Line(
            text,
            ", ".join(dict.fromkeys(line.item for line in same if line.item)),
            tuple(dict.fromkeys(rule for line in same for rule in line.rules)),
            "; ".join(dict.fromkeys(line.cited for line in same)),
        )
