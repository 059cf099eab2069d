"""Flips: a slip of the pen in a rule is noticed by one of its cases, or told in words of the trade."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from checker.authoring.mutation import mutants
from checker.authoring.mutation.limit_steps import stepped
from checker.authoring.mutation.mutants import Flipped
from checker.cli import main
from checker.engine.checker import Checker
from checker.reading.job_schema import job_vocabulary
from checker.reading.units import find_unit, to_base
from checker.rulesets.fingerprint import meaning
from checker.rulesets.library import SHIPPED, open_library
from tests.support.rulesets import TINY

HEADER = """\
id: hall
version: 1.0.0
title: The lantern hall (invented)
owner: Hall keeper (invented)
owner_kind: local
uses: {guild: ">=1.0, <2"}
covers: [xx-hall]
reviewed_through: 2030-01-01
documents: {hall: Hall book}
adopts:
  - {code: guild, edition: "1", from: 2019-01-01, counts: dates.hung, citation: Hall book 1}
  - {code: guild, edition: "2", from: 2024-01-01, counts: dates.hung, citation: Hall book 2}
"""

RULES = """\
limits:
  hall_least: {title: Least height, unit: ft, values: [{value: "30", source: Hall book, sure: checked}]}
  hall_high: {title: High enough for bare paper, unit: ft, values: [{value: "40", source: Hall book, sure: checked}]}
  hall_from: {title: First day, kind: date, values: [{value: 2020-05-04, source: Hall book, sure: checked}]}
  hall_most:
    title: Highest by paper
    unit: ft
    keys: {paper: [rice, oiled, tin]}
    values:
      - source: Hall book
        sure: checked
        rows: [{paper: rice, value: "90.5"}, {paper: oiled, value: "95"}, {paper: tin, value: none}]
rules:
  hall-lantern-safe:
    title: A lantern in the hall is safe
    topic: hanging
    obligation: shall
    intent: Heads pass under it.
    citation: [{document: hall, section: "1", section_sure: checked, requirement_sure: checked}]
    applies_when:
      - lantern.lit
      - lantern.paper in [rice, oiled]
      - dates.hung >= hall_from
    verify_when:
      - {when: edition(guild) < 2, ask: Does the guild's old book count here?}
    where:
      most_for_the_paper: "hall_most[paper: lantern.paper]"
    require:
      - lantern.height >= hall_least
      - lantern.height <= most_for_the_paper
      - any_of:
          - {option: oiled, when: lantern.paper == oiled}
          - {option: high, when: lantern.height > hall_high}
UNTRIED    cases:
      - {name: at the least, given: {LIT, OILED, NEW, lantern.height: 30 ft}, expect: pass}
      - {name: just under, given: {LIT, OILED, NEW, lantern.height: 29.9 ft}, expect: fail}
      - {name: just high enough for bare paper, given: {LIT, RICE, NEW, lantern.height: 40.1 ft}, expect: pass}
      - {name: bare paper at the height, given: {LIT, RICE, NEW, lantern.height: 40 ft}, expect: fail}
      - {name: bare paper at its highest, given: {LIT, RICE, NEW, lantern.height: 90.5 ft}, expect: pass}
      - {name: bare paper just over, given: {LIT, RICE, NEW, lantern.height: 90.6 ft}, expect: fail}
      - {name: oiled at its highest, given: {LIT, OILED, NEW, lantern.height: 95 ft}, expect: pass}
      - {name: oiled just over, given: {LIT, OILED, NEW, lantern.height: 95.1 ft}, expect: fail}
      - {name: tin, given: {LIT, lantern.paper: tin, NEW, lantern.height: 29 ft}, expect: does_not_apply}
      - {name: not lit, given: {lantern.lit: "false", OILED, NEW, lantern.height: 29 ft}, expect: does_not_apply}
      - {name: the first day, given: {LIT, OILED, dates.hung: 2020-05-04, lantern.height: 31 ft}, expect: verify_locally}
      - {name: the day before, given: {LIT, OILED, dates.hung: 2020-05-03, lantern.height: 29 ft}, expect: does_not_apply}
"""
SHORT = {"LIT": 'lantern.lit: "true"', "OILED": "lantern.paper: oiled", "RICE": "lantern.paper: rice",
         "NEW": "dates.hung: 2025-01-01"}  # fmt: skip

# What passes when a case is taken out, by the case: (what no example would notice, what to add).
MISSED = {
    "at the least": {
        ("'lantern.height >= hall_least' becoming 'lantern.height > hall_least'", "Add one exactly at the limit, 30 ft."),
        ("30 ft becoming 35 ft in 'lantern.height >= hall_least'", "Add one at 30 ft."),
        ("the option 'oiled' being left out", "Add one that meets it and none beside it."),
    },
    "just under": {
        ("30 ft becoming 25 ft in 'lantern.height >= hall_least'", "Add one at 25 ft."),
        ("the line 'lantern.height >= hall_least' being left out", "Add one that fails because of it alone."),
    },
    "just high enough for bare paper": {
        ("40 ft becoming 45 ft in 'lantern.height > hall_high'", "Add one at 45 ft."),
    },
    "bare paper at the height": {
        ("'lantern.height > hall_high' becoming 'lantern.height >= hall_high'", "Add one exactly at the limit, 40 ft."),
        ("40 ft becoming 35 ft in 'lantern.height > hall_high'", "Add one at 40 ft."),
        ("the line 'any_of' being left out", "Add one that fails because of it alone."),
    },
    "bare paper at its highest": {
        ("90.5 ft becoming 90.4 ft in row 1 of 'hall_most'", "Add one at a value of the table."),
    },
    "bare paper just over": {
        ("90.5 ft becoming 90.6 ft in row 1 of 'hall_most'", "Add one at a value of the table."),
    },
    "tin": {
        ("the line 'lantern.paper in [rice, oiled]' being left out",
         "Add one where the rule does not apply because of it alone."),
    },
    "not lit": {
        ("the line 'lantern.lit' being left out", "Add one where the rule does not apply because of it alone."),
    },
    "the first day": {
        ("'dates.hung >= hall_from' becoming 'dates.hung > hall_from'", "Add one exactly at the limit, 2020-05-04."),
        ("2020-05-04 becoming 2020-05-05 in 'dates.hung >= hall_from'", "Add one at 2020-05-04."),
        ("the line 'edition(guild) < 2' being left out", "Add one that is left to the authority because of it alone."),
        ("'edition(guild) < 2' becoming 'edition(guild) > 2'",
         "Add one under an edition of guild for which it makes the difference."),
        ("'edition(guild) < 2' becoming 'edition(guild) < 1'",
         "Add one under an edition of guild for which it makes the difference."),
    },
    "the day before": {
        ("2020-05-04 becoming 2020-05-03 in 'dates.hung >= hall_from'", "Add one at 2020-05-03."),
        ("the line 'dates.hung >= hall_from' being left out", "Add one where the rule does not apply because of it alone."),
    },
}  # fmt: skip


def written(folder: Path, without: tuple[str, ...] = (), untried: str = "", old: str = "", new: str = "") -> Checker:
    """A checker over the guild and the hall, some of the hall's cases left out."""
    text = RULES.replace("UNTRIED", untried)
    for word, meant in SHORT.items():
        text = text.replace(f"{word},", f"{meant},")
    lines = [line for line in text.splitlines() if not any(f"name: {name}," in line for name in without)]
    hall = folder / "rulesets" / "hall"
    hall.mkdir(parents=True)
    (hall / "ruleset.yaml").write_text(HEADER)
    (hall / "hall.yaml").write_text("\n".join(lines).replace(old, new) + "\n")
    return Checker(open_library([TINY / "rulesets", folder / "rulesets"]), job_vocabulary(TINY / "job.schema.json"))


def flipped(checker: Checker) -> Flipped:
    return mutants.flipped(checker, checker.library.rulesets["hall"], "hall-lantern-safe")


def told(found: Flipped) -> set[tuple[str, str]]:
    begins = "No example would notice "
    assert all(problem.what.startswith(begins) for problem in found.survivors)
    return {(problem.what.removeprefix(begins).removesuffix("."), problem.hint) for problem in found.survivors}


def test_with_a_case_on_each_side_of_everything_no_flip_passes(tmp_path: Path) -> None:
    found = flipped(written(tmp_path))
    assert told(found) == set()
    assert found.made > 30
    assert found.excused == found.idle == ()


@pytest.mark.parametrize("case", MISSED)
def test_a_case_taken_out_lets_its_flips_pass(case: str, tmp_path: Path) -> None:
    assert told(flipped(written(tmp_path, (case,)))) == MISSED[case]


@pytest.mark.parametrize(
    ("without", "what", "hint"),
    [
        (("at the least", "oiled at its highest"), "the option 'oiled' being left out",
         "Add one that meets it and none beside it."),
        (("at the least", "just under", "oiled at its highest", "oiled just over", "the first day"),
         "'oiled' being left out of 'lantern.paper in [rice, oiled]'", "Add one with oiled."),
        (("just high enough for bare paper", "bare paper at its highest"), "the option 'high' being left out",
         "Add one that meets it and none beside it."),
        (("at the least", "just high enough for bare paper", "oiled at its highest", "bare paper at its highest"),
         "all of these being required, and not any one of them", "Add one that meets one of them and not the others."),
        (("just high enough for bare paper", "bare paper at the height", "bare paper at its highest", "bare paper just over"),
         "row 1 of 'hall_most' being left out", "Add one that takes this row."),
        (("just high enough for bare paper", "bare paper at its highest", "oiled at its highest"),
         "'lantern.height > hall_high' becoming 'lantern.height < hall_high'", "Add one that depends on this line alone."),
    ],
)  # fmt: skip
def test_flips_that_several_cases_notice(without: tuple[str, ...], what: str, hint: str, tmp_path: Path) -> None:
    assert (what, hint) in told(flipped(written(tmp_path, without)))


def test_a_flip_is_told_with_its_place_and_what_to_add(tmp_path: Path) -> None:
    (problem,) = flipped(written(tmp_path, ("just high enough for bare paper",))).survivors
    assert str(problem) == (
        "rulesets/hall/hall.yaml:33:51\n"
        "  No example would notice 40 ft becoming 45 ft in 'lantern.height > hall_high'.\n"
        "      - {option: high, when: lantern.height > hall_high}\n"
        "                                              ^\n"
        "  Add one at 45 ft."
    )


@pytest.mark.parametrize(
    "key", ["lantern.height > hall_high", "lantern.height > hall_high (limit)"], ids=["condition", "kind"]
)
def test_a_written_reason_explains_a_flip(key: str, tmp_path: Path) -> None:
    untried = f"    untried:\n      {key}: nothing hangs there\n"
    found = flipped(written(tmp_path, ("just high enough for bare paper",), untried))
    assert found.survivors == found.idle == ()
    assert [excused.why for excused in found.excused] == ["nothing hangs there"]


def test_a_reason_for_another_kind_of_flip_explains_nothing(tmp_path: Path) -> None:
    untried = "    untried:\n      lantern.height > hall_high (strictness): nothing hangs there\n"
    found = flipped(written(tmp_path, ("just high enough for bare paper",), untried))
    assert len(found.survivors) == 1
    assert [problem.what for problem in found.idle] == [
        "'hall-lantern-safe' says why no case tries 'lantern.height > hall_high (strictness)', and one does."
    ]


def test_a_limit_left_to_the_place_is_not_turned(tmp_path: Path) -> None:
    """Nobody knows which way round it would be, so no case could notice."""
    value = 'values: [{value: "30", source: Hall book, sure: checked}]'
    found = flipped(written(tmp_path, old=value, new="open: jurisdiction"))
    assert not [problem for problem in found.survivors if "hall_least' becoming" in problem.what]


def test_a_doubtful_requirement_is_not_asked_for_cases_that_cannot_be(tmp_path: Path) -> None:
    """It gives no firm outcome either way; what it applies to is still tried."""
    found = flipped(written(tmp_path, old='"1", section_sure: checked, requirement_sure: checked',
                            new='"1", section_sure: checked, requirement_sure: doubtful'))  # fmt: skip
    assert {excused.flip.at[0] for excused in found.excused} <= {"require", "where"}
    assert "in doubt" in found.excused[0].why


@pytest.mark.parametrize(
    ("limit", "up", "down"),
    [(30, 35, 25), (12, 13, 11), (0.125, 0.126, 0.124), (14.5, 14.6, 14.4), (0, 1, -1)],
)
def test_a_step_is_one_in_the_last_digit_or_five_where_that_is_a_nought(limit: float, up: float, down: float) -> None:
    """The words of the requirement: 30 becomes 35."""
    feet = find_unit("length", "ft")
    assert feet
    steps = [stepped(to_base(limit, feet), "length", "ft", way) for way in (True, False)]
    assert steps == [pytest.approx(to_base(value, feet)) for value in (up, down)]


AMENDED = """\
amend:
  least_height:
    reason: Heads are high here.
    citation: [{document: hall, section: "2", section_sure: checked, requirement_sure: checked}]
    meaning: MEANING
    direction: stricter
    set:
      values:
        - {value: VALUE, source: Hall book, sure: checked}
    cases:
      - {name: at it, rule: lit-lantern-high-enough, given: {LIT, lantern.height: 9 ft}, expect: pass}
      - {name: just under, rule: lit-lantern-high-enough, given: {LIT, lantern.height: 8.9 ft}, expect: fail}
"""


def amended(folder: Path, without: str = "none", value: str = "9", more: str = "") -> tuple[Checker, Flipped]:
    """The hall amends the guild's least height, and what its cases make of that; one of them left out."""
    guild = open_library([TINY / "rulesets"]).rulesets["guild"]
    digests = {edition: meaning(guild.limits["least_height"], edition, {}) for edition in ("1", "2")}
    text = AMENDED.replace("MEANING", json.dumps(digests)).replace("LIT", SHORT["LIT"]).replace("VALUE", value)
    hall = folder / "rulesets" / "hall"
    hall.mkdir(parents=True)
    (hall / "ruleset.yaml").write_text(HEADER)
    lines = [line for line in text.splitlines() if f"name: {without}," not in line]
    (hall / "hall.yaml").write_text("\n".join(lines) + "\n" + more)
    checker = Checker(open_library([TINY / "rulesets", folder / "rulesets"]), job_vocabulary(TINY / "job.schema.json"))
    ruleset = checker.library.rulesets["hall"]
    assert "least_height" in mutants.rules_of(ruleset)
    return checker, mutants.flipped(checker, ruleset, "least_height")


def test_an_amended_limit_with_a_case_on_each_side_passes_no_step(tmp_path: Path) -> None:
    _, found = amended(tmp_path)
    assert (found.made, told(found)) == (2, set())


@pytest.mark.parametrize(
    ("case", "what", "hint"),
    [("at it", "9 ft becoming 10 ft in 'lantern.height >= least_height'", "Add one at 9 ft."),
     ("just under", "9 ft becoming 8 ft in 'lantern.height >= least_height'", "Add one at 8 ft.")],
)  # fmt: skip
def test_a_step_of_an_amended_limit_is_told_where_its_case_is_out(
    case: str, what: str, hint: str, tmp_path: Path
) -> None:
    _, found = amended(tmp_path, case)
    assert told(found) == {(what, hint)}
    assert str(found.survivors[0]).startswith("rulesets/hall/hall.yaml:9:19\n")


def test_a_case_of_the_amended_rule_itself_notices_a_step_of_the_limit(tmp_path: Path) -> None:
    checker, _ = amended(tmp_path / "first")
    rule = checker.library.rulesets["guild"].rules["lit-lantern-high-enough"]
    limits = checker.library.rulesets["guild"].limits
    digests = {edition: meaning(rule, edition, limits) for edition in ("1", "2")}
    more = (
        f"  lit-lantern-high-enough:\n    reason: So it is said here.\n    meaning: {json.dumps(digests)}\n"
        '    citation: [{document: hall, section: "2", section_sure: checked, requirement_sure: checked}]\n'
        "    set: {intent: Hats pass under it.}\n    cases:\n"
        f"      - {{name: under it, given: {{{SHORT['LIT']}, lantern.height: 8.9 ft}}, expect: fail}}\n"
    )
    assert told(amended(tmp_path / "without", "just under")[1]) != set()
    assert told(amended(tmp_path / "with", "just under", more=more)[1]) == set()
    reason = more.replace("intent: Hats pass under it.", "untried: {lantern.height >= least_height: none hangs lower}")
    excused = amended(tmp_path / "reason", "just under", more=reason[: reason.index("    cases:")])[1]
    assert [one.why for one in excused.excused] == ["none hangs lower"]


def test_a_cases_run_with_flips_says_what_passes(tmp_path: Path) -> None:
    folder = tmp_path / "group"
    folder.mkdir()
    (folder / "ruleset.yaml").write_text(
        "id: lamp-group\nversion: 1.0.0\ntitle: A group (invented)\nowner: A group\nowner_kind: group\n"
        'uses: {alder-county: ">=1.0, <2"}\nreviewed_through: 2030-01-01\ndocuments: {ours: Our book}\n'
    )
    (folder / "rules.yaml").write_text(
        "rules:\n  group-permit-shown:\n    title: The permit hangs where it can be seen\n    topic: permit\n"
        "    obligation: shall\n    intent: So that it is found.\n"
        '    citation: [{document: ours, section: "1", section_sure: checked, requirement_sure: checked}]\n'
        "    require: [permit.obtained, permit.equipment_matches]\n    cases:\n"
        '      - {name: both, given: {permit.obtained: "true", permit.equipment_matches: "true"}, expect: pass}\n'
        '      - {name: no permit, given: {permit.obtained: "false", permit.equipment_matches: "true"}, expect: fail}\n'
    )
    run = CliRunner().invoke(main, ["rules", "cases", str(folder), "--flip"])
    assert run.exit_code == 1
    assert run.stdout == (
        "lamp-group: 2 cases, 0 of them not as stated.\n2 cases, 0 of them not as stated.\n"
        "lamp-group: 4 flips, 1 of them not noticed, 0 explained.\n"
        "lamp-group: 1 slips that no case can see (a mark, a caution, a row of a long table): "
        "there is no release since which lint could name them.\n4 flips, 1 of them not noticed.\n"
    )
    assert "No example would notice the line 'permit.equipment_matches' being left out." in run.stderr
    assert "\r" not in run.stderr


@pytest.mark.long
@pytest.mark.parametrize("name", sorted(folder.parent.name for folder in SHIPPED.rglob("ruleset.yaml")))
def test_no_flip_of_a_shipped_rule_passes_without_a_reason(shipped: Checker, name: str) -> None:
    ids = {path.parent.name: path for path in SHIPPED.rglob("ruleset.yaml")}
    ruleset = next(r for r in shipped.library.rulesets.values() if shipped.library.folders[r.id] == ids[name].parent)
    found = [mutants.flipped(shipped, ruleset, rule_id) for rule_id in mutants.rules_of(ruleset)]
    assert [str(problem) for one in found for problem in (*one.survivors, *one.idle)] == []


DOUBT = ("that this is no longer in doubt", "Add one that records everything and is verify_locally.")


@pytest.mark.parametrize(("expect", "missed"), [("fail", {DOUBT}), ("verify_locally", set())])
def test_doubt_that_is_dropped_is_noticed_by_a_case_that_records_everything(
    expect: str, missed: set[tuple[str, str]], tmp_path: Path
) -> None:
    text = RULES.replace("requirement_sure: checked", "requirement_sure: doubtful").replace("UNTRIED", "")
    for word, meant in SHORT.items():
        text = text.replace(f"{word},", f"{meant},")
    text = text.replace("lantern.height: 29.9 ft}, expect: fail", f"lantern.height: 29.9 ft}}, expect: {expect}")
    hall = tmp_path / "rulesets" / "hall"
    hall.mkdir(parents=True)
    (hall / "ruleset.yaml").write_text(HEADER)
    (hall / "hall.yaml").write_text(text)
    checker = Checker(
        open_library([TINY / "rulesets", tmp_path / "rulesets"]), job_vocabulary(TINY / "job.schema.json")
    )
    assert missed == {DOUBT} & told(flipped(checker))
