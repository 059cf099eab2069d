"""The limits of a rule, each a step up and a step down: the slip that turns 30 into 35."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from checker.authoring.condition_places import Path
from checker.authoring.mutation.sites import Flip, Surroundings, put, to
from checker.ir import tree
from checker.ir.node import replace
from checker.ir.visitor import placed
from checker.reading import units

OTHER_EXTREME = {"larger_of": "smaller_of", "smaller_of": "larger_of"}
MOST_ROWS = 8  # a longer table is turned as a whole: its rows are figures out of a book, read once against it


def of_value(
    rule: tree.BoundRule, node: Any, path: Path, text: str, at: Path, around: Surroundings, operator: str
) -> Iterator[Flip]:
    """The limits inside a value, each a step up and down. `operator` is what compares it, as if it stood on the right."""
    if isinstance(node, tree.Constant):
        yield from _stepped(rule, node, path, text, at, operator)
    elif isinstance(node, tree.Lookup):
        yield from _table(rule, node, path, text, at, around)
    elif isinstance(node, tree.Arithmetic) and node.operator in OTHER_EXTREME:
        yield _other_extreme(rule, node, path, text, at)
    elif isinstance(node, tree.Narrowed) and node.operator:
        yield _narrowed_round(rule, node, path, text, at)
    elif isinstance(node, tree.Choice):
        yield _other_way(rule, node, path, text, at)
    for steps, inside in placed(node):
        yield from of_value(rule, inside, (*path, *steps), text, at, around, "")


def _other_extreme(rule: tree.BoundRule, node: tree.Arithmetic, path: Path, text: str, at: Path) -> Flip:
    """The larger of two values becoming the smaller, or the other way round."""
    other, short = OTHER_EXTREME[node.operator], " ".join(text.split())
    what = f"No example would notice '{node.operator}' becoming '{other}' in '{short}'."
    hint = "Add one that depends on it where the two differ."
    caret = max(text.find(node.operator) + 1, 1)
    flipped = put(rule, path, to(replace(node, operator=other)))
    return Flip("turned round", path, other, short, at, caret, what, hint, flipped)


def _narrowed_round(rule: tree.BoundRule, node: tree.Narrowed, path: Path, text: str, at: Path) -> Flip:
    """The comparison that narrows a list turned round."""
    other, short = tree.MIRRORED[node.operator], " ".join(text.split())
    what = f"No example would notice '{node.operator}' becoming '{other}' in '{short}'."
    hint = "Add one with an item on each side."
    flipped = put(rule, path, to(replace(node, operator=other)))
    return Flip("turned round", path, other, short, at, max(text.find(node.operator) + 1, 1), what, hint, flipped)


def _other_way(rule: tree.BoundRule, node: tree.Choice, path: Path, text: str, at: Path) -> Flip:
    """The two values of a choice exchanged."""
    short = " ".join(text.split())
    what = f"No example would notice the two values of '{short}' being exchanged."
    hint = "Add one that depends on it where the two differ."
    flipped = put(rule, path, to(replace(node, value=node.otherwise, otherwise=node.value)))
    return Flip("turned round", path, "exchanged", short, at, 1, what, hint, flipped)


def _stepped(
    rule: tree.BoundRule, node: tree.Constant, path: Path, text: str, at: Path, operator: str
) -> Iterator[Flip]:
    bare = node.name in ("0", "1") and not operator  # what is counted from or multiplied by is no limit
    if bare or isinstance(node.value, bool) or not isinstance(node.value, int | float):
        return
    was = shown(node.value, node.kind, node.unit)
    for up in (True, False):
        value = stepped(node.value, node.kind, node.unit, up)
        now = shown(value, node.kind, node.unit)
        short = " ".join(text.split())
        turns = now if operator in ("<=", "<", ">=", ">") and up == (operator in ("<=", ">")) else was
        hint = f"Add one at {turns}." if operator else f"Add one that depends on it at {was}."
        caret = max(text.find(node.name) + 1, 1)
        what = f"No example would notice {was} becoming {now} in '{short}'."
        flipped = put(rule, path, to(replace(node, value=value)))
        yield Flip("limit", path, f"{was} becoming {now}", short, at, caret, what, hint, flipped, limit=node.name)


def stepped(value: float, kind: str, unit: str, up: bool) -> float:
    """A limit one step up or down: a day, or one in the last digit written, or five where that digit is a nought."""
    if kind == "date":
        return value + (1 if up else -1)
    its = units.find_unit(kind, unit) or units.base_unit(kind)
    number = Decimal(repr(units.from_base(value, its))).normalize()
    exponent = number.as_tuple().exponent
    assert isinstance(exponent, int)
    step = Decimal(1).scaleb(exponent) if exponent <= 0 else Decimal(5)
    return units.to_base(float(number + (step if up else -step)), its)


def shown(value: Any, kind: str, unit: str) -> str:
    if kind == "date":
        return datetime.date.fromordinal(int(value)).isoformat()
    return units.write_amount(value, kind, unit) if kind in units.kinds() else str(value)


def _table(
    rule: tree.BoundRule, node: tree.Lookup, path: Path, text: str, at: Path, around: Surroundings
) -> Iterator[Flip]:
    unit, caret = around.units.get(node.table, ""), max(text.find(node.table) + 1, 1)
    short = " ".join(text.split())
    yield from _row_dropped(rule, node, path, short, at, caret)
    if node.kind not in units.kinds():
        return
    rows = [index for index, row in enumerate(node.rows) if row.value is not None]
    for group in [[index] for index in rows] if len(rows) <= MOST_ROWS else [rows]:
        for up in (True, False):
            turned = tuple(
                replace(row, value=stepped(row.value, node.kind, unit, up)) if index in group else row  # type: ignore[arg-type]
                for index, row in enumerate(node.rows)
            )
            first_values = [
                shown(one.rows[group[0]].value, node.kind, unit) for one in (node, replace(node, rows=turned))
            ]
            whole = f"every value of '{node.table}' a step {'up' if up else 'down'}"
            detail = (
                f"{first_values[0]} becoming {first_values[1]} in row {group[0] + 1} of '{node.table}'"
                if len(group) == 1
                else whole
            )
            what = f"No example would notice {detail}."
            hint = "Add one at a value of the table."
            flipped = put(rule, path, to(replace(node, rows=turned)))
            yield Flip("limit", path, detail, short, at, caret, what, hint, flipped, limit=node.table)


def _row_dropped(
    rule: tree.BoundRule, node: tree.Lookup, path: Path, short: str, at: Path, caret: int
) -> Iterator[Flip]:
    """A short table with one row less. What a long one loses, lint tells by the release before."""
    short_one = 1 < len(node.rows) <= MOST_ROWS
    for index in (index for index, row in enumerate(node.rows) if short_one and row.value is not None):
        detail = f"row {index + 1} of '{node.table}' being left out"
        left = replace(node, rows=(*node.rows[:index], *node.rows[index + 1 :]))
        what = f"No example would notice {detail}."
        flipped = put(rule, path, to(left))
        yield Flip(
            "row", path, detail, short, at, caret, what, "Add one that takes this row.", flipped, limit=node.table
        )
