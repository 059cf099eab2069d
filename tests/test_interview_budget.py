"""How many prompts a job takes: an interview about a clean change-out, from a blank file, answered as it is recorded.

The figures are goals that were set before it was counted, not what it happened to take.
"""

from __future__ import annotations

import functools
from collections import Counter
from pathlib import Path

import pytest

from checker.engine.checker import Checker
from checker.engine.startup import open_inherited
from checker.fieldwork.handed_over import to_name
from checker.fieldwork.interview import Interview, new_job
from checker.fieldwork.order_of_asking import MOST_TICKS
from checker.fieldwork.prompts import Question
from checker.ir.outcomes import VERIFY
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_text
from checker.reading.inherited import inheritance
from checker.reading.inherited.inheritance import Inherited
from tests.support.interviews import JOBS, recorded, reply
from tests.support.other_answers import makes_a_difference
from tests.support.rulesets import ON

EXAMPLES = JOBS.parent
CORE, ALL, ALL_WITH_SHEETS = 45, 120, 80


def blank(checker: Checker, inherited: Inherited | None = None) -> Interview:
    document = read_text(new_job("told").encode(), "job.json")
    load = functools.partial(inheritance.load_job, vocabulary=checker.vocabulary, inherited=inherited or Inherited())
    return Interview(checker, document, ON, load, sheets=bool(inherited and inherited.sheets))


def prompts(talk: Interview, name: str = "01-clean", core_only: bool = False, looked_at: int = 1) -> list[Question]:
    """Every prompt of an interview that is answered as a job says; each is checked as it comes up.

    Args:
        looked_at: At every how many prompts another answer is tried; never where it is 0.
    """
    full, found = recorded(name), list[Question]()
    while question := talk.question:
        if core_only and (where := talk.where) and not where.core:
            break
        useful = [path in talk.now.needed or path in talk.now.deciding for path in question.paths]
        assert question.decides or any(useful) if question.opens else all(useful), question.text
        found.append(question)
        for_the_block = {*question.paths} <= {*to_name(talk.now.job, talk.now.report)}
        if looked_at and len(found) % looked_at == 0 and not for_the_block:
            assert makes_a_difference(talk, full), f"{len(found)}. {question.text}"
        answer = reply(question, full)
        if answer:
            talk.answer(answer)
        else:
            talk.skip()
    return found


def test_core_is_answered_in_45_prompts_none_of_which_is_idle(shipped: Checker) -> None:
    talk = blank(shipped)
    found = prompts(talk, core_only=True, looked_at=3)  # all of them in the long part
    assert len(found) <= CORE, [question.text for question in found]
    assert talk.core_open == 0
    assert talk.core_failed == 0


@pytest.mark.long
def test_all_of_it_is_answered_in_120_prompts_and_none_of_them_is_idle(shipped: Checker) -> None:
    talk = blank(shipped)
    found = prompts(talk)
    assert len(found) <= ALL, [question.text for question in found]
    lists = [(question.text.split(",")[0], len(question.lines)) for question in found if question.lines]
    stations = [heading for heading, _ in lists]
    assert {one for one in stations if stations.count(one) > 1} <= {one for one, many in lists if many == MOST_TICKS}
    assert not talk.now.report.with_outcome(VERIFY)


@pytest.mark.long
def test_with_profile_and_sheets_80_prompts_are_enough(shipped: Checker) -> None:
    sheets, profile = Path(EXAMPLES / "equipment"), Path(EXAMPLES / "profile.json")
    talk = blank(shipped, open_inherited(shipped, (sheets,), profile, "", ""))
    found = prompts(talk, looked_at=0)
    assert len(found) <= ALL_WITH_SHEETS, [question.text for question in found]
    assert not talk.now.report.with_outcome(VERIFY)


@pytest.mark.long
@pytest.mark.parametrize("name", ["03-no-overflow-device", "04-decay-rises", "06-heat-kit-two-circuits"])
def test_no_prompt_is_idle_on_other_jobs(shipped: Checker, name: str) -> None:
    assert prompts(blank(shipped), name)


@pytest.mark.long
def test_every_field_of_the_title_block_and_of_the_records_is_asked_once(shipped: Checker) -> None:
    """Of example 01, from a blank file. A row `where_recorded` is not asked for, nor what another fact of the job tells."""
    talk, times = blank(shipped), Counter[str]()
    full = recorded("01-clean")
    while question := talk.question:
        times.update(pattern(path) for path in {*question.paths})
        answer = reply(question, full)
        talk.answer(answer) if answer else talk.skip()
    commands, report = shipped.vocabulary.commands, talk.now.report
    rows = [row for row in commands["title_block"]["rows"] if not row.get("where_recorded")]
    fields = [path for row in rows for path in row["facts"]]
    asked = {finding.rule for finding in report.findings}
    fields += [path for form in commands["records"] if form["rule"] in asked for path in form["facts"]]
    named = {*fields} - {"permits.issued", "permits.expires"}  # one day for all of them; typed behind the name of each
    items = {"permits.trade": 2, "permits.number": 2}
    assert {path: items.get(path, 1) for path in named} == {path: times[path] for path in named}
    assert [] == to_name(talk.now.job, report)
