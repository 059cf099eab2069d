"""A failure is named by what is wrong, in a few words; and how much a rule weighs, which a place may say anew."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from checker.authoring.lint.linter import problems
from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.rulesets.chain import chain
from checker.rulesets.layer_permissions import chain_problems
from checker.rulesets.layering import effective
from checker.rulesets.library import SHIPPED, open_library
from checker.rulesets.models import Rule
from checker.rulesets.remedy_words import alternatives
from tests.support.lantern_layers import CITED, RULE, change, checker, report, ruleset
from tests.support.lantern_remedies import PLAIN, failing, guild
from tests.support.rulesets import ON

LIMIT = "Lantern too low: {lantern.height}, at least {least_height}"
BY_PAPER = """    failed:
      - {when: lantern.paper == tin, say: "Tin lantern too low: {lantern.height}"}
      - {say: "Lantern too low: {lantern.height}, at least {least_height}"}
"""


def named(folder: Path, failed: str, **lantern: Any) -> str:
    return failing(guild(folder, PLAIN + failed), **lantern).headline


def line(text: str) -> str:
    return f'    failed: "{text}"\n'


def test_a_headline_has_the_reading_and_the_limit_in_it(tmp_path: Path) -> None:
    assert "Lantern too low: 5 ft, at least 8 ft" == named(tmp_path, line(LIMIT), height="5 ft")


def test_what_stands_behind_the_colon_is_left_out_where_a_value_in_it_is_not_known(tmp_path: Path) -> None:
    paper = line("Lantern too low: {lantern.paper}, {lantern.height}")
    assert "Lantern too low: rice, 5 ft" == named(tmp_path / "a", paper, height="5 ft", paper="rice")
    assert "Lantern too low" == named(tmp_path / "b", paper, height="5 ft")


def test_without_a_headline_a_failure_has_the_title_of_its_rule(tmp_path: Path) -> None:
    checker = guild(tmp_path, PLAIN)
    found = failing(checker, height="5 ft")
    assert found.title == found.headline


def test_a_headline_whose_first_words_hang_on_what_is_not_known_gives_way_to_the_title(tmp_path: Path) -> None:
    found = failing(guild(tmp_path, PLAIN + line("{lantern.paper} lantern too low")), height="5 ft")
    assert found.title == found.headline


@pytest.mark.parametrize(
    ("paper", "said"),
    [
        ("tin", "Tin lantern too low: 5 ft"),
        ("rice", "Lantern too low: 5 ft, at least 8 ft"),
        ({"not_known": "too dark"}, "Lantern too low: 5 ft, at least 8 ft"),
    ],
)
def test_the_first_headline_that_the_facts_allow_is_said(tmp_path: Path, paper: Any, said: str) -> None:
    assert said == named(tmp_path, BY_PAPER, height="5 ft", paper=paper)


def test_only_a_failure_has_a_headline(tmp_path: Path) -> None:
    one = guild(tmp_path, PLAIN + line(LIMIT))
    assert {"fail"} == {found.outcome for found in report(one, height="5 ft").findings if found.headline}


@pytest.mark.parametrize(
    ("text", "column", "said"),
    [
        ("Lantern too low: {lantern.hight}", 32, "'lantern.hight'"),
        ("Lantern too low: {lantern.height", 31, "This '{' has no '}': nothing would be filled in."),
    ],
)
def test_a_value_that_is_not_there_is_told_with_its_place(tmp_path: Path, text: str, column: int, said: str) -> None:
    (problem,) = problems(guild(tmp_path, PLAIN + line(text)))
    assert problem.what.startswith(said)
    assert column == problem.where.column


# --- the shipped rules ---


HOLE = re.compile(r"\{[^{}]*\}")
LITERAL = 70  # characters around the values


def headlines(rule: Rule) -> list[str]:
    return [one["say"] for one in alternatives(rule.failed)]


def test_every_shipped_rule_names_its_failure_in_about_seventy_characters(shipped: Checker) -> None:
    rules = [pair for ruleset in shipped.library.rulesets.values() for pair in ruleset.rules.items()]
    assert [] == [rule_id for rule_id, rule in rules if not rule.failed]
    assert [] == [said for _, rule in rules for said in headlines(rule) if len(HOLE.sub("", said)) > LITERAL]


def test_the_last_headline_of_a_list_is_said_whatever_the_facts_are(shipped: Checker) -> None:
    rules = [pair for ruleset in shipped.library.rulesets.values() for pair in ruleset.rules.items()]
    assert [] == [rule_id for rule_id, rule in rules if rule.failed and "when" in alternatives(rule.failed)[-1]]


# --- weight -----------------------------------------------------------------------------------------------------------


def weight(one: Checker, place: str) -> str:
    return effective(one.chain(place), "rules", RULE, {"guild": "1"}, ON.toordinal()).data.weight  # type: ignore[union-attr]


WEIGHS = "    set: {weight: rare}\n"


@pytest.mark.parametrize("kind", ["local", "group"])
def test_a_layer_may_say_anew_how_much_a_rule_weighs(tmp_path: Path, kind: str) -> None:
    body = change("amend", "0" * 16, WEIGHS)
    ruleset(tmp_path, "hill", kind, "guild", body, "xx-hill", adopts=kind == "local")
    one = checker(tmp_path)
    assert "rare" == weight(one, "xx-hill")
    assert [] == problems(one, ["hill"])


@pytest.mark.parametrize(
    ("fields", "allowed"), [("weight: core", True), ("weight: core, title: Anything", False)], ids=["weight", "more"]
)
def test_a_place_may_weigh_a_federal_rule_anew_and_change_nothing_else_of_it(
    tmp_path: Path, fields: str, allowed: bool
) -> None:
    text = (
        "id: hill-town\nversion: 1.0.0\ntitle: Hill (invented)\nowner: Hill (invented)\nowner_kind: local\n"
        "uses: {epa-refrigerant: '>=1.0, <2'}\ncovers: [xx-hill]\nreviewed_through: 2030-01-01\n"
        "documents: {book: Their book}\n"
    )
    rules = (
        f"amend:\n  no-knowing-release:\n    reason: We look at it.\n    {CITED}\n"
        f"    meaning: {{any: {'0' * 16}}}\n    set: {{{fields}}}\n"
    )
    (place := tmp_path / "hill-town").mkdir()
    (place / "ruleset.yaml").write_text(text)
    (place / "rules.yaml").write_text(rules)
    told = [problem.what for problem in chain_problems(chain(open_library([SHIPPED, tmp_path]), "xx-hill"))]
    assert [] == told if allowed else "'no-knowing-release' is federal" in told[0]


def test_a_weight_that_was_said_of_another_wording_still_counts_and_changes_nothing_else(tmp_path: Path) -> None:
    ruleset(tmp_path, "hill", "local", "guild", change("amend", "0" * 16, WEIGHS), "xx-hill", adopts=True)
    found = effective(checker(tmp_path).chain("xx-hill"), "rules", RULE, {"guild": "1"}, ON.toordinal())
    assert ("", ()) == (found.stale, found.amended)
    assert "rare" == found.data.weight  # type: ignore[union-attr]


def test_a_weight_that_is_no_weight_is_refused(tmp_path: Path) -> None:
    body = change("amend", "0" * 16, "    set: {weight: heavy}\n")
    ruleset(tmp_path, "hill", "local", "guild", body, "xx-hill", adopts=True)
    with pytest.raises(ProblemsFound) as told:
        checker(tmp_path).chain("xx-hill")
    assert "heavy" in told.value.problems[0].excerpt
