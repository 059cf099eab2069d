"""Check a job: find its rulesets, judge every rule under every edition and day that could hold, and report.

What others call: `Checker(library, vocabulary).check(document, on)`.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from checker import accuracies, describe, expression, tree, units
from checker.acceptances import with_acceptance
from checker.bind import bind
from checker.compose import Composer
from checker.evaluate import truth
from checker.expression import ExpressionError
from checker.facts import Vocabulary, pattern
from checker.findings import FAIL, PASS, REASONS, VERIFY, Alternative, Finding
from checker.generated import DOES_NOT_APPLY, Quick, compiled
from checker.job import Job, JobFacts, load
from checker.judge import Judged, judge
from checker.layer_limits import chain_problems
from checker.layers import Chain, chain, effective
from checker.library import Library
from checker.names import Context
from checker.problems import ProblemsFound, did_you_mean
from checker.reads import facts_read
from checker.report.model import Report, RulesetUsed
from checker.resolve import Resolver
from checker.source import Document
from checker.uncertainty import AccuracyOf
from checker.values import Cause, Scope, Unknown
from checker.versions import Setting, Versions

# Sections of a job that tell of the job and the means, not of the work: no rule is missed in not reading them.
ASIDE = ("site", "dates", "instruments", "acceptances", "inspections", "permits", "photographs", "supplies")

# The section of a job that says which work was done: what is not in it was left as found.
SCOPE = "scope."


class Variant(NamedTuple):
    setting: Setting
    rule: tree.BoundRule | None


class Checker:
    """Rulesets and a vocabulary, ready to check jobs. Keeps what it has bound; the same job gives the same report."""

    def __init__(self, library: Library, vocabulary: Vocabulary, wanted: tuple[str, ...] = ()) -> None:
        self.library, self.wanted = library, wanted
        for ruleset in library.rulesets.values():
            if ruleset.facts:
                facts = {name: fact.model_dump(exclude_defaults=True) for name, fact in ruleset.facts.items()}
                vocabulary = vocabulary.with_local(ruleset.id, facts)
        self.vocabulary = vocabulary
        self._using: dict[str, Checker] = {}
        self._chains: dict[str, Chain] = {}
        self._quick: dict[int, Quick] = {}
        self._bound: dict[tuple[str, str, tuple[tuple[str, str | None], ...], int], tree.BoundRule | None] = {}

    def using(self, ruleset: str) -> Checker:
        """This checker with one ruleset more than those of the place."""
        if ruleset in self.wanted:
            return self
        if ruleset not in self._using:
            self._using[ruleset] = Checker(self.library, self.vocabulary, (*self.wanted, ruleset))
        return self._using[ruleset]

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
        place = self.chain(job.text("site.jurisdiction"))
        return _Check(self, job, place, on).report()

    def check_rule(
        self, document: Document, rule_id: str, stated: Mapping[str, str], on: datetime.date
    ) -> list[Finding]:
        """What one rule says of a job under these editions: how cases are judged."""
        job = load(document, self.vocabulary)
        return _Check(self, job, self.chain(job.text("site.jurisdiction")), on, stated).judge_rule(rule_id)[0]

    def explained(self, job: Job, rule_id: str, on: datetime.date) -> Iterator[tuple[Variant, list[Finding]]]:
        """A rule under each edition or day that could hold for a job, with what it finds there."""
        check = _Check(self, job, self.chain(job.text("site.jurisdiction")), on)
        for variant in check.variants(rule_id):
            yield variant, check.findings_of(rule_id, [variant])[0]

    def looked_at(self, job: Job, on: datetime.date) -> Iterator[tuple[tree.BoundRule, Judged]]:
        """Each rule, under each edition or day that could hold, at each place of a job where it applies or may apply."""
        for rule_id in self.chain(job.text("site.jurisdiction")).rule_ids:
            for rule, judged in self.judged(job, rule_id, on):
                if judged.verdict.outcome != DOES_NOT_APPLY:
                    yield rule, judged

    def judged(
        self, job: Job, rule_id: str, on: datetime.date, stated: Mapping[str, str] | None = None
    ) -> Iterator[tuple[tree.BoundRule, Judged]]:
        """One rule under each edition or day that could hold, at each place of a job, also where it does not apply."""
        check = _Check(self, job, self.chain(job.text("site.jurisdiction")), on, stated)
        for variant in check.variants(rule_id):
            if variant.rule is not None:
                for judged in judge(variant.rule, check.facts, check.accuracy, self.quick(variant.rule)):
                    yield variant.rule, judged

    def seen(self, job: Job) -> tuple[AccuracyOf, JobFacts]:
        """A job as rules see it: the accuracy of its readings, and its facts with the ranges of the place."""
        place = self.chain(job.text("site.jurisdiction"))
        return accuracies.of(job, place), JobFacts(job, dict(_ranges(place, self.vocabulary)))

    def chain(self, place: str) -> Chain:
        """The chain of rulesets for a place.

        Raises:
            ProblemsFound: The chain cannot be made, or a layer does what it may not.
        """
        if place not in self._chains:
            found = chain(self.library, place, self.wanted)
            problems = list(chain_problems(found))
            if problems:
                raise ProblemsFound(problems)
            self._chains[place] = found
        return self._chains[place]

    def quick(self, rule: tree.BoundRule) -> Quick:
        """The generated function of a bound rule."""
        if id(rule) not in self._quick:
            self._quick[id(rule)] = compiled(rule)
        return self._quick[id(rule)]

    def bound(self, place: Chain, rule_id: str, setting: Setting) -> tree.BoundRule | None:
        """A rule bound for a setting, None where it is not in force there.

        Raises:
            ProblemsFound: The rule has mistakes.
        """
        key = (place.digest, rule_id, setting.editions, setting.day)
        if key not in self._bound:
            editions = dict(setting.editions)
            context = Context(place, self.vocabulary, editions, setting.day)
            rule, problems = bind(effective(place, "rules", rule_id, editions, setting.day), context)
            if problems:
                raise ProblemsFound(problems)
            self._bound[key] = rule
        return self._bound[key]


class _Check:
    def __init__(
        self, checker: Checker, job: Job, place: Chain, on: datetime.date, stated: Mapping[str, str] | None = None
    ) -> None:
        self.checker, self.job, self.chain, self.on = checker, job, place, on
        self.accuracy, self.facts = checker.seen(job)
        self.versions = Versions(job, place, stated)
        self.composer = Composer(job, self.versions.date_that_counts)

    def report(self) -> Report:
        outside, unsure = self.written_for()
        findings: list[Finding] = []
        not_applying = left_as_found = 0
        for rule_id in self.chain.rule_ids if not outside else ():
            variants = self.variants(rule_id)
            found, without = self.findings_of(rule_id, variants)
            findings += found
            not_applying += without
            left_as_found += bool(without and not found and self.left_as_found(variants))
        findings = [self.held_back(finding, findings) for finding in findings]
        findings, acceptance_notes = with_acceptance(findings, self.job, self.on)
        return Report(
            job_id=self.job.id,
            file=self.job.file,
            title=self.job.text("title"),
            place=self.chain.place,
            on=self.on.isoformat(),
            dates=self.dates(),
            rulesets=rulesets_used(self.chain),
            notes=(*self.header_notes(), *unsure, *acceptance_notes),
            outside=tuple(outside),
            findings=tuple(findings),
            not_applying=not_applying,
            unread=tuple(self.unread()),
            left_as_found=left_as_found,
        )

    def unread(self) -> Iterator[str]:
        """Titles of recorded facts that no rule here reads: what is said of the job says nothing of them."""
        read = self.chain.facts_named
        for path in self.job.readings:
            leaf = self.job.vocabulary.leaves[pattern(path)]
            section = leaf.path.split(".")[0]
            if leaf.form not in ("text", "constant") and section not in ASIDE and leaf.path not in read:
                yield leaf.title

    def left_as_found(self, variants: list[Variant]) -> bool:
        """Whether a rule does not apply because the work it looks at is not in the scope of the job."""
        return any(rule and self.out_of_scope(rule) for _, rule in variants)

    def out_of_scope(self, rule: tree.BoundRule) -> bool:
        scope = Scope(self.facts, rule.where)
        on_scope = [
            condition
            for condition in rule.applies.conditions
            if (facts := facts_read(condition, scope)) and all(fact.startswith(SCOPE) for fact in facts)
        ]
        return truth(tree.All(tuple(on_scope)), scope) is False

    # --- the job as a whole ---

    def written_for(self) -> tuple[list[str], list[str]]:
        """Why these rulesets cannot speak of this job, and what they cannot tell about that."""
        outside, unsure = [], []
        context = Context(self.chain, self.checker.vocabulary, {}, self.on.toordinal())
        for ruleset in self.chain.rulesets:
            for index, line in enumerate(ruleset.header.written_for):
                try:
                    node = Resolver(context).condition(expression.parse_condition(line.when), line.when)
                except ExpressionError as error:
                    part = ruleset.parts["header", ""]
                    raise ProblemsFound(
                        [part.problem(("written_for", index, "when"), error.what, error.mend, error.column)]
                    ) from None
                found = truth(node, Scope(self.facts, {}))
                if found is False:
                    outside.append(line.otherwise)
                elif isinstance(found, Unknown):
                    titles = ", ".join(sorted(self.job.vocabulary.title(cause.fact).lower() for cause in found.causes))
                    unsure.append(f"Not recorded: {titles}. {line.otherwise}")
        return list(dict.fromkeys(outside)), list(dict.fromkeys(unsure))

    def header_notes(self) -> Iterator[str]:
        yield from self.job.notes
        if not self.chain.covered:
            known = [place for ruleset in self.checker.library.rulesets.values() for place in ruleset.header.covers]
            place = self.chain.place
            named = f"No ruleset covers '{place}'" if place else "The job names no jurisdiction"
            hint = f" {did_you_mean(place, known)}" if place else ""
            codes = "each code that the job does not tell of" if self.versions.told else "each code"
            yield f"{named}; judged under every shipped edition of {codes}, and said so where they differ.{hint}"
            for ruleset in self.chain.rulesets:
                if ruleset.id in self.versions.passed_over:
                    yield f"{ruleset.header.title}: not looked at; where it is adopted, say so under site.adopted."
        for code, (edition, told_by) in sorted(self.versions.told.items()):
            used = "the ruleset of the place adopts by date and is used" if self.chain.adoptions(code) else "used"
            yield f"{code} {edition} as told by {told_by}: {used}."
        for ruleset in self.checker.library.rulesets.values():
            here = set(ruleset.header.uses) <= set(self.chain.by_id)
            if ruleset.header.owner_kind == "group" and ruleset.id not in self.chain.by_id and here:
                yield f"The ruleset {ruleset.id} was read but is not used here; add --ruleset {ruleset.id} to use it."
        for path, (low, high) in self.facts.ranges.items():
            value = self.job.worth(path)
            if isinstance(value, float) and not low <= value <= high:
                title = self.job.vocabulary.title(path)
                yield f"{title}, {self.job.readings[path].written}, is outside what the rulesets give for this place."
        for ruleset in self.chain.rulesets:
            if ruleset.header.reviewed_through < self.on.isoformat():
                yield f"Nobody has reviewed the ruleset {ruleset.id} since {ruleset.header.reviewed_through}."

    def dates(self) -> tuple[tuple[str, str], ...]:
        paths = sorted({path for rule in self.chain.rule_ids if (path := self.versions.date_that_counts(rule))})
        return tuple(
            (self.job.vocabulary.title(path), reading.written)
            for path in paths
            if (reading := self.job.readings.get(path))
        )

    # --- one rule ---

    def judge_rule(self, rule_id: str) -> tuple[list[Finding], int]:
        """The findings of one rule, and how often it did not apply."""
        return self.findings_of(rule_id, self.variants(rule_id))

    def findings_of(self, rule_id: str, variants: list[Variant]) -> tuple[list[Finding], int]:
        by_place: dict[str, list[tuple[Variant, Judged | None]]] = {}
        for variant in variants:
            rule = variant.rule
            for judged in judge(rule, self.facts, self.accuracy, self.checker.quick(rule)) if rule else ():
                by_place.setdefault(judged.place.key, []).append((variant, judged))
        findings = []
        not_applying = 0 if by_place else 1
        for found in by_place.values():
            silent = [v for v in variants if v not in [variant for variant, _ in found]]
            finding = self.combined(found + [(variant, None) for variant in silent])
            findings += [finding] if finding else []
            not_applying += finding is None
        return findings, not_applying

    def combined(self, found: list[tuple[Variant, Judged | None]]) -> Finding | None:
        """One finding out of what the rule says under each edition or day that could hold."""
        outcomes = {judged.verdict.outcome if judged else DOES_NOT_APPLY for _, judged in found}
        said = [(variant, judged) for variant, judged in found if judged and judged.verdict.outcome != DOES_NOT_APPLY]
        if not said:
            return None
        worst = min(
            said, key=lambda pair: ((FAIL, VERIFY, PASS).index(pair[1].verdict.outcome), -len(pair[0].setting.label))
        )
        agreed = len(outcomes) == 1 or outcomes == {PASS, DOES_NOT_APPLY}
        variant, judged = said[-1] if agreed else worst
        assert variant.rule is not None
        finding = self.composer.finding(variant.rule, judged, self.accuracy)
        if agreed:
            return finding._replace(citations=describe.merged_citations([v.rule.citations for v, _ in said if v.rule]))
        doubt = found[0][0].setting.doubt or "not_adopted"
        causes = judged.verdict.causes | {Cause(doubt, "")}
        reason = next(reason for reason in REASONS if reason in {cause.reason for cause in causes})
        order = (FAIL, VERIFY, PASS, DOES_NOT_APPLY)
        alternatives = sorted(
            (Alternative(v.setting.label, j.verdict.outcome if j else DOES_NOT_APPLY) for v, j in found),
            key=lambda a: (order.index(a.outcome), a.label),
        )
        return finding._replace(outcome=VERIFY, reason=reason, alternatives=tuple(alternatives))

    def held_back(self, finding: Finding, findings: list[Finding]) -> Finding:
        """A remedy waits while a rule that it could break is failing or unknown on the same item."""
        open_ones = [
            other.title
            for other in findings
            if other.rule in finding.remedy_after
            and other.outcome != PASS
            and (other.item.split("/")[0] in (finding.item, "") or not finding.item)
        ]
        if finding.outcome != FAIL or not open_ones:
            return finding
        first = "; ".join(dict.fromkeys(title[0].lower() + title[1:] for title in open_ones))
        return finding._replace(remedy=f"Before any larger device, settle first: {first}.", bring="")

    # --- editions and days ---

    def variants(self, rule_id: str) -> list[Variant]:
        """The rule under every edition and day that could hold, each different one once, labelled with all it stands for."""
        found: list[Variant] = []
        for setting in self.versions.settings(rule_id):
            bound = self.checker.bound(self.chain, rule_id, setting)
            same = next((i for i, variant in enumerate(found) if variant.rule == bound), -1)
            if same < 0:
                found.append(Variant(setting, bound))
            else:
                label = ", ".join(filter(None, (found[same].setting.label, setting.label)))
                found[same] = Variant(found[same].setting._replace(label=label), bound)
        return found


def rulesets_used(place: Chain) -> tuple[RulesetUsed, ...]:
    """The rulesets of a chain as a report names them."""
    return tuple(RulesetUsed(r.id, r.header.version, r.digest, r.header.title) for r in place.rulesets)


def _ranges(place: Chain, vocabulary: Vocabulary) -> Iterator[tuple[str, tuple[float, float]]]:
    """The possible values that the rulesets give for a place, such as its lowest and highest elevation."""
    for ruleset in place.rulesets:
        for path, (low, high) in ruleset.header.possible.items():
            leaf = vocabulary.leaves.get(path)
            if leaf is None:
                part = ruleset.parts["header", ""]
                raise ProblemsFound(
                    [part.problem(("possible", path, "="), f"'{path}' is not a fact.", "Name a fact of a job.")]
                )
            yield (
                path,
                (units.read_amount(low, leaf.kind, leaf.unit)[0], units.read_amount(high, leaf.kind, leaf.unit)[0]),
            )
