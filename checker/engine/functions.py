"""Generated functions of bound rules, each written once for all programs that hold the same rules."""

from __future__ import annotations

from collections.abc import Sequence

from checker.ir import tree
from checker.ir.kleene import NONE, Known, Nothing
from checker.judging.exactness import Domain
from checker.judging.generated_code import Generated, Quick, compiled, together
from checker.judging.trial import Trial
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.library import Library

OFTEN = 8  # looks at a rule after which a function for it alone has paid for its writing
MOST_KEPT = 2000
MOST_RULES = 2_000  # of which it is counted how often they were looked at


class Functions:
    """Keeps the functions it has written, beside their rules, so that no other rule can come to have their identity."""

    def __init__(self, library: Library, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.ranged = {path for ruleset in library.rulesets.values() for path in ruleset.header.possible}
        self._alone: dict[int, tuple[tree.BoundRule, Quick]] = {}
        self._times: dict[int, tuple[tree.BoundRule, int]] = {}
        self._trials: dict[int, Trial] = {}  # which holds its rule
        self._together: dict[tuple[bool, str, tuple[int, ...]], tuple[Sequence[tree.BoundRule], Generated]] = {}

    def alone(self, rule: tree.BoundRule) -> Quick | None:
        """The function of one rule, once it is judged so often that writing the function pays."""
        key = id(rule)
        if key not in self._times and len(self._times) >= MOST_RULES:
            self._times.clear()
            self._alone.clear()
        _, times = self._times.get(key, (rule, 0))
        self._times[key] = rule, times + 1
        if times >= OFTEN and key not in self._alone:
            self._alone[key] = rule, compiled(rule, self.domain)
        known = self._alone.get(key)
        return known[1] if known else None

    def often(self, rule: tree.BoundRule) -> bool:
        """Whether a rule was judged so often that a function for it alone has been written."""
        return id(rule) in self._alone

    def together(self, rules: Sequence[tree.BoundRule], telling: bool, listed: str) -> Generated:
        """The function of rules that go through the same list; `telling` and `listed` as in `generated_code.together`."""
        key = telling, listed, tuple(map(id, rules))
        if key not in self._together:
            if len(self._together) >= MOST_KEPT:
                self._together.clear()
            self._together[key] = rules, together(rules, self.domain, telling, listed)
        return self._together[key][1]

    def trial(self, rule: tree.BoundRule) -> Trial:
        """The rule ready to be tried with every value that unrecorded facts could have."""
        if id(rule) not in self._trials:
            if len(self._trials) >= MOST_KEPT:
                self._trials.clear()
            self._trials[id(rule)] = Trial(rule, self.domain)
        return self._trials[id(rule)]

    def domain(self, rule: tree.BoundRule, fact: tree.Fact) -> Domain:
        """What is known of a fact before any job."""
        first = [f"{name}.0" for name in rule.for_each]
        around = {"job": [], "item": first, "outer": first[:-1]}[fact.frame]
        leaf = self.vocabulary.leaf(".".join(filter(None, [*around, fact.path])))
        if leaf is None:
            return Domain()
        if leaf.range is not None or leaf.path in self.ranged:
            return Domain((), leaf.may_be_none, ranged=True)
        values: tuple[Known | Nothing, ...] = (True, False) if leaf.form == "flag" else leaf.possible
        closed = (*values, NONE) if values and leaf.may_be_none else values
        return Domain(closed, leaf.may_be_none, ranged=False)
