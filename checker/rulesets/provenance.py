"""Who set a limit: the ruleset that gave it its value, the section that says so, and what it was before.

A layer that leaves a value as it was did not set it. A limit that takes the place of another in a comparison, as where a
county asks for 25 ft in place of the code's 50 ft, tells which one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.node import Node, replace
from checker.ir.visitor import outermost, rewritten
from checker.problems.problem import did_you_mean
from checker.rulesets import limits as limit_values
from checker.rulesets.chain import Chain
from checker.rulesets.layering import Answered, Effective
from checker.rulesets.limits import LimitError
from checker.rulesets.models import Citation, Limit, LimitValue
from checker.rulesets.ruleset import Ruleset


class At(NamedTuple):
    """Where and when a limit is looked up: the chain, the editions in force and the day."""

    chain: Chain
    editions: Mapping[str, str | None]
    day: int


class Layer(NamedTuple):
    """A limit as one ruleset leaves it, and the section by which that ruleset changes it."""

    ruleset: Ruleset
    limit: Limit
    grounds: Sequence[Citation]


def held(found: Effective, at: At, answered: Answered | None = None) -> tree.Held:
    """A limit as it stands, with who set it.

    Args:
        answered: The authority's answer that gives an open limit its value.

    Raises:
        LimitError: Its value cannot be read, or its document is not known.
    """
    lowest, *others = _layers(found)
    stands = _of_layer(found, lowest, at, unread=bool(others))
    for number, layer in enumerate(others, 1):
        one = _of_layer(found, layer, at, unread=number < len(others))
        same = (one.value, one.rows) == (stands.value, stands.rows)
        stands = replace(stands, title=one.title, unit=one.unit) if same else replace(one, below=stands)
    limit = found.data
    assert isinstance(limit, Limit)
    return _answered(stands, limit, answered, at) if answered and stands.value is None and not limit.keys else stands


def _layers(found: Effective) -> Iterator[Layer]:
    after = [*(one.below for one in found.amended[1:]), found.data]
    first = found.amended[0].below if found.amended else found.data
    assert isinstance(first, Limit)
    yield Layer(found.home, first, ())
    for one, limit in zip(found.amended, after, strict=False):
        assert isinstance(limit, Limit)
        yield Layer(one.ruleset, limit, one.change.citation)


def _of_layer(found: Effective, layer: Layer, at: At, unread: bool) -> tree.Held:
    """A limit as one layer leaves it; one that another layer replaces need not be readable (`unread`)."""
    limit = layer.limit
    value = limit_values.pick(limit, at.editions.get(found.home.id), at.day)
    try:
        read, rows = _read(limit, value)
    except LimitError:
        if not unread:
            raise
        read, rows = None, ()
    set_by = _set_by(layer, value, at)
    return tree.Held(found.id, limit.title, limit_values.kind_of(limit), limit.unit, read, rows, set_by)


def _read(limit: Limit, value: LimitValue | None) -> tuple[tree.Plain | tuple[tree.Plain, ...] | None, tuple[Any, ...]]:
    if value is None:
        return None, ()
    if limit.keys:
        return None, limit_values.rows(limit, value)
    if value.value is None or isinstance(value.value, str):
        return (None if value.value is None else limit_values.read(limit, value.value)), ()
    return tuple(limit_values.read(limit, text) for text in value.value), ()


def _set_by(layer: Layer, value: LimitValue | None, at: At) -> tree.SetBy:
    ruleset = layer.ruleset
    grounds = layer.grounds
    if value and value.document:
        own = {"document": value.document, "section": value.source, "read": value.read}
        grounds = [Citation(**own, section_sure=value.sure, requirement_sure=value.sure)]
    source = " ".join(value.source.split()) if value else ""
    citations = tuple(cited(one, ruleset.id, at) for one in grounds)
    return tree.SetBy(ruleset.id, ruleset.header.title, citations, source, value.sure if value else "")


def _answered(stands: tree.Held, limit: Limit, answered: Answered, at: At) -> tree.Held:
    """A limit that was left to the place, with the value that the authority gave it."""
    said = answered.answer
    set_by = _by_a_ruleset(answered, at) if answered.ruleset else _by_the_job(answered)
    return replace(stands, value=limit_values.read(limit, said.values[stands.name]), set_by=set_by, below=stands)


def _by_a_ruleset(answered: Answered, at: At) -> tree.SetBy:
    said, ruleset = answered.answer, answered.ruleset
    office = f"{said.office} ({said.who}), {said.on}"
    citation = tree.Citation(office, "", said.reference, "checked", "checked")
    return tree.SetBy(ruleset, at.chain.by_id[ruleset].header.title, (citation,), said.reference, "checked")


def _by_the_job(answered: Answered) -> tree.SetBy:
    """An answer that the job records is of no ruleset; `said_by` tells whose it is and where it is written."""
    citation = tree.Citation(answered.said_by, "", "", "checked", "checked")
    return tree.SetBy("", "The authority's answer", (citation,), answered.said_by, "checked")


def replaced(new: tree.BoundRule, old: tree.BoundRule) -> tuple[tree.Held, ...]:
    """The limits of an amended rule, each with the one whose place it took in a comparison that is otherwise the same.

    Args:
        old: The rule below the amendment.
    """
    kept = {name for node in _parts(new) for name in _masked(node)[1]}
    gone = {one.name: one for one in old.limits if one.name not in kept}
    before = {mask: names for node in _parts(old) for mask, names in [_masked(node)]}
    took = {}
    for node in _parts(new):
        mask, names = _masked(node)
        for name, other in zip(names, before.get(mask, ()), strict=False):
            if other in gone:
                took[name] = gone[other]
    return tuple(one if one.below else replace(one, below=took.get(one.name)) for one in new.limits)


def _parts(rule: tree.BoundRule) -> Iterator[Any]:
    """The comparisons that a rule requires, without their text, and the values that it works out, each with its name."""
    yield from ((node.operators, node.operands) for node in outermost(rule.require, tree.Compare))
    yield from rule.where.items()


def _masked(part: Any) -> tuple[Any, list[str]]:
    """A part of a rule without its limits and tables, and the names of these."""
    names: list[str] = []

    def mask(node: Node) -> Node:
        if isinstance(node, tree.Constant):
            names.append(node.name)
            return tree.Constant("", None, "")
        if isinstance(node, tree.Lookup):
            names.append(node.table)
            return tree.Lookup("", (), node.keys, "")
        return node

    return rewritten(part, mask), names


def cited(one: Citation, ruleset: str, at: At) -> tree.Citation:
    """A citation of a ruleset, its document found from there.

    Raises:
        LimitError: Neither it nor a ruleset that it stands on names the document.
    """
    holder = at.chain.holder(ruleset, one.document)
    if holder is None:
        known = at.chain.documents(ruleset)
        hint = did_you_mean(one.document, known) or "Write it under 'documents:' in ruleset.yaml."
        raise LimitError(f"'{one.document}' is not a document that {ruleset} names.", hint)
    edition = "" if one.document in holder.header.undated else at.editions.get(holder.id) or ""
    title = holder.header.documents[one.document]
    return tree.Citation(title, edition, one.section, one.section_sure, one.requirement_sure, one.note, one.read)
