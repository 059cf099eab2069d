"""The worked cases of rules as JSON vectors: what a reader in another language has to come to.

One document holds the programs that the cases are judged by and, for each case, the facts in base units, the editions and
days that could hold, and the outcome. Nothing else is needed to judge it: no ruleset, no job schema, no units to read.

    {"vectors": 1, "programs": [{"program": 1, ...}],
     "cases": [{"rule": "bell-hangs-high", "name": "at the limit", "program": 0, "values": {"bell.height": 1.8288},
                "lists": {}, "versions": [{"editions": {"chime-book": "2020"}, "day": 730120}], "expect": "pass", ...}]}
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from checker.authoring import cases
from checker.authoring.cases import ON, Stated, checker_for, loaded
from checker.engine.checker import Checker
from checker.engine.job_run import OneJob
from checker.engine.program_of import Bound, program_of
from checker.engine.variants import Variant
from checker.ir.kleene import Evaluated, Nothing, Range
from checker.ir.program import document
from checker.judging.uncertainty import Accuracy
from checker.reading.job import Job
from checker.rulesets.applicability import Setting
from checker.rulesets.ruleset import Ruleset

FORMAT = 1


class Settled(NamedTuple):
    """A program in the making: its checker, a job that shows its chain, and each rule under the settings that cases need."""

    checker: Checker
    one: OneJob
    rules: dict[str, dict[Setting, Bound]]


def vectors(checker: Checker, rulesets: Iterable[Ruleset]) -> dict[str, Any]:
    """Every case of some rulesets as plain data, with the programs that they are judged by.

    Raises:
        ProblemsFound: A case cannot be read, or a rule has mistakes.
    """
    programs: dict[str, Settled] = {}
    cases_told = [_vector(checker, one, programs) for ruleset in rulesets for one in cases.stated(ruleset)]
    return {"vectors": FORMAT, "programs": [_document(one) for one in programs.values()], "cases": cases_told}


def _document(made: Settled) -> dict[str, Any]:
    checker, place = made.checker, made.one.chain
    rules = {name: list(by_setting.values()) for name, by_setting in sorted(made.rules.items())}
    lines = checker.written_for(place, ON.toordinal())
    return document(program_of(place, checker.vocabulary, checker.ranges(place), lines, rules))


def _vector(checker: Checker, stated: Stated, programs: dict[str, Settled]) -> dict[str, Any]:
    its = checker_for(checker, stated.ruleset)
    job = loaded(its, stated)
    one = OneJob(its, job, its.chain(job.place), ON, stated.case.editions)
    answered = one.told.answers.get(stated.rule, ())
    key = repr((one.chain.digest, stated.rule if answered else "", answered))
    made = programs.setdefault(key, Settled(its, one, {}))
    by_setting = made.rules.setdefault(stated.rule, {})
    settings = list(one.versions.settings(stated.rule))
    for setting in settings:
        if setting not in by_setting:
            by_setting[setting] = setting, _rule(its.variants(one.chain, stated.rule, [setting], answered))
    case = stated.case
    return {
        "ruleset": stated.ruleset.id,
        "rule": stated.rule,
        "name": case.name,
        "program": list(programs).index(key),
        "editions": dict(case.editions),
        "versions": [{"editions": dict(setting.editions), "day": setting.day} for setting in settings],
        "given": {name: value for name, value in job.data.items() if name not in ("job_id", "schema_version")},
        **as_facts(one),
        "expect": case.expect,
        **({"needs": list(case.needs)} if case.needs is not None else {}),
        **({"reason": case.reason} if case.reason else {}),
    }


def as_facts(job_run: OneJob) -> dict[str, Any]:
    """What another reader needs to know of a job: facts in base units, the keys of lists, how accurate readings are, and why some
    of them are doubted.
    """
    job = job_run.job
    return {
        "values": dict(_values(job)),
        "lists": {path: list(keys) for path, keys in job.lists.items()},
        "accuracies": dict(_accuracies(job_run)),
        "doubts": dict(job_run.facts.doubts),
    }


def _rule(variants: list[Variant]) -> Any:
    (only,) = variants
    return only.rule


def _values(job: Job) -> Iterator[tuple[str, Any]]:
    """Each recorded fact in base units, days as day numbers: null for a known none, two ends for a day between two."""
    for path, reading in job.readings.items():
        yield path, _plain(reading.value)


def _plain(value: Evaluated) -> Any:
    if isinstance(value, Nothing):
        return None
    return {"low": value.low, "high": value.high} if isinstance(value, Range) else value


def _accuracies(job_run: OneJob) -> Iterator[tuple[str, Any]]:
    """How accurate each measured reading is, in base units, and what it was read on; null where nobody says."""
    for path in job_run.job.readings:
        accuracy = job_run.accuracy(path)
        if accuracy is not False:
            yield (
                path,
                {"half_width": accuracy.half_width, "instrument": accuracy.instrument}
                if isinstance(accuracy, Accuracy)
                else None,
            )
