"""Bound rules as generated Python: the quick way to what plain facts settle, and to what they leave open.

One function for any number of rules that go through the same list (or none), written from the typed tree alone. No text of
a ruleset is part of the code: whatever a node holds is handed over under a name of its own. Each condition is written
twice, as what makes it surely true and what makes it surely false, in strong Kleene logic; a fact that is not recorded is
a NaN, on no side of anything. Where a rule stays open the function tells which facts are missing, as long as trying the values
that they could have would say no more (`exactness`). What it cannot settle it leaves to the walk, which is its oracle.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from types import SimpleNamespace
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.kleene import NONE, Cause, Nothing, Range, Scope, Unknown
from checker.ir.node import replace
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.ir.visitor import single_conditions
from checker.judging.code_conditions import conjoined, disjoined
from checker.judging.code_open import OpenWriter, Trying
from checker.judging.code_values import DomainOf
from checker.judging.conditions import open_in_list
from checker.judging.exactness import Domain, Exactness, outright
from checker.judging.values import ARITHMETIC, MINUTES_A_DAY, evaluate, looked_up, moved_day
from checker.trade import functions
from checker.trade.function import OutOfRange

DOES_NOT_APPLY = "does_not_apply"
NAN = float("nan")
BETWEEN = float("nan")  # a day, or a list taken together, that is known to lie between two values

UNREAD = SimpleNamespace(value=NAN)  # stands where nothing is recorded


class Missing(NamedTuple):
    """What a rule that stays open lacks: full paths of facts, and causes that name none; `exact` as in a verdict.

    In a trial `mark` holds what is left to settle: two values of a fact that leave the same make no difference.
    """

    facts: list[str | Cause]
    exact: bool
    mark: Any = None


class Question(NamedTuple):
    """The authority's question of a rule that arose, by its number."""

    number: int


class Doubted(NamedTuple):
    """What a rule would say, was anybody sure of it."""

    outcome: str


# What a function says of a rule: an outcome, or why it is open; None where the walk has to say.
Said = str | Missing | Question | Doubted | None
# (`Facts.recorded`; full paths of the facts of a place; the scope of a rule) → what is said of each rule
Judging = Callable[[Callable[[str, Any], Any], Sequence[str], Callable[[int], Scope]], "list[Said]"]
Quick = Callable[[Scope], Said]


class Generated(NamedTuple):
    """The function of some rules. `facts` are those of an item or of the item around it, whose full paths the function is
    handed for each place.
    """

    judge: Judging
    facts: tuple[tree.Fact, ...]

    def paths(self, scope: Scope) -> list[str]:
        """The full paths of those facts in a scope."""
        return [scope.path(fact) for fact in self.facts]


def compiled(rule: tree.BoundRule, domain: DomainOf | None = None) -> Quick:
    """What one rule says in a scope. Without a `domain` nothing is known of the values that facts could have."""
    function = together([rule], domain or (lambda _, __: Domain()))

    def quick(scope: Scope) -> Said:
        return function.judge(scope.facts.recorded, function.paths(scope), lambda _: scope)[0]

    return quick


def together(
    rules: Sequence[tree.BoundRule], domain: DomainOf, telling: bool = True, listed: str = "", trying: Trying = ""
) -> Generated:
    """One function for rules that all go through the same list. A stale rule is the walk's alone.

    Args:
        telling: Whether it tells why a rule is open, or of these `verify_locally` alone, which is quicker.
        listed: `unlisted` for places where that list is not recorded, `unlisted_inside` where the list inside an item is not.
        trying: For a trial: of `worlds`, where every fact with a closed list has a value, or of single `conditions`, where
            there are too many worlds.
    """
    writer = _RuleWriter(domain, telling, trying)
    source = writer.function(rules, listed)
    own = {
        "NAN": NAN, "NONE": NONE, "UNREAD": UNREAD, "BETWEEN": BETWEEN, "Range": Range, "abs": abs, "len": len,
        "call": called, "look": found_in, "walk": _walk if telling else _walk_for_outcome,
        "day": _day, "days": _days, "missing": Missing, "marks": frozenset,
    }  # fmt: skip
    space: dict[str, Any] = own | {f"c{index}": value for index, value in enumerate(writer.constants)}
    exec(compile(source, f"<{len(rules)} rules>", "exec"), space)
    return Generated(space["judge"], tuple(writer.at))


def outcome_of(said: Said) -> str | None:
    """The outcome in what a function says of a rule."""
    return said if said is None or isinstance(said, str) else VERIFY


def called(name: str, tables: tuple[Any, ...], *given: Any) -> Any:
    """What a function comes to; NaN where something is not known, or it knows nothing of such amounts."""
    if any(isinstance(value, Nothing) for value in given):
        return NONE
    if any(value is NAN or value != value for value in given) or None in tables:
        return NAN
    try:
        found = functions()[name].compute(*given, *tables)
    except OutOfRange:
        return NAN
    return NAN if isinstance(found, float) and not math.isfinite(found) else found


def _walk(scope: Scope, node: Any) -> Any:
    """Lists are the walk's own."""
    value = evaluate(node, scope)
    if isinstance(value, Range):
        return BETWEEN
    return NAN if isinstance(value, Unknown) else value


def _walk_for_outcome(scope: Scope, node: Any) -> Any:
    """The same; what is not known and holds values that could be tried is between these."""
    value = _walk(scope, node)
    return BETWEEN if value is NAN and open_in_list(node, scope) else value


def found_in(node: Any, *keys: Any) -> Any:
    """What a table has for these keys; NaN where one is not known, or no row serves."""
    if any(key is NONE for key in keys):
        return NONE
    if any(key != key for key in keys):
        return NAN
    found = looked_up(node, keys)
    return NAN if found is None else found


def _day(operator: str, day: Any, minutes: Any) -> Any:
    """A day so many minutes on or back."""
    if day is NONE or minutes is NONE:
        return NONE
    found = moved_day(operator)(day, minutes) if day == day else NAN
    return found if found - found == 0 else NAN


def _days(operator: str, later: Any, earlier: Any) -> Any:
    """The minutes between two days."""
    if later is NONE or earlier is NONE:
        return NONE
    return float(ARITHMETIC[operator](later, earlier)) * (MINUTES_A_DAY if operator == "-" else 1)


def has_sides(node: tree.Condition) -> bool:
    """Whether a comparison is one that a meter can be too coarse for."""
    return isinstance(node, tree.Compare) and node.kind not in ("word", "flag") and not {"==", "!="} & {*node.operators}


class _RuleWriter(OpenWriter):
    """Writes the function: the facts first, each under a name of its own, then rule after rule."""

    def function(self, rules: Sequence[tree.BoundRule], listed: str) -> str:
        """The whole text of a function; `listed` as in `together`."""
        if listed:
            outcomes = [self.unlisted(number, rule, listed == "unlisted_inside") for number, rule in enumerate(rules)]
        else:
            outcomes = [self.outcome(number, rule) for number, rule in enumerate(rules)]
        body = [*self.reads, *self.lines, f"return [{', '.join(outcomes)}]"]
        return "def judge(get, at, see):\n" + "".join(f"    {line}\n" for line in body)

    def outcome(self, number: int, rule: tree.BoundRule) -> str:
        """The lines that settle one rule.

        Returns:
            The name that its outcome has then.
        """
        if rule.stale:
            return "None"
        self.rule, self.number, self.values = rule, number, {}
        self.exactness = Exactness(rule, self.domain)
        applies, never = self.both(rule.applies)
        self.line(f"{self.leave_guarded(number)} {never}: o{number} = {self.constant(DOES_NOT_APPLY)}")
        self.line("else:")
        self.depth += 1
        asked = [self.both(ask.condition) for ask in rule.verify]
        met, broken = self.both(rule.require)
        steps = [
            (self.constant(Question(index) if self.telling else VERIFY), held) for index, (held, _) in enumerate(asked)
        ]
        unasked = conjoined(no for _, no in asked)
        passing, failing = self.firm(rule)
        steps.append((passing, conjoined([unasked, met])))
        settled = self.applying_is_settled(applies)
        steps = [(outcome, conjoined([held, settled])) for outcome, held in steps]
        steps.append((failing, conjoined([unasked, broken, applies])))
        said = "".join(f"{outcome} if {held} else " for outcome, held in steps if held != "False")
        self.line(f"o{number} = {said}None")
        self.open(f"o{number}", unasked, applies, met, broken)
        self.depth -= 1
        return f"o{number}"

    def leave_guarded(self, number: int) -> str:
        """The word that goes on after the lines that leave a rule to the walk where a meter may decide it; but for those where it
        does not apply whatever the meter says."""
        if self.rule.judged != "guarded":
            return "if"
        plain = [part for part in self.rule.applies.conditions if not any(map(has_sides, single_conditions(part)))]
        metered = (one for node in self.rule.conditions for one in single_conditions(node) if has_sides(one))
        never = self.both(tree.All(tuple(plain)))[1]
        known = disjoined(side for one in metered for side in self.both(one))
        self.line(f"if {never}: o{number} = {self.constant(DOES_NOT_APPLY)}")
        self.line(f"elif {known}: o{number} = None")
        return "elif"

    def unlisted(self, number: int, rule: tree.BoundRule, inside: bool) -> str:
        """The lines that settle one rule where the list it goes through is not recorded: it is open unless it cannot apply."""
        applies = outright(rule, inside)
        self.rule, self.number, self.values = (
            replace(rule, applies=applies, require=tree.All(()), verify=()),
            number,
            {},
        )
        self.exactness = Exactness(self.rule, self.domain)
        held, never = self.both(applies)
        self.line(f"o{number} = {self.constant(DOES_NOT_APPLY)} if {never} else None")
        self.settle(
            f"o{number}", self.exactness.to_try_in_conditions(), lambda: self.unknown_where(held, applies), True
        )
        return f"o{number}"

    def firm(self, rule: tree.BoundRule) -> tuple[str, str]:
        """What is said where it passes and where it fails: nothing firm of what nobody is sure of, life safety aside."""
        said: list[Any] = [PASS, FAIL]
        if rule.doubtful:
            said = [Doubted(PASS) if self.telling else VERIFY, Doubted(FAIL) if self.telling else VERIFY]
            said[1] = FAIL if rule.life_safety else said[1]
        return self.constant(said[0]), self.constant(said[1])
