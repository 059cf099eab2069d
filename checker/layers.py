"""The chain of rulesets for a place, and what a rule or limit is after every layer has had its say.

`adopt` puts an edition of a code in force from a date. `amend` replaces whole fields, `withdraw` takes a rule out of
force and `restore` puts it back; all three keep it in the resolved set with who did it, where and why.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from packaging.specifiers import InvalidSpecifier, SpecifierSet

from checker.findings import digest
from checker.library import Library
from checker.limits import in_period, periods_meet
from checker.meaning import WORD, meaning, words_of
from checker.problems import Problem, ProblemsFound, did_you_mean
from checker.rule import Adoption, Amendment, Change, Limit, Rule
from checker.ruleset import Part, Ruleset, misfits
from checker.trade import functions

BASES = ("code", "federal", "practice")
MAY_LOOSEN = ("code", "federal", "state", "local")
NO_EDITION = "any"


class Step(NamedTuple):
    """One thing a layer did: which ruleset, at which file and line, to which field, from what to what, and why."""

    ruleset: str
    place: str
    what: str
    field: str
    old: Any
    new: Any
    why: str


class Effective(NamedTuple):
    """A rule or a limit after layering. `parts` tells which text each field came from; `stale` why it cannot be trusted."""

    id: str
    home: Ruleset
    data: Rule | Limit
    withdrawn: bool
    steps: tuple[Step, ...]
    parts: Mapping[str, Part]
    stale: str

    def part(self, field: str) -> Part:
        return self.parts.get(field) or self.parts[""]


class Chain:
    """The rulesets in force at a place, those that others stand on first.

    `covered` is False where no ruleset covers the place: then every code ruleset is here under every edition.
    """

    def __init__(self, rulesets: list[Ruleset], place: str, covered: bool) -> None:
        self.rulesets, self.place, self.covered = rulesets, place, covered
        self.by_id = {ruleset.id: ruleset for ruleset in rulesets}
        self.cautions = {key: text for ruleset in rulesets for key, text in ruleset.header.cautions.items()}
        self._limits_named: dict[str, frozenset[str]] = {}
        self.homes = {("rules", rule): ruleset for ruleset in rulesets for rule in ruleset.rules}
        self.homes |= {("limits", name): ruleset for ruleset in rulesets for name in ruleset.limits}

    @functools.cached_property
    def digest(self) -> str:
        return digest([[ruleset.id, ruleset.digest] for ruleset in self.rulesets])

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

    def limits_named(self, rule_id: str) -> frozenset[str]:
        """The limits that a rule, or any amendment of it, names or hands to a function."""
        if rule_id not in self._limits_named:
            texts = [ruleset.amend[rule_id].set for ruleset in self.rulesets if rule_id in ruleset.amend]
            own = words_of(self.homes["rules", rule_id].rules[rule_id])
            words = own.union(*(WORD.findall(str(text)) for text in texts))
            called = functions()
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
                texts = [str(r.amend[rule_id].set) for r in self.rulesets if rule_id in r.amend]
                for word in words_of(rule).union(*(WORD.findall(text) for text in texts)):
                    head, _, rest = word.partition(".")
                    found.add({"item": f"{rule.for_each}.{rest}", "outer": f"{outer}.{rest}"}.get(head, word))
        return frozenset(found)

    def homes_of_limits(self, rule_id: str) -> set[str]:
        """The rulesets whose limits a rule names."""
        return {self.homes["limits", name].id for name in self.limits_named(rule_id)}

    def adoptions(self, code: str) -> list[Adoption]:
        """What is adopted of a code here, oldest first."""
        found = [adoption for ruleset in self.rulesets for adoption in ruleset.header.adopts if adoption.code == code]
        return sorted(found, key=lambda adoption: adoption.starts)

    def edition_on(self, code: str, day: int) -> str | None:
        """The edition of a code in force on a day, or None where that is not known."""
        holding = [a for a in self.adoptions(code) if in_period(a.starts, a.until, day)]
        return holding[-1].edition if holding else None

    def uses(self, upper: str, lower: str) -> bool:
        """Whether one ruleset stands on another, directly or through others."""
        return upper == lower or any(
            name in self.by_id and self.uses(name, lower) for name in self.by_id[upper].header.uses
        )


def chain(library: Library, place: str, wanted: tuple[str, ...] = ()) -> Chain:
    """The one chain for a place, with the rulesets asked for besides.

    Raises:
        ProblemsFound: A ruleset that is used is missing or of another version, uses go in a circle, or two rulesets
            neither of which uses the other change one thing.
    """
    covering = library.covering(place) if place else []
    roots = [*covering, *(library.get(name) for name in wanted)]
    covered = bool(covering) or any(root.header.adopts for root in roots)
    if not covered:
        roots = [r for _, r in sorted(library.rulesets.items()) if r.header.owner_kind in BASES] + roots
    order: dict[str, Ruleset] = {}
    for root in roots:
        _add(library, root, order, ())
    return Chain(list(order.values()), place, covered)


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
        _add(library, _used(library, name, versions, part), order, (*path, ruleset.id))
    order[ruleset.id] = ruleset


def _used(library: Library, name: str, versions: str, part: Part) -> Ruleset:
    if name not in library.rulesets:
        raise ProblemsFound(
            [part.problem(("uses", name), f"There is no ruleset '{name}'.", did_you_mean(name, library.rulesets))]
        )
    found = library.rulesets[name]
    try:
        wanted = SpecifierSet(versions)
    except InvalidSpecifier:
        raise ProblemsFound(
            [part.problem(("uses", name), f"'{versions}' is not a range of versions.", "Write '>=1.0, <2'.")]
        ) from None
    if found.header.version not in wanted:
        raise ProblemsFound(
            [
                part.problem(
                    ("uses", name),
                    f"{name} is at version {found.header.version}; {versions} is wanted.",
                    "Get that version, or widen the range.",
                )
            ]
        )
    return found


# --- one rule or limit after every layer -----------------------------------------------------------------------------


def effective(chain: Chain, section: str, name: str, editions: Mapping[str, str | None], day: int) -> Effective:
    """A rule or limit as it stands on a day under the editions in force.

    Args:
        section: "rules" or "limits".
        editions: The edition of each code, None where it is not known.
    """
    home = chain.homes[section, name]
    edition = editions.get(home.id) or NO_EDITION
    data: Rule | Limit = (home.rules if section == "rules" else home.limits)[name]
    part = home.parts[section, name]
    found = Effective(
        name, home, data, False, (Step(home.id, part.place, "added", "", None, None, ""),), {"": part}, ""
    )
    for ruleset in chain.rulesets:
        for operation in ("amend", "withdraw", "restore"):
            change = getattr(ruleset, operation).get(name)
            if change and _holds(change, edition, day):
                found = _changed(chain, found, ruleset, operation, change, edition)
    return found


def _holds(change: Change, edition: str, day: int) -> bool:
    named = edition in change.meaning or NO_EDITION in change.meaning
    return named and in_period(change.starts, change.until, day)


def _changed(
    chain: Chain, found: Effective, ruleset: Ruleset, operation: str, change: Change, edition: str
) -> Effective:
    part = ruleset.parts[operation, found.id]
    expected = change.meaning.get(edition) or change.meaning[NO_EDITION]
    stale = found.stale
    if expected != meaning_of(chain, found, edition):
        stale = f"{ruleset.id} changes this rule as it was before; what it changes has since been changed underneath"
    if operation != "amend":
        step = Step(
            ruleset.id,
            part.place,
            f"{operation}n" if operation == "withdraw" else f"{operation}d",
            "",
            None,
            None,
            change.reason,
        )
        return found._replace(withdrawn=operation == "withdraw", steps=(*found.steps, step), stale=stale)
    fields: Mapping[str, Any] = change.set  # type: ignore[attr-defined]
    data = type(found.data).model_validate({**found.data.model_dump(by_alias=True, exclude_unset=True), **fields})
    steps = [
        Step(ruleset.id, part.place, "amended", field, getattr(found.data, field, None), fields[field], change.reason)
        for field in fields
    ]
    inside = Part(part.document, (*part.path, "set"))
    parts = {**found.parts, **dict.fromkeys(fields, inside)}
    return found._replace(data=data, steps=(*found.steps, *steps), parts=parts, stale=stale)


def meaning_of(chain: Chain, found: Effective, edition: str) -> str:
    """The digest of what a rule or limit asks under an edition: what an amendment of it has to name."""
    limits = {name: home.limits[name] for (section, name), home in chain.homes.items() if section == "limits"}
    return meaning(found.data, edition, limits)


# --- what a layer may not do -----------------------------------------------------------------------------------------


def chain_problems(chain: Chain) -> Iterator[Problem]:
    """Changes of what does not exist, that their owner may not make, or that two unrelated rulesets both make."""
    yield from _twice(chain)
    touched: dict[str, list[tuple[Ruleset, Part, Change]]] = {}
    for ruleset in chain.rulesets:
        yield from _adoption_problems(ruleset)
        for operation in ("amend", "withdraw", "restore"):
            for name, change in getattr(ruleset, operation).items():
                part = ruleset.parts[operation, name]
                yield from _change_problems(chain, ruleset, operation, name, change, part)
                touched.setdefault(name, []).append((ruleset, part, change))
    for name, changes in touched.items():
        yield from _conflicts(chain, name, changes)


def _twice(chain: Chain) -> Iterator[Problem]:
    """Rules and limits of one name in two rulesets, which would hide each other."""
    for section in ("rules", "limits"):
        seen: dict[str, Ruleset] = {}
        for ruleset in chain.rulesets:
            for name in getattr(ruleset, section):
                if name in seen:
                    what = f"'{name}' also stands in {seen[name].id}, at {seen[name].parts[section, name].place}."
                    yield ruleset.parts[section, name].problem(
                        ("=",), what, "Give one another name, or amend the other."
                    )
                seen[name] = ruleset


def _adoption_problems(ruleset: Ruleset) -> Iterator[Problem]:
    seen: dict[tuple[str, str], str] = {}
    for index, adoption in enumerate(ruleset.header.adopts):
        key = (adoption.code, adoption.starts)
        if key in seen:
            both = f"{seen[key]} and {adoption.edition}"
            what = f"Two editions of {adoption.code} are adopted from {adoption.starts}: {both}."
            yield ruleset.parts["header", ""].problem(
                ("adopts", index), what, "One edition of a code is in force on a day: correct a date or an edition."
            )
        seen[key] = adoption.edition


def _change_problems(
    chain: Chain, ruleset: Ruleset, operation: str, name: str, change: Change, part: Part
) -> Iterator[Problem]:
    section = "rules" if ("rules", name) in chain.homes else "limits"
    home = chain.homes.get((section, name))
    if home is None or home is ruleset or not chain.uses(ruleset.id, home.id):
        known = [known for (_, known), owner in chain.homes.items() if owner is not ruleset]
        yield part.problem(
            ("=",),
            f"There is no rule or limit '{name}' below {ruleset.id} to {operation}.",
            did_you_mean(name, known) or "Add its ruleset under 'uses'.",
        )
        return
    kind, obligation = ruleset.header.owner_kind, getattr(home.rules.get(name), "obligation", "")
    if home.header.owner_kind == "federal" and kind != "federal":
        yield part.problem(
            ("=",),
            f"'{name}' is federal; only a federal ruleset can {operation} it.",
            "Add a rule of your own instead.",
        )
    loosens = operation == "withdraw" or getattr(change, "direction", "") == "looser"
    if loosens and obligation == "shall" and kind not in MAY_LOOSEN:
        yield part.problem(
            ("=",),
            f"'{name}' is a 'shall'; a {kind} ruleset cannot {operation if operation == 'withdraw' else 'loosen'} it.",
            "Only code, state and local rulesets can.",
        )
    known_fields = (Rule if section == "rules" else Limit).model_fields
    for field in getattr(change, "set", {}):
        if field not in known_fields or field in ("cases", "formerly"):
            yield part.problem(
                ("set", field, "="),
                f"'{field}' is not a field that can be amended.",
                did_you_mean(field, known_fields) or "Withdraw the rule and add one of your own.",
            )
    if kind in ("group", "practice") and obligation == "shall" and isinstance(change, Amendment):
        yield from _weakened(home.rules[name], change, kind, part)
    yield from misfits(part, (home.rules if section == "rules" else home.limits)[name], getattr(change, "set", {}))


NOT_A_GROUPS = ("obligation", "applies_when", "verify_when", "where", "for_each", "life_safety", "date", "editions")


def _weakened(rule: Rule, change: Amendment, kind: str, part: Part) -> Iterator[Problem]:
    """A group adds to what a `shall` asks, line by line; it takes nothing from it and does not say where it applies."""
    for field in change.set:
        if field in NOT_A_GROUPS:
            what = f"A {kind} ruleset cannot change '{field}' of a 'shall'."
            yield part.problem(("set", field, "="), what, "It can add lines under 'require', or a rule of its own.")
    asked = change.set.get("require")
    if isinstance(asked, list) and (missing := [line for line in rule.require if line not in asked]):
        what = f"A {kind} ruleset cannot leave out what a 'shall' requires: {missing[0]}"
        yield part.problem(("set", "require", "="), what, "Keep every line that stands there, and add yours.")


def _conflicts(chain: Chain, name: str, changes: list[tuple[Ruleset, Part, Change]]) -> Iterator[Problem]:
    for i, (first, first_part, first_change) in enumerate(changes):
        for second, part, change in changes[i + 1 :]:
            related = chain.uses(first.id, second.id) or chain.uses(second.id, first.id)
            periods = [(one.starts, one.until) for one in (first_change, change)]
            if not related and periods_meet(*periods):
                what = (
                    f"{second.id} and {first.id} both change '{name}' and neither uses the other; "
                    f"the other change is at {first_part.place}."
                )
                yield part.problem(("=",), what, "Let one use the other, or set the periods apart.")
