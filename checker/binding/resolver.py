"""Words of a condition → nodes: every word found, every kind checked, without any job.

A literal takes the kind of what it is compared with or added to; anything else that mixes kinds is a mistake.
"""

from __future__ import annotations

from typing import NoReturn

from checker.binding import kinds
from checker.binding import parser as syntax
from checker.binding.value_resolver import PLAIN_NUMBERS, ValueResolver
from checker.ir import tree
from checker.problems.problem import did_you_mean


class Resolver(ValueResolver):
    """Turns syntax into nodes for one rule."""

    def condition(self, node: syntax.Syntax, text: str) -> tree.Condition:
        """A line of conditions.

        Raises:
            ExpressionError: A word is not found, kinds are mixed, or the line is no condition.
        """
        if isinstance(node, syntax.Compare):
            return self.compare(node, text)
        if isinstance(node, syntax.Member):
            return self.member(node, text)
        if isinstance(node, syntax.Not):
            return tree.Not(self.flag(node.value, text), text)
        return self.flag(node, text)

    def flag(self, node: syntax.Syntax, text: str) -> tree.Condition:
        value = self.value(node)
        if value.kind != "flag":
            kinds.wrong(
                f"This is {kinds.a(value.kind)}, not a yes or no.",
                node,
                "Compare it with something, or ask 'given:' for it.",
            )
        return tree.Truth(value, text)

    def compare(self, node: syntax.Compare, text: str) -> tree.Condition:
        edition = self.edition_compared(node, text)
        if edition is not None:
            return edition
        anchor = next(
            (self.value(part) for part in node.operands if not kinds.literal(part) and not self.bare(part)), None
        )
        if anchor is None:
            self._explain_bare(node)
        operands = tuple(self.operand(part, anchor) for part in node.operands)
        for part, operand in zip(node.operands, operands, strict=True):
            if operand.kind != anchor.kind:
                kinds.wrong(kinds.mixed(anchor, operand), part, "Compare a reading with a limit of the same kind.")
        if anchor.kind in ("word", "flag") and set(node.operators) - {"==", "!="}:
            kinds.wrong(
                f"{kinds.a(anchor.kind).capitalize()} has no larger and smaller.", node, "Use == or 'in [ … ]'."
            )
        return tree.Compare(operands, node.operators, anchor.kind, self.grain(operands), text)

    def operand(self, part: syntax.Syntax, anchor: tree.Value) -> tree.Value:
        """A side of a comparison; a plain literal or an unbound word takes the other side's kind."""
        if isinstance(part, syntax.Amount | syntax.Day):
            if (
                isinstance(part, syntax.Amount)
                and part.number in PLAIN_NUMBERS
                and not part.unit
                and anchor.kind == "number"
            ):
                return tree.Constant(part.number, float(part.number), "number")
            written = part.text if isinstance(part, syntax.Day) else f"{part.number} {part.unit}".strip()
            kinds.wrong(
                f"{written} is used as a limit without a name.",
                part,
                "Give it a name and a source under 'limits:' and write the name.",
            )
        if isinstance(part, syntax.Quoted) or self.bare(part):
            word = part.text if isinstance(part, syntax.Quoted | syntax.Word) else ""
            return self.word(word, anchor, part)
        value = self.value(part)
        if isinstance(part, syntax.Arithmetic | syntax.Call) and value.kind != "date":
            kinds.wrong("Arithmetic and functions go under 'where'.", part, "Name it there and write the name here.")
        return value

    def member(self, node: syntax.Member, text: str) -> tree.Member:
        value = self.value(node.value)
        if value.kind != "word":
            kinds.wrong(
                f"This is {kinds.a(value.kind)}, not a word out of a list.",
                node.value,
                "Compare amounts with <= and >=.",
            )
        words = [str(self.word(word.text, value, word).value) for word in node.words]
        return tree.Member(value, tuple(words), node.negated, text)

    def edition_compared(self, node: syntax.Compare, text: str) -> tree.Condition | None:
        call = node.operands[0]
        if not (isinstance(call, syntax.Call) and call.name == "edition"):
            return None
        code = call.arguments[0] if len(call.arguments) == 1 else None
        if not isinstance(code, syntax.Word):
            kinds.wrong("edition() takes the name of one code.", call, "Write edition(CODE).")
        known = self.context.chain.by_id
        if code.text not in known:
            hint = did_you_mean(code.text, known) or "Add its ruleset under 'uses'."
            kinds.wrong(f"There is no code '{code.text}' here.", code, hint)
        other = node.operands[1]
        if not isinstance(other, syntax.Amount) or len(node.operators) != 1:
            kinds.wrong("An edition is compared with a year.", other, "Write edition(CODE) >= EDITION.")
        edition = self.context.editions.get(code.text)
        if edition is None:
            return tree.Unsettled(code.text, text)
        order = {
            "<": edition < other.number,
            "<=": edition <= other.number,
            ">": edition > other.number,
            ">=": edition >= other.number,
        }
        order |= {"==": edition == other.number, "!=": edition != other.number}
        return tree.Constantly(order[node.operators[0]], text)

    def _explain_bare(self, node: syntax.Compare) -> NoReturn:
        for part in node.operands:
            if isinstance(part, syntax.Word):
                self.named(part)
        kinds.wrong("Nothing here is a fact.", node, "Compare a fact or a name under 'where' with a limit.")
