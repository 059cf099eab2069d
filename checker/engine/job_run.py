"""One job before its rulesets: every rule judged under every edition and day that could hold, and the report of it."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from checker.binding import answers_in_job, authority_answers
from checker.binding.answers_in_job import Told
from checker.engine.compiler import MOST_PROGRAMS, Bench
from checker.engine.plan import Plan
from checker.engine.scope import Spoken, spoken_of
from checker.engine.variants import Asked, Variant
from checker.findings import answer_notes
from checker.findings.acceptances import with_acceptance
from checker.findings.composer import Before, Composer, said_at
from checker.findings.finding import Finding
from checker.findings.questions import Version
from checker.findings.report import NotJudged, Report, RulesetUsed, Unread
from checker.ir import tree
from checker.ir.kleene import Nothing, Scope
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.ir.references import facts_read
from checker.judging.conditions import truth
from checker.judging.generated_code import DOES_NOT_APPLY, Said
from checker.judging.judge import Judged, Place, Verdict, agreed, judge, judge_at, places, scope_of
from checker.judging.uncertainty import Accuracy
from checker.problems.problem import did_you_mean
from checker.problems.sanitize import low
from checker.reading.job import Job
from checker.reading.second_look import second_look
from checker.rulesets.applicability import Versions
from checker.rulesets.layering import Chain

FEW = 8  # jobs of a run that are not worth writing functions for
SETTLE_FIRST = "Settle first:"


class OneJob:
    def __init__(
        self, bench: Bench, job: Job, place: Chain, on: datetime.date, stated: Mapping[str, str] | None = None
    ) -> None:
        self.bench, self.job, self.chain, self.on = bench, job, place, on
        self.facts = bench.facts(job, place)
        self.versions = Versions(job, place, stated)
        self.composer = Composer(job, place, self.versions.calendar.that_count)
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
        plans, functions = self.bench.plans, self.bench.functions
        if self.told.answers:  # of this job alone
            return Plan(self.judged_by(), functions)
        key = (self.chain.digest, self.versions.key, self.left_out)
        if key not in plans:
            if len(plans) >= MOST_PROGRAMS:
                plans.clear()
            plans[key] = Plan(self.judged_by(), functions)
        found: Plan = plans[key]
        return found

    def report(self) -> Report:
        self.plan.jobs += 1
        self.planned = self.plan if self.plan.jobs > FEW else None
        self.remembering = self.bench.remembered.jobs > 0 and not self.told.answers
        self.bench.remembered.jobs += 1
        findings: list[Finding] = []
        not_asked: list[str] = []
        not_applying = left_as_found = 0
        for rule_id, variants in self.judged_by():
            found, silent = self.said_of(variants)
            findings += found
            not_applying += silent
            left_as_found += not found and self.left_as_found(variants)
            not_asked += (*self.not_asked(variants), *self.withdrawn(rule_id)) if not found else ()
        findings = [self.held_back(finding, findings) for finding in findings]
        findings, acceptance_notes = with_acceptance(findings, self.job, self.on)
        deciding = tuple(self.deciding_notes())
        return Report(
            job_id=self.job.id,
            file=self.job.file,
            title=self.job.text("title"),
            place=self.chain.place,
            on=self.on.isoformat(),
            dates=self.dates(),
            rulesets=rulesets_used(self.chain),
            notes=(
                *deciding,
                *self.standing_notes(),
                *dict.fromkeys(self.unsure()),
                *dict.fromkeys(not_asked),
                *self.told.notes,
                *acceptance_notes,
            ),
            not_judged=tuple(self.not_judged()),
            findings=tuple(findings),
            not_applying=not_applying,
            unread=tuple(sorted(self.unread(findings), key=lambda one: not one.alarming)),
            left_as_found=left_as_found,
            caution=self.bench.vocabulary.caution,
            rulebook=self.bench.rulebook(self.program()),
            deciding=(*deciding, *self.unsure_in_short(), *self.told.notes, *acceptance_notes),
            open_codes=tuple(
                self.chain.by_id[code].header.title.partition(",")[0]
                for code in sorted(self.versions.undecided)
                if code in self.chain.by_id
            ),
            stations=self.bench.vocabulary.stations,
        )

    def unread(self, findings: Iterable[Finding]) -> Iterator[Unread]:
        """The recorded facts that no rule that applied looked at: what is said of the job says nothing of them.

        Whoever is told that a rule does not apply may take it that what switched it off was looked at. A value that would
        worry an inspector was looked at only where a finding names it.
        """
        found = {fact.fact for finding in findings for fact in finding.evidence}
        of_rules = {finding.rule for finding in findings}
        switched, elsewhere = set[str](), set[str]()
        for asked in self.judged_by():
            named = [self.bench.named(rule) for _, rule in asked.variants if rule]
            switched.update(*(one.switches for one in named))
            if len(named) > 1 and asked.rule in of_rules:  # a finding holds the evidence of one edition
                elsewhere.update(*(one.all for one in named))
        for path, reading in self.job.readings.items():
            leaf = None if path in found else self.bench.of_the_work(path)
            if leaf is None or leaf.path in elsewhere or isinstance(self.job.worth(path), Nothing):
                continue
            alarming = bool(leaf.alarming) and self.job.worth(path) in leaf.alarming
            if alarming or leaf.path not in switched:
                yield Unread(path, leaf.title, self.item_of(path), reading.written, alarming)

    def item_of(self, path: str) -> str:
        """The keys of the list items around a fact, as findings name them."""
        keys, names = [], path.split(".")
        for at, name in enumerate(names):
            listed = self.job.lists.get(".".join(names[:at])) if name.isdigit() else None
            keys += [listed[int(name)]] if listed else []
        return "/".join(keys)

    def left_as_found(self, variants: Sequence[Variant]) -> bool:
        """Whether a rule does not apply because the work it looks at is not in the scope of the job."""
        return any(rule and self.out_of_scope(rule) for _, rule in variants)

    def not_asked(self, variants: Sequence[Variant]) -> Iterator[str]:
        """What a rule would have asked of this job, had the authority not answered that it does not ask for it."""
        for rule in (variant.rule for variant in variants if variant.rule):
            asked = authority_answers.as_if_asked(rule)
            if asked and any(
                judged.verdict.outcome in (FAIL, VERIFY) for judged in judge(asked, self.facts, self.accuracy)
            ):
                yield from answer_notes.not_asked(rule)

    def withdrawn(self, rule_id: str) -> Iterator[str]:
        """What a rule would have asked of this job, had no ruleset of the place withdrawn it, and on what ground."""
        for setting in self.versions.settings(rule_id) if self.chain.withdrawn(rule_id) else ():
            rule, why = self.bench.withdrawn(self.chain, rule_id, setting)
            if rule and any(one.verdict.outcome in (FAIL, VERIFY) for one in judge(rule, self.facts, self.accuracy)):
                yield f"Not asked here: {rule.title}. {why}"

    def out_of_scope(self, rule: tree.BoundRule) -> bool:
        """Whether a rule asks of the section that says which work was done, and the job says that it was not.

        The yes-or-no facts of that section say it. A rule on another kind of equipment looks at no work of this job.
        """
        scope, section = Scope(self.facts, rule.where), f"{self.job.at('scope')}."
        work: list[tree.Condition] = []
        kinds: list[tree.Condition] = []
        for condition in rule.applies.conditions:
            facts = facts_read(condition, scope)
            if facts and all(fact.startswith(section) for fact in facts):
                (work if all(self._tells_of_work(fact) for fact in facts) else kinds).append(condition)
        return truth(tree.All(tuple(work)), scope) is False and truth(tree.All(tuple(kinds)), scope) is not False

    def _tells_of_work(self, fact: str) -> bool:
        leaf = self.job.vocabulary.leaf(fact)
        return leaf is not None and leaf.kind == "flag"

    # --- the job as a whole ---

    @functools.cached_property
    def spoken(self) -> Spoken:
        """Which rulesets of the place are written for this job."""
        lines = self.bench.written_for(self.chain, self.on.toordinal())
        return spoken_of(self.chain, lines, Scope(self.facts, {}))

    @functools.cached_property
    def left_out(self) -> frozenset[str]:
        """The rules that are not judged because they, or their rulesets, are not written for this job."""
        outside = [self.chain.by_id[name] for name in {**self.spoken.outside, **self.spoken.apart}]
        return frozenset(rule for one in outside for rule in one.rules if self.spoken.leaves_out(one.id, rule))

    def judged_by(self) -> Iterator[Asked]:
        """The rules that the job is judged by."""
        for asked in self.program():
            if asked.rule not in self.left_out:
                yield asked

    def not_judged(self) -> Iterator[NotJudged]:
        """The rulesets that are not written for this job, with the rules in force that were left out."""
        program = self.bench.program(self.chain, self.versions) if self.left_out else ()
        out = [asked.rule for asked in program if asked.rule in self.left_out and any(v.rule for v in asked.variants)]
        for name in self.spoken.outside:
            ruleset = self.chain.by_id[name]
            rules = tuple(rule for rule in out if rule in ruleset.rules)
            if rules:
                yield NotJudged(name, ruleset.header.title, self.spoken.why(name), rules)

    def unsure(self) -> Iterator[str]:
        """What is not recorded of the job, so that nobody can tell whether the rulesets are written for it."""
        for otherwise, found in self.spoken.unknown:
            titles = ", ".join(sorted(low(self.job.vocabulary.title(cause.fact)) for cause in found.causes))
            yield f"Not recorded: {titles}. {otherwise}"

    def unsure_in_short(self) -> Iterator[str]:
        """What `unsure` tells, without what would hold otherwise."""
        causes = [cause for _, found in self.spoken.unknown for cause in found.causes]
        titles = sorted({low(self.job.vocabulary.title(cause.fact)) for cause in causes})
        if titles:
            yield f"Not recorded: {', '.join(titles)}. Some of these rules are not written for every kind."

    def deciding_notes(self) -> Iterator[str]:
        """Notes without which the outcomes would be read wrong: what was taken from elsewhere, and which editions hold."""
        yield from self.job.notes
        yield from second_look(self.job, self.on)
        if not self.chain.covered:
            known = [place for ruleset in self.bench.library.rulesets.values() for place in ruleset.header.covers]
            place = self.chain.place
            named = f"No ruleset covers '{place}'" if place else "The job names no jurisdiction"
            hint = f" {did_you_mean(place, known)}" if place else ""
            codes = "each code that the job does not tell of" if self.versions.told else "each code"
            yield f"{named}; judged under every shipped edition of {codes}, and said so where they differ.{hint}"
        for code in sorted(self.versions.undecided) if self.chain.covered else ():
            yield (
                f"No ruleset of this place adopts an edition of {code}; judged under every shipped one, and said so where "
                "they differ."
            )
        for code, (edition, told_by) in sorted(self.versions.told.items()):
            used = "the ruleset of the place adopts by date and is used" if self.chain.adoptions(code) else "used"
            yield f"{code} {edition} as told by {told_by}: {used}."
        for path, (least, most) in self.facts.ranges.items():
            value = self.job.worth(path)
            if isinstance(value, float) and not least <= value <= most:
                title = self.job.vocabulary.title(path)
                yield f"{title}, {self.job.readings[path].written}, is outside what the rulesets give for this place."

    def standing_notes(self) -> Iterator[str]:
        """Notes on the rulesets themselves: those that were left aside, and when they were last reviewed."""
        for ruleset in self.chain.rulesets if not self.chain.covered else ():
            if ruleset.id in self.versions.passed_over:
                yield f"{ruleset.header.title}: not looked at; where it is adopted, say so under {self.job.at('adopted')}."
        for ruleset in self.bench.library.rulesets.values():
            here = set(ruleset.header.uses) <= set(self.chain.by_id)
            if ruleset.header.owner_kind == "group" and ruleset.id not in self.chain.by_id and here:
                yield f"The ruleset {ruleset.id} was read but is not used here; add --ruleset {ruleset.id} to use it."
        for ruleset in self.chain.rulesets:
            if ruleset.header.reviewed_through < self.on.isoformat():
                yield f"Nobody has reviewed the ruleset {ruleset.id} since {ruleset.header.reviewed_through}."

    def dates(self) -> tuple[tuple[str, str], ...]:
        return tuple(
            (self.job.vocabulary.title(path), reading.written)
            for path in self.versions.calendar.paths
            if (reading := self.job.readings.get(path))
        )

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
        remembered = self.bench.remembered
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
        """The same by the verdicts of another job."""
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
            quick = None if place.missing else self.bench.quick(rule)
            return quick(scope_of(rule, self.facts, place, self.accuracy)) if quick else None
        key = id(group), place
        if key not in self._said:
            self._said[key] = group.judged(self.facts, place, telling=True)
        return self._said[key][group.at[id(rule)]]

    def judged(self, rule: tree.BoundRule | None, place: Place) -> Judged | None:
        """A verdict in one place, None where the rule is not in force or does not go there."""
        if rule is None or place not in self.places(rule.for_each):
            return None
        said = self.said(rule, place)
        if said is None and not place.missing and (self.planned or self.bench.functions.often(rule)):
            verdict = self.bench.functions.trial(rule).verdict(self.facts, place.item, place.outer)
            if verdict is not None:
                return self.judged_as(rule, place, verdict)
        return judge_at(rule, self.facts, place, self.accuracy, None, said)

    def outcome_at(self, rule: tree.BoundRule, place: Place) -> str:
        """The outcome of a rule at a place where its function left it open."""
        return self.bench.remembered.outcome(rule, self.facts, place, self.ranges, lambda: self.settled(rule, place))

    def settled(self, rule: tree.BoundRule, place: Place) -> str:
        """The same, worked out."""
        if not place.missing:
            outcome = self.bench.functions.trial(rule).outcome(self.facts, place.item, place.outer)
            if outcome is not None:
                return outcome
        return judge_at(rule, self.facts, place, self.accuracy).verdict.outcome

    def held_back(self, finding: Finding, findings: list[Finding]) -> Finding:
        """Say before a remedy which rules on the same item to settle first: those it names that fail or are unknown."""
        if finding.outcome != FAIL or not finding.remedy_after:
            return finding
        open_ones = [
            other.title
            for other in findings
            if other.rule in finding.remedy_after and other.outcome != PASS and on_one_item(finding.item, other.item)
        ]
        if not open_ones:
            return finding
        first = f"{SETTLE_FIRST} {'; '.join(dict.fromkeys(open_ones))}."
        return finding._replace(remedy=f"{first} {finding.remedy}".strip())

    # --- editions and days ---

    def variants(self, rule_id: str) -> list[Variant]:
        """The rule under every edition and day that could hold."""
        told = self.told.answers.get(rule_id, ())
        return self.bench.variants(self.chain, rule_id, self.versions.settings(rule_id), told)

    @functools.cached_property
    def told(self) -> Told:
        """What the authority answered for this job alone."""
        return answers_in_job.told(self.job, self.chain, self.on)

    def program(self) -> tuple[Asked, ...]:
        """Every rule under the editions and days that could hold, with the answers that this job records."""
        found = self.bench.program(self.chain, self.versions)
        if not self.told.answers:
            return found
        return tuple(
            Asked(one.rule, tuple(self.variants(one.rule))) if one.rule in self.told.answers else one for one in found
        )


def on_one_item(one: str, other: str) -> bool:
    """Whether two findings are of the same item, or of one and of an item inside it; the whole job holds every item."""
    return all(a == b for a, b in zip(one.split("/"), other.split("/"), strict=False)) or not (one and other)


def rulesets_used(place: Chain) -> tuple[RulesetUsed, ...]:
    """The rulesets of a chain as a report names them."""
    return tuple(RulesetUsed(r.id, r.header.version, r.digest, r.header.title) for r in place.rulesets)
