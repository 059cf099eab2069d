"""Words of a value → nodes: facts, limits, arithmetic, functions, tables and lists taken together.

A word is a name under `where`, a limit, a fact, or a word of the closed list it is compared with, looked for in that
order.
"""

from __future__ import annotations

from typing import Any

from checker.binding import kinds
from checker.binding import parser as syntax
from checker.binding.names import Names
from checker.binding.parser import ExpressionError
from checker.ir import tree
from checker.problems.problem import did_you_mean
from checker.rulesets import limits as limit_module
from checker.rulesets import provenance
from checker.rulesets.layering import effective
from checker.rulesets.models import Limit
from checker.trade import functions

YES_OR_NO = ("true", "false", "yes", "no")
COUNTS = ("count", "count_so_far")
FOLDS = (*COUNTS, "first", "last", "lowest", "highest", "average", "total", "at", "highest_until")
EXTREMES = ("larger_of", "smaller_of")
PLAIN_NUMBERS = ("0", "1")


class ValueResolver(Names):
    """Turns the syntax of values into nodes for one rule."""

    def value(self, node: syntax.Syntax) -> tree.Value:
        """A value.

        Raises:
            ExpressionError: As for conditions.
        """
        if isinstance(node, syntax.Word):
            return self.named(node)
        if isinstance(node, syntax.Arithmetic):
            return self.arithmetic(node)
        if isinstance(node, syntax.Call):
            return self.call(node)
        if isinstance(node, syntax.Lookup):
            return self.lookup(node)
        if isinstance(node, syntax.Choice):
            return self.choice(node)
        if isinstance(node, syntax.Amount) and node.number in PLAIN_NUMBERS and not node.unit:
            return tree.Constant(node.number, float(node.number), "number")
        if isinstance(node, syntax.Quoted):
            return tree.Constant(node.text, node.text, "word")
        if isinstance(node, syntax.Amount | syntax.Day):
            kinds.wrong(
                "This is a number or a date without a name.",
                node,
                "Give it a name and a source under 'limits:' and write the name.",
            )
        raise ExpressionError(
            "This is not a value.", node.column, "A comparison belongs under applies_when or require."
        )

    def condition(self, node: syntax.Syntax, text: str) -> tree.Condition:
        """A condition, which `Resolver` knows to turn into nodes."""
        raise NotImplementedError

    def choice(self, node: syntax.Choice) -> tree.Choice:
        """A value by condition; both values are of one kind."""
        value, otherwise = self.value(node.value), self.value(node.otherwise)
        if value.kind != otherwise.kind:
            kinds.wrong(kinds.mixed(value, otherwise), node, "Give it two values of one kind.")
        return tree.Choice(self.condition(node.condition, node.text), value, otherwise, value.kind)

    def named(self, node: syntax.Word) -> tree.Value:
        if node.text in self.where:
            return tree.Named(node.text, self.where[node.text].kind)
        if node.text in self.context.chain.limit_names:
            return self.limit(node.text, node)
        fact = self.fact(node.text)
        if fact is None:
            kinds.wrong(
                f"'{node.text}' is not a fact, a limit or a name under 'where'.",
                node,
                did_you_mean(node.text, self.known()) or self.called(node.text),
            )
        self.refuse_list(node.text, node)
        return fact

    def arithmetic(self, node: syntax.Arithmetic) -> tree.Arithmetic:
        left, right = self.value(node.left), self.value(node.right)
        kind = kinds.kind_of_sum(node.operator, left.kind, right.kind)
        if not kind:
            said = {"+": "added to", "-": "taken from", "*": "multiplied by", "/": "divided by"}[node.operator]
            kinds.wrong(
                f"{kinds.shown(left)} is {kinds.a(left.kind)} and {kinds.shown(right)} is {kinds.a(right.kind)}: "
                f"they cannot be {said} each other.",
                node,
                "Bring both to one kind first.",
            )
        return tree.Arithmetic(node.operator, left, right, kind)

    def call(self, node: syntax.Call) -> tree.Value:
        if node.name in FOLDS:
            return self.fold(node)
        if node.name in EXTREMES:
            return self.extreme(node)
        if node.name == "first_given":
            first, second = (self.value(part) for part in self._two(node))
            if first.kind != second.kind:
                kinds.wrong(kinds.mixed(first, second), node)
            return tree.FirstGiven(first, second, first.kind)
        function = functions().get(node.name)
        if function is None:
            kinds.wrong(
                f"There is no function '{node.name}'.",
                node,
                did_you_mean(node.name, [*functions(), *FOLDS, *EXTREMES, "first_given", "edition"])
                or "The guide to the rulesets names them all.",
            )
        if len(node.arguments) != len(function.arguments):
            kinds.wrong(
                f"'{node.name}' takes {len(function.arguments)} values: {', '.join(a.name for a in function.arguments)}.",
                node,
                "Give it each of them, in this order.",
            )
        given = tuple(self.value(part) for part in node.arguments)
        for argument, value, part in zip(function.arguments, given, node.arguments, strict=True):
            if argument.kind != value.kind:
                kinds.wrong(
                    f"'{node.name}' needs {kinds.a(argument.kind)} for its {argument.name.replace('_', ' ')}; "
                    f"this is {kinds.a(value.kind)}.",
                    part,
                    "Give it one of that kind: absolute_pressure(…) makes one of a gauge reading."
                    if (argument.kind, value.kind) == ("absolute_pressure", "gauge_pressure")
                    else "Give it one of that kind.",
                )
        tables = tuple(
            self.limit(name, node) if name in self.context.chain.limit_names else kinds.no_table(name, node)
            for name in function.tables
        )
        return tree.Call(node.name, given, tables, function.result)

    def extreme(self, node: syntax.Call) -> tree.Arithmetic:
        """The larger or the smaller of two amounts of one kind, or the later or earlier of two days."""
        left, right = (self.value(part) for part in self._two(node))
        if left.kind != right.kind:
            kinds.wrong(kinds.mixed(left, right), node, "Give it two amounts of one kind.")
        if left.kind in ("word", "flag"):
            what = f"{kinds.a(left.kind).capitalize()} has no larger and smaller."
            kinds.wrong(what, node, f"'{node.name}' takes amounts or dates.")
        return tree.Arithmetic(node.name, left, right, left.kind)

    def _two(self, node: syntax.Call) -> tuple[syntax.Syntax, syntax.Syntax]:
        if len(node.arguments) != 2:
            kinds.wrong(f"'{node.name}' takes two values.", node, f"Write {node.name}(one, other).")
        return node.arguments[0], node.arguments[1]

    def lookup(self, node: syntax.Lookup) -> tree.Lookup:
        context = self.context
        if node.table not in context.chain.limit_names:
            kinds.wrong(f"There is no table '{node.table}'.", node, did_you_mean(node.table, context.chain.limit_names))
        found = effective(context.chain, "limits", node.table, context.editions, context.day)
        self.stale += [found.stale] if found.stale else []
        data = found.data
        assert isinstance(data, Limit)
        given = dict(node.keys)
        if set(given) != set(data.keys):
            kinds.wrong(f"The keys of '{node.table}' are {', '.join(data.keys) or 'none: it is a single limit'}.", node)
        value = limit_module.pick(data, context.editions.get(found.home.id), context.day)
        if value is None:
            kinds.wrong(
                f"The table '{node.table}' has no rows {self.here(found.home.id)}.",
                node,
                "Add them, or narrow the editions of the rule.",
            )
        if value.sure == "doubtful":
            self.doubtful.append(f"the table '{node.table}'")
        keys = tuple(self.value(given[name]) for name in data.keys)
        try:
            held = self.limits[node.table] = provenance.held(found, context.at)
            wanted = [limit_module.kind_of_key(data, name) for name in data.keys]
        except limit_module.LimitError as error:
            kinds.wrong(f"The table '{node.table}' cannot be read: {error.what}", node, error.hint)
        for name, kind, key in zip(data.keys, wanted, keys, strict=True):
            if key.kind != kind:
                kinds.wrong(
                    f"The key '{name}' needs {kinds.a(kind)}; {kinds.shown(key)} is {kinds.a(key.kind)}.", given[name]
                )
        return tree.Lookup(node.table, held.rows, keys, held.kind)

    # --- folds ---

    def fold(self, node: syntax.Call) -> tree.Fold:
        plain = [part for part in node.arguments if not isinstance(part, syntax.Match)]
        if not plain or not isinstance(plain[0], syntax.Word):
            kinds.wrong(f"'{node.name}' takes a list.", node, "Write count(list) or last(list.field).")
        items, field = self.split(plain[0], whole=node.name in COUNTS and len(plain) == 1)
        where = tuple(self.match(part, items) for part in node.arguments if isinstance(part, syntax.Match))
        kind = self.field_kind(items, field, plain[0]) if field else "number"
        kind = "number" if node.name in COUNTS else kind
        if node.name not in ("at", "highest_until"):
            if len(plain) != 1:
                kinds.wrong(f"'{node.name}' takes one list, and 'is' to narrow it.", node)
            return tree.Fold(node.name, items, field, kind, where)
        if len(plain) != 3 or not isinstance(plain[1], syntax.Word):
            kinds.wrong(f"'{node.name}' takes the values, the times they were read at, and a time.", node)
        _, clock = self.split(plain[1], whole=False)
        until = self.value(plain[2])
        if until.kind != self.field_kind(items, clock, plain[1]):
            kinds.wrong(f"{kinds.shown(until)} is {kinds.a(until.kind)}; it has to be a time.", plain[2])
        return tree.Fold(node.name, items, field, kind, where, clock, until)

    def split(self, word: syntax.Word, whole: bool) -> tuple[tree.Fact, str]:
        """`item.devices.rating` → the list `item.devices` and its field `rating`."""
        frame, inside = self.framed(word.text)
        parts = inside.split(".")
        for length in range(len(parts), 0, -1):
            path = ".".join(parts[:length])
            if ".".join(filter(None, (self.base(frame), path))) in self.context.vocabulary.lists:
                field = ".".join(parts[length:])
                if bool(field) == whole:
                    kinds.wrong(f"'{word.text}' should name a {'list' if whole else 'field of a list'}.", word)
                return tree.Fact(path, frame, "list"), field
        lists = self.context.vocabulary.lists
        hint = did_you_mean(word.text, lists) or "Name a list of the job and a field of it: list.field."
        raise ExpressionError(f"'{word.text}' is not in a list.", word.column, hint)

    def field_kind(self, items: tree.Fact, field: str, word: syntax.Word) -> str:
        leaf = self.leaf(items.frame, f"{items.path}.{field}")
        if leaf is None:
            kinds.wrong(f"'{word.text}' is not a fact.", word, did_you_mean(word.text, self.known()))
        return leaf.kind

    def match(self, match: syntax.Match, items: tree.Fact) -> tree.Narrowed:
        found, field = self.split(match.field, whole=False)
        if found != items:
            kinds.wrong(f"'{match.field.text}' is not a field of the same list.", match.field)
        leaf = self.leaf(items.frame, f"{items.path}.{field}")
        if leaf is None:
            kinds.wrong(
                f"'{match.field.text}' is not a fact.", match.field, did_you_mean(match.field.text, self.known())
            )
        beside = tree.Fact(f"{items.path}.{field}", items.frame, leaf.kind)
        if match.operator and leaf.kind in ("word", "flag"):
            what = f"{kinds.a(leaf.kind).capitalize()} has no larger and smaller."
            kinds.wrong(what, match, "Write 'is' or 'is not' and the value.")
        if isinstance(match.value, syntax.Word) and leaf.kind != "flag" and self.bare(match.value):
            return tree.Narrowed(field, self.word(match.value.text, beside, match.value), match.negated)
        if isinstance(match.value, syntax.Word) and leaf.kind == "flag" and match.value.text in ("true", "false"):
            flag = tree.Constant(match.value.text, match.value.text == "true", "flag")
            return tree.Narrowed(field, flag, match.negated)
        value = self.value(match.value)
        if value.kind != leaf.kind:
            kinds.wrong(kinds.mixed(beside, value), match.value)
        grain = self.grain((beside, value)) if match.operator else 0.0
        return tree.Narrowed(field, value, match.negated, match.operator, grain)

    # --- single words ---

    def word(self, word: str, beside: tree.Value, part: Any) -> tree.Constant:
        possible = self.possible(beside)
        if beside.kind == "flag" and word in YES_OR_NO:
            what = f"{kinds.shown(beside)} is a yes or no, and is not compared with '{word}'."
            kinds.wrong(what, part, "Write the fact alone, or 'not' and the fact.")
        if beside.kind != "word":
            kinds.wrong(
                f"'{word}' is not a fact, a limit or a name under 'where'.",
                part,
                did_you_mean(word, self.known()) or self.called(word),
            )
        if possible and word not in possible:
            kinds.wrong(
                f"'{word}' is not one of the values of {kinds.shown(beside)}.",
                part,
                did_you_mean(word, [*possible, *self.known()]) or f"One of: {', '.join(possible)}.",
            )
        return tree.Constant(word, word, "word")

    def bare(self, part: syntax.Syntax) -> bool:
        """A word that is neither a name, a limit nor a fact: perhaps one of a closed list."""
        if not isinstance(part, syntax.Word):
            return False
        return (
            part.text not in self.where
            and part.text not in self.context.chain.limit_names
            and self.fact(part.text) is None
        )
