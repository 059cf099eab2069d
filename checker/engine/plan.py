"""A program laid out to be judged: its rules by the list that they go through, with one function for a few of them in a row."""

from __future__ import annotations

import functools
import sys
import zlib
from collections.abc import Iterable, Iterator, Sequence

from checker.engine.functions import Functions
from checker.engine.variants import RuleVersions
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.outcomes import VERIFY
from checker.judging.generated_code import Generated, Missing, Said
from checker.judging.judge import Place
from checker.reading.job import JobFacts

MOST_PLACES = 1000  # places of which the paths are kept, a function
IN_A_RUN = 8  # rules that one function judges, about: more of them share what they read, fewer share their writing


class Part:
    """Rules that one function judges, and the paths that it wants at each place."""

    def __init__(self, rules: Sequence[tree.BoundRule], function: Generated) -> None:
        self.rules, self.function = rules, function
        self.known: dict[tuple[str, str], list[str]] = {}

    def judged(self, facts: JobFacts, place: Place) -> list[Said]:
        """What the function says of each rule at one place."""

        def see(number: int) -> Scope:
            return Scope(facts, self.rules[number].where, place.item, place.outer)

        return self.function.judge(facts.recorded, self.paths(place), see)

    def paths(self, place: Place) -> list[str]:
        """The full paths of the facts that the function wants of a place."""
        found = self.known.get(place[:2])
        if found is None:
            scope = Scope(None, {}, place.item, place.outer)  # type: ignore[arg-type]
            found = [sys.intern(path) for path in self.function.paths(scope)]
            if len(self.known) < MOST_PLACES:
                self.known[place[:2]] = found
        return found


class Group:
    """Rules that go through the same list, in a row."""

    def __init__(self, functions: Functions, rules: Sequence[tree.BoundRule]) -> None:
        self.rules, self._functions = rules, functions
        self.at = {id(rule): index for index, rule in enumerate(rules)}
        self._parts: dict[tuple[bool, str], list[Part]] = {}

    def judged(self, facts: JobFacts, place: Place, telling: bool) -> list[Said]:
        """What is said of each rule at one place; None where the walk has to say."""
        listed = ("unlisted_inside" if place.outer else "unlisted") if place.missing else ""
        found: list[Said] = []
        for part in self.parts(telling, listed):
            found += part.judged(facts, place)
        if facts.doubts:
            found = [None if open_for_doubt(said, facts) else said for said in found]
        if listed and telling:
            return [_with_list(said, place.missing) for said in found]
        return found

    def parts(self, telling: bool, listed: str) -> list[Part]:
        """The functions of the rules; `telling` and `listed` as in `generated_code.together`."""
        key = telling, listed
        found = self._parts.get(key)
        if found is None:
            runs = _runs(self.rules)
            together = self._functions.together
            found = self._parts[key] = [Part(rules, together(rules, telling, listed)) for rules in runs]
        return found


def open_for_doubt(said: Said, facts: JobFacts) -> bool:
    """Whether a rule is open, and may be for a doubted reading, which a function takes for one that is not recorded."""
    if isinstance(said, Missing):
        return any(path in facts.doubts for path in said.facts)
    return said == VERIFY and bool(facts.doubts)


def _with_list(said: Said, path: str) -> Said:
    """What is said of a rule at the place of a list that is not recorded, the list among what is missing."""
    return said._replace(facts=[*said.facts, path]) if isinstance(said, Missing) else said


def _runs(rules: Iterable[tree.BoundRule]) -> Iterator[tuple[tree.BoundRule, ...]]:
    """Runs of a few rules in a row, cut before the same rules whatever else a program holds.

    Two programs that differ in one rule share all runs but the one around it, and the functions of those.
    """
    run: list[tree.BoundRule] = []
    for rule in rules:
        if run and (run[-1].ruleset != rule.ruleset or _begins_a_run(rule.id)):
            yield tuple(run)
            run = []
        run.append(rule)
    if run:
        yield tuple(run)


@functools.cache
def _begins_a_run(rule_id: str) -> bool:
    """One rule in `IN_A_RUN`, the same ones on every machine."""
    return zlib.crc32(rule_id.encode()) % IN_A_RUN == 0


class Plan:
    """`alone` are the rules of which one version can hold, by list; `several` the others, every version of them."""

    def __init__(self, program: Iterable[RuleVersions], functions: Functions) -> None:
        alone: dict[tuple[str, ...], list[RuleVersions]] = {}
        several: dict[tuple[str, ...], dict[int, tree.BoundRule]] = {}
        self.others: list[RuleVersions] = []
        for asked in program:
            if len(asked.variants) != 1:
                self.others.append(asked)
                for rule in filter(None, (variant.rule for variant in asked.variants)):
                    several.setdefault(rule.for_each, {})[id(rule)] = rule
            elif asked.only:
                alone.setdefault(asked.only.for_each, []).append(asked)
        self.names = {for_each: tuple(one.rule for one in many) for for_each, many in alone.items()}
        self.alone = {
            for_each: Group(functions, tuple(one.only for one in many if one.only)) for for_each, many in alone.items()
        }
        self.several = {for_each: Group(functions, tuple(many.values())) for for_each, many in several.items()}

    def group_of(self, rule: tree.BoundRule) -> Group | None:
        """The group that a rule is in; None for a rule that is not of the program."""
        for groups in (self.alone, self.several):
            group = groups.get(rule.for_each)
            if group and id(rule) in group.at:
                return group
        return None
