"""Generated code, second part: conditions, each written twice, as what makes it surely true and what makes it surely false."""

from __future__ import annotations

from collections.abc import Iterable

from checker.ir import tree
from checker.judging.code_values import ValueWriter


class ConditionWriter(ValueWriter):
    """Writes conditions as expressions; the values in them are lines before."""

    def both(self, node: tree.Condition) -> tuple[str, str]:
        if isinstance(node, tree.Compare):
            return self.compare(node)
        if isinstance(node, tree.Member):
            return self.member(node)
        if isinstance(node, tree.Truth):
            value = self.value(node.value)
            no = (
                f"({value} is not NAN and {value} is not True)" if self.may_be_none(node.value) else f"{value} is False"
            )
            return f"{value} is True", no
        if isinstance(node, tree.Given):
            value = self.value(node.fact)
            there, none = f"({value} is not NAN and {value} is not NONE)", f"{value} is NONE"
            return (none, there) if node.none else (there, none)
        if isinstance(node, tree.Not):
            return self.both(node.condition)[::-1]
        if isinstance(node, tree.All):
            parts = [self.both(part) for part in node.conditions]
            return conjoined(held for held, _ in parts), disjoined(no for _, no in parts)
        if isinstance(node, tree.AnyOf | tree.NoneOf):
            inner = [b.condition for b in node.branches] if isinstance(node, tree.AnyOf) else list(node.conditions)
            parts = [self.both(part) for part in inner]
            found = disjoined(held for held, _ in parts), conjoined(no for _, no in parts)
            return found if isinstance(node, tree.AnyOf) else found[::-1]
        if isinstance(node, tree.Constantly):
            return str(node.value), str(not node.value)
        return "False", "False"

    def member(self, node: tree.Member) -> tuple[str, str]:
        value, words = self.value(node.value), self.constant(frozenset(node.words))
        found = f"{value} in {words}", f"({value} is not NAN and {value} not in {words})"
        return found[::-1] if node.negated else found

    def compare(self, node: tree.Compare) -> tuple[str, str]:
        values = [self.value(operand) for operand in node.operands]
        parts = [self.compared(op, node, values, index) for index, op in enumerate(node.operators)]
        return conjoined(held for held, _ in parts), disjoined(no for _, no in parts)

    def compared(self, op: str, node: tree.Compare, values: list[str], index: int) -> tuple[str, str]:
        left, right = values[index], values[index + 1]
        nodes = node.operands[index], node.operands[index + 1]
        if node.kind in ("word", "flag"):
            known = f"{left} is not NAN and {right} is not NAN"
            held, no = (f"({known} and {left} {sign} {right})" for sign in ("==", "!="))
        else:
            held, no = self.amounts(op, left, nodes[1], right, node.grain)
        if op == "!=" and node.kind in ("word", "flag"):
            held, no = no, held
        none = self.none_among((nodes[0], left), (nodes[1], right))
        if not none:
            return held, no
        absent = f"not ({none})"
        return (f"({none} or {held})", f"({absent} and {no})") if op == "!=" else (
            f"({absent} and {held})", f"({none} or {no})"
        )  # fmt: skip

    def amounts(self, op: str, left: str, node: tree.Value, right: str, grain: float) -> tuple[str, str]:
        """Two amounts; what is not known is a NaN, of which nothing holds."""
        if op in ("==", "!="):
            apart, width = f"abs({left} - {right})", self.constant(grain)
            near, far = f"{apart} <= {width}", f"{apart} > {width}"
            return (near, far) if op == "==" else (far, near)
        more = op in ("<=", ">")
        if isinstance(node, tree.Constant) and isinstance(node.value, float | int):
            limit = self.constant(node.value + grain if more else node.value - grain)
        else:
            limit = f"{right} {'+' if more else '-'} {self.constant(grain)}"
        opposite = {"<=": ">", ">": "<=", "<": ">=", ">=": "<"}[op]
        return f"{left} {op} {limit}", f"{left} {opposite} {limit}"


def conjoined(parts: Iterable[str]) -> str:
    return _joined(parts, "and", "True", "False")


def disjoined(parts: Iterable[str]) -> str:
    return _joined(parts, "or", "False", "True")


def _joined(parts: Iterable[str], word: str, empty: str, deciding: str) -> str:
    left = [part for part in parts if part != empty]
    if not left:
        return empty
    if deciding in left:
        return deciding
    return left[0] if len(left) == 1 else f"({f' {word} '.join(left)})"
