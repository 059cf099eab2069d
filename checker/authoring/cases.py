"""The worked cases inside rules: each is a small job, judged like any other.

A case belongs to a rule or to an amendment of one. It is judged in the place of the ruleset that states it, under the
editions it names.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.problems.document import is_position
from checker.problems.problem import Problem, ProblemsFound, did_you_mean
from checker.reading.fact_reader import from_text
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.chain import Chain
from checker.rulesets.models import Case
from checker.rulesets.ruleset import Part, Ruleset

UNJUDGED = "The case '{}' cannot be judged:"
ON = datetime.date(2026, 1, 1)


class Stated(NamedTuple):
    """A case, the rule it is about, and where it stands."""

    rule: str
    case: Case
    ruleset: Ruleset
    part: Part


def stated(ruleset: Ruleset) -> Iterator[Stated]:
    """Every case of a ruleset: of its rules, of its changes to others' rules and of the authority's answers."""
    for section in ("rules", "amend", "withdraw", "restore", "answers"):
        for name, holder in getattr(ruleset, section).items():
            part, its = ruleset.parts[section, name], holder.rule if section == "answers" else name
            for index, case in enumerate(holder.cases):
                yield Stated(case.rule or its, case, ruleset, Part(part.document, (*part.path, "cases", index)))


def run(checker: Checker, stated: Stated) -> tuple[Problem | None, Finding | None]:
    """Judge one case.

    Returns:
        What is wrong with it, if anything, and the finding it led to.

    Raises:
        ProblemsFound: The layers it is judged under are wrong themselves.
    """
    its = checker_for(checker, stated.ruleset)
    known = its.chain(_place(its, stated)).rule_ids
    if stated.rule not in known:
        hint = did_you_mean(stated.rule, known) or "Name the rule that the case tests under 'rule:'."
        return stated.part.problem(
            (), f"The case '{stated.case.name}' tries '{stated.rule}', which is not a rule here.", hint
        ), None
    try:
        findings = its.rule_on(loaded(its, stated), stated.rule, stated.case.editions, ON)
    except ProblemsFound as error:
        return _unjudged(stated, error), None
    return compared(stated, findings)


def _unjudged(stated: Stated, error: ProblemsFound) -> Problem:
    why = "; ".join(f"{problem.what} {problem.hint}".strip() for problem in error.problems[:3])
    already = [problem for problem in error.problems if problem.what.startswith(UNJUDGED.format(stated.case.name))]
    return already[0] if already else stated.part.problem(("given",), f"{UNJUDGED.format(stated.case.name)} {why}")


def checker_for(checker: Checker, ruleset: Ruleset) -> Checker:
    """The checker that judges the cases of a ruleset: those of a group are judged with the group's ruleset in use."""
    return checker.using(ruleset.id) if ruleset.header.owner_kind == "group" else checker


def loaded(checker: Checker, stated: Stated) -> Job:
    """The job that a case describes.

    Raises:
        ProblemsFound: The facts of the case cannot be read, or the layers it is judged under are wrong themselves.
    """
    place = _place(checker, stated)
    homes = checker.chain(place).homes
    for_each = homes["rules", stated.rule].rules[stated.rule].for_each if ("rules", stated.rule) in homes else ""
    data = job_data(stated.case.given, for_each, checker.vocabulary, place)
    try:
        return load(read_text(json.dumps(data).encode(), f"case '{stated.case.name}'"), checker.vocabulary)
    except ProblemsFound as error:
        raise ProblemsFound([_unjudged(stated, error)]) from None


def _place(checker: Checker, stated: Stated) -> str:
    return stated.case.place or next(iter(_limited_to(stated)), "") or place_of(checker, stated.ruleset)


def _limited_to(stated: Stated) -> list[str]:
    """The places at which the rule or change that a case stands with holds; none: at all."""
    section, name = (str(step) for step in (*stated.part.path, "rules", "")[:2])
    entry = getattr(stated.ruleset, section).get(name)
    return getattr(entry, "places", [])


def compared(stated: Stated, findings: list[Finding]) -> tuple[Problem | None, Finding | None]:
    """Hold the findings of a case against what it states: what is wrong, if anything, and the finding."""
    if len(findings) > 1:
        return stated.part.problem(
            (), f"The case '{stated.case.name}' leads to {len(findings)} findings.", "Give only one item."
        ), None
    finding = findings[0] if findings else None
    return _compared(stated, finding), finding


def another_outcome(stated: Stated, outcomes: list[str]) -> bool:
    """Whether a case comes out otherwise than it states; `outcomes` are those at the items where its rule applies."""
    return len(outcomes) > 1 or [*outcomes, DOES_NOT_APPLY][0] != stated.case.expect


def states_more(stated: Stated) -> bool:
    """Whether a case states more than the outcome: what is needed, or the reason."""
    return stated.case.needs is not None or bool(stated.case.reason)


def place_of(checker: Checker, ruleset: Ruleset) -> str:
    """The place a ruleset's cases are judged in: what it covers, or what a ruleset it stands on covers."""
    for name in (ruleset.id, *ruleset.header.uses):
        covers = checker.library.get(name).header.covers
        if covers:
            return covers[0]
    return ""


def layers_of(checker: Checker, ruleset: Ruleset, name: str) -> Chain:
    """The layers that the cases of a ruleset's rule or change are about: at their place, without those above the ruleset."""
    entry = ruleset.rules.get(name) or ruleset.amend.get(name)
    place = next(iter(entry.places if entry else ()), "") or place_of(checker, ruleset)
    return checker.chain(place).up_to(ruleset)


def _compared(stated: Stated, finding: Finding | None) -> Problem | None:
    outcome = finding.outcome if finding else DOES_NOT_APPLY
    name, case = stated.case.name, stated.case
    if outcome != case.expect:
        why = f" ({finding.message or finding.reason})" if finding and (finding.message or finding.reason) else ""
        return stated.part.problem(
            ("expect",),
            f"The case '{name}' expects {case.expect}; the rule says {outcome}{why}.",
            "Fix the case or the rule.",
        )
    needed = {need.fact for need in finding.needs} if finding else set()
    if case.needs is not None and set(case.needs) != needed:
        return stated.part.problem(
            ("needs",),
            f"The case '{name}' expects to need {', '.join(case.needs)}; "
            f"the rule needs {', '.join(sorted(needed)) or 'nothing'}.",
        )
    if case.reason and finding and finding.reason != case.reason:
        return stated.part.problem(
            ("reason",), f"The case '{name}' expects the reason {case.reason}; the rule says {finding.reason}."
        )
    return None


def job_data(given: Mapping[str, Any], for_each: str, vocabulary: Vocabulary, place: str = "") -> dict[str, Any]:
    """The job that a case describes, as it would stand in JSON."""
    data: dict[str, Any] = {"job_id": "case", "schema_version": 1}
    if place and vocabulary.at("place"):
        _put(data, vocabulary.at("place"), place, vocabulary)
    for path, value in given.items():
        _put(data, job_path(path, for_each, vocabulary), value, vocabulary)
    return data


def job_path(path: str, for_each: str, vocabulary: Vocabulary) -> str:
    """A fact's path in a job of one item: `item.splices.0.length` → `ropes.0.splices.0.length`."""
    head, _, rest = path.partition(".")
    if head not in ("item", "outer") or not for_each:
        return path
    outer, _, inner = for_each.rpartition(".")
    nested = outer in vocabulary.lists
    base = f"{outer}.0" if head == "outer" or not nested else f"{outer}.0.{inner}.0"
    return f"{base if nested else for_each + '.0'}.{rest}"


def _put(data: Any, path: str, value: Any, vocabulary: Vocabulary) -> None:
    parts = path.split(".")
    at, so_far = data, ""
    for i, name in enumerate(parts[:-1]):
        so_far = f"{so_far}.{name}" if so_far else name
        at = _step(at, name, so_far, i + 1 < len(parts) and is_position(parts[i + 1]), vocabulary)
    last = parts[-1]
    typed = _typed(value, path, vocabulary)
    if isinstance(at, dict):
        at[last] = typed


def _step(at: Any, name: str, so_far: str, into_list: bool, vocabulary: Vocabulary) -> Any:
    if not is_position(name):
        return at.setdefault(name, [] if into_list else {})
    while len(at) <= int(name):
        keyed = vocabulary.lists[pattern(so_far)].keyed if pattern(so_far) in vocabulary.lists else False
        at.append({"key": f"item {len(at) + 1}"} if keyed else {})
    return at[int(name)]


def _typed(value: Any, path: str, vocabulary: Vocabulary) -> Any:
    """A text out of YAML as the JSON value that its fact takes: `true` for a flag, a number for an amount without a unit."""
    leaf = vocabulary.leaf(path)
    if leaf is None and isinstance(value, list):
        return [
            {"key": f"item {i + 1}"} | _typed(item, f"{path}.{i}", vocabulary)
            if _keyed(path, vocabulary)
            else _typed(item, f"{path}.{i}", vocabulary)
            for i, item in enumerate(value)
        ]
    if leaf is None and isinstance(value, dict):
        return {name: _typed(inner, f"{path}.{name}", vocabulary) for name, inner in value.items()}
    return from_text(leaf, value) if leaf else value


def _keyed(path: str, vocabulary: Vocabulary) -> bool:
    entry = vocabulary.lists.get(pattern(path))
    return bool(entry and entry.keyed)
