"""Rulesets and a vocabulary made ready: chains, bound rules and their functions, each made once and kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from types import MappingProxyType
from typing import Any, NamedTuple, Self

from checker.engine.functions import Functions
from checker.engine.program_of import Bound, every_setting, program_of
from checker.engine.readiness import ranges_of, refuse_misplaced_facts, refuse_unfinished
from checker.engine.remembered import Remembered
from checker.engine.scope import Lines, Work
from checker.engine.thawing import frozen_program
from checker.engine.variants import RuleVersions, Variant, merged
from checker.findings.rulebook import Rulebook
from checker.ir import tree
from checker.ir.codec import CodecError
from checker.ir.program import Program, document, loaded
from checker.ir.references import patterns_read
from checker.judging import instruments
from checker.judging.generated_code import Quick
from checker.judging.uncertainty import AccuracyOf
from checker.problems.problem import ProblemsFound, first_of
from checker.reading import cache
from checker.reading.fact_shapes import Leaf, pattern
from checker.reading.job import Job, JobFacts
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.applicability import NOT_IN_FORCE, Setting, Versions, days_of
from checker.rulesets.chain import Chain, chain
from checker.rulesets.layer_permissions import chain_problems
from checker.rulesets.layering import Answered, effective, withdrawal
from checker.rulesets.library import Library
from checker.rulesets.local_facts import as_schema

MOST_PROGRAMS = 200
MOST_CHAINS = 500
MOST_RULES = 2_000  # that something is known of; those that a job's own answers make come and go


class Named(NamedTuple):
    """The facts, without list positions, that a rule names: those on which it hangs whether it applies, and all."""

    switches: frozenset[str]
    all: frozenset[str]


class Compiler:
    """Keeps what it has made; the same job always meets the same rules.

    `kept` takes the bound rules of an earlier run out of the user's cache: right where every ruleset was read from disk as
    it is, so that its digest tells all of it. A release says itself what the digests of its rulesets are: nothing is kept
    of those, lest what one release says be taken for what stands on disk.
    """

    def __init__(
        self, library: Library, vocabulary: Vocabulary, wanted: tuple[str, ...] = (), kept: bool = False
    ) -> None:
        self.library, self.wanted, self.kept = library, wanted, kept and not library.released
        with_facts = [ruleset for ruleset in library.rulesets.values() if ruleset.facts]
        for ruleset in with_facts:
            refuse_misplaced_facts(ruleset, vocabulary)
        self.vocabulary = vocabulary.with_local(
            {one.id: {name: as_schema(fact) for name, fact in one.facts.items()} for one in with_facts}
        )
        self._thawed: dict[str, Program | None] = {}
        self._using: dict[str, Self] = {}
        self._chains: dict[tuple[str, str], Chain] = {}
        self._ranges: dict[str, dict[str, tuple[float, float]]] = {}
        self.functions = Functions(library, self.vocabulary)
        self.remembered = Remembered(self.vocabulary)
        self._written_for: dict[tuple[str, int], Lines] = {}
        self._of_the_work: dict[str, Leaf | None] = {}
        self._named: dict[int, tuple[tree.BoundRule, Named]] = {}
        self._asked: dict[tuple[str, tuple[Setting, ...]], dict[str, RuleVersions]] = {}
        self._programs: dict[tuple[Any, ...], tuple[RuleVersions, ...]] = {}
        self._rulebooks: dict[int, tuple[tuple[RuleVersions, ...], Rulebook]] = {}
        self.plans: dict[tuple[Any, ...], Any] = {}
        self.work = Work(self.vocabulary)
        self._withdrawn: dict[tuple[Any, ...], tuple[tree.BoundRule | None, str]] = {}

    def using(self, ruleset: str) -> Self:
        """The same with one ruleset more than those of the place."""
        if ruleset in self.wanted:
            return self
        if ruleset not in self._using:
            self._using[ruleset] = type(self)(self.library, self.vocabulary, (*self.wanted, ruleset), self.kept)
        return self._using[ruleset]

    def chain_of(self, job: Job) -> Chain:
        """The chain of rulesets for the place of a job.

        Raises:
            ProblemsFound: As `chain`.
        """
        return self.chain(job.place, job.text(job.at("state")))

    def chain(self, place: str, state: str = "") -> Chain:
        """The chain of rulesets for a place.

        Args:
            state: The state of the place, for where no ruleset covers it.

        Raises:
            ProblemsFound: The chain cannot be made, or a layer does what it may not.
        """
        found = self._chains.get((place, state))
        if found is None:
            found = chain(self.library, place, self.wanted, state)
            self._refuse_unsound(found)
            if len(self._chains) >= MOST_CHAINS:
                self._chains.clear()
                self._ranges.clear()
            self._chains[place, state] = found
        return found

    def _refuse_unsound(self, place: Chain) -> None:
        """
        Raises:
            ProblemsFound: A layer does what it may not.
        """
        days = days_of(place)
        if self.kept and days.recall(cache.recall("chain", place.digest)):
            return
        problems = first_of(chain_problems(place))
        if problems:
            raise ProblemsFound(problems)
        if self.kept:
            cache.keep(days.cuts, "chain", place.digest)

    def withdrawn(self, place: Chain, rule_id: str, setting: Setting) -> tuple[tree.BoundRule | None, str]:
        """A rule that a ruleset withdrew, as it would stand, and who withdrew it on what ground; None where it was not."""
        key = (place.digest, rule_id, setting.editions, setting.day)
        if key not in self._withdrawn:
            editions = dict(setting.editions)
            found = effective(place, "rules", rule_id, editions, setting.day)
            rule = None
            if found.withdrawn:
                from checker.binding.binder import bind
                from checker.binding.names import Context

                context = Context(place, self.vocabulary, editions, setting.day)
                rule = bind(found._replace(withdrawn=False), context)[0]
            self._withdrawn[key] = rule, withdrawal(place, found) if rule else ""
        return self._withdrawn[key]

    def quick(self, rule: tree.BoundRule) -> Quick | None:
        """The generated function of a bound rule, once it is judged so often that writing the function pays."""
        return self.functions.alone(rule)

    def program(self, place: Chain, versions: Versions) -> tuple[RuleVersions, ...]:
        """Every rule of a place under the editions and days that could hold for a job.

        Raises:
            ProblemsFound: A rule has mistakes.
        """
        key = (place.digest, versions.key)
        found = self._programs.get(key)
        if found is None:
            refuse_unfinished(place)
            first = self.kept and not self._programs and not self._asked
            found = self._first(place, versions) if first else self._bound_for(place, versions)
            if len(self._programs) >= MOST_PROGRAMS:
                self._programs.clear()
            self._programs[key] = found
        return found

    def rulebook(self, program: tuple[RuleVersions, ...]) -> Rulebook:
        """What of the rules of a program is the same in every finding."""
        known = self._rulebooks.get(id(program))
        if known is None or known[0] is not program:
            if len(self._rulebooks) >= MOST_PROGRAMS:
                self._rulebooks.clear()
            versions = {asked.rule: tuple(v.rule for v in asked.variants if v.rule) for asked in program}
            known = self._rulebooks[id(program)] = (
                program,
                Rulebook(versions),
            )  # held too, lest another come to have its id
        return known[1]

    def written_for(self, place: Chain, day: int) -> Lines:
        """What each ruleset of a place is written for.

        Raises:
            ProblemsFound: A condition of that has a mistake.
        """
        key = (place.digest, day if place.written_for_by_day else 1)
        if key not in self._written_for:
            if len(self._written_for) >= MOST_CHAINS:
                self._written_for.clear()
            from checker.binding.written_for import lines_of

            self._written_for[key] = lines_of(place, self.vocabulary, day)
        return self._written_for[key]

    def _bound_for(self, place: Chain, versions: Versions) -> tuple[RuleVersions, ...]:
        asked: dict[int, dict[str, RuleVersions]] = {}  # by the identity of settings, which `versions` holds
        found = []
        for rule_id in place.rule_ids:
            settings = versions.settings(rule_id)
            known = asked.get(id(settings))
            if known is None:
                known = asked[id(settings)] = self._asked.setdefault((place.digest, settings), {})
            if rule_id not in known:
                known[rule_id] = RuleVersions(rule_id, tuple(self.variants(place, rule_id, settings)))
            found.append(known[rule_id])
        return tuple(found)

    def _first(self, place: Chain, versions: Versions) -> tuple[RuleVersions, ...]:
        """The first program of a run, recalled where an earlier run began with the same: binding is what a run waits for."""
        name = ("program", place.digest, self.vocabulary.digest, repr(versions.key))
        before = recalled(*name)
        if before is not None:
            self._written_for[place.digest, 1] = before.written_for
            return tuple(
                RuleVersions(rule_id, tuple(merged((Setting(*one.setting), one.rule) for one in several)))
                for rule_id, several in before.rules.items()
            )
        made = self._bound_for(place, versions)
        cache.keep(document(self.program_of(place, versions.settings)), *name)
        return made

    def program_of(self, place: Chain, settings: Callable[[str], Iterable[Setting]]) -> Program:
        """Every rule of a place under the editions and days that `settings` gives for it, as a document can hold it.

        Raises:
            ProblemsFound: A rule, or a condition on the jobs that a ruleset is written for has a mistake.
        """
        rules = {name: self._each(place, name, settings(name)) for name in place.rule_ids}
        lines = self.written_for(place, 1)
        return program_of(place, self.vocabulary, self.ranges(place), lines, rules)

    def whole_program(self, place: Chain) -> Program:
        """The document of every rule of a place, under every edition and in every period there is.

        Raises:
            ProblemsFound: A rule has mistakes.
        """
        refuse_unfinished(place)
        return self.program_of(place, partial(every_setting, place))

    def variants(
        self, place: Chain, rule_id: str, settings: Iterable[Setting], told: tuple[Answered, ...] = ()
    ) -> list[Variant]:
        """The rule under these editions and days, each different one once, labelled with all it stands for.

        Args:
            told: The authority's answers to the rule that the job itself records.
        """
        if told:
            return merged((setting, self._told(place, rule_id, setting, told)) for setting in settings)
        return merged(self._each(place, rule_id, settings))

    def _each(self, place: Chain, rule_id: str, settings: Iterable[Setting]) -> Iterator[Bound]:
        """The rule under each of these editions and days."""
        for setting in settings:
            yield setting, self.bound(place, rule_id, setting)

    def bound(self, place: Chain, rule_id: str, setting: Setting) -> tree.BoundRule | None:
        """A rule bound for a setting, None where it is not in force there.

        Raises:
            ProblemsFound: The rule has mistakes.
        """
        if (place.homes["rules", rule_id].id, NOT_IN_FORCE) in setting.editions:
            return None
        frozen = self._frozen(place)
        if frozen is not None:
            try:
                return frozen.rule(rule_id, dict(setting.editions), setting.day)
            except KeyError:  # an edition that the place does not adopt, told by the authority
                pass
        from checker.binding.bound_once import bound_rule  # nothing is bound where an earlier run kept all of it

        rule, problems = bound_rule(place, self.vocabulary, rule_id, dict(setting.editions), setting.day)
        if problems:
            raise ProblemsFound(problems)
        return rule

    def _frozen(self, place: Chain) -> Program | None:
        """The program of a place that a release in use froze; None where none of them holds just the place's rulesets.

        Raises:
            ProblemsFound: The release cannot be judged by as on its day.
        """
        if place.digest not in self._thawed:
            self._thawed[place.digest] = frozen_program(place, self.library.released.values(), self.vocabulary)
        return self._thawed[place.digest]

    def _told(self, place: Chain, rule_id: str, setting: Setting, told: tuple[Answered, ...]) -> tree.BoundRule | None:
        """A rule bound with these answers of the authority beside those of its rulesets."""
        from checker.binding.binder import bind
        from checker.binding.names import Context

        editions = dict(setting.editions)
        found = effective(place, "rules", rule_id, editions, setting.day)
        context = Context(place, self.vocabulary, editions, setting.day)
        rule, problems = bind(found._replace(answers=(*found.answers, *told)), context)
        if problems:
            raise ProblemsFound(problems)
        return rule

    def of_the_work(self, path: str) -> Leaf | None:
        """The leaf of a fact that tells of the work; None for one that no rule is missed in not reading."""
        at = pattern(path)
        if at not in self._of_the_work:
            leaf = self.vocabulary.leaves[at]
            aside = leaf.form in ("text", "constant") or self.vocabulary.holds(path, "aside")
            self._of_the_work[at] = None if aside else leaf
        return self._of_the_work[at]

    def named(self, rule: tree.BoundRule) -> Named:
        """The facts, without list positions, that a rule names."""
        if id(rule) not in self._named:
            if len(self._named) >= MOST_RULES:
                self._named.clear()
            first, *others = (frozenset(patterns_read(part, rule.where, rule.for_each)) for part in rule.conditions)
            self._named[id(rule)] = rule, Named(first, first.union(*others))
        return self._named[id(rule)][1]

    def seen(self, job: Job) -> tuple[AccuracyOf, JobFacts]:
        """A job as rules see it: the accuracy of its readings, and its facts with the ranges of the place."""
        place = self.chain_of(job)
        return instruments.of(job, place), self.facts(job, place)

    def facts(self, job: Job, place: Chain, doubts: Mapping[str, str] = MappingProxyType({})) -> JobFacts:
        """The facts of a job with the ranges of its place; `doubts` as in `JobFacts`."""
        return JobFacts(job, self.ranges(place), doubts)

    def ranges(self, place: Chain) -> dict[str, tuple[float, float]]:
        """What the rulesets of a place say a fact can be there, in base units."""
        if place.digest not in self._ranges:
            self._ranges[place.digest] = dict(ranges_of(place, self.vocabulary))
        return self._ranges[place.digest]


def recalled(*name: str) -> Program | None:
    """The program that an earlier run kept; None where there is none that can be read."""
    before = cache.recall(*name)
    try:
        return None if before is None else loaded(before)
    except CodecError:
        return None
