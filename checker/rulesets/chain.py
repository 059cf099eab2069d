"""The chain of rulesets for a place: which are in force there, those that others stand on first.

`adopt` puts an edition of a code in force from a date. A group's ruleset stands on top of whatever the place has.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from typing import Any

from checker.ir.digests import digest
from checker.problems.problem import ProblemsFound, did_you_mean
from checker.rulesets.expression_words import codes_asked, names_in, rules_met
from checker.rulesets.fingerprint import names_of
from checker.rulesets.headers import Adoption
from checker.rulesets.library import Library
from checker.rulesets.limits import in_period
from checker.rulesets.models import Confirmation, Law, Limit, Rule
from checker.rulesets.ruleset import Part, Ruleset, documents_of, stands_on
from checker.rulesets.standing import BASES, brings, stands_over_all
from checker.rulesets.state_rulesets import StateRules
from checker.rulesets.versions import within
from checker.trade import functions


class Chain:
    """The rulesets in force at a place, those that others stand on first.

    `covered` is False where no ruleset covers the place: then every code ruleset is here under every edition, but for what
    the file of its `state` puts in force. `elsewhere` are the rules and limits that its rulesets may speak of and that are
    in force at other places alone.
    """

    def __init__(
        self,
        rulesets: list[Ruleset],
        place: str,
        covered: bool,
        state: StateRules | None = None,
        elsewhere: frozenset[tuple[str, str]] = frozenset(),
    ) -> None:
        self.rulesets, self.place, self.covered, self.state = rulesets, place, covered, state
        self.elsewhere = elsewhere
        self.by_id = {ruleset.id: ruleset for ruleset in rulesets}
        self._leans_on: dict[str, tuple[str, ...]] = {}
        self._codes_asked: dict[str, frozenset[str]] = {}
        self._limits_named: dict[str, frozenset[str]] = {}
        self.worked_out: dict[type, Any] = {}  # what others work out of it once; it goes when the chain goes
        self.homes = {("rules", rule): ruleset for ruleset in rulesets for rule in ruleset.rules}
        self.homes |= {("limits", name): ruleset for ruleset in rulesets for name in ruleset.limits}

    def below(self, ruleset: Ruleset) -> Chain:
        """The layers below a ruleset."""
        return self._of_the_first(self.rulesets.index(self.by_id[ruleset.id]))

    def up_to(self, ruleset: Ruleset) -> Chain:
        """The layers below a ruleset and itself, without those above."""
        return self._of_the_first(self.rulesets.index(self.by_id[ruleset.id]) + 1)

    def _of_the_first(self, count: int) -> Chain:
        return Chain(self.rulesets[:count], self.place, self.covered, self.state, self.elsewhere)

    @functools.cached_property
    def digest(self) -> str:
        """Of all that rules here are made of; whether the place is covered decides which codes are judged by."""
        limited = [sorted(self.elsewhere)] if self.elsewhere else []
        return digest([self.covered, *limited, *([ruleset.id, ruleset.digest] for ruleset in self.rulesets)])

    @property
    def authority(self) -> str:
        """Who inspects at the place, by name: the owner of the ruleset that covers it. Empty where none does."""
        here = [one.header for one in self.rulesets if self.place and self.place in one.header.covers]
        found = [one.owner for kind in ("local", "state") for one in here if one.owner_kind == kind]
        return found[0] if found else ""

    @functools.cached_property
    def codes(self) -> frozenset[str]:
        """The rulesets that have editions."""
        return frozenset(ruleset.id for ruleset in self.rulesets if ruleset.header.owner_kind == "code")

    @functools.cached_property
    def rule_ids(self) -> tuple[str, ...]:
        return tuple(rule for ruleset in self.rulesets for rule in ruleset.rules)

    @functools.cached_property
    def limit_names(self) -> frozenset[str]:
        return frozenset(name for ruleset in self.rulesets for name in ruleset.limits)

    @functools.cached_property
    def written_for_by_day(self) -> bool:
        """Whether a condition on the jobs that a ruleset is written for names a limit, which may change with the day."""
        lines = [line.when for ruleset in self.rulesets for line in ruleset.header.written_for]
        return bool(names_in(lines) & self.limit_names)

    @functools.cached_property
    def limits(self) -> Mapping[str, Limit]:
        """Every limit as the ruleset that names it wrote it."""
        return {name: home.limits[name] for (section, name), home in self.homes.items() if section == "limits"}

    def limits_named(self, rule_id: str) -> frozenset[str]:
        """The limits that a rule, or any amendment of it, names or hands to a function."""
        if rule_id not in self._limits_named:
            words, called = frozenset[str]().union(*map(self._names, self.leans_on(rule_id))), functions()
            tables = {table for name in words & set(called) for table in called[name].tables}
            self._limits_named[rule_id] = (words | tables) & self.limit_names
        return self._limits_named[rule_id]

    @functools.cached_property
    def facts_named(self) -> frozenset[str]:
        """The paths, without list positions, of every fact that a rule here names."""
        found: set[str] = set()
        for ruleset in self.rulesets:
            for rule_id, rule in ruleset.rules.items():
                outer = rule.for_each.rsplit(".", 1)[0]
                for word in self._names(rule_id):
                    head, _, rest = word.partition(".")
                    found.add({"item": f"{rule.for_each}.{rest}", "outer": f"{outer}.{rest}"}.get(head, word))
        return frozenset(found)

    def leans_on(self, rule_id: str) -> tuple[str, ...]:
        """A rule, and every rule that it asks for by `met:`, directly or through others, in the order in which they are met."""
        if rule_id not in self._leans_on:
            found = {rule_id: None}
            waiting = [rule_id]
            while waiting:
                new = [one for one in self.rules_met(waiting.pop()) if one not in found]
                found |= dict.fromkeys(new)
                waiting += dict.fromkeys(new)
            self._leans_on[rule_id] = tuple(found)
        return self._leans_on[rule_id]

    def rules_met(self, rule_id: str) -> list[str]:
        """The rules of the chain that a rule asks for by `met:`, as it was written or as any layer amends it."""
        rule = self.homes["rules", rule_id].rules[rule_id]
        changes = [ruleset.amend[rule_id].said for ruleset in self.rulesets if rule_id in ruleset.amend]
        lines = [change.get(field) for change in changes for field in ("applies_when", "require", "add")]
        asked = rules_met([rule.applies_when, rule.require, *lines])
        return [one for one in asked if ("rules", one) in self.homes]

    def _names(self, rule_id: str) -> frozenset[str]:
        """The names that the conditions and values of a rule use, as it was written and as any layer amends them."""
        changes = [ruleset.amend[rule_id].said for ruleset in self.rulesets if rule_id in ruleset.amend]
        lines = [change.get(field) for change in changes for field in ("applies_when", "verify_when", "require", "add")]
        values = [list(change.get("where", {}).values()) for change in changes]
        return names_of(self.homes["rules", rule_id].rules[rule_id]) | names_in([*lines, *values])

    def confirmations(self, rule_id: str) -> list[Confirmation]:
        """Who read the book for a rule, as the rulesets here record it."""
        return [one for ruleset in self.rulesets for one in ruleset.confirm.values() if one.rule == rule_id]

    @functools.cached_property
    def answers(self) -> Mapping[str, list[tuple[str, str]]]:
        """For each rule that the authority answered a question of: the rulesets and names of the answers."""
        found: dict[str, list[tuple[str, str]]] = {}
        for ruleset in self.rulesets:
            for name, answer in ruleset.answers.items():
                found.setdefault(answer.rule, []).append((ruleset.id, name))
        return found

    def codes_asked(self, rule_id: str) -> frozenset[str]:
        """The codes whose edition a rule, or any amendment of it, asks for by `edition(code)`."""
        if rule_id not in self._codes_asked:
            asked = frozenset[str]().union(*map(self._codes_asked_by, self.leans_on(rule_id)))
            self._codes_asked[rule_id] = asked & self.codes
        return self._codes_asked[rule_id]

    def _codes_asked_by(self, rule_id: str) -> frozenset[str]:
        rule = self.homes["rules", rule_id].rules[rule_id]
        changed = [ruleset.amend[rule_id].said for ruleset in self.rulesets if rule_id in ruleset.amend]
        said = [rule.failed, rule.remedy, rule.bring]
        return codes_asked(str([rule.applies_when, rule.verify_when, rule.require, said, changed]))

    def homes_of_rules(self, rule_id: str) -> set[str]:
        """The rulesets of a rule and of those that it asks for by `met:`."""
        return {self.homes["rules", one].id for one in self.leans_on(rule_id)}

    def laws(self, rule: Rule, home: Ruleset) -> list[Law]:
        """The sections by which codes of this chain make a rule law."""
        return [law for law in home.header.made_law_by.get(rule.made_law_by, ()) if law.code in self.codes]

    def homes_of_limits(self, rule_id: str) -> set[str]:
        """The rulesets whose limits a rule names."""
        return {self.homes["limits", name].id for name in self.limits_named(rule_id)}

    def adoptions(self, code: str) -> list[Adoption]:
        """What is adopted of a code here, oldest first."""
        return [adoption for adoption in self._adopted if adoption.code == code]

    @functools.cached_property
    def _adopted(self) -> list[Adoption]:
        """Every adoption of the chain, oldest first. A published edition of which no ruleset here has rules is none."""
        found = [
            adoption for ruleset in self.rulesets for adoption in ruleset.header.adopts if self._has_rules(adoption)
        ]
        return sorted(found, key=lambda adoption: adoption.starts)

    def _has_rules(self, adoption: Adoption) -> bool:
        code = self.by_id.get(adoption.code)
        return not adoption.by_report or code is None or adoption.edition in code.header.editions

    def edition_on(self, code: str, day: int) -> str | None:
        """The edition of a code in force on a day, or None where that is not known."""
        adoption = self.adoption_on(code, day)
        return adoption.edition if adoption else None

    def adoption_on(self, code: str, day: int) -> Adoption | None:
        """The adoption of a code that holds on a day, the last that began; None where none does."""
        holding = [a for a in self.adoptions(code) if in_period(a.starts, a.until, day)]
        return holding[-1] if holding else None

    def holder(self, ruleset: str, document: str) -> Ruleset | None:
        """Whose document a key means in a ruleset: its own, or else that of the nearest ruleset that it stands on."""
        near = stands_on(self.by_id, ruleset)
        return next((one for one in near if document in one.header.documents), None)

    def documents(self, ruleset: str) -> dict[str, str]:
        """The documents that a ruleset can cite, by their keys in it."""
        return documents_of(self.by_id, ruleset)

    def withdrawn(self, rule_id: str) -> bool:
        """Whether some ruleset here withdraws a rule, on whatever day."""
        return any(rule_id in ruleset.withdraw for ruleset in self.rulesets)

    def uses(self, upper: str, lower: str) -> bool:
        """Whether one ruleset stands on another, directly or through others. A group's stands on all that are no group's."""
        if upper == lower or upper not in self.by_id:
            return upper == lower
        above = self.by_id[upper]
        if stands_over_all(above) and lower in self.by_id and not stands_over_all(self.by_id[lower]):
            return True
        return any(self.uses(name, lower) for name in above.header.uses)


def chain(library: Library, place: str, wanted: tuple[str, ...] = (), state: str = "") -> Chain:
    """The one chain for a place, with the rulesets asked for besides.

    Args:
        state: The state of the place. Its file counts where no ruleset covers the place.

    Raises:
        ProblemsFound: A ruleset that is used is missing or of another version, uses go in a circle, or two rulesets
            neither of which uses the other change one thing.
    """
    asked = [*library.covering(place), *(library.get(name) for name in wanted)]
    groups = [root for root in asked if stands_over_all(root)]
    roots = [root for root in asked if not stands_over_all(root)]
    covered = any(place in root.header.covers or root.header.adopts for root in roots)
    roots = library.everywhere() + roots  # they hold whether a place names them or not
    if not covered:
        roots = [r for _, r in sorted(library.rulesets.items()) if r.header.owner_kind in BASES] + roots
    found = None if covered else library.state(state)
    order: dict[str, Ruleset] = {}
    for root in [*roots, *([found.ruleset] if found else []), *groups]:
        _add(library, root, order, ())
    held = [library.at_place(ruleset, place) for ruleset in order.values()]
    apart = [one for name, one in library.rulesets.items() if groups and name not in order and not stands_over_all(one)]
    elsewhere = {(section, name) for one in apart for section, name in _named_by(one)}
    return Chain(
        [one for one, _ in held], place, covered, found, frozenset(elsewhere).union(*(left for _, left in held))
    )


def _named_by(ruleset: Ruleset) -> Iterator[tuple[str, str]]:
    yield from (("rules", name) for name in ruleset.rules)
    yield from (("limits", name) for name in ruleset.limits)


def _add(library: Library, ruleset: Ruleset, order: dict[str, Ruleset], path: tuple[str, ...]) -> None:
    part = ruleset.parts["header", ""]
    if ruleset.id in path:
        round_trip = path[path.index(ruleset.id) :]
        first = round_trip.index(min(round_trip))
        part = library.rulesets[round_trip[first]].parts["header", ""]
        circle = " → ".join((*round_trip[first:], *round_trip[:first], round_trip[first]))
        raise ProblemsFound(
            [
                part.problem(
                    ("uses", "="), f"The rulesets use each other in a circle: {circle}.", "Take one of these uses out."
                )
            ]
        )
    if ruleset.id in order:
        return
    for name, versions in ruleset.header.uses.items():
        used = _used(library, name, versions, part)
        if brings(ruleset, used):
            _add(library, used, order, (*path, ruleset.id))
    order[ruleset.id] = ruleset


def _used(library: Library, name: str, versions: str, part: Part) -> Ruleset:
    if name not in library.rulesets:
        raise ProblemsFound(
            [part.problem(("uses", name), f"There is no ruleset '{name}'.", did_you_mean(name, library.rulesets))]
        )
    found = library.rulesets[name]
    try:
        fits = within(found.header.version, versions)
    except ValueError:
        raise ProblemsFound(
            [part.problem(("uses", name), f"'{versions}' is not a range of versions.", "Write '>=1.0, <2'.")]
        ) from None
    if not fits:
        raise ProblemsFound(
            [
                part.problem(
                    ("uses", name),
                    f"{name} is at version {found.header.version}; {versions} is needed.",
                    "Get that version, or widen the range.",
                )
            ]
        )
    return found
