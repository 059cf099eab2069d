"""Answers of the authority on the invented trade: what they settle, what they leave open, and that it is said whose they are.

What is expected follows from what an answer is: `as_written` leaves the rule to be judged as it stands, `not_asked` takes
it away where its question arises, and neither knows anything of a lantern that nobody looked at.
"""

from __future__ import annotations

import html
import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from checker.authoring.explain import rule_text
from checker.authoring.lint.answers import answers_problems
from checker.cli import main
from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.problems.problem import ProblemsFound
from checker.reporting import json as as_json
from checker.reporting import page as as_page
from checker.reporting import text as as_text
from checker.rulesets.chain import Chain, chain
from checker.rulesets.layer_permissions import chain_problems
from checker.rulesets.layering import effective, meaning_of
from checker.rulesets.limits import day_number
from checker.rulesets.models import Answer
from tests.support.lantern_layers import BY_LINE, DOUBTFUL, LEFT_OPEN, RULES, answer, hill, job, report

WHOSE = "Hill clerk's office (M. Tallow), 2021-03-04, note 12"


def said(found: Report, rule: str) -> tuple[str, str]:
    """What a rule says: its outcome with the reason, or that it does not apply."""
    return next(((f.outcome, f.reason) for f in found.findings if f.rule == rule), ("does_not_apply", ""))


def notes(found: Report, rule: str) -> tuple[str, ...]:
    (finding,) = (finding for finding in found.findings if finding.rule == rule)
    return finding.notes


# --- what each answer settles ----------------------------------------------------------------------------------------


def test_without_answers_each_of_the_three_is_put_to_the_authority(tmp_path: Path) -> None:
    found = report(hill(tmp_path), paper="oiled", height="5 ft")
    assert ("verify_locally", "authority_decides") == said(found, DOUBTFUL)
    assert ("verify_locally", "authority_decides") == said(found, BY_LINE)
    assert ("verify_locally", "not_adopted") == said(found, LEFT_OPEN)


@pytest.mark.parametrize(("paper", "outcome"), [("tin", "pass"), ("oiled", "fail")])
def test_as_written_lifts_the_doubt_and_the_rule_is_judged(tmp_path: Path, paper: str, outcome: str) -> None:
    found = report(hill(tmp_path, answer(DOUBTFUL, "as_written")), paper=paper)
    assert (outcome, "") == said(found, DOUBTFUL)
    assert (f"Settled by {WHOSE} (in gate): So it is.",) == notes(found, DOUBTFUL)[:1]


def test_the_doubt_of_the_section_stays(tmp_path: Path) -> None:
    found = report(hill(tmp_path, answer(DOUBTFUL, "as_written")), paper="tin")
    (citation,) = (finding.citations[0] for finding in found.findings if finding.rule == DOUBTFUL)
    assert ("doubtful", "checked") == (citation.section_sure, citation.requirement_sure)


@pytest.mark.parametrize(("height", "outcome"), [("6 ft", "pass"), ("5.9 ft", "fail")])
def test_as_written_answers_the_question_of_a_line(tmp_path: Path, height: str, outcome: str) -> None:
    found = report(hill(tmp_path, answer(BY_LINE, "as_written")), height=height)
    assert (outcome, "") == said(found, BY_LINE)
    assert any(WHOSE in note for note in notes(found, BY_LINE))


@pytest.mark.parametrize("rule", [DOUBTFUL, BY_LINE])
def test_what_is_not_asked_does_not_apply_and_the_head_of_the_report_says_whose_word_that_is(
    tmp_path: Path, rule: str
) -> None:
    found = report(hill(tmp_path, answer(rule, "not_asked")), paper="oiled", height="5 ft")
    assert ("does_not_apply", "") == said(found, rule)
    assert any(note.startswith("Not asked here: A lit lantern") and WHOSE in note for note in found.notes)


def test_what_does_not_apply_anyway_is_not_said_to_be_let_off(tmp_path: Path) -> None:
    found = report(hill(tmp_path, answer(DOUBTFUL, "not_asked")), lit=False, paper="oiled")
    assert not any("Not asked here" in note for note in found.notes)


@pytest.mark.parametrize(("value", "outcome"), [("counted", ("fail", "")), ("left_out", ("does_not_apply", ""))])
def test_a_value_settles_what_is_left_to_the_place(tmp_path: Path, value: str, outcome: tuple[str, str]) -> None:
    given = answer(LEFT_OPEN, "as_written", more=f"    values: {{fringe_counts: {value}}}\n")
    found = report(hill(tmp_path, given), height="5 ft")
    assert outcome == said(found, LEFT_OPEN)
    told = notes(found, LEFT_OPEN) if outcome[0] == "fail" else found.notes
    assert any(WHOSE in note for note in told)


def test_a_value_holds_for_its_own_rule_alone(tmp_path: Path) -> None:
    other = RULES.replace(f"  {LEFT_OPEN}:", "  another-fringe-high-enough:").split("\nrules:\n")[1]
    other = other[other.index("  another-fringe") :]
    given = answer(LEFT_OPEN, "as_written", more="    values: {fringe_counts: counted}\n")
    found = report(hill(tmp_path, given, rules=RULES + other), height="5 ft")
    assert ("fail", "") == said(found, LEFT_OPEN)
    assert ("verify_locally", "not_adopted") == said(found, "another-fringe-high-enough")


# --- what it does not ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("rule", [DOUBTFUL, BY_LINE])
def test_an_answer_is_never_a_missing_fact(tmp_path: Path, rule: str) -> None:
    assert ("verify_locally", "not_recorded") == said(report(hill(tmp_path, answer(rule, "as_written"))), rule)


@pytest.mark.parametrize(
    ("more", "day", "outcome"),
    [
        ("", "2021-03-03", "verify_locally"),
        ("", "2021-03-04", "fail"),
        ("    from: 2021-01-01\n", "2020-12-31", "verify_locally"),
        ("    from: 2021-01-01\n", "2021-01-01", "fail"),
        ("    until: 2022-01-01\n", "2021-12-31", "fail"),
        ("    until: 2022-01-01\n", "2022-01-01", "verify_locally"),
    ],
)
def test_it_counts_from_its_day_to_the_day_before_it_ends(tmp_path: Path, more: str, day: str, outcome: str) -> None:
    found = report(hill(tmp_path, answer(DOUBTFUL, "as_written", more=more)), day, paper="oiled")
    assert outcome == said(found, DOUBTFUL)[0]


def test_where_the_day_is_not_known_before_and_after_are_both_looked_at(tmp_path: Path) -> None:
    found = report(
        hill(tmp_path, answer(BY_LINE, "not_asked")), {"between": ["2021-01-01", "2021-12-31"]}, height="5 ft"
    )
    assert ("verify_locally", "date_unknown") == said(found, BY_LINE)


def test_a_rule_that_has_changed_since_is_put_to_the_authority_again_and_says_so(tmp_path: Path) -> None:
    found = report(hill(tmp_path, answer(DOUBTFUL, "as_written", meaning="0123456789abcdef")), paper="oiled")
    assert ("verify_locally", "authority_decides") == said(found, DOUBTFUL)
    assert f"The answer of {WHOSE} (in gate) no longer counts: the rule has changed since" in notes(found, DOUBTFUL)


def test_a_question_that_is_no_longer_asked_so_is_not_answered(tmp_path: Path) -> None:
    found = report(
        hill(tmp_path, answer(DOUBTFUL, "as_written", question="Does the hill ask for lead?")), paper="oiled"
    )
    assert ("verify_locally", "authority_decides") == said(found, DOUBTFUL)
    assert any("asks another question now" in note for note in notes(found, DOUBTFUL))


def test_how_a_question_is_broken_into_lines_does_not_matter(tmp_path: Path) -> None:
    rules = RULES.replace('ask: "Does the hill ask for tin?"', "ask: >-\n      Does the hill\n      ask for tin?")
    assert (
        "fail" == said(report(hill(tmp_path, answer(DOUBTFUL, "as_written"), rules=rules), paper="oiled"), DOUBTFUL)[0]
    )


def test_the_uppermost_answer_counts(tmp_path: Path) -> None:
    lower = RULES + "answers:\n" + answer(DOUBTFUL, "not_asked", name="hill-said-first")
    found = report(hill(tmp_path, answer(DOUBTFUL, "as_written"), rules=lower), paper="oiled")
    assert ("fail", "") == said(found, DOUBTFUL)


# --- who may record it -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "given", "more", "may"),
    [
        ("local", "not_asked", "", True),
        ("state", "not_asked", "", True),
        ("group", "not_asked", "", False),
        ("practice", "not_asked", "", False),
        ("group", "as_written", "", True),
        ("group", "as_written", "    values: {fringe_counts: left_out}\n", False),
    ],
)
def test_only_places_and_codes_record_that_a_shall_is_not_asked(
    tmp_path: Path, kind: str, given: str, more: str, may: bool
) -> None:
    one = hill(tmp_path, answer(LEFT_OPEN if more else DOUBTFUL, given, more=more), kind=kind)
    problems = list(chain_problems(chain(one.library, "xx-hill")))
    assert may == (not problems)
    if not may:
        with pytest.raises(ProblemsFound, match="cannot record"):
            one.chain("xx-hill")


def test_a_group_records_that_practice_is_not_asked(tmp_path: Path) -> None:
    should = RULES.replace("obligation: shall", "obligation: should")
    meant = _meanings_of(tmp_path / "a", should)
    (tmp_path / "b").mkdir()
    given = answer(DOUBTFUL, "not_asked", meaning=meant)
    assert ("does_not_apply", "") == said(report(hill(tmp_path / "b", given, kind="group", rules=should)), DOUBTFUL)


def _meanings_of(folder: Path, rules: str) -> str:
    folder.mkdir()
    one = hill(folder, rules=rules).chain("xx-hill")
    return meaning_of(one, effective(one, "rules", DOUBTFUL, {}, 1), "any")


# --- where it is shown -----------------------------------------------------------------------------------------------


def test_every_report_says_whose_answer_it_was(tmp_path: Path) -> None:
    found = report(hill(tmp_path, answer(DOUBTFUL, "as_written")), paper="oiled")
    plain = " ".join(as_text.render(found, 100).split())
    assert f"Settled by {WHOSE} (in gate): So it is." in plain
    assert f"Settled by {WHOSE} (in gate): So it is." in as_json.render([found])
    assert f"Settled by {WHOSE}" in html.unescape(as_page.render(found, job(paper="oiled"), tmp_path))


@pytest.mark.parametrize("form", ["text", "json", "jsonl", "csv", "junit", "sarif", "markdown"])
def test_every_form_of_the_report_says_it_of_what_fails_by_it(tmp_path: Path, form: str) -> None:
    """Alder County's letter B-2026-0112: a receptacle with every new outdoor unit."""
    facts = {
        "site": {"jurisdiction": "xx-alder"},
        "dates": {"permit_applied": "2026-08-03"},
        "scope": {"outdoor_unit": True, "relocated_outdoor": False},
        "service_receptacle": {"fitted": False},
    }
    (tmp_path / "a.json").write_text(json.dumps({"job_id": "a", "schema_version": 1, **facts}))
    words = ["check", str(tmp_path / "a.json"), "--on", "2026-11-25", "--format", form]
    result = CliRunner().invoke(main, words)
    assert 1 == result.exit_code
    plain = " ".join(result.stdout.split())
    assert (
        "Settled by Alder County building office (W. Garrick), 2026-03-04, letter B-2026-0112 (in alder-county)"
        in plain
    )


def test_the_working_names_it_among_what_the_rule_comes_from(tmp_path: Path) -> None:
    one = hill(tmp_path, answer(DOUBTFUL, "as_written"))
    shown = rule_text(one, "xx-hill", DOUBTFUL, day_number("2021-05-01"))
    assert f"gate {tmp_path.name}/gate/rules.yaml:2: answered as written by {WHOSE}: So it is." in shown
    assert "answered" not in rule_text(one, "xx-hill", DOUBTFUL, day_number("2021-03-03"))


def test_an_answer_in_order_has_no_problems(tmp_path: Path) -> None:
    values = "    values: {fringe_counts: counted}\n"
    one = hill(
        tmp_path,
        answer(DOUBTFUL, "not_asked"),
        answer(BY_LINE, "as_written", name="hill-said-too"),
        answer(LEFT_OPEN, "as_written", name="hill-said-three", more=values),
    )
    assert [] == list(answers_problems(one.chain("xx-hill"), one.vocabulary))


def test_a_question_asked_under_one_edition_only_is_not_answered_for_another(shipped: Checker) -> None:
    """NEC 440.14 asks the working space outright from 2023 on; before, it is left to the place."""
    place = shipped.chain("xx-alder")
    nec = place.by_id["nec"]
    rule = nec.rules["disconnect-working-space"]
    meant = {e: meaning_of(place, effective(place, "rules", "disconnect-working-space", {"nec": e}, 1), e)
             for e in ("2020", "2023")}  # fmt: skip
    given = Answer.of(
        {
            "rule": "disconnect-working-space", "question": rule.ask, "answer": "as_written", "in_words": "Yes.",
            "who": "W. Garrick", "office": "Office", "on": "2026-03-04", "reference": "letter", "meaning": meant,
            "values": {"working_space_at_outdoor_disconnects": "held"},
        }
    )  # fmt: skip
    county = place.by_id["alder-county"]
    parts = {**county.parts, ("answers", "space-held"): county.parts["answers", "kept-access-may-stay"]}
    changed = county._replace(answers={"space-held": given}, parts=parts)
    one = Chain([r if r.id != county.id else changed for r in place.rulesets], place.place, True)
    said_of = [problem.what for problem in answers_problems(one, shipped.vocabulary)]
    assert said_of
    assert all("edition 2023" in what for what in said_of), said_of
