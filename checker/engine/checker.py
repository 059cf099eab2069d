"""Check a job: find its rulesets, judge every rule under every edition and day that could hold, and report.

What others call: `Checker(library, vocabulary).check(document, on)`.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping

from checker.engine.compiler import Compiler
from checker.engine.job_report import JobReport
from checker.engine.job_run import OneJob
from checker.engine.outcome_rows import Row, rows_of
from checker.engine.variants import Variant
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir import tree
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import Judged, judge
from checker.problems.document import Document
from checker.reading.job import Job, load


class Checker(Compiler):
    """Rulesets and a vocabulary, ready to check jobs. The same job gives the same report."""

    def check(self, document: Document, on: datetime.date) -> Report:
        """Check one job.

        Args:
            on: The day that acceptances, reviews and calibrations are looked at; it never replaces a fact of the job.

        Raises:
            ProblemsFound: The job or a ruleset it needs cannot be used as it is.
        """
        return self.check_job(load(document, self.vocabulary), on)

    def check_job(self, job: Job, on: datetime.date) -> Report:
        """Check a job that is already loaded."""
        place = self.chain_of(job)
        return JobReport(OneJob(self, job, place, on)).made()

    def outcomes(self, job: Job, on: datetime.date) -> list[Row]:
        """The outcomes that the report of a job would have, without anything else of it and much sooner: a row a place."""
        one = OneJob(self, job, self.chain_of(job), on)
        return list(rows_of(one, one.plan))

    def rule_on(self, job: Job, rule_id: str, stated: Mapping[str, str], on: datetime.date) -> list[Finding]:
        """What one rule says of a job under these editions: how cases are judged, whatever is published of its state."""
        check = OneJob(self, job, self.chain(job.place), on, stated)
        return check.findings_of(check.variants(rule_id))

    def explained(self, job: Job, rule_id: str, on: datetime.date) -> Iterator[tuple[Variant, list[Finding]]]:
        """A rule under each edition or day that could hold for a job, with what it finds there."""
        check = OneJob(self, job, self.chain_of(job), on)
        for variant in check.variants(rule_id):
            yield variant, check.findings_of([variant])

    def why_left_out(self, job: Job, rule_id: str, on: datetime.date) -> tuple[str, ...]:
        """Why a rule is not judged on a job, in words: its ruleset is not written for it. Nothing where it is judged."""
        one = OneJob(self, job, self.chain_of(job), on)
        return one.spoken.why_of(one.chain.homes["rules", rule_id].id, rule_id)

    def looked_at(self, job: Job, on: datetime.date) -> Iterator[tuple[tree.BoundRule, Judged]]:
        """Each rule, under each edition or day that could hold, at each place of a job where it applies or may apply."""
        check = OneJob(self, job, self.chain_of(job), on)
        for asked in check.judged_by():
            for rule, judged in self._judged(check, asked.variants):
                if judged.verdict.outcome != DOES_NOT_APPLY:
                    yield rule, judged

    def judged(
        self, job: Job, rule_id: str, on: datetime.date, stated: Mapping[str, str] | None = None
    ) -> Iterator[tuple[tree.BoundRule, Judged]]:
        """One rule under each edition or day that could hold, at each place of a job, also where it does not apply."""
        place = self.chain_of(job) if stated is None else self.chain(job.place)
        check = OneJob(self, job, place, on, stated)
        return self._judged(check, check.variants(rule_id))

    def _judged(self, check: OneJob, variants: Iterable[Variant]) -> Iterator[tuple[tree.BoundRule, Judged]]:
        for variant in variants:
            if variant.rule is not None:
                places = check.places(variant.rule.for_each)
                found = [check.judged(variant.rule, place) for place in places]
                for judged in found or judge(variant.rule, check.facts, check.accuracy):
                    if judged:
                        yield variant.rule, judged
