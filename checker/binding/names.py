"""The names an expression may use in one place: facts, limits, names under `where`; and how each is printed."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.binding import kinds
from checker.ir import tree
from checker.reading import units
from checker.reading.fact_shapes import Leaf
from checker.reading.vocabulary import Vocabulary
from checker.rulesets import limits as limit_module
from checker.rulesets import provenance
from checker.rulesets.chain import Chain
from checker.rulesets.layering import Answered, effective
from checker.rulesets.models import Limit
from checker.rulesets.provenance import At

MOST_OFFERED = 3  # facts that a hint names


class Context(NamedTuple):
    """Where an expression stands: the chain, the day and editions, and what `item` is.

    `answered` are the answers by which the authority gave limits that are left to the place a value.
    """

    chain: Chain
    vocabulary: Vocabulary
    editions: Mapping[str, str | None]
    day: int
    for_each: tuple[str, ...] = ()
    answered: Mapping[str, Answered] = MappingProxyType({})

    @property
    def at(self) -> At:
        """Where and when limits are looked up."""
        return At(self.chain, self.editions, self.day)


class Names:
    """What can be named in one rule. `where` grows as its names are resolved, in order.

    `limits` are those that were named, with who set them; `filled` those left to the place whose value an answer of the
    authority gave. `stale` says of limits why a change of them cannot be trusted any more.
    """

    def __init__(self, context: Context) -> None:
        self.context = context
        self.where: dict[str, tree.Value] = {}
        self.doubtful: list[str] = []
        self.filled: list[str] = []
        self.stale: list[str] = []
        self.limits: dict[str, tree.Held] = {}

    def fact(self, path: str) -> tree.Fact | None:
        """A fact by its path, `item.` and `outer.` standing for list items; None where there is no such fact."""
        frame, inside = self.framed(path)
        leaf = self.leaf(frame, inside)
        return tree.Fact(inside, frame, leaf.kind) if leaf else None

    def framed(self, path: str) -> tuple[str, str]:
        head, _, rest = path.partition(".")
        return (head, rest) if head in ("item", "outer") and self.context.for_each else ("job", path)

    def base(self, frame: str) -> str:
        names = self.context.for_each
        return {"job": "", "item": ".".join(names), "outer": names[0] if len(names) > 1 else ""}[frame]

    def leaf(self, frame: str, inside: str) -> Leaf | None:
        base = self.base(frame)
        if frame == "outer" and not base:
            return None
        return self.context.vocabulary.leaves.get(f"{base}.{inside}" if base else inside)

    def around(self, path: str) -> str:
        """The list that a path goes into without an item of it being named, or nothing."""
        frame, inside = self.framed(path)
        base, parts = self.base(frame), inside.split(".")
        paths = (".".join(filter(None, (base, *parts[:length]))) for length in range(1, len(parts)))
        return next((path for path in paths if path in self.context.vocabulary.lists), "")

    def refuse_list(self, path: str, node: Any) -> None:
        """Raise where a path goes into a list: it would stand for many facts at once."""
        within = self.around(path)
        if within:
            hint = "Go through the list with 'for_each', or take it together: count(…), lowest(…) and the like."
            kinds.wrong(f"'{path}' is in the list '{within}': it is not one fact.", node, hint)

    def here(self, code: str) -> str:
        """The edition and the day, to say where a limit has no value."""
        edition, day = self.context.editions.get(code), self.context.day
        under = f"under edition {edition}" if edition else ""
        if day == 1:
            return under or "before its first date"
        return f"{under} on {datetime.date.fromordinal(day).isoformat()}".strip()

    def limit(self, name: str, node: Any) -> tree.Constant:
        """A limit as it stands on the day and under the edition; open limits have no value."""
        context = self.context
        found = effective(context.chain, "limits", name, context.editions, context.day)
        self.stale += [found.stale] if found.stale else []
        data = found.data
        assert isinstance(data, Limit)
        if data.keys:
            kinds.wrong(
                f"'{name}' is a table.",
                node,
                f"Look a value up: {name}[{', '.join(f'{key}: …' for key in data.keys)}].",
            )
        value = limit_module.pick(data, context.editions.get(found.home.id), context.day)
        if value is None and not data.open:
            kinds.wrong(
                f"The limit '{name}' has no value {self.here(found.home.id)}.",
                node,
                "Add a value that holds then, or narrow the editions of the rule.",
            )
        answered = context.answered.get(name) if value is None or value.value is None else None
        self.filled += [name] if answered else []
        if not answered and value and value.sure == "doubtful":
            self.doubtful.append(f"the limit '{name}'")
        try:
            held = self.limits[name] = provenance.held(found, context.at, answered)
        except limit_module.LimitError as error:
            kinds.wrong(f"The limit '{name}' cannot be read: {error.what}", node, error.hint)
        return tree.Constant(name, held.value, held.kind, held.unit)

    def possible(self, value: tree.Value) -> tuple[str, ...]:
        if isinstance(value, tree.Fact):
            leaf = self.leaf(value.frame, value.path)
            return leaf.possible if leaf else ()
        if isinstance(value, tree.Named):
            return self.possible(self.where[value.name])
        return ()

    def known(self) -> list[str]:
        """Every word that could have been meant, for a suggestion."""
        names = [*self.where, *self.context.chain.limit_names, *self.context.vocabulary.leaves]
        for frame in ("item", "outer") if self.context.for_each else ():
            base = self.base(frame)
            names += [
                f"{frame}.{path[len(base) + 1 :]}"
                for path in self.context.vocabulary.leaves
                if base and path.startswith(f"{base}.")
            ]
        return names

    def called(self, word: str) -> str:
        """A hint for a word that is no name: the facts that people call so."""
        words = word.lower().replace("_", " ").replace(".", " ").split()
        leaves = self.context.vocabulary.leaves.values()
        found = [leaf.path for leaf in leaves if all(part in leaf.title.lower() for part in words)]
        if not found:
            return "'changeout rules facts WORD' looks for a fact by a word of the trade."
        more = f" and {len(found) - MOST_OFFERED} more" if len(found) > MOST_OFFERED else ""
        return f"Facts called so: {', '.join(found[:MOST_OFFERED])}{more}."

    def unit_of(self, value: tree.Value) -> tuple[str, int | None]:
        """The unit and the digits to print a value with."""
        if isinstance(value, tree.Fact):
            leaf = self.leaf(value.frame, value.path)
            return (leaf.unit, leaf.digits if leaf.measured else None) if leaf else ("", None)
        if isinstance(value, tree.Constant) and value.unit:
            return value.unit, None
        if isinstance(value, tree.Named):
            return self.unit_of(self.where[value.name])
        for part in kinds.inside(value):
            if part.kind == value.kind and (found := self.unit_of(part))[0]:
                return found
        if value.kind not in units.kinds():
            return "", None
        if isinstance(value, tree.Arithmetic) and value.left.kind == "date":
            return "day", None
        return units.base_unit(value.kind).name, 1 if "temperature" in value.kind or "pressure" in value.kind else None

    def grain(self, operands: tuple[tree.Value, ...]) -> float:
        kind = operands[0].kind
        if kind not in units.kinds():
            return 0.0
        return max(units.grain(kind, self.unit_of(operand)[0]) for operand in operands)
