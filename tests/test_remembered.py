"""What is remembered of other jobs changes nothing: a job judged after thousands of others gives the report it gives alone."""

from __future__ import annotations

import copy
import itertools
import json
import random
from pathlib import Path
from typing import Any

import pytest

from checker.engine import compiler, functions, remembered
from checker.engine.checker import Checker
from checker.engine.functions import OFTEN
from checker.engine.remembered import Remembered
from checker.ir.node import replace
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.reporting import json as as_json
from checker.rulesets.applicability import Versions
from checker.rulesets.library import SHIPPED, open_library
from tests.support.many_jobs import BELLS
from tests.support.rulesets import ON, TINY

# Every other one: the rest differ from these by a fact or two.
EXAMPLES = sorted((Path(__file__).parent.parent / "examples" / "jobs").glob("*.json"))[1::2]


def leaves(node: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Where the plain values of a job stand."""
    if isinstance(node, dict | list):
        parts = node.items() if isinstance(node, dict) else enumerate(node)
        return [found for key, value in parts for found in leaves(value, (*at, key))]
    return [at]


def changed(job: dict[str, Any], draw: random.Random) -> dict[str, Any]:
    """A job with a few facts left out, turned round or moved: all that a memory could mix up."""
    found = copy.deepcopy(job)
    for at in draw.sample(leaves(found), 6):
        if at[0] in ("job_id", "schema_version") or at[-1] in ("key", "unit", "value", "instrument"):
            continue
        *around, last = at
        part: Any = found
        for key in around:
            part = part[key]
        if isinstance(part, list):
            continue
        value = part.pop(last)
        if isinstance(value, bool):
            part[last] = draw.choice([value, not value, {"not_known": draw.choice(["dark", "wet"])}])
        elif isinstance(value, int | float):
            part[last] = round(value * draw.choice([1, 1, 0.9, 1.1]), 2)
        elif draw.random() < 0.5:
            part[last] = value
    return found


def report(checker: Checker, job: dict[str, Any]) -> str:
    return as_json.render([checker.check(read_text(json.dumps(job).encode(), "job.json"), ON)])


@pytest.mark.long
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_job_says_the_same_alone_and_after_others(path: Path, shipped: Checker) -> None:
    draw = random.Random(path.stem)
    job = json.loads(path.read_text(encoding="utf-8"))
    jobs = [changed(job, draw) for _ in range(12)]
    judged = []
    for index, one in enumerate(jobs):
        try:
            judged.append((one, report(shipped, one | {"job_id": f"{index}"})))
        except ProblemsFound as error:  # a fact that cannot be left out: no report to compare
            judged.append((one, type(error).__name__))
    assert sum(said.startswith("{") for _, said in judged) >= 6
    index, (one, said) = [(n, pair) for n, pair in enumerate(judged) if pair[1].startswith("{")][-1]
    alone = Checker(shipped.library, shipped.vocabulary)
    assert report(alone, one | {"job_id": f"{index}"}) == said


def test_what_fails_beside_doubted_readings_is_told_the_same_at_the_second_look(shipped: Checker) -> None:
    """Fuse and breaker on the nameplate are below its MCA. One rule fails by the max breaker and says it; another fails by the
    kind alone and brings fuses of no size."""
    plate = {"device_words": "fuse_only", "minimum_circuit_ampacity": "69 A"}
    plate |= {"maximum_fuse": "60 A", "maximum_breaker": "60 A"}
    devices = [{"key": "main", "kind": "breaker", "rating": "80 A"}]
    circuit = {"key": "kit", "serves": "air_handler", "nameplate": plate, "devices": devices}
    facts = {"job_id": "kit", "schema_version": 1, "site": {"jurisdiction": "xx-sorrel"}, "circuits": [circuit]}
    job = read_text(json.dumps(facts).encode(), "job.json")
    anew = Checker(shipped.library, shipped.vocabulary)
    first, second = (anew.check(job, ON) for _ in range(2))
    failed = {one.rule: one for one in first.findings if one.outcome == "fail"}
    assert "max breaker 60 A" in failed["overcurrent-within-nameplate"].message
    assert failed["overcurrent-type-as-marked"].bring == "Fuses; Disconnect, fused"
    assert as_json.render([second]) == as_json.render([first])


def test_each_lantern_says_the_same_alone_and_after_all_others() -> None:
    """Facts recorded and left out in every way, and why one is not known."""
    heights = [None, "12 ft", {"not_known": "dark"}]
    flames = [None, True, {"not_known": "dark"}, {"not_known": "wet"}]
    papers = [None, "tin"]
    jobs = []
    for number, values in enumerate(itertools.product(heights, flames, papers)):
        named = zip(("height", "lit", "paper"), values, strict=True)
        lantern = {name: value for name, value in named if value is not None}
        site = {"jurisdiction": "xx-nether-lamp"}
        jobs.append({"job_id": f"{number}", "schema_version": 1, "site": site, "lantern": lantern})

    same, forgetful = tiny_anew(), tiny_anew()
    together = [report(same, job) for _ in range(2) for job in jobs]
    alone = []
    for job in jobs:
        forgetful.remembered = Remembered(forgetful.vocabulary)
        alone.append(report(forgetful, job))
    assert alone * 2 == together


def tiny_anew() -> Checker:
    """Lanterns, of which nothing is remembered yet."""
    return Checker(open_library([TINY / "rulesets"]), job_vocabulary(TINY / "job.schema.json"))


def test_a_rule_that_is_gone_leaves_its_function_to_no_other(tiny: Checker) -> None:
    """A rule is found by where it lies in memory: that place must not go to another while its function is kept."""
    chain = tiny.chain("xx-nether-lamp")
    job = load(read_text(b'{"job_id": "1", "schema_version": 1}', "job.json"), tiny.vocabulary)
    program = tiny.program(chain, Versions(job, chain))
    first, other = [variant.rule for asked in program for variant in asked.variants if variant.rule][:2]
    for _ in range(20):
        gone = replace(first)
        for _ in range(OFTEN + 1):
            function = tiny.quick(gone)
        assert function is not None
        del gone
        assert tiny.quick(replace(other)) is None, "a rule that was never judged has no function yet"


def test_rules_that_answers_in_jobs_make_do_not_pile_up_and_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer that a job records makes a rule of that job's own, which is of no use to the next one."""
    for module in (compiler, functions, remembered):
        monkeypatch.setattr(module, "MOST_RULES", 12)
    tom = json.loads((TINY / "bells_work/jobs/great-tom.json").read_text(encoding="utf-8"))
    jobs = [tom | {"job_id": f"{n}", "letters": [tom["letters"][0] | {"paper": f"letter {n}"}]} for n in range(20)]
    checker, library = bells_anew(), bells_anew().library
    together = [report(checker, job) for job in jobs]
    for job in jobs:
        list(checker.outcomes(load(read_text(json.dumps(job).encode(), "job.json"), checker.vocabulary), ON))
    assert [report(Checker(library, checker.vocabulary), job) for job in jobs] == together
    its, written = checker.remembered, checker.functions
    kept = (checker._named, its._of, its._conditions, written._times, written._alone)
    assert all(len(one) <= 12 for one in kept)
    assert any(len(one) > 0 for one in kept)


def bells_anew() -> Checker:
    return Checker(open_library([BELLS]), job_vocabulary(BELLS / "job.schema.json"))


@pytest.mark.long
def test_chains_of_places_that_are_met_once_do_not_pile_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(compiler, "MOST_CHAINS", 3)
    checker = Checker(open_library([SHIPPED], {SHIPPED: "rulesets"}), job_vocabulary())
    found = [checker.chain(f"nowhere {number}") for number in range(8)]
    assert [f"nowhere {number}" for number in range(8)] == [one.place for one in found]
    assert len(checker._chains) <= 3
