"""Slips that no case can see, since they leave every outcome as it is: a mark, a caution, a span of editions, a row of a table.

A case states an outcome. That a rule guards life, who may accept its failure, how sure its section is and which value a message
shows first is not in it, and of a long table a case tries one row. Such a slip is noticed where `lint` compares a ruleset with
its newest release. Here each is made, one at a time, and that comparison has to name it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any, NamedTuple

from checker.authoring.comparing.loosened import ACCEPTED_BY, Data, loosened, named_in
from checker.reading.sureness import SURE
from checker.rulesets.plain_data import SHOWN
from checker.rulesets.ruleset import edition_within

Fields = Mapping[str, Any]
MESSAGES = ("failed", "on_fail")
MARKS = ("section_sure", "requirement_sure")
SUREST, EASIEST = next(iter(SURE)), ACCEPTED_BY[-1]


class Unseen(NamedTuple):
    """A slip: of which section and rule, limit or amendment, in words, and the entry with it."""

    section: str
    name: str
    what: str
    entry: Fields


def slips(data: Data) -> Iterator[Unseen]:
    """Every such slip in a ruleset.

    Args:
        data: The ruleset as lean data.
    """
    editions = data["header"].get("editions") or []
    for name, rule in data["rules"].items():
        for what, entry in _of_rule(rule, editions):
            yield Unseen("rules", name, what, entry)
    for name, limit in data["limits"].items():
        for what, values in _of_values(limit.get("values")):
            yield Unseen("limits", name, what, {**limit, "values": values})
    for name, change in data["amend"].items():
        changed = change.get("set", {})
        for what, entry in _of_rule(changed, editions):
            yield Unseen("amend", name, what, {**change, "set": entry})
        for what, values in _of_values(changed.get("values")):
            yield Unseen("amend", name, what, {**change, "set": {**changed, "values": values}})


def unnamed(data: Data, below: Data) -> list[Unseen]:
    """The slips that a comparison with the ruleset as it stands would not name.

    Args:
        data: The ruleset as lean data.
        below: The rules and limits of all other rulesets, as lean data.
    """
    rules = {**below["rules"], **data["rules"]}
    names = {name: named_in(rule) for name, rule in rules.items()}
    readers = {
        one: {rule: rules[rule] for rule, its in names.items() if one in its}
        for one in {*data["limits"], *data["amend"]}
    }
    return [one for one in slips(data) if not _named(one, data, below, readers.get(one.name, {}))]


def _named(one: Unseen, data: Data, below: Data, readers: Data) -> bool:
    """Whether the comparison names a slip; it looks at the entry alone, and at the rules that read it."""
    bare: dict[str, Any] = {section: {} for section in data} | {"header": data["header"]}
    amended = {section: {one.name: its[one.name]} for section, its in below.items() if one.name in its}
    others = {"limits": {}, **amended, "rules": {**readers, **amended.get("rules", {})}}
    before = {**bare, one.section: {one.name: data[one.section][one.name]}}
    after = {**bare, one.section: {one.name: one.entry}}
    return bool(loosened(before, after, others))


# --- a rule ----------------------------------------------------------------------------------------------------------


def _of_rule(rule: Fields, editions: list[str]) -> Iterator[tuple[str, Fields]]:
    if rule.get("life_safety"):
        yield "life_safety dropped", _without(rule, "life_safety")
    if rule.get("obligation") == "shall":
        yield "shall becoming should", {**rule, "obligation": "should"}
    accepted = rule.get("acceptable_by", EASIEST)
    for easier in ACCEPTED_BY[ACCEPTED_BY.index(accepted) + 1 :]:
        yield f"acceptable_by {accepted} becoming {easier}", {**rule, "acceptable_by": easier}
    cautions = rule.get("caution", [])
    for caution in [cautions] if isinstance(cautions, str) else cautions:
        left = [one for one in cautions if one != caution] if isinstance(cautions, list) else []
        yield f"the caution {caution} dropped", {**rule, "caution": left} if left else _without(rule, "caution")
    yield from _fewer_editions(rule, editions) if "title" in rule or "editions" in rule else ()
    yield from (
        (what, {**rule, "citation": cited}) for what, cited in _of_citations(rule.get("citation", []), editions)
    )
    for field in MESSAGES:
        yield from _swapped(rule, field)


def _without(fields: Fields, field: str) -> Fields:
    return {name: value for name, value in fields.items() if name != field}


def _fewer_editions(rule: Fields, editions: list[str]) -> Iterator[tuple[str, Fields]]:
    """A rule that holds in one edition less: the first, and the last."""
    held = [one for one in editions if edition_within(rule.get("editions", ""), one)]
    for dropped in dict.fromkeys([held[0], held[-1]]) if len(held) > 1 else ():
        left = ", ".join(one for one in held if one != dropped)
        yield f"no longer in the edition {dropped}", {**rule, "editions": left}


def _of_citations(citations: list[Fields], editions: list[str]) -> Iterator[tuple[str, list[Fields]]]:
    """Marks raised to the surest, and sections that hold in another span of editions."""
    for index, one in enumerate(citations):
        where = f"{one['document']} {one['section']}"
        for mark in MARKS:
            if one[mark] != SUREST:
                yield f"{where}: {mark} {one[mark]} becoming {SUREST}", _put(citations, index, {**one, mark: SUREST})
        held = [year for year in editions if edition_within(one.get("editions", ""), year)]
        for dropped in dict.fromkeys([held[0], held[-1]]) if len(held) > 1 else ():
            left = ", ".join(year for year in held if year != dropped)
            yield f"{where}: not cited for {dropped}", _put(citations, index, {**one, "editions": left})


def _put(entries: list[Any], index: int, entry: Any) -> list[Any]:
    return [*entries[:index], entry, *entries[index + 1 :]]


def _swapped(rule: Fields, field: str) -> Iterator[tuple[str, Fields]]:
    """Two values that stand side by side in a message, each in the place of the other: a reading and its limit, mostly."""
    shown = SHOWN.findall(str(rule.get(field, "")))
    for index, (one, other) in enumerate(pairwise(shown)):
        if one != other:
            turned = [*shown[:index], other, one, *shown[index + 2 :]]
            yield f"{one} and {other} swapped in {field}", {**rule, field: " ".join(turned)}


# --- a limit ---------------------------------------------------------------------------------------------------------


def _of_values(values: Any) -> Iterator[tuple[str, list[Fields]]]:
    """A row of a table dropped, an entry of a list dropped, a mark raised."""
    for index, one in enumerate(values if isinstance(values, list) else ()):
        if one["sure"] != SUREST:
            yield f"{one['sure']} becoming {SUREST}", _put(values, index, {**one, "sure": SUREST})
        for field in ("rows", "value"):
            inside = one.get(field)
            for at, dropped in enumerate(inside if isinstance(inside, list) and len(inside) > 1 else ()):
                left = [*inside[:at], *inside[at + 1 :]]
                yield f"{_row(dropped)} dropped", _put(values, index, {**one, field: left})


def _row(dropped: Any) -> str:
    keys = [name for name in dropped if name != "value"] if isinstance(dropped, Mapping) else []
    return " ".join(f"{name} {dropped[name]}" for name in keys) or str(dropped)
