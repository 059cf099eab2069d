"""The program of a place: what its chain of rulesets and the vocabulary say, brought into one document."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import product

from checker.engine.scope import Lines
from checker.ir import tree
from checker.ir.node import Node
from checker.ir.program import Adoption, Domain, FunctionUsed, Program, Source, UnitUsed, Version
from checker.ir.visitor import walk
from checker.judging import instruments
from checker.reading import units
from checker.reading.fact_reader import ends_of
from checker.reading.fact_shapes import Leaf
from checker.reading.vocabulary import Vocabulary
from checker.rulesets import limits
from checker.rulesets.applicability import Days, Setting, days_of
from checker.rulesets.chain import Chain
from checker.trade import functions
from checker.trade.data_files import data_file

CALLED = re.compile(r"(\w+)\(")
Bound = tuple[Setting, "tree.BoundRule | None"]


def program_of(
    place: Chain,
    vocabulary: Vocabulary,
    ranges: Mapping[str, tuple[float, float]],
    lines: Lines,
    rules: Mapping[str, Iterable[Bound]],
) -> Program:
    """The program of a place.

    Args:
        ranges: What the place's rulesets say a fact can be, in base units.
        rules: Each rule under the editions and days that the program is for.
    """
    days = days_of(place)
    measured = sorted({leaf.measured for leaf in vocabulary.leaves.values()} - {""})
    given = {
        name: (accuracy.fixed, accuracy.share)
        for name in measured
        if (accuracy := instruments.given(place, name)) is not None
    }
    each = {name: list(bound) for name, bound in rules.items()}
    rules_once = {id(rule): rule for bound in each.values() for _, rule in bound if rule}
    nodes = [node for rule in rules_once.values() for node in walk(rule)]
    called = dict(_functions(nodes))
    return Program(
        place=place.place,
        sources=tuple(
            Source(
                one.id,
                one.header.title,
                one.header.version,
                one.digest,
                tuple(one.header.editions),
                one.header.owner_kind,
                tuple(one.header.uses),
                tuple(one.header.instead_of),
                tuple(one.header.documents.values()),
            )
            for one in place.rulesets
        ),
        calendar=tuple(_adoptions(place)),
        dates={name: days.that_count[name] for name in rules},
        units=tuple(_units(_kinds(vocabulary, nodes, called))),
        facts={path: _domain(leaf) for path, leaf in vocabulary.leaves.items()},
        lists={path: entry.keyed for path, entry in vocabulary.lists.items()},
        ranges=dict(ranges),
        accuracies=given,
        functions=called,
        curves={
            name: data_file(name)
            for name in sorted(one.data["file"] for one in called.values() if one.form in ("curve", "gas"))
        },
        written_for=lines,
        rules={name: tuple(_version(name, *one, days) for one in bound) for name, bound in each.items()},
        covered=place.covered,
        roles=dict(vocabulary.roles),
        listed={path: (entry.title, entry.ask) for path, entry in vocabulary.lists.items()},
        hangs_on={name: days.hangs_on(name)[0] for name in rules},
        parts={part.name: part.title for part in vocabulary.parts},
        either=tuple(sorted(place.state.either)) if place.state else (),
        set_aside=tuple(sorted(place.state.set_aside)) if place.state else (),
        state=place.state.state.name if place.state else "",
    )


def every_setting(place: Chain, rule: str) -> Iterator[Setting]:
    """Every period of a rule, under the editions that the place's calendar has in force then; under each where it has none."""
    hangs, _ = days_of(place).hangs_on(rule)
    codes = sorted({*hangs.codes, *hangs.laws})
    for day in sorted({1, *days_of(place).changes(rule, codes)}):
        for editions in product(*(_editions(place, code, day, code in hangs.codes) for code in codes)):
            label = ", ".join(f"{code} {edition}" for code, edition in zip(codes, editions, strict=True) if edition)
            yield Setting(tuple(zip(codes, editions, strict=True)), day, label, "")


def _editions(place: Chain, code: str, day: int, asked: bool) -> list[str | None]:
    """The editions of a code that could hold on a day; None among them for one that need not be in force at all.

    What is published of a code yields to what a job tells of it.
    """
    ruled = any(not one.by_report for one in place.adoptions(code))
    edition = place.edition_on(code, day)
    if edition and ruled:
        return [edition]
    return [*place.by_id[code].header.editions, *([] if asked or ruled else [None])]


def _version(rule: str, setting: Setting, bound: tree.BoundRule | None, days: Days) -> Version:
    later = [day for day in days.changes(rule, [code for code, _ in setting.editions]) if day > setting.day]
    return Version(setting.editions, setting.day, min(later, default=None), setting.label, setting.doubt, bound)


def _functions(nodes: Iterable[Node]) -> Iterator[tuple[str, FunctionUsed]]:
    """The functions that rules call, and those by which these are worked out."""
    known = functions()
    names = {node.function for node in nodes if isinstance(node, tree.Call)}
    formulas = [known[name].definition.says for name in names if known[name].definition.kind == "formula"]
    names |= {word for says in formulas for word in CALLED.findall(says)} & set(known)
    for name in sorted(names):
        one, how = known[name], known[name].definition
        arguments = tuple((argument.name, argument.kind, argument.moves) for argument in one.arguments)
        data = json.loads(json.dumps(how.data, allow_nan=False))  # lists, as whoever reads it has them
        yield name, FunctionUsed(arguments, one.result, one.tables, one.version, how.kind, how.says, data, how.serves)


def _adoptions(place: Chain) -> Iterator[Adoption]:
    for code in sorted(place.codes):
        for one in place.adoptions(code):
            until = limits.day_number(one.until) if one.until else None
            yield Adoption(code, one.edition, limits.day_number(one.starts), until, one.counts, one.by_report)


def _domain(leaf: Leaf) -> Domain:
    values: tuple[str | bool, ...] = (True, False) if leaf.form == "flag" else leaf.possible
    ends = ends_of(leaf)
    return Domain(
        leaf.form, leaf.kind, leaf.unit, leaf.digits, values, ends, leaf.may_be_none, leaf.measured, leaf.title, leaf.ask,
    )  # fmt: skip


def _kinds(vocabulary: Vocabulary, nodes: Iterable[Node], called: Mapping[str, FunctionUsed]) -> set[str]:
    """The kinds of amounts that facts, rules and functions deal with, and those of their differences."""
    found = {leaf.kind for leaf in vocabulary.leaves.values()}
    found.update(getattr(node, "kind", "") for node in nodes)
    found.update(kind for one in called.values() for kind in (one.result, *(kind for _, kind, _ in one.arguments)))
    return found | {units.DIFFERENCE_OF[kind] for kind in found if kind in units.DIFFERENCE_OF}


def _units(kinds: set[str]) -> Iterator[UnitUsed]:
    for unit in units.all_units().values():
        if unit.kind in kinds:
            yield UnitUsed(unit.kind, unit.name, units.shown(unit.name), *units.scale_and_offset(unit), unit.also)
