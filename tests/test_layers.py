"""Layers: code, state, county and group on the invented trade. The chain that is shown is the chain that was applied."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_text
from checker.rulesets.chain import Chain
from checker.rulesets.layering import Effective, effective, meaning_of
from checker.rulesets.limits import day_number
from checker.rulesets.models import Rule
from tests.support.lantern_layers import CITED, RULE, change, checker, ruleset
from tests.support.rulesets import ON


def stands(one: Checker, place: str, day: str = "2021-01-01") -> Effective:
    return effective(one.chain(place), "rules", RULE, {"guild": "1"}, day_number(day))


@pytest.fixture(scope="module")
def base(tiny: Checker) -> str:
    """The digest of the rule as the guild wrote it, under edition 1."""
    chain = tiny.chain("xx-nether-lamp")
    return meaning_of(chain, effective(chain, "rules", RULE, {"guild": "1"}, 1), "1")


def findings(one: Checker, place: str, facts: dict[str, Any]) -> dict[str, str]:
    job = {
        "job_id": "a",
        "schema_version": 1,
        "site": {"jurisdiction": place},
        "dates": {"hung": "2021-01-01"},
        **facts,
    }
    report = one.check(read_text(json.dumps(job).encode(), "a.json"), ON)
    return {finding.rule: finding.outcome for finding in report.findings}


LOW = {"lantern": {"lit": True, "height": "6 ft", "paper": "tin"}}


def test_a_withdrawn_rule_stays_in_the_resolved_set_and_is_not_judged(tmp_path: Path, base: str) -> None:
    ruleset(tmp_path, "hill", "local", "guild", change("withdraw", base), "xx-hill", adopts=True)
    one = checker(tmp_path)
    found = stands(one, "xx-hill")
    assert found.withdrawn
    assert ["added", "withdrawn"] == [step.what for step in found.steps]
    assert RULE not in findings(one, "xx-hill", LOW)


def test_an_upper_layer_restores_what_a_middle_one_withdrew(tmp_path: Path, base: str) -> None:
    ruleset(tmp_path, "land", "state", "guild", change("withdraw", base), adopts=True)
    ruleset(tmp_path, "hill", "local", "land", change("restore", base), "xx-hill")
    one = checker(tmp_path)
    found = stands(one, "xx-hill")
    assert not found.withdrawn
    assert [("guild", "added"), ("land", "withdrawn"), ("hill", "restored")] == [
        (s.ruleset, s.what) for s in found.steps
    ]
    assert "fail" == findings(one, "xx-hill", LOW)[RULE]


def test_an_amendment_replaces_whole_fields_and_says_who_and_why(tmp_path: Path, base: str) -> None:
    body = change(
        "amend",
        base,
        "    direction: stricter\n    set:\n      title: Higher still\n      require: [lantern.height > least_height]\n",
    )
    ruleset(tmp_path, "hill", "local", "guild", body, "xx-hill", adopts=True)
    one = checker(tmp_path)
    found = stands(one, "xx-hill")
    assert isinstance(found.data, Rule)
    assert "Higher still" == found.data.title
    shown = {step.field: step.new for step in found.steps if step.what == "amended"}
    assert shown == {field: getattr(found.data, field) for field in shown}, "the chain shown is the chain applied"
    at_the_limit = {"lantern": {"lit": True, "height": "7 ft", "paper": "tin"}}
    assert "fail" == findings(one, "xx-hill", at_the_limit)[RULE]


def test_an_amendment_holds_only_in_its_period(tmp_path: Path, base: str) -> None:
    body = change("withdraw", base, "    from: 2022-01-01\n    until: 2023-01-01\n")
    ruleset(tmp_path, "hill", "local", "guild", body, "xx-hill", adopts=True)
    one = checker(tmp_path)
    days = ["2021-12-31", "2022-01-01", "2022-12-31", "2023-01-01"]
    assert [False, True, True, False] == [stands(one, "xx-hill", day).withdrawn for day in days]


def test_a_stale_amendment_puts_that_rule_alone_to_the_authority(tmp_path: Path) -> None:
    body = change("amend", "0123456789abcdef", "    set: {title: Of an older day}\n")
    ruleset(tmp_path, "hill", "local", "guild", body, "xx-hill", adopts=True)
    found = findings(checker(tmp_path), "xx-hill", LOW)
    assert "verify_locally" == found[RULE]
    assert "pass" == found["paper-not-bare-rice"]


def test_two_unrelated_rulesets_that_change_one_rule_are_an_error_that_shows_both(tmp_path: Path, base: str) -> None:
    for name in ("hill", "dale"):
        ruleset(tmp_path, name, "local", "guild", change("withdraw", base), "xx-both", adopts=name == "hill")
    with pytest.raises(ProblemsFound) as error:
        checker(tmp_path).chain("xx-both")
    assert "hill" in str(error.value)
    assert "dale" in str(error.value)


def test_two_that_change_it_in_different_periods_do_not_clash(tmp_path: Path, base: str) -> None:
    ruleset(
        tmp_path, "hill", "local", "guild", change("withdraw", base, "    until: 2022-01-01\n"), "xx-both", adopts=True
    )
    ruleset(tmp_path, "dale", "local", "guild", change("withdraw", base, "    from: 2022-01-01\n"), "xx-both")
    assert stands(checker(tmp_path), "xx-both").withdrawn


def test_a_ruleset_used_by_two_ways_stands_once_in_the_chain(tmp_path: Path) -> None:
    ruleset(tmp_path, "land", "state", "guild", adopts=True)
    ruleset(tmp_path, "hill", "local", "land", covers="xx-hill")
    text = (tmp_path / "hill" / "ruleset.yaml").read_text()
    (tmp_path / "hill" / "ruleset.yaml").write_text(text.replace("uses: {land", 'uses: {guild: ">=1.0", land'))
    assert ["guild", "land", "hill"] == [r.id for r in checker(tmp_path).chain("xx-hill").rulesets]


def test_a_year_past_its_review_the_report_says_so(tmp_path: Path) -> None:
    ruleset(tmp_path, "hill", "local", "guild", covers="xx-hill", adopts=True, reviewed="2026-11-24")
    one = checker(tmp_path)
    job = read_text(
        json.dumps({"job_id": "a", "schema_version": 1, "site": {"jurisdiction": "xx-hill"}}).encode(), "a.json"
    )
    said = [
        any("The rules of hill were last reviewed" in note for note in one.check(job, day).notes)
        for day in (datetime.date(2027, 11, 25), datetime.date(2027, 11, 24))
    ]
    assert [True, False] == said


def test_layout_and_prose_do_not_change_what_a_rule_means(tmp_path: Path, tiny: Checker, base: str) -> None:
    chain = tiny.chain("xx-nether-lamp")
    found = effective(chain, "rules", RULE, {"guild": "1"}, 1)
    prose = found.data.replaced(title="Another title", remedy="Another remedy", cases=[])
    asked = found.data.replaced(require=["lantern.height > least_height"])
    spaced = found.data.replaced(require=["lantern.height   >=   least_height"])
    digests = [meaning_of(chain, found._replace(data=data), "1") for data in (prose, spaced, asked)]
    assert [base, base] == digests[:2]
    assert base != digests[2]
    assert base != meaning_of(chain, found, "2"), "another edition, another limit"


def test_a_place_that_nobody_covers_is_another_though_its_rulesets_are_the_same(tiny: Checker) -> None:
    """Which codes are judged by hangs on it, so nothing made for the one may be taken for the other."""
    covered = tiny.chain("xx-nether-lamp")
    assert covered.digest != Chain(covered.rulesets, "nowhere", covered=False).digest
    assert covered.digest == Chain(covered.rulesets, "another place of theirs", covered=True).digest


# --- a manufacturer's ruleset ---

LEAFLET = """made_law_by:
  hanging:
    - {code: guild, document: guild, section: "9", editions: "2", section_sure: checked, requirement_sure: checked}
"""
HOOK = """rules:
  hook-as-the-leaflet-asks:
    title: A lantern hangs as high as its leaflet asks
    topic: hanging
    obligation: shall
    intent: The hook was tried at that height.
    citation: [{document: book, section: hook, section_sure: checked, requirement_sure: checked}]
    made_law_by: hanging
    require: [lantern.height <= highest_hook]
    cases:
      - {name: at the limit, given: {lantern.height: 20 ft}, expect: pass}
limits:
  highest_hook: {title: Highest hook, unit: ft, values: [{value: "20", source: leaflet, sure: checked}]}
"""
HIGH = {"lantern": {"lit": True, "height": "21 ft", "paper": "tin"}}


def leaflet(folder: Path) -> None:
    ruleset(folder, "wicks", "manufacturer", "guild", HOOK)
    head = folder / "wicks" / "ruleset.yaml"
    text = head.read_text().replace('uses: {guild: ">=1.0, <2"}\n', "")
    head.write_text(text + LEAFLET)


def cited(one: Checker, place: str, hung: str) -> list[tuple[str, str]]:
    job = {"job_id": "a", "schema_version": 1, "site": {"jurisdiction": place}, "dates": {"hung": hung}, **HIGH}
    report = one.check(read_text(json.dumps(job).encode(), "a.json"), ON)
    (found,) = (finding for finding in report.findings if finding.rule == "hook-as-the-leaflet-asks")
    assert "fail" == found.outcome
    return [(citation.document, citation.section) for citation in found.citations]


def test_what_a_manufacturer_asks_holds_at_every_place_and_is_law_where_and_when_a_code_says_so(tmp_path: Path) -> None:
    leaflet(tmp_path)
    ruleset(tmp_path, "hill", "local", "guild", covers="xx-hill", adopts=True)
    ruleset(tmp_path, "moor", "local", "wicks", covers="xx-moor")
    one = checker(tmp_path)
    manual, law = ("Their book", "hook"), ("Guild book", "9")
    assert [manual] == cited(one, "xx-hill", "2021-01-01"), "edition 1 is in force, and the section is of edition 2"
    assert [manual, law] == cited(one, "xx-nether-lamp", "2024-06-01"), "edition 2 is in force"
    assert [manual] == cited(one, "xx-nether-lamp", "2021-01-01")
    assert [manual] == cited(one, "xx-moor", "2024-06-01"), "a place without the code"
    assert [manual] == cited(one, "xx-nowhere", "2024-06-01"), "nobody says which code is adopted"


def test_a_place_may_change_what_a_manufacturer_asks_where_it_names_its_ruleset(tmp_path: Path) -> None:
    leaflet(tmp_path)
    asks = "    direction: stricter\n    set:\n      values: [{value: '15', source: their book, sure: checked}]\n"
    body = f"amend:\n  highest_hook:\n    reason: because\n    {CITED}\n    meaning: {{any: 0123456789abcdef}}\n{asks}"
    ruleset(tmp_path, "hill", "local", "guild", body, "xx-hill", adopts=True)
    with pytest.raises(ProblemsFound, match="It is of wicks: add that under 'uses'"):
        checker(tmp_path).chain("xx-hill")
    head = tmp_path / "hill" / "ruleset.yaml"
    head.write_text(head.read_text().replace("uses: {guild", 'uses: {wicks: ">=1.0, <2", guild'))
    chain = checker(tmp_path).chain("xx-hill")
    found = effective(chain, "limits", "highest_hook", {"guild": "1"}, day_number("2021-01-01"))
    assert ["added", "amended"] == [step.what for step in found.steps]


def test_a_group_says_nothing_of_what_makes_a_manual_law(tmp_path: Path) -> None:
    leaflet(tmp_path)
    body = (
        f"amend:\n  hook-as-the-leaflet-asks:\n    reason: because\n    {CITED}\n"
        "    meaning: {any: 0123456789abcdef}\n    set: {made_law_by: nothing}\n"
    )
    ruleset(tmp_path, "club", "group", "wicks", body, "xx-club")
    with pytest.raises(ProblemsFound, match="A group ruleset cannot change 'made_law_by' of a 'shall'"):
        checker(tmp_path).chain("xx-club")
