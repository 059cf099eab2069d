"""What changed between two versions of a ruleset: every part of it, in words, and nothing where only the layout changed."""

from __future__ import annotations

import copy
import functools
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from checker.authoring.comparing.comparison import Compared, of
from checker.authoring.comparing.differences import applied, differences
from checker.authoring.comparing.version_steps import STEPS, least_version, weighed
from checker.authoring.comparing.words import worded
from checker.cli import main
from checker.engine.checker import Checker
from checker.reading.files import read_text
from checker.rulesets import library
from checker.rulesets.library import SHIPPED
from checker.rulesets.plain_data import plain
from checker.rulesets.ruleset import assembled, read_ruleset
from tests.support.rulesets import shipped_rulesets

HEADER = """id: ferry
version: 1.0.0
title: Ferries (invented)
owner: The ferry office (invented)
owner_kind: local
reviewed_through: 2030-01-01
documents: {book: Ferry book}
covers: [xx-ferry, xx-pier]
uses: {river: ">=1.0, <2"}
adopts:
  - {code: river, edition: "1", from: 2020-01-01, counts: dates.sailed, citation: Office paper 3}
cautions: {water: Cold water kills.}
"""
RULES = """rules:
  rail-high-enough:
    title: The rail is high enough
    topic: rails
    obligation: shall
    intent: People lean on it.
    citation:
      - {document: book, section: "2", section_sure: from_memory, requirement_sure: checked, editions: "-2019"}
      - {document: book, section: "3", section_sure: checked, requirement_sure: checked, editions: "2020-"}
    applies_when: [ferry.sails]
    where: {height: rail.top - rail.foot}
    require: [height >= least_rail, rail.firm]
    remedy: Raise the rail.
    cases:
      - {name: high, given: {rail.top: 4 ft}, expect: pass}
      - {name: low, given: {rail.top: 2 ft}, expect: fail}
  bell-aboard:
    title: There is a bell aboard
    topic: signals
    obligation: should
    intent: Fog.
    citation: [{document: book, section: "9", section_sure: checked, requirement_sure: checked}]
    require: [bell.aboard]
    cases: [{name: bell, given: {bell.aboard: "true"}, expect: pass}]
limits:
  least_rail:
    title: Least height of a rail
    unit: ft
    values:
      - {value: "3", source: Book 3, sure: checked}
  boats:
    title: Boats for a number of people
    kind: word
    keys: {deck: [upper, lower], people: one}
    values:
      - source: Book 7
        sure: checked
        rows:
          - {deck: upper, people: {below: "50"}, value: two}
          - {deck: upper, people: {from: "50"}, value: four}
          - {deck: lower, people: {from: "0"}, value: two}
"""
CHANGES = """amend:
  oars-stowed:
    reason: Our oars are longer.
    citation: [{document: book, section: "12", section_sure: checked, requirement_sure: checked}]
    meaning: {any: 0123456789abcdef}
    direction: stricter
    set: {require: [oars.stowed, oars.lashed], remedy: Lash them.}
withdraw:
  lamp-lit:
    reason: Nobody sails at night.
    citation: [{document: book, section: "13", section_sure: checked, requirement_sure: checked}]
    meaning: {any: 0123456789abcdef}
facts:
  whistle:
    form: choice
    title: Whistle
    description: The whistle aboard.
    ask: Which whistle is aboard?
    known: before_leaving
    possible: [brass, tin]
"""
FILES = {"ruleset.yaml": HEADER, "rules.yaml": RULES, "changes.yaml": CHANGES}
Edit = tuple[str, str]


def version(folder: Path, name: str, *edits: Edit) -> Path:
    """The ferries' ruleset in a folder, with some texts in the place of others."""
    place = folder / name
    place.mkdir()
    for file, text in FILES.items():
        for old, new in edits:
            text = text.replace(old, new)
        (place / file).write_text(text)
    return place


@pytest.fixture(autouse=True)
def nothing_else(shipped: Checker, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The ferries' ruleset stands on nothing that is shipped; what is shipped was read before."""
    monkeypatch.setattr(library, "SHIPPED", tmp_path / "no rulesets")


@pytest.fixture
def compare(tmp_path: Path) -> Callable[..., Compared]:
    def compare(*edits: Edit) -> Compared:
        for old, _ in edits:
            assert any(old in text for text in FILES.values()), old
        old, new = version(tmp_path, "old"), version(tmp_path, "new", *edits)
        return of(read_ruleset(old, "old", "0"), read_ruleset(new, "new", "1"))

    return compare


SAID: dict[str, tuple[list[Edit], list[tuple[str, str, str]]]] = {
    "a limit that moves": (
        [('value: "3", source', 'value: "3.5", source')],
        [("Least height of a rail: 3 ft → 3.5 ft", "meaning", "minor")],
    ),
    "a limit that moves on a day": (
        [('{value: "3", source: Book 3, sure: checked}',
          '{value: "3", until: 2026-07-01, source: Book 3, sure: checked}\n'
          '      - {value: "3.5", from: 2026-07-01, source: Paper 8, sure: checked}')],
        [("Least height of a rail: 3 ft holds until 2026-07-01", "meaning", "minor"),
         ("Least height of a rail: 3 ft → 3.5 ft, from 2026-07-01", "meaning", "minor")],
    ),
    "a limit whose source changes": (
        [("source: Book 3,", "source: Book 4,")],
        [("Least height of a rail: 3 ft: source: Book 3 → Book 4", "wording", "patch")],
    ),
    "a limit that comes into doubt": (
        [("source: Book 3, sure: checked", "source: Book 3, sure: doubtful")],
        [("Least height of a rail: 3 ft: sure: checked → in doubt", "meaning", "minor")],
    ),
    "a row of a table that changes": (
        [('{from: "50"}, value: four', '{from: "50"}, value: three')],
        [("Boats for a number of people, deck upper, people from 50: four → three", "meaning", "minor")],
    ),
    "a row of a table that is gone": (
        [('          - {deck: lower, people: {from: "0"}, value: two}\n', "")],
        [("Boats for a number of people, deck lower, people from 0: row gone, two", "meaning", "minor")],
    ),
    "a condition more": (
        [("require: [bell.aboard]", "require: [bell.aboard, bell.sounds]")],
        [("Asked: now also bell.sounds", "meaning", "minor")],
    ),
    "a condition that is another": (
        [("height >= least_rail, rail.firm", "height > least_rail, rail.firm")],
        [("Asked: height >= least_rail → height > least_rail", "meaning", "minor")],
    ),
    "an obligation": (
        [("obligation: should", "obligation: shall")],
        [("Obligation: should → shall", "meaning", "minor")],
    ),
    "prose": (
        [("remedy: Raise the rail.", "remedy: Raise it."), ("intent: Fog.", "intent: Fog hides.")],
        [("Remedy: Raise the rail. → Raise it.", "wording", "patch"), ("Why: Fog. → Fog hides.", "wording", "patch")],
    ),
    "a section that was read in the book": (
        [('section: "2", section_sure: from_memory', 'section: "2", section_sure: checked')],
        [("Citation book -2019: how sure of the section: from memory → checked", "wording", "patch")],
    ),
    "a section that is another": (
        [('section: "9"', 'section: "9.1"')],
        [("Citation book: section: 9 → 9.1", "meaning", "minor")],
    ),
    "a citation that is split and says the same": (
        [('{document: book, section: "3", section_sure: checked, requirement_sure: checked, editions: "2020-"}',
          '{document: book, section: "3", section_sure: checked, requirement_sure: checked, editions: "2020-2022"}\n'
          '      - {document: book, section: "3", section_sure: from_memory, requirement_sure: checked, editions: "2023-"}')],
        [("Citation gone: book 3 [2020-]", "meaning", "minor"),
         ("Citation added: book 3 [2020-2022]", "meaning", "minor"),
         ("Citation added: book 3 [2023-]", "meaning", "minor")],
    ),
    "a case": (
        [("{name: low, given: {rail.top: 2 ft}, expect: fail}", "{name: lower, given: {rail.top: 1 ft}, expect: fail}")],
        [("Case gone: low (fail)", "cases", "patch"), ("Case added: lower (fail)", "cases", "patch")],
    ),
    "a rule that is gone, another that is new": (
        [("  bell-aboard:", "  gong-aboard:")],
        [("Rule gone: There is a bell aboard (should; book 9)", "meaning", "major"),
         ("Rule added: There is a bell aboard (should; book 9)", "meaning", "minor")],
    ),
    "a rule that has another id and says so": (
        [("  bell-aboard:", "  gong-aboard:\n    formerly: [bell-aboard]")],
        [("Called gong-aboard now; formerly bell-aboard", "wording", "patch"),
         ("Formerly: bell-aboard (new)", "wording", "patch")],
    ),
    "an adoption": (
        [("citation: Office paper 3}",
          'citation: Office paper 3}\n  - {code: river, edition: "2", from: 2025-01-01, counts: dates.sailed, '
          "citation: Office paper 9}")],
        [("Adoption added: river 2 from 2025-01-01 (Office paper 9)", "meaning", "minor")],
    ),
    "an adoption that ends": (
        [("from: 2020-01-01,", "from: 2020-01-01, until: 2028-01-01,")],
        [("Adoption river 1: until: 2028-01-01 (new)", "meaning", "minor")],
    ),
    "an amendment that sets another thing": (
        [("oars.lashed]", "oars.dry]")],
        [("Sets: Asked: oars.lashed → oars.dry", "meaning", "minor")],
    ),
    "a withdrawal undone": (
        [(CHANGES[CHANGES.index("withdraw:"):CHANGES.index("facts:")], "")],
        [("Withdrawal gone: Nobody sails at night.", "meaning", "minor")],
    ),
    "a word more for a fact": (
        [("possible: [brass, tin]", "possible: [brass, tin, bone]")],
        [("Possible values: brass; tin → brass; tin; bone", "meaning", "minor")],
    ),
    "a word of a fact that is gone": (
        [("possible: [brass, tin]", "possible: [brass]")],
        [("Possible values: brass; tin → brass", "meaning", "major")],
    ),
    "a place that is no longer covered": (
        [("covers: [xx-ferry, xx-pier]", "covers: [xx-ferry]")],
        [("Places covered: xx-ferry; xx-pier → xx-ferry", "meaning", "major")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SAID)
def test_a_change_is_said_in_words_with_its_step(compare: Callable[..., Compared], name: str) -> None:
    edits, said = SAID[name]
    assert said == [(part.words, part.effect, part.step) for part in compare(*edits).parts]


LAYOUT = (
    ("    remedy: Raise the rail.\n", "    # said for years\n    remedy: >-\n      Raise\n      the rail.\n"),
    ("height >= least_rail,", "'height  >=  least_rail',"),
    ("    topic: rails\n    obligation: shall\n", "    obligation: shall\n    topic: rails\n    life_safety: false\n"),
)


def test_layout_is_no_change(compare: Callable[..., Compared]) -> None:
    assert () == compare(*LAYOUT).parts


def test_a_rule_in_another_file_and_another_order_is_no_change(tmp_path: Path) -> None:
    old, new = version(tmp_path, "old"), version(tmp_path, "new")
    bell, limits = RULES.index("  bell-aboard:"), RULES.index("limits:")
    (new / "rules.yaml").write_text(RULES[:bell] + RULES[limits:])
    (new / "a.yaml").write_text("rules:\n" + RULES[bell:limits])
    assert () == of(read_ruleset(old, "old", "0"), read_ruleset(new, "new", "1")).parts


@pytest.mark.parametrize(("step", "version"), [("patch", "1.4.10"), ("minor", "1.5.0"), ("major", "2.0.0")])
def test_the_least_version_of_a_step(step: str, version: str) -> None:
    assert version == least_version("1.4.9", step)


# --- parts applied to the old version give the new one ---

REPLACED = ["shall", "should", "checked", "from_memory", "doubtful", "2021-01-01", "another text"]


def _places(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every path in a version, to be edited at."""
    children = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return [path, *(place for key, child in children for place in _places(child, (*path, key)))]


@st.composite
def edited(draw: st.DrawFn, version: dict[str, Any]) -> dict[str, Any]:
    """A version with a few things taken out, put in twice, put in a different order, renamed or replaced."""
    data = copy.deepcopy(version)
    for rule_id in draw(st.lists(st.sampled_from(sorted(data["rules"]) or ["none"]), max_size=2, unique=True)):
        _rename(draw, data["rules"], rule_id)
    for _ in range(draw(st.integers(1, 5))):
        places = [place for place in _places(data) if len(place) >= 2]
        *around, key = draw(st.sampled_from(places))
        inside = data
        for part in around:
            inside = inside[part]
        _edit(draw, inside, key)
    return data


def _edit(draw: st.DrawFn, inside: Any, key: Any) -> None:
    action = draw(st.sampled_from(["take out", "twice", "shuffle", "replace", "rename"]))
    if action == "take out" and _may_go(inside, key):
        del inside[key]
    elif action == "twice" and isinstance(inside, list):
        inside.insert(draw(st.integers(0, len(inside))), copy.deepcopy(inside[key]))
    elif action == "shuffle" and isinstance(inside, list):
        inside[:] = draw(st.permutations(inside))
    elif action == "rename" and isinstance(inside, dict) and isinstance(inside[key], dict):
        inside[f"{key}-{draw(st.integers(1, 3))}"] = inside.pop(key)
    elif action == "replace" and isinstance(inside[key], str):
        inside[key] = draw(st.sampled_from(REPLACED))


def _rename(draw: st.DrawFn, rules: dict[str, Any], rule_id: str) -> None:
    """A rule under another id, which may be one that another rule had or has, and that may name its old one or not."""
    if rule_id not in rules:
        return
    rule = rules.pop(rule_id)
    former = draw(st.lists(st.sampled_from([rule_id, "bell-aboard", "rail-high-enough"]), max_size=2, unique=True))
    rules[draw(st.sampled_from(["gong-aboard", "bell-aboard", "rail-strong-enough"]))] = {**rule, "formerly": former}


def _may_go(inside: Any, key: Any) -> bool:
    """What names an entry of a list has to stay, as it does in a ruleset that can be read."""
    return key not in ("name", "code", "edition", "when")


@st.composite
def two_versions(draw: st.DrawFn, of: list[dict[str, Any]]) -> tuple[dict[str, Any], dict[str, Any]]:
    version = draw(st.sampled_from(of))
    return draw(edited(version)), draw(edited(version))


def _ferries() -> dict[str, Any]:
    return plain(assembled({name: read_text(text.encode(), name) for name, text in FILES.items()}, "ferry", "0"))


# Read when a test first asks for them, not while tests are collected, which every worker does.
@functools.cache
def small() -> list[dict[str, Any]]:
    shipped = shipped_rulesets().library.rulesets
    return [_ferries(), plain(shipped["alder-county"]), plain(shipped["larch-state"])]


SMALL = st.deferred(lambda: two_versions(small()))
SHIPPED_NAMES = sorted(
    line.removeprefix("id: ")
    for file in SHIPPED.rglob("ruleset.yaml")
    for line in file.read_text(encoding="utf-8").splitlines()
    if line.startswith("id: ")
)


@given(SMALL)
def test_the_parts_of_a_comparison_applied_to_the_old_version_give_the_new_one(
    versions: tuple[dict[str, Any], dict[str, Any]],
) -> None:
    old, new = versions
    assert new == applied(old, differences(old, new))


@given(SMALL)
def test_versions_that_differ_have_a_part_and_those_that_do_not_have_none(
    versions: tuple[dict[str, Any], dict[str, Any]],
) -> None:
    old, new = versions
    assert (old == new) == (not differences(old, new))
    assert [] == differences(old, copy.deepcopy(old))


def test_every_shipped_ruleset_has_its_name() -> None:
    assert SHIPPED_NAMES == sorted(shipped_rulesets().library.rulesets)


@pytest.mark.parametrize("name", SHIPPED_NAMES)
def test_a_ruleset_as_large_as_the_shipped_ones_is_made_of_its_parts(name: str) -> None:
    there = plain(shipped_rulesets().library.rulesets[name])
    nothing: dict[str, Any] = {section: {} for section in there}
    parts = worded(nothing, there, weighed(nothing, differences(nothing, there)))
    assert there == applied(nothing, parts)
    assert all(part.words and part.effect and part.step in STEPS for part in parts)
    assert nothing == applied(there, differences(there, nothing))


# --- the command ---

TEXT = """ferry 1.0.0 → 1.0.0: 2 changes
  Rules
    bell-aboard: There is a bell aboard
      - Why: Fog. → Fog hides. [wording, patch]
  Limits
    least_rail
      - Least height of a rail: 3 ft → 3.5 ft [meaning, minor]

2 changes: 1 of meaning, 1 of wording, 0 of cases. The next version is at least
a minor step.
"""
MARKDOWN = """# What changed

2 changes: 1 of meaning, 1 of wording, 0 of cases. The next version is at least a minor step.

- **least\\_rail**: Least height of a rail: 3 ft → 3.5 ft

<details><summary>All of it</summary>

## ferry 1.0.0 → 1.0.0: 2 changes

### Rules

- **bell-aboard: There is a bell aboard**
  - Why: Fog. → Fog hides. *(wording, patch)*

### Limits

- **least\\_rail**
  - Least height of a rail: 3 ft → 3.5 ft *(meaning, minor)*

</details>

"""


def told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, form: str) -> str:
    version(tmp_path, "old")
    version(tmp_path, "new", ('value: "3", source', 'value: "3.5", source'), ("intent: Fog.", "intent: Fog hides."))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    result = CliRunner().invoke(main, ["rules", "compare", "old", "new", "--format", form])
    assert 0 == result.exit_code, result.stderr
    return result.stdout


@pytest.mark.parametrize(("form", "expected"), [("text", TEXT), ("markdown", MARKDOWN)])
def test_a_comparison_is_read_as_text_and_as_markdown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, form: str, expected: str
) -> None:
    said = told(tmp_path, monkeypatch, form)
    assert expected == said[: len(expected)]
    assert "The authority having jurisdiction decides" in " ".join(said[len(expected) :].split())


def test_a_comparison_as_json_has_each_part_with_both_values(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = json.loads(told(tmp_path, monkeypatch, "json"))
    assert "minor" == found["step"]
    assert {
        "path": ["limits", "least_rail", "values", "always", "value"], "kind": "changed", "old": "3", "new": "3.5",
        "at": 0, "words": "Least height of a rail: 3 ft → 3.5 ft", "effect": "meaning", "step": "minor",
    } in found["rulesets"][0]["parts"]  # fmt: skip


def test_two_different_rulesets_are_not_compared(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    version(tmp_path, "old")
    version(tmp_path, "new", ("id: ferry", "id: barge"))
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(main, ["rules", "compare", "old", "new"])
    assert (
        "new (1.0.0)\n  old (1.0.0) and new (1.0.0) are of different rulesets: ferry and barge.\n"
        "  Compare two versions of one ruleset.\n\n"
    ) == result.stderr
    assert 2 == result.exit_code
