"""Generated code, third part: what is missing where a rule stays open."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Literal

from checker.ir import tree
from checker.ir.kleene import Cause
from checker.ir.outcomes import VERIFY
from checker.judging.code_conditions import ConditionWriter, conjoined, disjoined
from checker.judging.code_values import DomainOf
from checker.judging.exactness import Exactness
from checker.judging.values import OPEN

Trying = Literal["", "worlds", "conditions"]


class OpenWriter(ConditionWriter):
    """Writes lines that tell why a rule is open: the causes of the parts that are still to be settled, as the walk has them.

    Args:
        telling: Whether they tell why, or of a rule that is open `verify_locally` alone.
        trying: What they are for a trial of, if they are: one of `worlds` wants to know what is left to settle.
    """

    def __init__(self, domain: DomainOf, telling: bool, trying: Trying) -> None:
        super().__init__(domain)
        self.telling, self.trying = telling, trying
        self.exactness: Exactness

    def open(self, outcome: str, unasked: str, applies: str, met: str, broken: str) -> None:
        """The lines for a rule that stays open: what is missing, where to try values would not say more."""

        def write() -> None:
            if unasked != "True":
                self.line(f"if not ({unasked}):")
                questions = tree.NoneOf(tuple(ask.condition for ask in self.rule.verify))
                self.inside(lambda: self.unknown(questions))
                self.line("else:")
                self.depth += 1
            self.unknown_where(applies, self.rule.applies)
            self.unknown_where(f"{met} or {broken}", self.rule.require)
            self.line("pass")
            self.depth -= unasked != "True"

        tried = self.to_try()
        self.settle(outcome, tried, write, False, f", ({applies}, {broken}, marks(m))" if self.trying else "")

    def to_try(self) -> Iterable[tree.Fact]:
        """The facts of which values would have to be tried to say more."""
        if self.trying == "worlds":
            return self.exactness.ranged()
        if self.trying == "conditions":
            return self.exactness.to_try_in_conditions()
        return self.exactness.to_try(bool(self.rule.verify)) if self.telling else self.exactness.to_try_for_outcome()

    def applying_is_settled(self, applies: str) -> str:
        """What holds where the rule applies, or where the walk could not say more of whether it does."""
        if applies == "True":
            return "True"
        tried, lists, days = self.exactness.of_applying()
        open_ones = [*self.unsure_of(tried, lists, days), *self.bounded()]
        return f"({applies} or not ({' or '.join(open_ones)}))" if open_ones else "True"

    def unsure_of(self, tried: Iterable[tree.Fact], lists: Iterable[tree.Fold], days: Iterable[tree.Fact]) -> list[str]:
        """What holds where one of these is not known in a way that trying values, or looking at both ends, could settle."""
        found = [
            *(self.untried(fact) for fact in tried),
            *(self.unsure(node) for node in lists),
            *(f"{self.fact(fact)} is BETWEEN" for fact in days),
        ]
        return list(dict.fromkeys(found))

    def untried(self, fact: tree.Fact) -> str:
        """What holds where a fact is not recorded and its values could settle something.

        For an outcome alone that is where all else that some comparison of it needs is known, or where two conditions hang on it.
        """
        if self.telling:
            return self.missing(fact)
        reads = list(self.exactness.beside(fact))
        known = [conjoined(f"not {self.missing(one)}" for one in needed) for needed, either in reads if not either]
        if [either for _, either in reads].count(True) > 1:
            known.append("True")
        return conjoined([self.missing(fact), disjoined(dict.fromkeys(known))])

    def settle(
        self, outcome: str, tried: Iterable[tree.Fact], write: Callable[[], None], exact: bool, mark: str = ""
    ) -> None:
        """The lines that settle an open outcome.

        Args:
            tried: The facts of which values would have to be tried.
            write: Writes the lines that add what is missing.
            exact: Whether what is missing is exactly what is needed, however often a fact is read.
            mark: What is left to settle, as the last argument of what is told.
        """
        unsure = [*self.unsure_of(tried, self.exactness.lists, self.exactness.days), *self.bounded()]
        sure = f"{outcome} is None" + "".join(f" and not {part}" for part in unsure)
        if not self.telling:
            self.line(f"if {sure}: {outcome} = {self.constant(VERIFY)}")
            return
        self.line(f"if {sure}:")
        self.depth += 1
        self.line("n = []; x = True; w = False" + ("; m = []" if self.trying else ""))
        write()
        self.line(f"if not w: {outcome} = missing(n, {'True' if exact else 'x'}{mark})")
        self.depth -= 1

    def bounded(self) -> list[str]:
        """What holds where a value is not known of which the walk knows bounds."""
        values = dict.fromkeys(self.value(node) for node in self.exactness.bounded)
        return [f"{value} != {value}" for value in values]

    def unsure(self, node: tree.Fold) -> str:
        """What holds where the walk could say more of a list taken together: where its value is not known. For an outcome alone
        it says itself whether anything in it could be tried (`generated_code`)."""
        value = self.value(node)
        return f"{value} != {value}" if self.telling else f"{value} is BETWEEN"

    def unknown_where(self, known: str, node: tree.Condition) -> None:
        """The lines that add what is missing in a condition, unless what stands in `known` holds."""
        if known != "True":
            self.line(f"if not ({known}):")
            self.inside(lambda: self.unknown(node))

    def unknown(self, node: tree.Condition) -> None:
        """The lines that add what is missing where a condition is neither true nor false."""
        held, no = self.both(node)
        if "True" in (held, no):
            return
        if isinstance(node, tree.Unsettled):
            cause = Cause("not_adopted", "", f"which edition of {node.code} is in force")
            self.line(f"n.append({self.constant(cause)})")
            self.left(self.constant(cause))
            return
        self.line(f"if not ({held} or {no}):")
        self.inside(lambda: self.unknown_parts(node))

    def unknown_parts(self, node: tree.Condition) -> None:
        if isinstance(node, tree.Compare):
            for index in range(len(node.operators)):
                values = [self.value(operand) for operand in node.operands]
                held, no = self.compared(node.operators[index], node, values, index)
                self.line(f"if not ({held} or {no}):")
                self.depth += 1
                sides = node.operands[index : index + 2]
                for side in sides:
                    self.lacks(side)
                self.left(self.constant(node.operators[index]), *map(self.marked, sides))
                self.line("pass")
                self.depth -= 1
        elif isinstance(node, tree.Member | tree.Truth):
            self.lacks(node.value)
            words = (node.words, node.negated) if isinstance(node, tree.Member) else ()
            self.left(self.constant(words), self.marked(node.value))
        elif isinstance(node, tree.Given):
            self.lacks(node.fact)
            self.left(self.constant(node.none), self.marked(node.fact))
        elif isinstance(node, tree.AnyOf):
            for branch in node.branches:
                self.unknown(branch.condition)
        elif isinstance(node, tree.All | tree.NoneOf):
            for part in node.conditions:
                self.unknown(part)
        elif isinstance(node, tree.Not):
            self.unknown(node.condition)

    def left(self, *marks: str) -> None:
        """The line that notes what is left to settle, in a trial."""
        if self.trying:
            self.line(f"m.append(({', '.join(marks)},))")

    def marked(self, node: tree.Value) -> str:
        """A value as what is left to settle has it: where it is not known, what it is made of."""
        if not self.trying or isinstance(node, tree.Constant):
            return "NAN" if isinstance(node, tree.Constant) and node.value is None else self.value(node)
        if isinstance(node, tree.Named):
            return self.marked(self.rule.where[node.name])
        if isinstance(node, tree.Fact):
            return f"({self.paths_of(node)},) if {self.missing(node)} else {self.value(node)}"
        if isinstance(node, tree.FirstGiven):
            return f"({self.marked(node.second)}) if {self.value(node.first)} is NONE else ({self.marked(node.first)})"
        if isinstance(node, tree.Arithmetic):
            parts: tuple[tree.Value, ...] = (node.left, node.right)
        else:
            parts = (
                node.arguments if isinstance(node, tree.Call) else node.keys if isinstance(node, tree.Lookup) else ()
            )
        inner = "".join(f"({self.marked(part)}), " for part in parts)
        value = self.value(node)
        return f"({self.constant(self.kind_of(node))}, {inner}) if {value} != {value} else {value}"

    def kind_of(self, node: tree.Value) -> tuple[str, str]:
        """What a value is worked out by."""
        if isinstance(node, tree.Arithmetic):
            return "sum", node.operator
        if isinstance(node, tree.Call):
            return "call", node.function
        return "table", node.table if isinstance(node, tree.Lookup) else ""

    def paths_of(self, fact: tree.Fact) -> str:
        """The expression that gives the full path of a fact."""
        self.fact(fact)
        return self.paths[fact]

    def lacks(self, node: tree.Value) -> None:
        """The lines that add what a value lacks that is not known. A result that lacks nothing is implausible: see the walk."""
        if isinstance(node, tree.Fact):
            often = " x = False;" if self.exactness.times[node] > 1 else ""
            self.line(f"if {self.missing(node)}:{often} n.append({self.paths[node]})")
        elif isinstance(node, tree.Named):
            self.lacks(self.rule.where[node.name])
        elif isinstance(node, tree.Constant):
            if node.value is None:
                self.line(f"n.append({self.constant(Cause('not_adopted', '', f'{OPEN}{node.name}'))})")
        elif isinstance(node, tree.FirstGiven):
            self.line(f"if {self.value(node.first)} is NONE:")
            self.inside(lambda: self.lacks(node.second))
            self.line("else:")
            self.inside(lambda: self.lacks(node.first))
        elif isinstance(node, tree.Arithmetic | tree.Call | tree.Lookup):
            self.lacks_parts(node)
        else:
            self.line(f"if {self.value(node)} != {self.value(node)}: w = True")

    def lacks_parts(self, node: tree.Arithmetic | tree.Call | tree.Lookup) -> None:
        value = self.value(node)
        open_tables = [one for one in node.tables if one.value is None] if isinstance(node, tree.Call) else []
        self.line(f"if {value} != {value}:")
        self.depth += 1
        self.count += 1
        before = f"v{self.count}"
        self.line(f"{before} = len(n)")
        if isinstance(node, tree.Arithmetic):
            parts: tuple[tree.Value, ...] = (node.left, node.right)
        else:
            parts = node.arguments if isinstance(node, tree.Call) else node.keys
        for part in open_tables[:1] or parts:
            self.lacks(part)
        self.line(f"if len(n) == {before}: w = True")
        self.depth -= 1

    def missing(self, fact: tree.Fact) -> str:
        """What holds where a fact is not recorded."""
        name = self.fact(fact)
        return f"{name} != {name}" if fact.kind == "date" else f"{name} is NAN"
