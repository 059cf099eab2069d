"""Which slips of the pen the worked cases of a rule would let pass.

Each flip of a rule (`turned`) is judged by the rule's own cases until one no longer says what it states. A flip that none
notices is told, unless the rule gives a reason under `untried`: the text of the condition, alone or followed by the kind of
flip in brackets. A reason that excuses nothing is told too.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from checker import cases, tree
from checker.cases import Stated
from checker.check import Checker
from checker.generated import Quick
from checker.job import Job
from checker.keeping.spots import Flip, Surroundings, named
from checker.keeping.turned import flips
from checker.layers import Chain, Effective, effective
from checker.lint import case_gaps
from checker.periods import settings
from checker.problems import Problem, ProblemsFound
from checker.rule import Rule
from checker.ruleset import Part, Ruleset
from checker.versions import Setting

FIELDS = ("applies_when", "verify_when", "require", "where")
DOUBT = "its requirement is in doubt, so it gives no firm outcome either way"

Key = tuple[str, tuple[str | int, ...], str, str]


class Excused(NamedTuple):
    """A flip that no case notices, and why none can."""

    flip: Flip
    why: str


class Flipped(NamedTuple):
    """What became of the flips of one rule: how many there were, those excused, those told, and reasons for nothing."""

    rule: str
    made: int
    excused: tuple[Excused, ...]
    survivors: tuple[Problem, ...]
    idle: tuple[Problem, ...]


class Form(NamedTuple):
    """A rule as it stands under some editions and on some days, bound and as written, with its flips."""

    rule: tree.BoundRule
    found: Effective
    flips: dict[Key, Flip]


def rules_of(ruleset: Ruleset) -> list[str]:
    """The rules whose flips a ruleset's cases answer for: its own, and those of which it amends what they ask."""
    amended = [name for name, change in ruleset.amend.items() if set(FIELDS) & set(change.set)]
    return [*ruleset.rules, *amended]


def flipped(checker: Checker, ruleset: Ruleset, rule_id: str) -> Flipped:
    """Flip one rule in every way, and see which flips its cases notice.

    Raises:
        ProblemsFound: A rule or layer is wrong itself.
    """
    checker = checker.using(ruleset.id) if ruleset.header.owner_kind == "group" else checker
    turning = _Turning(checker)
    forms = list(_forms(turning, ruleset, rule_id))
    stated = [one for one in cases.stated(ruleset) if one.rule == rule_id]
    examples = [(one, cases.loaded(turning, one)) for one in stated]
    sound = [example for example in examples if not turning.notices(*example, None)]
    made = _made(forms, _home(ruleset, rule_id))
    unnoticed = [key for key in made if not any(turning.notices(*example, key) for example in sound)]
    excused, survivors, used = [], [], set()
    for key in unnoticed:
        form = made[key][0]
        flip, (reason, why) = form.flips[key], _reason(made[key], key)
        used.add(reason)
        if why:
            excused.append(Excused(flip, why))
        else:
            survivors.append(form.found.part(str(flip.at[0])).problem(flip.at, flip.what, flip.mend, flip.caret))
    idle = _idle(checker, ruleset, rule_id, used)
    return Flipped(rule_id, len(made), tuple(excused), tuple(ProblemsFound(survivors).problems), tuple(idle))


def _home(ruleset: Ruleset, rule_id: str) -> Part:
    return ruleset.parts["rules" if rule_id in ruleset.rules else "amend", rule_id]


def _forms(turning: _Turning, ruleset: Ruleset, rule_id: str) -> Iterator[Form]:
    """The rule as it stands in each edition and period, without what layers above the ruleset change."""
    chain = turning.chain(cases.place_of(turning, ruleset))
    own = Chain(chain.rulesets[: chain.rulesets.index(ruleset) + 1], chain.place, chain.covered)
    for in_force, day in settings(own, rule_id):
        form = turning.form(own, rule_id, tuple(in_force.items()), day)
        if form is not None:
            yield form


def _made(forms: list[Form], home: Part) -> dict[Key, list[Form]]:
    """Every flip of what stands in a ruleset's own text that makes another rule in some form, with those forms."""
    made: dict[Key, list[Form]] = {}
    for form in forms:
        for key, flip in form.flips.items():
            part = form.found.part(str(flip.at[0]))
            own = part.document is home.document and part.path[: len(home.path)] == home.path
            if own and flip.rule != form.rule:
                made.setdefault(key, []).append(form)
    return made


def _reason(forms: list[Form], key: Key) -> tuple[str, str]:
    """Why no case can notice a flip: the key under `untried` and the reason; both empty where there is none."""
    flip, data = forms[0].flips[key], forms[0].found.data
    assert isinstance(data, Rule)
    for name in _names(flip):
        if name in data.untried:
            return name, data.untried[name]
    return "", DOUBT if all(_in_doubt(form, flip) for form in forms) else ""


def _names(flip: Flip) -> list[str]:
    """What a reason for a flip may be given under: its condition, that with its kind or end, or its name under `where`."""
    texts = [flip.text, *([str(flip.at[1])] if flip.at[0] == "where" else [])]
    ends = [f"{flip.text} ({flip.end})"] if flip.end and flip.kind == "strictness" else []
    return [*(f"{text} ({flip.kind})" for text in texts), *ends, *texts]


def _in_doubt(form: Form, flip: Flip) -> bool:
    """Whether a flip changes only what a rule requires, and the rule gives no firm outcome for that."""
    rule = form.rule
    if not rule.doubtful or rule.life_safety:
        return False
    return flip.at[0] == "require" or (flip.at[0] == "where" and flip.at[1] not in named(rule, ("applies", "verify")))


def _idle(checker: Checker, ruleset: Ruleset, rule_id: str, used: set[str]) -> Iterator[Problem]:
    """Reasons under `untried` that excuse nothing: the cases try it after all."""
    written = ruleset.rules[rule_id].untried if rule_id in ruleset.rules else {}
    unused = set(written) - used
    if unused:
        unused -= case_gaps.open_in(checker, ruleset, rule_id)
    for name in sorted(unused):
        what = f"'{rule_id}' says why no case tries '{name}', and one does."
        yield _home(ruleset, rule_id).problem(("untried", name, "="), what, "Take the reason out.")


class _Turning(Checker):
    """A checker that judges by one rule flipped."""

    def __init__(self, base: Checker) -> None:
        super().__init__(base.library, base.vocabulary, base.wanted)
        self.vocabulary = base.vocabulary
        self._forms: dict[tuple[object, ...], Form | None] = {}
        self._key: Key | None = None

    def notices(self, one: Stated, job: Job, key: Key | None) -> bool:
        """Whether a case no longer says what it states when its rule is flipped; `key` None: not flipped."""
        self._key = key
        problem, _ = cases.compared(one, self.rule_on(job, one.rule, one.case.editions, cases.ON))
        return problem is not None

    def bound(self, place: Chain, rule_id: str, setting: Setting) -> tree.BoundRule | None:
        form = self.form(place, rule_id, setting.editions, setting.day)
        if form is None:
            return None
        return form.flips[self._key].rule if self._key in form.flips else form.rule

    def quick(self, rule: tree.BoundRule) -> Quick:
        """A flipped rule is judged a few times only: the walk is quicker than writing a function for it."""
        return lambda scope: None

    def form(self, place: Chain, rule_id: str, editions: tuple[tuple[str, str | None], ...], day: int) -> Form | None:
        """A rule bound for a setting with its flips, None where it is not in force there."""
        key = (place.digest, rule_id, editions, day)
        if key not in self._forms:
            self._forms[key] = self._made(place, rule_id, dict(editions), day)
        return self._forms[key]

    def _made(self, place: Chain, rule_id: str, editions: dict[str, str | None], day: int) -> Form | None:
        rule = super().bound(place, rule_id, Setting(tuple(editions.items()), day, "", ""))
        if rule is None:
            return None
        found = effective(place, "rules", rule_id, editions, day)
        assert isinstance(found.data, Rule)
        around = Surroundings(
            editions,
            {name: ruleset.header.editions for name, ruleset in place.by_id.items()},
            {name: home.limits[name].unit for (section, name), home in place.homes.items() if section == "limits"},
        )
        return Form(rule, found, {flip.key: flip for flip in flips(rule, found.data, around)})
