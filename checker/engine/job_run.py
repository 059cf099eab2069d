"""One job before its rulesets: every rule judged under every edition and day that could hold."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from checker.binding import answers_in_job
from checker.binding.answers_in_job import Told
from checker.engine.compiler import MOST_PROGRAMS, Compiler
from checker.engine.plan import Plan, open_for_doubt
from checker.engine.scope import Spoken, spoken_of
from checker.engine.variants import RuleVersions, Variant
from checker.findings.composer import Before, Composer, said_at
from checker.findings.finding import Finding
from checker.findings.questions import Version
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.outcomes import FAIL, VERIFY
from checker.judging.conditions import truth
from checker.judging.generated_code import DOES_NOT_APPLY, Said
from checker.judging.judge import Judged, Place, Verdict, agreed, judge_at, places, scope_of
from checker.judging.uncertainty import Accuracy
from checker.reading.job import Job
from checker.reading.second_look import doubts, second_look
from checker.rulesets.applicability import Versions
from checker.rulesets.chain import Chain

FEW = 8  # jobs of a run that are not worth writing functions for


class OneJob:
    def __init__(
        self, compiler: Compiler, job: Job, place: Chain, on: datetime.date, stated: Mapping[str, str] | None = None
    ) -> None:
        self.compiler, self.job, self.chain, self.on = compiler, job, place, on
        self.looks = tuple(second_look(job, on))
        self.facts = compiler.facts(job, place, doubts(self.looks))
        self.versions = Versions(job, place, stated)
        self.composer = Composer(job, place, self.versions, self.facts.doubts)
        self._places: dict[tuple[str, ...], dict[Place, None]] = {}
        self._said: dict[tuple[int, Place], list[Said]] = {}
        self.planned: Plan | None = None  # what a run over many rules goes by
        self.remembering = False  # whether what was said of other jobs is looked up

    def accuracy(self, path: str) -> Accuracy | bool | None:
        """How accurate the reading at a path is."""
        return self.composer.accuracy(path)

    @functools.cached_property
    def plan(self) -> Plan:
        """How to go about a job that is asked the same as this one: laid out once for all of them."""
        plans, functions = self.compiler.plans, self.compiler.functions
        if self.told.answers:  # of this job alone
            return Plan(self.judged_by(), functions)
        key = (self.chain.digest, self.versions.key, self.left_out)
        if key not in plans:
            if len(plans) >= MOST_PROGRAMS:
                plans.clear()
            plans[key] = Plan(self.judged_by(), functions)
        found: Plan = plans[key]
        return found

    def begin(self) -> None:
        """Count a job that is asked about every rule, and see what of earlier jobs it may go by."""
        before = self.compiler.remembered.jobs
        self.compiler.remembered.jobs += 1
        self.planned = self.plan if before >= FEW else None
        self.remembering = before > 0 and not self.told.answers

    def left_as_found(self, variants: Sequence[Variant]) -> bool:
        """Whether a rule does not apply because the work it looks at is not in the scope of the job."""
        return any(rule and self.out_of_scope(rule) for _, rule in variants)

    def out_of_scope(self, rule: tree.BoundRule) -> bool:
        """Whether a rule asks of the section that says which work was done, and the job says that it was not.

        The yes-or-no facts of that section say it. A rule on another kind of equipment looks at no work of this job.
        """
        work, kinds = self.compiler.work.asked_by(rule)
        scope = Scope(self.facts, rule.where)
        return truth(work, scope) is False and truth(kinds, scope) is not False

    # --- the job as a whole ---

    @functools.cached_property
    def spoken(self) -> Spoken:
        """Which rulesets of the place are written for this job."""
        lines = self.compiler.written_for(self.chain, self.on.toordinal())
        return spoken_of(self.chain, lines, Scope(self.facts, {}))

    @functools.cached_property
    def left_out(self) -> frozenset[str]:
        """The rules that are not judged because they, or their rulesets, are not written for this job."""
        outside = [self.chain.by_id[name] for name in {**self.spoken.outside, **self.spoken.apart}]
        return frozenset(rule for one in outside for rule in one.rules if self.spoken.leaves_out(one.id, rule))

    def judged_by(self) -> Iterator[RuleVersions]:
        """The rules that the job is judged by."""
        for asked in self.program():
            if asked.rule not in self.left_out:
                yield asked

    # --- one rule ---

    def findings_of(self, variants: Sequence[Variant]) -> list[Finding]:
        """The findings of one rule."""
        return self.said_of(variants)[0]

    def said_of(self, variants: Sequence[Variant]) -> tuple[list[Finding], int]:
        """The findings of one rule, and at how many places it does not apply: one at least of both."""
        said = [self.finding_at(variants, place) for place in self.places_of(variants)]
        findings = [finding for finding in said if finding]
        return findings, len(said) - len(findings) if said else 1

    def outcomes_of(self, rules: Collection[tree.BoundRule | None]) -> list[str]:
        """The outcomes that the findings of a rule would have, without their words and much sooner.

        Args:
            rules: The rule under each edition and day that could hold.
        """
        found = []
        for place in dict.fromkeys(place for rule in rules if rule for place in self.places(rule.for_each)):
            judged = [self.judged(rule, place) for rule in rules]
            outcomes = {one.verdict.outcome if one else DOES_NOT_APPLY for one in judged}
            if outcomes != {DOES_NOT_APPLY}:
                found.append(agreed(outcomes) or VERIFY)
        return found

    def places_of(self, variants: Sequence[Variant]) -> Iterable[Place]:
        """Where a rule is judged under any edition or day."""
        if len(variants) == 1:
            return self.places(variants[0].rule.for_each) if variants[0].rule else ()
        return dict.fromkeys(place for _, rule in variants if rule for place in self.places(rule.for_each))

    def places(self, for_each: tuple[str, ...]) -> Collection[Place]:
        """Where in the job a rule is judged that goes through a list, or through none."""
        if for_each not in self._places:
            self._places[for_each] = dict.fromkeys(places(for_each, self.facts))
        return self._places[for_each]

    def finding_at(self, variants: Sequence[Variant], place: Place) -> Finding | None:
        """What a rule says at one place; None where it does not apply there."""
        if not self.remembering:
            versions = self.versions_at(variants, place)
            before = said_at(versions)
            return self.composer.finding(before, lambda: versions) if before else None
        if self.planned and len(variants) == 1 and self.said(variants[0].rule, place) == DOES_NOT_APPLY:
            return None
        remembered = self.compiler.remembered
        one = remembered.of(variants)
        key = one.key(self.facts, place, self.composer.accuracy, self.ranges)
        if key not in one.said:
            remembered.keep(one, key, said_at(self.versions_at(variants, place)))
        before = one.said[key]
        return before and self.composer.finding(before, lambda: self.seen_before(variants, place, before))

    def versions_at(self, variants: Sequence[Variant], place: Place) -> list[Version]:
        """What each version of a rule says at one place."""
        return [Version(*one, self.judged(one.rule, place)) for one in variants]

    def seen_before(self, variants: Sequence[Variant], place: Place, before: Before) -> list[Version]:
        """The same by the verdicts of another job.

        A failure is told by doubted readings only where it comes from them, which no verdict says: it is judged again.
        """
        if self.facts.doubts and any(verdict and verdict.outcome == FAIL for verdict in before.verdicts):
            return self.versions_at(variants, place)
        return [
            Version(*one, self.judged_as(one.rule, place, verdict) if verdict and one.rule else None)
            for one, verdict in zip(variants, before.verdicts, strict=True)
        ]

    def judged_as(self, rule: tree.BoundRule, place: Place, verdict: Verdict) -> Judged:
        return Judged(place, verdict, scope_of(rule, self.facts, place, self.accuracy))

    @functools.cached_property
    def ranges(self) -> tuple[tuple[str, tuple[float, float]], ...]:
        """What the rulesets of the place say that facts can be there."""
        return tuple(self.facts.ranges.items())

    def said(self, rule: tree.BoundRule | None, place: Place) -> Said:
        """What the function of a rule says in one place; None where the walk has to say."""
        if rule is None or place not in self.places(rule.for_each):
            return DOES_NOT_APPLY
        group = self.planned.group_of(rule) if self.planned else None
        if group is None:
            quick = None if place.missing else self.compiler.quick(rule)
            said = quick(scope_of(rule, self.facts, place, self.accuracy)) if quick else None
            return None if open_for_doubt(said, self.facts) else said
        key = id(group), place
        if key not in self._said:
            self._said[key] = group.judged(self.facts, place, telling=True)
        return self._said[key][group.at[id(rule)]]

    def judged(self, rule: tree.BoundRule | None, place: Place) -> Judged | None:
        """A verdict in one place, None where the rule is not in force or does not go there.

        A doubted reading makes no pass. A failure by the readings as they are recorded stays one.
        """
        found = self.judged_doubting(rule, place)
        if rule and found and any(cause.fact in self.facts.doubts for cause in found.verdict.causes):
            as_recorded = judge_at(rule, self.facts.as_recorded, place, self.accuracy)
            return as_recorded if as_recorded.verdict.outcome == FAIL else found
        return found

    def judged_doubting(self, rule: tree.BoundRule | None, place: Place) -> Judged | None:
        """The same, where a doubted reading is not known."""
        if rule is None or place not in self.places(rule.for_each):
            return None
        said = self.said(rule, place)
        tried = said is None and not place.missing and not self.facts.doubts
        if tried and (self.planned or self.compiler.functions.often(rule)):
            verdict = self.compiler.functions.trial(rule).verdict(self.facts, place.item, place.outer)
            if verdict is not None:
                return self.judged_as(rule, place, verdict)
        return judge_at(rule, self.facts, place, self.accuracy, None, said)

    def outcome_at(self, rule: tree.BoundRule, place: Place) -> str:
        """The outcome of a rule at a place where its function left it open."""
        return self.compiler.remembered.outcome(rule, self.facts, place, self.ranges, lambda: self.settled(rule, place))

    def settled(self, rule: tree.BoundRule, place: Place) -> str:
        """The same, worked out."""
        if self.facts.doubts:
            judged = self.judged(rule, place)
            return judged.verdict.outcome if judged else DOES_NOT_APPLY
        if not place.missing:
            outcome = self.compiler.functions.trial(rule).outcome(self.facts, place.item, place.outer)
            if outcome is not None:
                return outcome
        return judge_at(rule, self.facts, place, self.accuracy).verdict.outcome

    # --- editions and days ---

    def variants(self, rule_id: str) -> list[Variant]:
        """The rule under every edition and day that could hold."""
        told = self.told.answers.get(rule_id, ())
        return self.compiler.variants(self.chain, rule_id, self.versions.settings(rule_id), told)

    @functools.cached_property
    def told(self) -> Told:
        """What the authority answered for this job alone."""
        return answers_in_job.told(self.job, self.chain, self.on)

    def program(self) -> tuple[RuleVersions, ...]:
        """Every rule under the editions and days that could hold, with the answers that this job records."""
        found = self.compiler.program(self.chain, self.versions)
        if not self.told.answers:
            return found
        return tuple(
            RuleVersions(one.rule, tuple(self.variants(one.rule))) if one.rule in self.told.answers else one
            for one in found
        )
