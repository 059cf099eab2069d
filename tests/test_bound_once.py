"""A rule that is bound once and shared is the rule that would be bound afresh, at every place, edition and day."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from pathlib import Path

import pytest

from checker.binding.bound_once import bound_anew, bound_rule
from checker.engine.checker import Checker
from checker.engine.program_of import every_setting
from checker.ir import tree
from checker.problems.problem import Problem
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.applicability import Setting
from checker.rulesets.chain import Chain, chain
from checker.rulesets.library import open_library
from tests.support.lantern_layers import LEFT_OPEN, RULES, answer, hill
from tests.support.rulesets import TINY

BELLS = TINY / "bells"
STEP = 61  # of all settings of the shipped rules every 61st; all of them with the long tests


def settings(one: Chain) -> Iterator[tuple[str, Setting]]:
    """Every edition and the first day of every period of each rule, and the day before."""
    for rule_id in one.rule_ids:
        for setting in every_setting(one, rule_id):
            yield rule_id, setting
            if setting.day > 1:
                yield rule_id, setting._replace(day=setting.day - 1)


def chains(checker: Checker) -> Iterator[Chain]:
    """The chain of every place, of none, and of every ruleset that is asked for by itself."""
    places = sorted({place for ruleset in checker.library.rulesets.values() for place in ruleset.header.covers})
    yield from (chain(checker.library, place) for place in ["", *places])
    yield from (chain(checker.library, "", (name,)) for name in checker.library.rulesets)


def differing(checker: Checker, step: int = 1) -> list[tuple[str, str, Setting]]:
    """The rules that are not the same when they are bound before the whole chain."""
    found = []
    for number, one in enumerate(chains(checker)):
        for rule_id, setting in itertools.islice(settings(one), number % step, None, step):
            at = (one, checker.vocabulary, rule_id, dict(setting.editions), setting.day)
            if bound_rule(*at) != bound_anew(*at):
                found.append((one.place, rule_id, setting))
    return found


@pytest.mark.parametrize("step", [STEP, pytest.param(1, marks=pytest.mark.long)])
def test_shipped_rules_are_what_they_would_be_bound_afresh(shipped: Checker, step: int) -> None:
    assert [] == differing(shipped, step)


def test_amended_withdrawn_and_answered_rules_are_too() -> None:
    bells = Checker(open_library([BELLS]), job_vocabulary(BELLS / "job.schema.json"))
    assert any(ruleset.amend for ruleset in bells.library.rulesets.values())
    assert any(ruleset.answers for ruleset in bells.library.rulesets.values())
    assert [] == differing(bells)


def test_limits_that_an_answer_gives_are_too(tmp_path: Path) -> None:
    counted = answer(LEFT_OPEN, "as_written", more="    values: {fringe_counts: counted}\n")
    assert [] == differing(hill(tmp_path, counted))


def bound(checker: Checker, one: Chain, rule_id: str) -> object:
    """A rule under the first setting that there is for it."""
    setting = next(iter(every_setting(one, rule_id)))
    return bound_rule(one, checker.vocabulary, rule_id, dict(setting.editions), setting.day)[0]


def test_a_rule_that_no_layer_of_a_place_touches_is_bound_once_for_all_places(shipped: Checker) -> None:
    alder, larch = (chain(shipped.library, place) for place in ("xx-alder", "xx-larch"))
    county = alder.by_id["alder-county"]
    own = {*county.amend, *county.withdraw, *county.restore, *(one.rule for one in county.answers.values())}
    untouched = [rule for rule in larch.rule_ids if rule not in own and not alder.limits_named(rule) & own]
    assert len(untouched) > 300
    assert [] == [rule for rule in untouched if bound(shipped, alder, rule) is not bound(shipped, larch, rule)]


def test_a_rule_of_a_changed_ruleset_is_bound_anew(shipped: Checker) -> None:
    name, rule_id = "nec", "overcurrent-within-nameplate"
    before = shipped.library.rulesets[name]
    renamed = before.rules[rule_id].replaced(title="Another title")
    other = shipped.library.with_one(before._replace(rules={**before.rules, rule_id: renamed}))  # digest as it was
    was, now = (bound(shipped, chain(library, "xx-alder"), rule_id) for library in (shipped.library, other))
    assert isinstance(was, tree.BoundRule)
    assert isinstance(now, tree.BoundRule)
    assert [before.rules[rule_id].title, "Another title"] == [was.title, now.title]


def test_mistakes_are_told_with_what_the_whole_chain_holds(tmp_path: Path) -> None:
    rules = RULES.replace("lantern.height >= lowest_fringe", "lantern.height >= lowest_frinje")
    one = hill(tmp_path, rules=rules).chain("xx-hill")
    vocabulary = job_vocabulary(TINY / "job.schema.json")
    found: list[Problem] = bound_rule(one, vocabulary, LEFT_OPEN, {}, 1)[1]
    assert ["Did you mean 'lowest_fringe'?"] == [problem.hint for problem in found]
