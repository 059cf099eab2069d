"""One group over five places: its ruleset stands on top of whichever place a job is in.

What each job has to come out as is read off the five places' own limits by hand, not off what the program says.
"""

from __future__ import annotations

import functools
import json
from pathlib import Path
from typing import Any

import pytest

from checker.authoring.lint.linter import problems
from checker.authoring.mutation import mutants
from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_text
from checker.rulesets.layering import NO_EDITION, effective, meaning_of
from tests.support.lantern_layers import CITED, RULE, checker, ruleset
from tests.support.rulesets import ON, tiny_rulesets

PLACES = ("one", "two", "three", "four", "five")
LIMIT = """amend:
  least_height:
    reason: So the place says.
    {cited}
    meaning: {{"1": {digest}}}
    direction: {direction}
    {more}set:
      values:
        - {{value: "{value}", source: Their book 2, sure: checked}}
"""
FIVE = """
rules:
  tin-on-the-bridge:
    title: A lantern on the bridge is of tin
    topic: fire
    obligation: shall
    intent: Wind.
    {cited}
    require: [lantern.paper == tin]
    on_fail: It is {{lantern.paper}}.
    remedy: Take tin.
    cases: [{{name: tin, given: {{lantern.paper: tin}}, expect: pass}}]
amend:
  {rule}:
    reason: So the place says.
    {cited}
    meaning: {{"1": {digest}}}
    direction: stricter
    set:
      require: [lantern.height >= least_height, lantern.paper != oiled]
"""
GROUP = """
rules:
  tin-where-it-blows:
    title: A lantern is of tin
    topic: fire
    obligation: should
    intent: It blows there.
    {cited}
    places: [xx-two, xx-four]
    require: [lantern.paper == tin]
    on_fail: It is {{lantern.paper}}.
    remedy: Take tin.
    cases:
      - {{name: tin, given: {{lantern.paper: tin}}, expect: pass}}
      - {{name: rice, given: {{lantern.paper: rice}}, expect: fail}}
      - {{name: not seen, given: {{}}, expect: verify_locally}}
amend:
  least_height:
    reason: We hang them higher.
    {cited}
    meaning: {{"1": {limit}}}
    direction: stricter
    set:
      values:
        - {{value: "8", source: Our book 1, sure: checked}}
    cases:
      - {{name: at ours, rule: {rule}, given: {{lantern.lit: "true", lantern.height: 8 ft, lantern.paper: tin}}, expect: pass}}
      - {{name: under ours, rule: {rule}, given: {{lantern.lit: "true", lantern.height: 7.9 ft}}, expect: fail}}
  {rule}:
    reason: We want to know the paper.
    {cited}
    meaning: {{"1": {digest}}}
    direction: stricter
    add: {{require: [lantern.paper != rice]}}
    cases:
      - {{name: rice, given: {{lantern.lit: "true", lantern.height: 9 ft, lantern.paper: rice}}, expect: fail}}
      - {{name: not rice, given: {{lantern.lit: "true", lantern.height: 9 ft, lantern.paper: tin}}, expect: pass}}
"""


@functools.cache
def digests() -> dict[str, str]:
    """What an amendment of the rule and of its limit has to name, as the guild wrote them."""
    chain = tiny_rulesets().chain("xx-nether-lamp")
    return {
        "digest": meaning_of(chain, effective(chain, "rules", RULE, {"guild": "1"}, 1), "1"),
        "limit": meaning_of(chain, effective(chain, "limits", "least_height", {"guild": "1"}, 1), "1"),
    }


def place(folder: Path, name: str, body: str = "", kind: str = "local", uses: str = "guild") -> None:
    ruleset(folder, name, kind, uses, body, f"xx-{name}", adopts=True)


def limit(value: str, direction: str, more: str = "") -> str:
    return LIMIT.format(cited=CITED, digest=digests()["limit"], value=value, direction=direction, more=more)


def five(folder: Path, group: str = GROUP, uses: str = 'one: ">=1.0, <2", three: ">=1.0, <2", five') -> Checker:
    """Five places on one code, and a group's ruleset on top of them."""
    place(folder, "one")
    place(folder, "two", limit("7.5", "stricter"))
    place(folder, "three", limit("9", "stricter"))
    place(folder, "four", limit("6.5", "looser"))
    place(folder, "five", FIVE.format(cited=CITED, rule=RULE, digest=digests()["digest"]))
    ruleset(folder, "troupe", "group", uses, group.format(cited=CITED, rule=RULE, **digests()))
    return checker(folder)


@pytest.fixture(scope="module")
def troupe(tmp_path_factory: pytest.TempPathFactory) -> Checker:
    return five(tmp_path_factory.mktemp("five"))


def judged(one: Checker, where: str, height: str, paper: str = "tin") -> Report:
    job: dict[str, Any] = {"job_id": "a", "schema_version": 1, "site": {"jurisdiction": f"xx-{where}"}}
    job |= {"dates": {"hung": "2021-01-01"}, "lantern": {"lit": True, "height": height, "paper": paper}}
    return one.using("troupe").check(read_text(json.dumps(job).encode(), "a.json"), ON)


def outcome(one: Checker, where: str, height: str, paper: str = "tin") -> str:
    return {finding.rule: finding.outcome for finding in judged(one, where, height, paper).findings}[RULE]


@pytest.mark.parametrize(
    ("where", "highest_that_fails", "lowest_that_passes"),
    [
        ("one", "7.9 ft", "8 ft"),  # the guild asks 7, the group 8
        ("two", "7.9 ft", "8 ft"),  # the place asks 7.5, the group 8
        ("three", "8.9 ft", "9 ft"),  # the place asks 9, the group 8
        ("four", "7.9 ft", "8 ft"),  # the place asks 6.5, the group 8
        ("five", "7.9 ft", "8 ft"),
        ("far", "7.9 ft", "8 ft"),  # nobody covers it
    ],
)
def test_of_a_limit_that_group_and_place_both_set_the_stricter_holds(
    troupe: Checker, where: str, highest_that_fails: str, lowest_that_passes: str
) -> None:
    assert ["fail", "pass"] == [outcome(troupe, where, height) for height in (highest_that_fails, lowest_that_passes)]


def test_both_who_set_a_limit_are_cited(troupe: Checker) -> None:
    for where, holds, beside in (("two", "8 ft", "7.5 ft"), ("three", "9 ft", "8 ft")):
        (finding,) = (one for one in judged(troupe, where, "6 ft").findings if one.rule == RULE)
        (used,) = finding.limits
        assert used.instead_of is not None
        owners = {"8 ft": "troupe"}.get
        assert (holds, owners(holds, where)) == (used.value, used.set_by.ruleset)
        assert (beside, owners(beside, where)) == (used.instead_of.value, used.instead_of.set_by.ruleset)


def test_a_line_that_the_group_adds_stands_beside_what_a_place_makes_of_the_rule(troupe: Checker) -> None:
    assert ["fail"] * 5 == [outcome(troupe, where, "12 ft", "rice") for where in PLACES]
    assert ["pass", "pass", "pass", "pass", "fail"] == [outcome(troupe, where, "12 ft", "oiled") for where in PLACES]


def test_the_rules_of_a_place_bind_no_job_of_another(troupe: Checker) -> None:
    asked = {where: {finding.rule for finding in judged(troupe, where, "12 ft").findings} for where in (*PLACES, "far")}
    assert ["five"] == [where for where, rules in asked.items() if "tin-on-the-bridge" in rules]
    assert ["two", "four"] == [where for where, rules in asked.items() if "tin-where-it-blows" in rules]


def test_lint_and_flips_of_the_five_places_find_nothing_wrong(troupe: Checker) -> None:
    groups = [one for one in problems(troupe, ["troupe"]) if "troupe" in one.where.file]
    assert [] == [f"{one.what}" for one in groups]
    told = mutants.flipped(troupe, troupe.library.rulesets["troupe"], RULE)
    assert (told.survivors, {"lantern.paper != rice"}) == ((), _flipped_lines(troupe))


def _flipped_lines(one: Checker) -> set[str]:
    """The lines that the cases of the group's change of the rule answer for."""
    turning = mutants._Turning(one.using("troupe"))
    own = turning.chain("xx-one").up_to(one.library.rulesets["troupe"])
    made = mutants._made(list(mutants._forms(turning, own, RULE)), one.library.rulesets["troupe"].parts["amend", RULE])
    return {text for _, _, _, text in made}


def test_the_places_need_not_be_named(tmp_path: Path) -> None:
    one = five(tmp_path, uses="guild")
    assert ["fail", "pass"] == [outcome(one, "three", height) for height in ("8.9 ft", "9 ft")]
    assert [] == [problem.what for problem in problems(one, ["troupe"]) if "troupe" in problem.where.file]


def test_a_limit_that_cannot_be_compared_leaves_the_rule_open_and_lint_says_so(tmp_path: Path) -> None:
    """The group says stricter and leaves the value as the guild has it: which way is stricter nobody can tell."""
    one = five(tmp_path, GROUP.replace('value: "8"', 'value: "7"'))
    assert "verify_locally" == outcome(one, "three", "12 ft")
    said = [problem.what for problem in problems(one, ["troupe"])]
    assert any("both set the limit 'least_height'" in what for what in said), said


def test_an_option_that_a_place_adds_is_one_way_more_and_none_less(tmp_path: Path) -> None:
    more = (
        "    direction: looser\n    add: {any_of: {of: tin, option: {option: oiled, when: lantern.paper == oiled}}}\n"
    )
    rule = """rules:
  in-a-fireproof-skin:
    title: In a fireproof skin
    topic: fire
    obligation: shall
    intent: Fire.
    CITED
    require:
      - any_of:
          - {option: tin, when: lantern.paper == tin}
          - {option: unlit, when: not lantern.lit}
    cases: [{name: tin, given: {lantern.paper: tin}, expect: pass}]
""".replace("CITED", CITED)
    place(tmp_path, "one", rule)
    one = checker(tmp_path)
    found = effective(one.chain("xx-one"), "rules", "in-a-fireproof-skin", {}, 1)
    body = f"amend:\n  in-a-fireproof-skin:\n    reason: so\n    {CITED}\n"
    body += f"    meaning: {{{NO_EDITION}: {meaning_of(one.chain('xx-one'), found, NO_EDITION)}}}\n{more}"
    ruleset(tmp_path, "six", "local", "one", body, "xx-six")
    one = checker(tmp_path)
    after = effective(one.chain("xx-six"), "rules", "in-a-fireproof-skin", {}, 1)
    assert ["tin", "unlit", "oiled"] == [branch["option"] for branch in after.data.require[0]["any_of"]]  # type: ignore[union-attr]
    ruleset(tmp_path, "club", "group", "one", body)
    with pytest.raises(ProblemsFound, match="A group ruleset cannot add 'any_of' to a 'shall'"):
        checker(tmp_path).using("club").chain("xx-one")


@pytest.mark.parametrize(("own", "told"), [("7.5", True), ("9", False)])
def test_a_place_that_asks_less_by_a_limit_of_its_own_is_told_to_the_group(
    tmp_path: Path, own: str, told: bool
) -> None:
    """The place's rule reads another limit, so that the group's change of the guild's limit does not reach it."""
    body = FIVE.format(cited=CITED, rule=RULE, digest=digests()["digest"])
    body = body.replace("lantern.height >= least_height", "lantern.height >= height_of_six")
    limits = (
        "limits:\n  height_of_six:\n    title: Least height on six\n    unit: ft\n    values:\n"
        f'      - {{value: "{own}", source: Their book 3, sure: checked}}\n'
    )
    place(tmp_path, "six", limits + body)
    ruleset(tmp_path, "troupe", "group", "six", GROUP.format(cited=CITED, rule=RULE, **digests()))
    said = [one.what for one in problems(checker(tmp_path), ["troupe"]) if "troupe" in one.where.file]
    assert told is any("stands in the place of 'least_height' and asks less" in what for what in said), said
