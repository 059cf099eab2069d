"""Which slips of the pen the worked cases of a rule would let pass.

Each flip of a rule (`turned`) is judged by the rule's own cases until one no longer says what it states. A flip that none
notices is told, unless the rule gives a reason under `untried`: the text of the condition, alone or followed by the kind of
flip in brackets. A reason that excuses nothing is told too.

A limit that a ruleset amends is stepped as well, in every rule that reads it: one case of the ruleset, of any of these
rules, has to notice.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from typing import NamedTuple

from checker.authoring import cases
from checker.authoring.cases import Stated
from checker.authoring.condition_places import named
from checker.authoring.lint import case_gaps
from checker.authoring.mutation.operators import flips
from checker.authoring.mutation.sites import Flip, Surroundings
from checker.engine.checker import Checker
from checker.engine.job_run import OneJob
from checker.ir import tree
from checker.judging.generated_code import Quick
from checker.problems.problem import Problem, ProblemsFound
from checker.rulesets.applicability import Setting
from checker.rulesets.chain import Chain
from checker.rulesets.layering import Effective, effective
from checker.rulesets.limits import pick
from checker.rulesets.models import Limit, Rule
from checker.rulesets.periods import settings
from checker.rulesets.ruleset import Part, Ruleset

FIELDS = ("applies_when", "verify_when", "require", "where")
DOUBT = "its requirement is in doubt, so it gives no firm outcome either way"

Key = tuple[str, tuple[str | int, ...], str, str]


class Excused(NamedTuple):
    """A flip that no case notices, and why none can."""

    flip: Flip
    why: str


class Flipped(NamedTuple):
    """The flips of one rule or amended limit, tried: how many; the excused; the unnoticed; and reasons that excuse nothing."""

    name: str
    made: int
    excused: tuple[Excused, ...]
    survivors: tuple[Problem, ...]
    idle: tuple[Problem, ...]


class _Example(NamedTuple):
    """A case, its job before the rulesets, and the editions and days that could hold for its rule."""

    stated: Stated
    job: OneJob
    settings: list[Setting]


class Form(NamedTuple):
    """A rule as it stands under these editions and on this day, bound and as written, with its flips."""

    rule: tree.BoundRule
    layered: Effective
    flips: dict[Key, Flip]
    editions: dict[str, str | None]
    day: int


class Slip(NamedTuple):
    """A flip of one rule, by its key, and the forms of the rule that have it."""

    rule: str
    key: Key
    forms: list[Form]

    @property
    def flip(self) -> Flip:
        return self.forms[0].flips[self.key]


def rules_of(ruleset: Ruleset) -> list[str]:
    """What a ruleset's cases answer for: its own rules, those of which it amends what they ask, and limits it amends."""
    amended = [name for name, change in ruleset.amend.items() if {*FIELDS, "values"} & change.fields_changed]
    return [*ruleset.rules, *amended]


def flipped(checker: Checker, ruleset: Ruleset, name: str) -> Flipped:
    """Flip one rule, or step one amended limit, in every way, and see which flips the cases notice.

    Raises:
        ProblemsFound: A rule or layer is wrong itself.
    """
    checker = cases.checker_for(checker, ruleset)
    turning = _Turning(checker)
    if "values" in getattr(ruleset.amend.get(name), "set", ()):
        return _limit_flipped(turning, ruleset, name)
    forms = list(_forms(turning, cases.layers_of(turning, ruleset, name), name))
    slips = [Slip(name, key, its) for key, its in _made(forms, _home(ruleset, name)).items()]
    noticed = _noticing(turning, ruleset, {name})
    excused, survivors, used = [], [], set()
    for slip in slips:
        if noticed(slip):
            continue
        flip, (reason, why) = slip.flip, _reason(slip.forms, slip.key)
        used.add(reason)
        if why:
            excused.append(Excused(flip, why))
        else:
            part, at = slip.forms[0].layered.source(flip.at)
            survivors.append(part.problem(at, flip.what, flip.hint, flip.caret))
    idle = _idle(checker, ruleset, name, used)
    return Flipped(name, len(slips), tuple(excused), tuple(ProblemsFound(survivors).problems), tuple(idle))


def _noticing(turning: _Turning, ruleset: Ruleset, rule_ids: set[str]) -> Callable[[Slip], bool]:
    """What tells of a slip in one of these rules whether some case of the ruleset notices it."""
    stated = [one for one in cases.stated(ruleset) if one.rule in rule_ids]
    examples = [turning.example(one) for one in stated]
    sound = [example for example in examples if not turning.notices(example, None)]

    def noticed(slip: Slip) -> bool:
        for number, example in enumerate(sound):
            if example.stated.rule == slip.rule and turning.notices(example, slip.key):
                sound.insert(0, sound.pop(number))  # the next flip is often of the same line
                return True
        return False

    return noticed


# --- limits that the ruleset amends ----------------------------------------------------------------------------------


def _limit_flipped(turning: _Turning, ruleset: Ruleset, name: str) -> Flipped:
    """Step the values that a ruleset's amendment gives a limit. The rule that its cases try is the one told of."""
    own, home = cases.layers_of(turning, ruleset, name), ruleset.parts["amend", name]
    steps = _steps(turning, own, name, home)
    noticed = _noticing(turning, ruleset, {slip.rule for slips in steps.values() for slip in slips})
    excused, survivors = [], []
    for slips in steps.values():
        if any(noticed(slip) for slip in slips):
            continue
        flip, reasons = slips[0].flip, [_reason(slip.forms, slip.key)[1] for slip in slips]
        if all(reasons):
            excused.append(Excused(flip, reasons[0]))
        else:
            at = _value_at(own, name, slips[0].forms[0])
            survivors.append(home.problem(at, flip.what, flip.hint))
    return Flipped(name, len(steps), tuple(excused), tuple(ProblemsFound(survivors).problems), ())


def _steps(turning: _Turning, own: Chain, limit: str, home: Part) -> dict[str, list[Slip]]:
    """Each step of an amended value, in words, as the flips that it is of the rules that read the limit."""
    steps: dict[str, list[Slip]] = {}
    for rule_id in _readers(own, limit):
        made: dict[Key, list[Form]] = {}
        for form in _forms(turning, own, rule_id):
            if _stands_in(effective(own, "limits", limit, form.editions, form.day).part("values"), home):
                for key in (key for key, flip in form.flips.items() if flip.limit == limit):
                    made.setdefault(key, []).append(form)
        for key, forms in made.items():
            slip = Slip(rule_id, key, forms)
            steps.setdefault(slip.flip.detail, []).append(slip)
    return steps


def _readers(own: Chain, limit: str) -> list[str]:
    """The rules that read a limit, those first that a case of the last ruleset's amendment tries."""
    tried = [case.rule for case in own.rulesets[-1].amend[limit].cases]
    readers = [rule for rule in own.rule_ids if limit in own.limits_named(rule)]
    return sorted(readers, key=lambda rule: rule not in tried)


def _value_at(own: Chain, limit: str, form: Form) -> tuple[str | int, ...]:
    """The path, in its amendment, of the value of a limit that holds for a form of a rule."""
    layered = effective(own, "limits", limit, form.editions, form.day)
    assert isinstance(layered.data, Limit)
    picked = pick(layered.data, form.editions.get(layered.home.id), form.day)
    index, value = next(pair for pair in enumerate(layered.data.values) if pair[1] is picked)
    return ("set", "values", index, "rows" if value.rows else "value")


# --- the forms of a rule and its flips -------------------------------------------------------------------------------


def _home(ruleset: Ruleset, rule_id: str) -> Part:
    return ruleset.parts["rules" if rule_id in ruleset.rules else "amend", rule_id]


def _forms(turning: _Turning, own: Chain, rule_id: str) -> Iterator[Form]:
    """The rule as it stands in each edition and period, without what layers above the ruleset change."""
    for in_force, day in settings(own, rule_id):
        form = turning.form(own, rule_id, tuple(in_force.items()), day)
        if form is not None:
            yield form


def _made(forms: list[Form], home: Part) -> dict[Key, list[Form]]:
    """The flips inside a ruleset's own text, each with the forms of the rule that it changes."""
    made: dict[Key, list[Form]] = {}
    for form in forms:
        for key, flip in form.flips.items():
            if _stands_in(form.layered.source(flip.at)[0], home) and flip.rule != form.rule:
                made.setdefault(key, []).append(form)
    return made


def _stands_in(part: Part, home: Part) -> bool:
    return part.document is home.document and part.path[: len(home.path)] == home.path


def _reason(forms: list[Form], key: Key) -> tuple[str, str]:
    """Why no case can notice a flip: the key under `untried` and the reason; both empty where there is none."""
    flip, data = forms[0].flips[key], forms[0].layered.data
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
        self._same: dict[str, list[Form]] = defaultdict(list)
        self._forms: dict[tuple[object, ...], Form | None] = {}
        self._key: Key | None = None

    def example(self, stated: Stated) -> _Example:
        """A case before the rulesets of its place."""
        loaded = cases.loaded(self, stated)
        job = OneJob(self, loaded, self.chain(loaded.place), cases.ON, stated.case.editions)
        return _Example(stated, job, list(job.versions.settings(stated.rule)))

    def notices(self, example: _Example, key: Key | None) -> bool:
        """Whether a case no longer says what it states when its rule is flipped; `key` None: not flipped.

        A finding is put into words only where the outcome is as stated and the case states more than that.
        """
        self._key = key
        one, job, settings = example
        if one.rule not in job.told.answers:
            bound = {id(rule): rule for setting in settings for rule in [self.bound(job.chain, one.rule, setting)]}
            if cases.another_outcome(one, job.outcomes_of(bound.values())):
                return True
            if not cases.states_more(one):
                return False
        problem, _ = cases.compared(one, job.findings_of(job.variants(one.rule)))
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
        layered = effective(place, "rules", rule_id, editions, day)
        assert isinstance(layered.data, Rule)
        around = Surroundings(
            editions,
            {name: ruleset.header.editions for name, ruleset in place.by_id.items()},
            {name: limit.unit for name, limit in place.limits.items()},
        )
        twin = next((form for form in self._same[rule_id] if form.rule == rule), None)
        rule, before = (twin.rule, twin.flips) if twin else (rule, {})
        made = {flip.key: flip for flip in flips(rule, layered.data, around)}
        for key in made.keys() & before.keys():
            if made[key] == before[key]:
                made[key] = before[key]  # one object, so that it is judged once and compared at a glance
        form = Form(rule, layered, made, editions, day)
        self._same[rule_id].append(form)
        return form
