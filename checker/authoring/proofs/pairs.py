"""Two rules of a chain beside each other: whether a job can pass both, and whether they ask the same.

Two rules contradict each other where they both apply, each of them can be passed there, and no job passes both: on all
such jobs, or on all of those on which a fact with a closed list that their conditions read has one value. Only rules whose
requirements read one fact at least together are held against each other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from checker.authoring.proofs.encoding import Formula, Undecided, both
from checker.authoring.proofs.found import Findings
from checker.authoring.proofs.standing import Form, Forms, NotShown, outcomes_differ, reason_of, shown
from checker.ir.outcomes import FAIL, PASS

Pair = tuple[Form, Form]
YES_NO: dict[str | bool, str] = {True: "yes", False: "no"}


class Pairs:
    """The pairs of rules of all chains, each looked at once in each pair of forms."""

    def __init__(self, forms: Forms, found: Findings) -> None:
        self.forms, self.found = forms, found
        self._seen: set[tuple[int, int]] = set()
        self._same: dict[tuple[str, str], Pair | None] = {}

    def look(self, by_rule: dict[str, list[Form]], about: frozenset[str]) -> None:
        """Hold the rules of one chain against each other, those of `about` against all where some are named."""
        facts = {rule: _together(forms) for rule, forms in by_rule.items()}
        for first, second in combinations(by_rule, 2):
            if about and first not in about and second not in about:
                continue
            if facts[first] & facts[second] and not _instead(by_rule[first][0], by_rule[second][0]):
                for pair in self._beside(by_rule[first], by_rule[second]):
                    self._pair(pair)

    def _beside(self, first: Sequence[Form], second: Sequence[Form]) -> Iterator[Pair]:
        """The forms of two rules that can stand beside each other: under the same editions, on one day."""
        for one in first:
            for other in second:
                if all(other.editions.get(code, edition) == edition for code, edition in one.editions.items()):
                    editions, day = {**one.editions, **other.editions}, max(one.day, other.day)
                    found = [
                        self.forms.at(x.chain, x.rule.id, {c: editions[c] for c in x.editions}, day)
                        for x in (one, other)
                    ]
                    if found[0] and found[1] and (key := (id(found[0].rule), id(found[1].rule))) not in self._seen:
                        self._seen.add(key)
                        yield found[0], found[1]

    def _pair(self, pair: Pair) -> None:
        first, second = pair
        if not (first.settled and second.settled):
            return
        try:
            self._same_asked(pair)
            if "shall" == first.rule.obligation == second.rule.obligation:
                self._contradiction(pair)
        except (Undecided, NotShown) as error:
            name = f"{first.rule.id}, {second.rule.id}"
            self.found.undecided.append(("contradiction", name, reason_of(error, first.require, second.require)))

    def _contradiction(self, pair: Pair) -> None:
        """Tell of two rules that no job of some scope passes together."""
        first, second = pair
        encoding, ids = self.forms.encoding, (first.rule.id, second.rule.id)
        scope = both(first.firm, second.firm)
        passed = both(scope, first.require, second.require)
        for value in (None, *self._values(pair)):
            within = both(scope, *([value[1]] if value else []))
            if encoding.job(passed, within) is not None:
                continue
            if encoding.job(within, second.require) is None:
                continue
            shows = shown(self.forms, (within, first.require), {ids[0]: (first, PASS), ids[1]: (second, FAIL)})
            if shows:
                where = f" where {value[0]}" if value else ""
                what = f"No job can pass '{ids[0]}' and '{ids[1]}'{where}: what one asks, the other refuses."
                hint = "Correct one of the two, or say under 'applies_when' where it does not hold."
                part = first.chain.homes["rules", ids[0]].parts["rules", ids[0]]
                self.found.tell("contradiction", ", ".join(sorted(ids)), part.problem(("=",), what, hint), shows)
                return
        if passed.free:  # a free value may have had a part in the jobs that pass both
            raise NotShown
        self.found.decided.append(f"{ids} contradiction")

    def _values(self, pair: Pair) -> Iterator[tuple[str, Formula]]:
        """Each value of the facts with a closed list that decide whether one of the rules applies."""
        first, second = pair
        for path in sorted(first.own.facts | second.own.facts):
            leaf = self.forms.checker.vocabulary.leaves[path]
            for value in (True, False) if leaf.form == "flag" else leaf.possible:
                yield f"{path} is {YES_NO.get(value, value)}", self.forms.encoding.is_word(path, value)

    # --- the same asked twice ---

    def _same_asked(self, pair: Pair) -> None:
        first, second = pair
        key = (first.rule.id, second.rule.id)
        if self._same.get(key, pair) is None or (first.own.facts | first.require.facts) != (
            second.own.facts | second.require.facts
        ):
            self._same[key] = None
            return
        same = self.forms.encoding.job(outcomes_differ(first, second)) is None
        self._same[key] = self._same.get(key, pair) if same else None

    def same(self) -> None:
        """Tell of two rules that ask the same in all forms in which they stand beside each other."""
        for ids, pair in self._same.items():
            if pair is None:
                continue
            first, second = pair
            try:
                shows = shown(
                    self.forms, (both(first.fails, second.fails),), {ids[0]: (first, FAIL), ids[1]: (second, FAIL)}
                )
            except (Undecided, NotShown) as error:
                self.found.undecided.append(("twice", ", ".join(ids), reason_of(error, first.require)))
                continue
            if shows:
                part = second.chain.homes["rules", ids[1]].parts["rules", ids[1]]
                what = f"'{ids[1]}' says the same of every job as '{ids[0]}'."
                problem = part.problem(("=",), what, "Take one of the two out, and give the other both citations.")
                self.found.tell("twice", ", ".join(sorted(ids)), problem, shows)


def _instead(first: Form, second: Form) -> bool:
    """Whether two rules are of codes of which a place adopts one or the other: where no place is said, both are possible."""
    homes = {form.chain.homes["rules", form.rule.id].id for form in (first, second)}
    return not first.chain.place and len(homes) == 2 and homes <= set(first.chain.codes)


def _together(forms: Sequence[Form]) -> frozenset[str]:
    """The facts that a rule's requirement reads in some form."""
    return frozenset[str]().union(*(form.require.facts for form in forms))
