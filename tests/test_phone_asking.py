"""What the page asks for is what an interview asks for, in the same order; and an answer records what it would record there."""

from __future__ import annotations

import json
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.engine.for_browser import handed_over
from checker.engine.startup import open_checker
from checker.fieldwork.interview import Interview
from checker.fieldwork.prompts import Facts, NotAnAnswer, said
from checker.fieldwork.questions import question_of
from checker.reading.files import read_text
from checker.reading.job import Job, load
from tests.long.random_jobs import worked
from tests.support.interviews import about
from tests.support.javascript import InJavaScript
from tests.support.rulesets import ON, TINY

WORK = TINY / "bells_work" / "jobs"


@pytest.fixture(scope="module")
def bells() -> Checker:
    return open_checker((TINY / "bells",), ())


class Asking:
    """The page's reader at one place."""

    def __init__(self, checker: Checker, place: str) -> None:
        self.checker, self.engine = checker, InJavaScript().engine
        self.engine.eval(f"const here = changeout.open({json.dumps(handed_over(checker, checker.chain(place)))})")

    def open(self, facts: dict[str, Any]) -> list[dict[str, Any]]:
        """What is open in a job, in the order in which it is asked."""
        self.take(facts)
        self.engine.eval(f"report = changeout.judge(here, job, '{ON}')")
        found: list[dict[str, Any]] = self.told("changeout.openQuestions(here, job, report)")
        return found

    def take(self, facts: dict[str, Any]) -> None:
        text = json.dumps(json.dumps({"job_id": "test", "schema_version": 1, **facts}))
        self.engine.eval(f"var report, job = changeout.readJob(here, {text}).job")

    def answer(self, path: str, typed: str) -> Any:
        return self.told(f"changeout.answer(here, job, {json.dumps(path)}, {json.dumps(typed)})")

    def told(self, script: str) -> Any:
        return json.loads(str(self.engine.eval(f"JSON.stringify({script})")))


def in_order(talk: Interview) -> list[tuple[str, bool, str]]:
    """What an interview could ask, in its order: the fact, whether it is core, and its station."""
    among = talk.open_now()._replace(last="")
    ranked = sorted(among.paths, key=lambda path: talk.order.rank(path, among))
    return [(path, among.core(path), talk.order.station(path).name) for path in ranked]


def same_order(asking: Asking, facts: dict[str, Any]) -> int:
    """Hold the two against each other. Returns how many facts are open."""
    here = in_order(about(asking.checker, facts))
    assert [(one["path"], one["core"], one["station"]) for one in asking.open(facts)] == here
    return len(here)


HUNG = {"tower": {"parish": "xx-lowchime", "built": "stone"}, "done": {"bell": True, "ropes": True}}


def test_bells_are_asked_for_in_the_order_of_the_interview(bells: Checker) -> None:
    asking = Asking(bells, "xx-lowchime")
    begun: list[dict[str, Any]] = [
        {"tower": {"parish": "xx-lowchime"}},
        HUNG,
        {**HUNG, "ropes": [{"key": "main"}, {"key": "other", "splices": [{"key": "upper"}]}]},
        {**HUNG, "bell": {"stamp": {"swings": "full"}, "lip": "sharp"}, "days": {"asked": "2024-03-01"}},
    ]
    assert [same_order(asking, facts) > 3 for facts in begun] == [True] * len(begun)


@pytest.mark.long
def test_so_are_the_worked_jobs_with_half_of_them_left_out(shipped: Checker) -> None:
    asking = Asking(shipped, "xx-alder")
    counts = []
    for facts in worked()[::4]:
        here = {**facts, "site": {**facts["site"], "jurisdiction": "xx-alder", "adopted": []}}
        for left in (
            set[str](),
            {"known_by", "evacuation", "charge", "circuits"},
            {*list(facts)[::2]} - {"site", "scope", "instruments", "known_by"},
        ):
            counts.append(same_order(asking, {name: value for name, value in here.items() if name not in left}))
    assert max(counts) > 60


TYPED = {
    "bell.clearance": ("3 in", "3", "1 1/2", "quick", "", "7 kelvin", "unknown: too dark", "none: gone", "idk"),
    "bell.lip": ("sharp", "Rounded", "r", "square"),
    "tower.swept": ("y", "no", "yep", "perhaps"),
    "days.asked": ("3/1/2024", "2024-03-01", "Mar 1 2024", "soon"),
    "ropes": ("main, other", "none", "a, a", "a/b"),
    "swings": ("1 30, 2 29", "1 30 in", "30"),
}


@pytest.mark.parametrize(("path", "typed"), [(path, one) for path, some in TYPED.items() for one in some if one])
def test_an_answer_records_what_it_would_in_an_interview(bells: Checker, path: str, typed: str) -> None:
    asking = _asking(bells)
    job = load(read_text(json.dumps({"job_id": "a", "schema_version": 1, **HUNG}).encode(), "a"), bells.vocabulary)
    found = asking.answer(path, typed)
    wanted, refused = in_interview(job, path, typed)
    assert found.get("facts") == wanted
    why = found.get("refused") or found.get("asks") or ""
    assert bool(why) == bool(refused)
    if not question_of(job, path).choices:  # there an interview speaks of the numbers before its choices
        assert why[:12] == refused[:12]


def in_interview(job: Job, path: str, typed: str) -> tuple[Facts | None, str]:
    """What an interview records for an answer, and why it cannot."""
    try:
        return said(question_of(job, path), typed), ""
    except NotAnAnswer as error:
        return None, str(error)


_MADE: list[Asking] = []


def _asking(checker: Checker) -> Asking:
    if not _MADE:
        _MADE.append(Asking(checker, "xx-lowchime"))
        _MADE[0].take(HUNG)
    return _MADE[0]


def test_what_is_recorded_is_told_as_it_would_be_typed_again(bells: Checker) -> None:
    asking = Asking(bells, "xx-lowchime")
    asking.take(json.loads((WORK / "little-tom.json").read_text(encoding="utf-8")))
    for one in asking.told("changeout.recorded(here, job)"):
        if "readings" not in one["written"] and not one["written"].startswith("none"):
            again = asking.answer(one["path"], one["written"])
            assert "facts" in again, (one, again)
