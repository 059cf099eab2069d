"""Layers: what only a small fault in the code showed to be untested. `tests/long/mutants.py` puts such faults in.

Expectations are the design of the program: each change to a rule is kept with who made it, where and why, and counts only for
the meaning, the editions and the days it was made for.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.rulesets.chain import Chain
from checker.rulesets.chain import chain as chain_of
from checker.rulesets.layering import Effective, effective, meaning_of
from checker.rulesets.library import open_library
from checker.rulesets.limits import day_number
from checker.rulesets.models import Limit
from checker.rulesets.ruleset import caution_of
from tests.support.lantern_layers import RULE, answer, change, checker, ruleset
from tests.support.rulesets import TINY

pytestmark = pytest.mark.long

LAND = """    direction: stricter
    set:
      require: [lantern.height >= greater_height, "edition(guild) == '1'"]
limits:
  greater_height:
    title: A greater height
    unit: ft
    values: [{value: "9", source: Land book 2, sure: checked}]
"""


@pytest.fixture
def land(tmp_path: Path, tiny: Checker) -> Checker:
    """The land amends the guild's rule by a limit of its own; the hill stands on the land and covers a place."""
    chain = tiny.chain("xx-nether-lamp")
    ruleset(tmp_path, "land", "state", "guild", change("amend", meaning_of(chain, as_written(chain), "1"), LAND))
    ruleset(tmp_path, "hill", "local", "land", covers="xx-hill", adopts=True)
    return checker(tmp_path)


def as_written(chain: Chain, day: int = 1, edition: str = "1") -> Effective:
    return effective(chain, "rules", RULE, {"guild": edition}, day)


def test_one_ruleset_stands_on_another_directly_or_through_others_and_never_the_other_way(land: Checker) -> None:
    chain = land.chain("xx-hill")
    pairs = {(upper, lower) for upper in chain.by_id for lower in chain.by_id if chain.uses(upper, lower)}
    same = {(name, name) for name in ("guild", "land", "hill")}
    assert same | {("hill", "land"), ("land", "guild"), ("hill", "guild")} == pairs


def test_what_an_amendment_names_belongs_to_the_rule_too(land: Checker, tiny: Checker) -> None:
    amended, plain = land.chain("xx-hill"), tiny.chain("xx-nether-lamp")
    assert {"least_height"} == plain.limits_named(RULE)
    assert {"least_height", "greater_height"} == amended.limits_named(RULE)
    assert ({"guild"}, {"guild", "land"}) == (plain.homes_of_limits(RULE), amended.homes_of_limits(RULE))
    assert (set(), {"guild"}) == (plain.codes_asked(RULE), amended.codes_asked(RULE))
    assert {"lantern.height", "lantern.lit"} <= plain.facts_named
    assert ({"least_height"}, {"guild"}) == (plain.limit_names, plain.codes)
    assert (RULE, "paper-not-bare-rice", "tin-or-unlit-indoors") == plain.rule_ids


def test_an_amended_field_is_shown_with_what_it_was_who_changed_it_where_and_why(land: Checker) -> None:
    found = as_written(land.chain("xx-hill"))
    first, last = found.steps
    assert ("guild", "added", "", None, None, "") == (first.ruleset, first.what, *first[3:])
    assert first.place.endswith("lanterns.yaml:10"), "the line of the rule itself"
    assert ("land", "amended", "require", "because") == (last.ruleset, last.what, last.field, last.why)
    assert (["lantern.height >= least_height"], found.data.require) == (last.old, last.new)  # type: ignore[union-attr]
    assert "land" in last.place
    assert "land" in found.part("require").place
    assert ("set" in found.part("require").path, "set" in found.part("title").path) == (True, False)
    assert ("", False) == (found.stale, found.withdrawn)


def test_a_change_holds_under_the_editions_it_names_alone(land: Checker) -> None:
    chain = land.chain("xx-hill")
    assert [2, 1, 1] == [len(as_written(chain, edition=edition).steps) for edition in ("1", "2", "3")]


def test_a_change_of_any_edition_holds_under_each_and_one_of_something_else_is_stale(tmp_path: Path) -> None:
    body = change("withdraw", "0123456789abcdef").replace("'1':", "any:")
    ruleset(tmp_path, "hill", "local", "guild", body, "xx-hill", adopts=True)
    chain = checker(tmp_path).chain("xx-hill")
    for edition in ("1", "2"):
        found = as_written(chain, edition=edition)
        assert found.withdrawn
        step = found.steps[1]
        assert ("hill", "withdrawn", "", "because") == (step.ruleset, step.what, step.field, step.why)
        assert "hill/rules.yaml:" in found.steps[1].place
        assert found.stale.startswith("hill")


def test_a_change_of_any_edition_holds_where_no_edition_is_known_too(tmp_path: Path, tiny: Checker) -> None:
    chain = tiny.chain("xx-nether-lamp")
    body = change("withdraw", meaning_of(chain, as_written(chain), "any")).replace("'1':", "any:")
    ruleset(tmp_path, "hill", "local", "guild", body, "xx-hill", adopts=True)
    found = effective(checker(tmp_path).chain("xx-hill"), "rules", RULE, {"guild": None}, 1)
    assert (True, "") == (found.withdrawn, found.stale), "it is of what the rule asks in all editions, unchanged since"


def test_a_change_of_any_edition_is_held_against_what_the_rule_asks_under_each(tmp_path: Path, tiny: Checker) -> None:
    chain = tiny.chain("xx-nether-lamp")
    body = change("withdraw", meaning_of(chain, as_written(chain), "1")).replace("'1':", "any:")
    ruleset(tmp_path, "hill", "local", "guild", body, "xx-hill", adopts=True)
    hill = checker(tmp_path).chain("xx-hill")
    assert "" == as_written(hill, edition="1").stale
    assert "" != as_written(hill, edition="2").stale, "another limit holds there"


def answered(folder: Path, meaning: str) -> Chain:
    """The guild's rule with an answer recorded in the hill's ruleset."""
    body = "answers:\n" + answer(RULE, "as_written", meaning=meaning, question="How high?")
    ruleset(folder, "hill", "local", "guild", body, "xx-hill", adopts=True)
    return chain_of(open_library([TINY / "rulesets", folder]), "xx-hill")


def test_an_answer_of_any_edition_counts_under_each_and_says_where_the_rule_was_another(
    tmp_path: Path, tiny: Checker
) -> None:
    one = tiny.chain("xx-nether-lamp")
    chain = answered(tmp_path, meaning_of(one, as_written(one), "1"))
    for edition, stale, what in (("1", False, "answered as written"), ("2", True, "of the rule as it was before")):
        found = as_written(chain, day=day_number("2021-04-01"), edition=edition)
        assert [stale] == [one.stale for one in found.answers]
        assert ("hill", "") == (found.steps[-1].ruleset, found.steps[-1].field)
        assert what in found.steps[-1].what
        assert stale == ("before" in found.steps[-1].what)


def test_who_read_the_book_for_a_rule_is_told_of_that_rule_alone(tmp_path: Path) -> None:
    read = "{{rule: {rule}, document: ours, printing: first, read_by: N. Ottway, read_on: 2026-05-04, meaning: {{any: {m}}}}}"
    said = "confirm:\n" + "".join(
        f"  read-{name}: {read.format(rule=rule, m='0' * 16)}\n"
        for name, rule in (("one", RULE), ("two", "paper-not-bare-rice"), ("three", RULE))
    )
    ruleset(tmp_path, "hill", "local", "guild", said, covers="xx-hill")
    chain = checker(tmp_path).chain("xx-hill")
    assert [RULE, RULE] == [one.rule for one in chain.confirmations(RULE)]
    assert ["paper-not-bare-rice"] == [one.rule for one in chain.confirmations("paper-not-bare-rice")]
    assert [] == chain.confirmations("tin-or-unlit-indoors")


def test_a_place_is_covered_by_a_ruleset_that_adopts_nothing_or_by_one_asked_for_that_adopts(tmp_path: Path) -> None:
    ruleset(tmp_path, "hill", "local", "guild", covers="xx-hill")
    ruleset(tmp_path, "dale", "local", "guild", adopts=True)
    one = open_library([TINY / "rulesets", tmp_path])
    assert [True, True, False] == [chain_of(one, *of).covered for of in (("xx-hill",), ("", ("dale",)), ("",))]


ADOPTED = """adopts:
  - {code: guild, edition: "2", from: 2024-01-01, until: 2026-01-01, counts: dates.hung, citation: book 2}
  - {code: guild, edition: "1", from: 2020-01-01, counts: dates.hung, citation: book 1}
"""


def test_the_edition_of_a_day_is_the_one_adopted_last_before_it_until_it_ends(tmp_path: Path) -> None:
    ruleset(tmp_path, "hill", "local", "guild", covers="xx-hill")
    with (tmp_path / "hill" / "ruleset.yaml").open("a") as file:
        file.write(ADOPTED)
    chain = checker(tmp_path).chain("xx-hill")
    days = ["2019-12-31", "2020-01-01", "2023-12-31", "2024-01-01", "2025-12-31", "2026-01-01"]
    assert [None, "1", "1", "2", "2", "1"] == [chain.edition_on("guild", day_number(day)) for day in days]
    assert ["1", "2"] == [adoption.edition for adoption in chain.adoptions("guild")], "oldest first"
    assert [] == chain.adoptions("another")
    assert chain.edition_on("another", day_number("2024-01-01")) is None


@pytest.mark.parametrize(
    ("uses", "said", "hint"),
    [
        ('guild: ">=2"', "guild is at version 1.0.0; >=2 is needed", "widen the range"),
        ('gild: ">=1.0"', "There is no ruleset 'gild'.", "Did you mean 'guild'?"),
        ('guild: "about 1"', "'about 1' is not a range of versions", "Write '>=1.0, <2'."),
    ],
)
def test_what_a_ruleset_stands_on_must_be_there_and_of_its_version(
    tmp_path: Path, uses: str, said: str, hint: str
) -> None:
    ruleset(tmp_path, "hill", "local", "guild", covers="xx-hill", adopts=True)
    place = tmp_path / "hill" / "ruleset.yaml"
    place.write_text(place.read_text().replace('guild: ">=1.0, <2"', uses))
    with pytest.raises(ProblemsFound) as error:
        checker(tmp_path).chain("xx-hill")
    assert said in " ".join(str(error.value).split())
    assert "hill/ruleset.yaml:6:" in str(error.value), "the line that says what it stands on"
    assert hint in str(error.value)


def test_a_place_nobody_covers_has_every_code_and_one_that_is_covered_its_own(land: Checker) -> None:
    nowhere, hill = land.chain("nowhere"), land.chain("xx-hill")
    assert (["guild"], False) == ([one.id for one in nowhere.rulesets], nowhere.covered)
    assert (["guild", "land", "hill"], True) == ([one.id for one in hill.rulesets], hill.covered)
    assert ("guild/fire", "Keep water at hand.") == caution_of(hill.by_id, "hill", "fire")


def test_nowhere_has_what_holds_in_general_by_name_and_a_covered_place_no_more_than_it_stands_on(
    tmp_path: Path,
) -> None:
    kinds = {"acorn": "practice", "birch": "code", "elm": "practice", "fern": "state", "zz-law": "federal"}
    for name, kind in kinds.items():
        ruleset(tmp_path, name, kind, "guild")
    ruleset(tmp_path, "dale", "federal", "guild")
    ruleset(tmp_path, "hill", "local", "guild", covers="xx-hill", adopts=True)
    here = checker(tmp_path)
    assert ["guild", "acorn", "birch", "dale", "elm", "zz-law"] == [one.id for one in here.chain("nowhere").rulesets]
    assert ["guild", "dale", "zz-law", "hill"] == [one.id for one in here.chain("xx-hill").rulesets]


GAP = """limits:
  least_gap:
    title: Least gap
    unit: ft
    values: [{value: "1", from: 2020-01-01, source: Moor book 1, sure: checked}]
"""
WIDER = """amend:
  least_gap:
    reason: because
    from: 2021-01-01
    citation: [{document: ours, section: "1", section_sure: checked, requirement_sure: checked}]
    meaning: {any: MEANING}
    direction: looser
    set: {title: Least gap of ours}
"""


def test_an_amended_limit_keeps_the_days_of_its_values_and_says_nothing_of_its_own(tmp_path: Path) -> None:
    ruleset(tmp_path, "moor", "state", "guild", GAP)
    ruleset(tmp_path, "hill", "local", "moor", WIDER.replace("MEANING", "0" * 16), covers="xx-hill")
    chain = checker(tmp_path).chain("xx-hill")
    before, after = (effective(chain, "limits", "least_gap", {}, day_number(f"{year}-06-01")) for year in (2020, 2021))
    assert ("Least gap", "Least gap of ours") == (before.data.title, after.data.title)
    assert isinstance(after.data, Limit)
    assert isinstance(before.data, Limit)
    assert before.data.values == after.data.values
    assert before.data.written == after.data.written == {"title", "unit", "values"}


def test_a_circle_is_told_from_the_same_ruleset_on_wherever_it_is_entered(tmp_path: Path) -> None:
    for name, lower in (("ash", "elm"), ("elm", "oak"), ("oak", "ash")):
        ruleset(tmp_path, name, "local", lower, covers=f"xx-{name}")
    ruleset(tmp_path, "top", "local", "oak", covers="xx-top")
    for place in ("xx-ash", "xx-elm", "xx-oak", "xx-top"):
        with pytest.raises(ProblemsFound) as error:
            checker(tmp_path).chain(place)
        (problem,) = error.value.problems
        assert "The rulesets use each other in a circle: ash → elm → oak → ash." == problem.what, place
        assert "Take one of these uses out." == problem.hint
        assert "ash/ruleset.yaml:6:1" in str(error.value), "where the uses begin"
