"""The workload: about 120 facts and 60 rules, 18 of them for each item of a list, drawn from one seed.

Rules and facts are of no trade. Every engine is given the same rules in its own terms, and the same documents, of which a
share of the facts is missing. No rule reads a fact twice, so that strong Kleene logic is exact and all engines can agree.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any, NamedTuple

SEED = 20261125
WORDS = ("red", "green", "blue", "grey")
SECTION = 12  # facts in a group

DOES_NOT_APPLY, PASS, FAIL, VERIFY = range(4)
OUTCOMES = ("does_not_apply", "pass", "fail", "verify_locally")


class Fact(NamedTuple):
    """`group` is the group of the job it stands in, or "" for a fact of a list item. Form: number, flag or word."""

    group: str
    name: str
    form: str

    @property
    def path(self) -> str:
        return f"{self.group or 'item'}.{self.name}"


class Limited(NamedTuple):
    """A number against a limit."""

    fact: Fact
    operator: str
    limit: float


class Against(NamedTuple):
    """A number against another."""

    fact: Fact
    operator: str
    other: Fact


class Flagged(NamedTuple):
    fact: Fact


class Among(NamedTuple):
    fact: Fact
    words: tuple[str, ...]


class AnyOf(NamedTuple):
    parts: tuple[Atom, ...]


Atom = Limited | Against | Flagged | Among
Condition = Atom | AnyOf


class Rule(NamedTuple):
    """`each`: once for each item of the list."""

    id: str
    title: str
    each: bool
    applies: tuple[Atom, ...]
    require: tuple[Condition, ...]


class Workload(NamedTuple):
    facts: tuple[Fact, ...]
    item_facts: tuple[Fact, ...]
    rules: tuple[Rule, ...]

    @property
    def groups(self) -> list[str]:
        return list(dict.fromkeys(fact.group for fact in self.facts))

    @property
    def of_job(self) -> list[Rule]:
        return [rule for rule in self.rules if not rule.each]

    @property
    def of_item(self) -> list[Rule]:
        return [rule for rule in self.rules if rule.each]


def workload(facts: int = 84, item_facts: int = 9, rules: int = 42, item_rules: int = 18) -> Workload:
    """A workload of so many facts and rules; the usual one has about 84 + 4 × 9 facts in a document."""
    chance = random.Random(SEED)
    own = tuple(_facts(facts, grouped=True))
    of_item = tuple(_facts(item_facts, grouped=False))
    made = [_rule(chance, f"rule-{index:03}", own, False) for index in range(rules)]
    made += [_rule(chance, f"item-rule-{index:03}", of_item, True) for index in range(item_rules)]
    return Workload(own, of_item, tuple(made))


def _facts(count: int, grouped: bool) -> Iterator[Fact]:
    """Of five facts three are numbers, one is a flag and one a word."""
    forms = ("number", "flag", "number", "word", "number")
    for index in range(count):
        yield Fact(f"g{index // SECTION:02}" if grouped else "", f"f{index:03}", forms[index % 5])


def _rule(chance: random.Random, name: str, facts: tuple[Fact, ...], each: bool) -> Rule:
    unused = list(facts)
    chance.shuffle(unused)
    applies = tuple(_atom(chance, unused, "flag", "word") for _ in range(chance.choice((1, 1, 1, 2))))
    require: list[Condition] = [_atom(chance, unused, "number") for _ in range(chance.choice((1, 1, 2)))]
    if chance.random() < 0.4 and sum(fact.form == "number" for fact in unused) > 2:
        require.append(AnyOf((_atom(chance, unused, "number"), _atom(chance, unused, "number"))))
    return Rule(name, f"What {name.replace('-', ' ')} asks is met", each, applies, tuple(require))


def _atom(chance: random.Random, unused: list[Fact], *forms: str) -> Atom:
    """A condition on a fact of one of these forms that the rule has not read."""
    fact = _taken(unused, *forms)
    if fact.form == "flag":
        return Flagged(fact)
    if fact.form == "word":
        return Among(fact, tuple(sorted(chance.sample(WORDS, 2))))
    operator = chance.choice(("<=", ">=", "<", ">"))
    if chance.random() < 0.25 and any(other.form == "number" for other in unused):
        return Against(fact, operator, _taken(unused, "number"))
    return Limited(fact, operator, chance.randrange(4, 37) / 2)


def _taken(unused: list[Fact], *forms: str) -> Fact:
    fact = next(fact for fact in unused if fact.form in forms)
    unused.remove(fact)
    return fact


# --- documents ---


def documents(
    work: Workload, count: int, missing: float = 0.15, items: tuple[int, ...] = (3, 4, 5)
) -> list[dict[str, Any]]:
    """Documents as read from JSON; a share of the facts is missing, every group and the list are there."""
    chance = random.Random(SEED + 1)
    return [_document(chance, work, f"job-{index:05}", missing, items) for index in range(count)]


def _document(
    chance: random.Random, work: Workload, name: str, missing: float, items: tuple[int, ...]
) -> dict[str, Any]:
    found: dict[str, Any] = {"job_id": name, "schema_version": 1} | {group: {} for group in work.groups}
    for fact in work.facts:
        if chance.random() >= missing:
            found[fact.group][fact.name] = _value(chance, fact)
    found["items"] = []
    for index in range(chance.choice(items)):
        item: dict[str, Any] = {"key": f"i{index}"}
        item |= {fact.name: _value(chance, fact) for fact in work.item_facts if chance.random() >= missing}
        found["items"].append(item)
    return found


def _value(chance: random.Random, fact: Fact) -> Any:
    """Numbers are halves, so that they lie exactly at limits often and no engine rounds them."""
    if fact.form == "number":
        return chance.randrange(0, 41) / 2
    return chance.random() < 0.7 if fact.form == "flag" else chance.choice(WORDS)


def atoms(rule: Rule) -> Iterator[Atom]:
    """Every condition of a rule, those inside an `any_of` too."""
    for condition in (*rule.applies, *rule.require):
        yield from condition.parts if isinstance(condition, AnyOf) else (condition,)


def facts_of(rule: Rule) -> list[Fact]:
    """The facts a rule reads, in order."""
    return [fact for atom in atoms(rule) for fact in atom if isinstance(fact, Fact)]
