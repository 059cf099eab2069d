"""Rules written in a test, on the facts of the bell trade, and what three readers make of their worked cases."""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import orjson

from checker.authoring import cases
from checker.authoring.vectors import vectors
from checker.engine.checker import Checker
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.ir.program import loaded
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import open_library
from tests.support.javascript import InJavaScript
from tests.support.program_reader import outcomes
from tests.support.rulesets import TINY

SCHEMA = TINY / "bells" / "job.schema.json"
HEADER = {
    "id": "wording", "version": "1.0.0", "title": "Rules of a test", "owner": "A test (invented)", "owner_kind": "federal",
    "reviewed_through": "2030-01-01", "documents": {"book": "Book of a test"},
}  # fmt: skip
RULE = {
    "title": "A rule of a test", "topic": "hanging", "obligation": "shall", "intent": "A test asks for it.",
    "citation": [{"document": "book", "section": "1", "section_sure": "checked", "requirement_sure": "checked"}],
    "on_fail": "It is not met.", "remedy": "Mend it.",
}  # fmt: skip
Facts = Mapping[str, Any]
UNSAID = object()  # what stands in a domain for a fact that is not recorded


def limit(unit: str, value: str, **more: Any) -> dict[str, Any]:
    """A limit with one value."""
    return {
        "title": "A limit",
        "unit": unit,
        "values": [{"value": value, "source": "Book 1", "sure": "checked"}],
        **more,
    }


def case(given: Facts, expect: str) -> dict[str, Any]:
    """A worked case."""
    return {"name": json.dumps(given), "given": dict(given), "expect": expect}


def write_ruleset(
    folder: Path, header: Facts, rules: Mapping[str, Any], limits: Mapping[str, Any] | None = None
) -> None:
    """Write a ruleset; it and each of its rules have what they need, where nothing else is said."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "ruleset.yaml").write_text(json.dumps({**HEADER, **header}), encoding="utf-8")
    whole = {"rules": {name: {**RULE, "cases": [case({}, VERIFY)], **rule} for name, rule in rules.items()}}
    if limits:
        whole["limits"] = dict(limits)
    (folder / "rules.yaml").write_text(json.dumps(whole), encoding="utf-8")


def opened(folder: Path) -> Checker:
    """A checker that knows the rulesets of a folder alone."""
    return Checker(open_library([folder]), job_vocabulary(SCHEMA))


def checker_of(folder: Path, rules: Mapping[str, Any], limits: Mapping[str, Any] | None = None) -> Checker:
    """A checker that knows these rules alone."""
    write_ruleset(folder, {}, rules, limits)
    return opened(folder)


def worked_out(domains: Mapping[str, Iterable[Any]], outcome: Callable[[Facts], str]) -> Iterator[dict[str, Any]]:
    """A case for every way of recording these facts or leaving them out.

    Args:
        domains: The values of each fact, as a case writes them; `UNSAID` where it may be left out.
        outcome: What the rule comes to where all of them are recorded.

    What a case expects is found by brute force: the outcome on which every way of filling in what is left out agrees.
    """
    full = {name: [value for value in values if value is not UNSAID] for name, values in domains.items()}
    for values in itertools.product(*domains.values()):
        given = {name: value for name, value in zip(domains, values, strict=True) if value is not UNSAID}
        open_ones = {name: full[name] for name in domains if name not in given}
        every = (dict(zip(open_ones, more, strict=True)) for more in itertools.product(*open_ones.values()))
        said = {outcome({**given, **more}) for more in every}
        yield case(given, said.pop() if len(said) == 1 else PASS if said == {PASS, DOES_NOT_APPLY} else VERIFY)


def tried(checker: Checker, javascript: InJavaScript) -> list[tuple[str, str, str, list[str]]]:
    """The cases that come to something else than they state: by the quick functions, the walk, or JavaScript."""
    ruleset = checker.library.rulesets["wording"]
    wrong = []
    for one in cases.stated(ruleset):
        problem, _ = cases.run(checker, one)
        if problem:
            wrong.append(("python", one.rule, str(one.case.name), [problem.what]))
    told = orjson.loads(orjson.dumps(vectors(checker, [ruleset])))
    programs = [loaded(one) for one in told["programs"]]
    in_browser = javascript.told([javascript.load(one) for one in told["programs"]], told["cases"])
    for vector, said in zip(told["cases"], in_browser, strict=True):
        walked = outcomes(programs[vector["program"]], vector)
        if walked != [vector["expect"]]:
            wrong.append(("walk", vector["rule"], vector["name"], walked))
        if said["outcomes"] != [vector["expect"]]:
            wrong.append(("javascript", vector["rule"], vector["name"], said["outcomes"]))
    return wrong


def passing(holds: bool) -> str:
    """The outcome of a rule of which all that it requires is known."""
    return PASS if holds else FAIL
