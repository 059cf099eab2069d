"""The amendment of a limit that is a table or a list: one row is given another value, or the list is written anew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.authoring.editing.amend import Amendable, Ground, amendment
from checker.authoring.editing.file_edits import OneLine, OneLineList
from checker.authoring.editing.layer_context import Layers, below_on, edition_of
from checker.rulesets import limits
from checker.rulesets.layering import NO_EDITION
from checker.rulesets.limits import LimitError
from checker.rulesets.models import Limit, LimitValue, TableRow


class Several(NamedTuple):
    """A table or a list of values that a rule names, and what it holds now."""

    name: str
    limit: Limit
    now: LimitValue

    @property
    def rows(self) -> Mapping[str, TableRow]:
        """The rows of a table, each by what it is looked up by and what it says."""
        return {row_said(row): row for row in self.now.rows or ()}


def several(layers: Layers, rule_id: str, at: Amendable) -> Iterator[Several]:
    """The tables and lists that a rule names, as the layers below leave them on the day."""
    for name in sorted(layers.below.limits_named(rule_id) - at.unused):
        home = layers.home("limits", name)
        same = home is layers.home("rules", rule_id)
        edition = at.edition if same else edition_of(layers, home.id, at.day)
        limit = below_on(layers, "limits", name, edition, at.day).data
        assert isinstance(limit, Limit)
        now = limits.pick(limit, None if edition == NO_EDITION else edition, at.day)
        if now and home.header.owner_kind != "federal" and (now.rows or isinstance(now.value, list)):
            yield Several(name, limit, now)


def row_said(row: TableRow) -> str:
    """A row as a person names it: `material copper, device from 15.1 A: 12`."""
    keys = (f"{name} {_end(key)}" for name, key in row.others.items())
    return f"{', '.join(keys)}: {row.value}"


def _end(key: object) -> str:
    return " ".join(f"{end} {value}" for end, value in key.items()) if isinstance(key, dict) else str(key)


def row_set(layers: Layers, of: Several, said: str, value: str, direction: str, ground: Ground) -> dict[str, Any]:
    """The amendment of a table with one row changed, all others as they are.

    Args:
        said: The row, as `rows` names it.
    """
    rows = [OneLine({**row.as_data(), **({"value": value} if name == said else {})}) for name, row in of.rows.items()]
    return _amendment(layers, of, {"rows": rows}, direction, ground)


def list_set(layers: Layers, of: Several, values: list[str], direction: str, ground: Ground) -> dict[str, Any]:
    """The amendment of a list of values, written anew."""
    return _amendment(layers, of, {"value": OneLineList(values)}, direction, ground)


def _amendment(layers: Layers, of: Several, holds: dict[str, Any], direction: str, ground: Ground) -> dict[str, Any]:
    entry = {"source": ground.source(layers), "sure": ground.sure, **holds}
    return amendment(layers, "limits", of.name, ground, direction, {"set": {"values": [entry]}})


def read_values(of: Several, text: str) -> list[str]:
    """A list of values as typed, with commas between them.

    Raises:
        LimitError: One of them is not a value of the limit, or the list is what it is already.
    """
    values = [one.strip() for one in text.split(",") if one.strip()]
    for one in values:
        limits.read(of.limit, one)
    if values == of.now.value:
        raise LimitError("It says this already.", "Give another list.")
    return values


def read_cell(of: Several, said: str, text: str) -> str:
    """A value of a row as typed; `none` where there is to be none.

    Raises:
        LimitError: It is not a value of the table, or what the row says already.
    """
    plain = " ".join(text.split())
    if plain != "none":
        limits.read(of.limit, plain)
    if plain == of.rows[said].value:
        raise LimitError("The row says this already.", "Give another value.")
    return plain
