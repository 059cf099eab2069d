"""Rules as they stand in each chain, edition and period, with what they ask as formulas; and jobs that show it.

A job that a proof speaks of is judged by the walk before anybody is told of it.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.authoring.cases import ON, checker_for, job_data
from checker.authoring.lint.periods import in_force
from checker.authoring.proofs.encoding import DATE, Encoding, Formula, Undecided, both, denied, differ, either
from checker.binding.bound_once import bound_rule
from checker.binding.written_for import lines_of
from checker.engine.checker import Checker
from checker.ir import tree
from checker.judging.judge import settle
from checker.problems.problem import ProblemsFound
from checker.reading import units
from checker.reading.fact_shapes import Leaf
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.chain import Chain
from checker.rulesets.limits import day_number
from checker.rulesets.periods import FIRST_DAY, settings


class Form(NamedTuple):
    """A rule as it stands in a chain under editions from a day on: for which jobs it is written, and what it asks of them."""

    rule: tree.BoundRule
    chain: Chain
    editions: Mapping[str, str | None]
    day: int
    scope: Formula
    own: Formula
    asked: Formula
    require: Formula

    @property
    def applies(self) -> Formula:
        return both(self.scope, self.own)

    @property
    def firm(self) -> Formula:
        """That it applies, and nothing is put to the authority."""
        return both(self.applies, denied(self.asked))

    @property
    def passes(self) -> Formula:
        return both(self.firm, self.require)

    @property
    def fails(self) -> Formula:
        return both(self.firm, denied(self.require))

    @property
    def settled(self) -> bool:
        """Whether it gives firm outcomes at all."""
        return not self.rule.doubtful and not self.rule.stale


class Forms:
    """The forms of the rules of a library."""

    def __init__(self, checker: Checker) -> None:
        self.checker, self.encoding = checker, Encoding(checker.vocabulary)
        self._lines: dict[tuple[int, int], Mapping[str, tuple[tree.Line, ...]]] = {}
        self._made: dict[tuple[Any, ...], Form | None] = {}

    def of(self, chain: Chain, rule_id: str) -> Iterator[Form]:
        """A rule under each edition that may be in force in a chain, and in each period, each form once."""
        seen: set[int] = set()
        for editions, day in settings(chain, rule_id):
            if all(edition in (in_force(chain, code) or {edition}) for code, edition in editions.items()):
                form = self.at(chain, rule_id, editions, day)
                if form and id(form.rule) not in seen:
                    seen.add(id(form.rule))
                    yield form

    def at(self, chain: Chain, rule_id: str, editions: Mapping[str, str | None], day: int) -> Form | None:
        """A rule as it stands under these editions on a day; None where it is not in force."""
        rule, problems = bound_rule(chain, self.checker.vocabulary, rule_id, editions, day)
        if rule is None or problems:
            return None
        key = (id(rule), id(chain), tuple(sorted(editions.items())), day)
        if key not in self._made:
            self._made[key] = self._form(rule, chain, editions, day)
        return self._made[key]

    def _form(self, rule: tree.BoundRule, chain: Chain, editions: Mapping[str, str | None], day: int) -> Form:
        of, home = self.encoding.of, chain.homes["rules", rule.id].id
        if (id(chain), day) not in self._lines:
            self._lines[id(chain), day] = lines_of(chain, self.checker.vocabulary, day)
        lines = self._lines[id(chain), day][home]
        mine = [
            line.condition for line in lines if (rule.id in line.only if line.only else rule.id not in line.hold_beyond)
        ]
        asked = either(*(of(ask.condition, rule) for ask in rule.verify))
        scope = both(*(of(line, rule) for line in mine))
        return Form(rule, chain, editions, day, scope, of(rule.applies, rule), asked, of(rule.require, rule))


def outcomes_differ(first: Form, second: Form) -> Formula:
    """That two forms say something else of a job."""
    asked = both(denied(both(first.asked, second.asked)), differ(first.asked, second.asked))
    required = both(denied(either(first.asked, second.asked)), differ(first.require, second.require))
    inside = both(first.applies, second.applies, either(asked, required))
    return either(differ(first.applies, second.applies), inside)


class Witness(NamedTuple):
    """A job that shows what is told: as it would stand in JSON, and what each rule says of it."""

    job: dict[str, Any]
    outcomes: tuple[tuple[str, str], ...]


class NotShown(Exception):
    """The walk does not say of a job what the solver says, most often because a function or a list is in the way."""


def witness(forms: Forms, facts: Mapping[str, Any], expected: Mapping[str, tuple[Form, str]]) -> Witness:
    """The job with these facts, after the walk has said of it what is expected.

    Args:
        expected: By rule, the form that it stands in and its outcome.

    Raises:
        NotShown: The walk says otherwise.
    """
    checker = forms.checker
    data = _job([form for form, _ in expected.values()], facts, checker.vocabulary)
    try:
        job = load(read_text(json.dumps(data).encode(), "witness"), checker.vocabulary)
    except ProblemsFound as error:
        raise NotShown(str(error.problems[0].what)) from None
    for rule_id, (form, outcome) in expected.items():
        if not any(_said(forms.checker, form, job, rule_id, outcome, stated) for stated in (None, _stated(form))):
            raise NotShown(f"the walk does not say '{outcome}' of '{rule_id}'")
    return Witness(data, tuple((rule_id, outcome) for rule_id, (_, outcome) in expected.items()))


def _said(checker: Checker, form: Form, job: Any, rule_id: str, outcome: str, stated: Mapping[str, str] | None) -> bool:
    for ruleset in form.chain.rulesets:
        checker = checker_for(checker, ruleset)
    found = checker.judged(job, rule_id, ON, stated)
    return any(settle(rule, one.scope).outcome == outcome for rule, one in found if not one.place.missing)


def _stated(form: Form) -> dict[str, str]:
    return {code: edition for code, edition in form.editions.items() if edition}


def shown(forms: Forms, formulas: tuple[Formula, ...], expected: Mapping[str, tuple[Form, str]]) -> Witness | None:
    """A job that fulfills formulas and of which the walk says what is expected; None where no job fulfills them.

    Raises:
        NotShown, Undecided: There may be such a job, and none was shown.
    """
    facts = forms.encoding.job(*formulas)
    return None if facts is None else witness(forms, facts, expected)


def reason_of(error: Exception, *formulas: Formula) -> str:
    """Why something could not be decided, in words."""
    if isinstance(error, Undecided):
        return "the solver ran out of time"
    free = sorted(frozenset[str]().union(*(one.free for one in formulas)))
    return f"in the way: {', '.join(free[:3])}" if free else str(error)


# --- jobs ------------------------------------------------------------------------------------------------------------


def _job(forms: list[Form], facts: Mapping[str, Any], vocabulary: Vocabulary) -> dict[str, Any]:
    """The job of one item a list that has these facts, at the place, on the day and under the editions of some forms."""
    form = forms[0]
    form = form._replace(editions={code: edition for one in forms for code, edition in one.editions.items()})
    given = {_placed(path, vocabulary): _written(vocabulary.leaves[path], value) for path, value in facts.items()}
    first = max([one.day for one in forms] + list(_adopted_from(form)))
    if first > FIRST_DAY:
        counts = {one.counts for code in form.editions for one in form.chain.adoptions(code)}
        dates = counts | {one.chain.homes["rules", one.rule.id].rules[one.rule.id].date for one in forms}
        for path in sorted(filter(None, dates)):
            given.setdefault(path, datetime.date.fromordinal(first).isoformat())
    adopted = vocabulary.at("adopted")
    if adopted and not form.chain.place and not any(path.startswith(f"{adopted}.") for path in given):
        for index, (code, edition) in enumerate(sorted(_stated(form).items())):
            given |= {f"{adopted}.{index}.key": code, vocabulary.at("adopted.code", index): code}
            given[vocabulary.at("adopted.edition", index)] = edition
    return {**job_data(given, "", vocabulary, form.chain.place), "job_id": "witness"}


def _adopted_from(form: Form) -> Iterator[int]:
    for code, edition in form.editions.items():
        days = [one.starts for one in form.chain.adoptions(code) if one.edition == edition and one.starts]
        yield from (day_number(day) for day in days[:1])


def _placed(path: str, vocabulary: Vocabulary) -> str:
    """A path with the first item of each list in it."""
    steps = path.split(".")
    around = (".".join(steps[: n + 1]) in vocabulary.lists for n in range(len(steps) - 1))
    return ".".join([f"{step}.0" if listed else step for step, listed in zip(steps, [*around, False], strict=True)])


def _written(leaf: Leaf, value: Any) -> Any:
    if isinstance(value, dict | bool | str):
        return value
    if leaf.kind == DATE:
        return datetime.date.fromordinal(value).isoformat()
    if leaf.form == "count":
        return int(value)
    unit = units.find_unit(leaf.kind, leaf.unit) or units.base_unit(leaf.kind)
    return units.from_base(value, unit)
