"""What a keeper could slip in unseen: each such change is told by its weight, and one that is stricter is not told.

The table is of slips that somebody could make or hide; the words and weights beside them were written before they were run.
"""

from __future__ import annotations

from typing import Any

import pytest

from checker.authoring.comparing.loosened import ASKS_LESS, LIFE_SAFETY, SAYS_MORE, loosened
from checker.authoring.comparing.which_way import DOWN, UNKNOWN, UP, which_way
from tests.support.ferry import BELOW, CHANGES, HEADER, RULES, WITHDRAWN, data


def told(old: str, new: str) -> list[tuple[str, str, str]]:
    texts = [HEADER, RULES, CHANGES]
    assert sum(old in text for text in texts) == 1, old
    header, *topics = [text.replace(old, new, 1) for text in texts]
    changes = loosened(data(RULES, CHANGES), data(*topics, header=header), BELOW)
    return [(one.weight, one.name, one.what) for one in changes]


RAIL, GAP, OAR = "rail-high-enough", "gap-small", "oars-stowed"
SLIPS = {
    "life safety dropped": ("    life_safety: true\n", "", LIFE_SAFETY, RAIL, "Life safety: yes (gone)"),
    "a caution dropped": ("caution: [water, ropes]", "caution: water", LIFE_SAFETY, RAIL, "Caution: water; ropes → water"),
    "accepted by the state": ("acceptable_by: none", "acceptable_by: state", LIFE_SAFETY, RAIL,
                              "May be accepted by: none → state"),
    "none dropped": ("    acceptable_by: none\n", "", LIFE_SAFETY, RAIL, "May be accepted by: none (gone)"),
    "state dropped": ("    acceptable_by: state\n", "", ASKS_LESS, GAP, "May be accepted by: state (gone)"),
    "shall → should": ("obligation: shall\n    intent: Feet", "obligation: should\n    intent: Feet", ASKS_LESS, GAP,
                       "Obligation: shall → should"),
    "shall → should over another's rule": ("obligation: shall}", "obligation: should}", ASKS_LESS, OAR,
                                           "Obligation: shall → should"),
    "doubtful → checked": ("requirement_sure: doubtful", "requirement_sure: checked", SAYS_MORE, RAIL,
                           "book 2: how sure of the requirement: in doubt → checked"),
    "from memory → checked": ("section_sure: from_memory", "section_sure: checked", SAYS_MORE, RAIL,
                              "book 2: how sure of the section: from memory → checked"),
    "a limit from memory → checked": ("sure: from_memory}]\n  widest", "sure: checked}]\n  widest", SAYS_MORE, "least_rail",
                                      "Least height of a rail: 3 ft: sure: from memory → checked"),
    "a section's editions moved": ('editions: "2-"', 'editions: "1-"', SAYS_MORE, RAIL, "book 2: editions: 2- → 1-"),
    "a rule's editions fewer": ('editions: "1-3"', 'editions: "2-3"', LIFE_SAFETY, RAIL, "Editions: 1-3 → 2-3"),
    "reading and limit swapped": ("{height} high; {least_rail} is", "{least_rail} high; {height} is", SAYS_MORE, RAIL,
                                  "Message of a fail: {height} {least_rail} → {least_rail} {height}"),
    "swapped in the headline": ("{height}, least {least_rail}", "{least_rail}, least {height}", SAYS_MORE, RAIL,
                                "Headline of a fail: {height} {least_rail} → {least_rail} {height}"),
    "a standard size dropped": ("[small, middle, large]", "[small, large]", ASKS_LESS, "sizes",
                                "Sizes of bolts: no longer middle"),
    "a standard size more": ("[small, middle, large]", "[small, middle, large, odd]", ASKS_LESS, "sizes",
                             "Sizes of bolts: now also odd"),
    "a row dropped": (', {deck: lower, value: "20"}', "", ASKS_LESS, "wire_for", "Wire for a deck, deck lower: row gone, 20"),
    "a row smaller": ('lower, value: "20"', 'lower, value: "15"', ASKS_LESS, "wire_for", "Wire for a deck, deck lower"),
    "a case withdrawn": ("      - {name: low, given: {rail.top: 2 ft}, expect: fail}\n", "", SAYS_MORE, RAIL,
                         "Case gone: low (fail)"),
    "one of two cases of a name withdrawn": ("      - {name: low, given: {rail.top: 2 ft}, expect: fail}\n",
                                             "      - {name: high, given: {rail.top: 2 ft}, expect: fail}\n", SAYS_MORE, RAIL,
                                             "Case gone: low (fail)"),
    "a case that expects less": ("2 ft}, expect: fail", "2 ft}, expect: verify_locally", SAYS_MORE, RAIL, "Case changed: low"),
    "a limit lower": ('value: "3"', 'value: "2.9"', LIFE_SAFETY, "least_rail", "Least height of a rail: 3 ft → 2.9 ft"),
    "a limit higher": ('value: "2", source: Book 4', 'value: "2.5", source: Book 4', ASKS_LESS, "widest_gap",
                       "Widest gap: 2 in → 2.5 in"),
    "a limit that ends": ('value: "2", source: Book 4', 'value: "2", until: 2031-01-01, source: Book 4', ASKS_LESS,
                          "widest_gap", "Widest gap: 2 in holds until 2031-01-01"),
    "a limit higher from a day on": ('values: [{value: "2", source: Book 4, sure: checked}]',
                                     'values: [{value: "2", until: 2031-01-01, source: Book 4, sure: checked}, '
                                     '{value: "2.5", from: 2031-01-01, source: Book 4, sure: checked}]', ASKS_LESS,
                                     "widest_gap", "Widest gap: 2 in → 2.5 in, from 2031-01-01"),
    "one condition fewer": (", rail.firm]", "]", LIFE_SAFETY, RAIL, "Asked: no longer rail.firm"),
    "one condition fewer of another's rule": (", oars.lashed]", "]", ASKS_LESS, OAR, "Asked: no longer oars.lashed"),
    "applies to fewer": ("[ferry.sails]", "[ferry.sails, ferry.large]", LIFE_SAFETY, RAIL, "Applies when: now also ferry.large"),
    "worked out otherwise": ("rail.top - rail.foot", "rail.top", LIFE_SAFETY, RAIL,
                             "Worked out: height: rail.top - rail.foot → rail.top"),
    "not measured again": ("    judged: guarded\n", "", LIFE_SAFETY, RAIL, "Judged by: guarded (gone)"),
    "not tried": ("    remedy: Raise the rail.\n", "    untried: {rail.firm: It is.}\n", SAYS_MORE, RAIL, "Left untried"),
    "another's rule withdrawn": ("amend:", WITHDRAWN, ASKS_LESS, OAR, "Withdrawal added: Nobody rows."),
    "a change that ends": ("    reason: Ours", "    until: 2031-01-01\n    reason: Ours", ASKS_LESS, OAR,
                           "Until: 2031-01-01 (new)"),
    "a place fewer": ("[xx-ferry, xx-pier]", "[xx-ferry]", ASKS_LESS, "ruleset.yaml",
                      "Places covered: xx-ferry; xx-pier → xx-ferry"),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_change_that_asks_less_or_says_more_is_told_by_its_weight(slip: str) -> None:
    old, new, weight, name, what = SLIPS[slip]
    (one,) = told(old, new)
    assert (weight, name) == one[:2]
    assert one[2].startswith(what)


def test_another_sort_of_job_that_it_is_written_for_is_told() -> None:
    assert {(ASKS_LESS, "ruleset.yaml")} == {one[:2] for one in told("{when: ferry.sails,", "{when: rail.firm,")}


def test_a_rule_that_is_gone_is_told() -> None:
    gap = RULES[RULES.index("  gap-small") : RULES.index("limits:")]
    (one, *limits) = told(gap, "")
    assert (ASKS_LESS, GAP) == one[:2]
    assert [] == limits


STRICTER = {
    "a limit higher": ('value: "3"', 'value: "3.5"'),
    "a limit lower": ('value: "2", source: Book 4', 'value: "1.5", source: Book 4'),
    "a limit lower from a day on": ('values: [{value: "2", source: Book 4, sure: checked}]',
                                    'values: [{value: "2", until: 2031-01-01, source: Book 4, sure: checked}, '
                                    '{value: "1.5", from: 2031-01-01, source: Book 4, sure: checked}]'),
    "another value, of another source": ('value: "3", source: Book 3, sure: from_memory',
                                         'value: "3.5", source: Book 8, sure: checked'),
    "a row larger": ('lower, value: "20"', 'lower, value: "25"'),
    "one condition more": (", rail.firm]", ", rail.firm, rail.painted]"),
    "applies to more": ("    applies_when: [ferry.sails]\n", ""),
    "less sure": ("requirement_sure: doubtful", "requirement_sure: doubtful, note: Read it again"),
    "in doubt now": ("section_sure: checked, requirement_sure: checked}]\n    require: [ramp",
                     "section_sure: checked, requirement_sure: doubtful}]\n    require: [ramp"),
    "a case more": ("      - {name: low,", "      - {name: lower, given: {rail.top: 1 ft}, expect: fail}\n      - {name: low,"),
    "a case more, of a name that stands already": (
        "      - {name: high,",
        "      - {name: high, given: {rail.top: 5 ft}, expect: pass}\n"
        "      - {name: low, given: {rail.top: 1 ft}, expect: verify_locally}\n      - {name: high,",
    ),
    "cases in a different order": ("      - {name: high, given: {rail.top: 4 ft}, expect: pass}\n"
                               "      - {name: low, given: {rail.top: 2 ft}, expect: fail}\n",
                               "      - {name: low, given: {rail.top: 2 ft}, expect: fail}\n"
                               "      - {name: high, given: {rail.top: 4 ft}, expect: pass}\n"),
    "other words": ("Raise the rail.", "Make the rail higher."),
    "another sentence": ("The rail is {height} high; {least_rail}", "Rails are {height} high here, and {least_rail}"),
    "accepted by nobody": ("acceptable_by: state", "acceptable_by: none"),
    "other words for what it is not for": ("Not for rowing boats.", "Rowing boats have rules of their own."),
    "life safety": ("    intent: Feet.\n", "    intent: Feet.\n    life_safety: true\n"),
}  # fmt: skip


@pytest.mark.parametrize("change", STRICTER)
def test_what_is_stricter_or_only_worded_otherwise_is_not_told(change: str) -> None:
    assert [] == told(*STRICTER[change])


@pytest.mark.parametrize(
    ("condition", "way"),
    [
        ("ramp.gap <= x", UP),
        ("x < ramp.gap", DOWN),
        ("ramp.gap - x <= 2 ft", UP),
        ("ramp.gap <= 2 * x", UP),
        ("2 ft <= ramp.gap <= x", UP),
        ("ramp.gap / x >= 2", DOWN),
        ("ramp.gap == x", UNKNOWN),
        ("is_size(x)", UNKNOWN),
        ("least(x, 2 ft) >= ramp.gap", UNKNOWN),
        ({"none_of": ["ramp.gap <= x"]}, DOWN),
        ({"any_of": [{"when": "ramp.gap <= x"}]}, UP),
        ("sum >= x", DOWN),
        ("ramp.gap <= sum", UP),
    ],
)
def test_which_way_a_limit_asks_less_follows_from_the_condition_by_hand(condition: Any, way: int) -> None:
    rule = {"require": [condition], "where": {"sum": "x + 1 ft"} if condition == "ramp.gap <= sum" else {}}
    assert way == which_way("x", [rule])


def test_where_a_rule_applies_the_way_is_the_other_and_two_rules_may_disagree() -> None:
    applies = {"applies_when": ["ramp.gap <= x"], "require": ["ramp.firm"]}
    assert DOWN == which_way("x", [applies])
    assert UNKNOWN == which_way("x", [applies, {"require": ["ramp.gap <= x"]}])
