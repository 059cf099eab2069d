"""The frame of a SARIF 2.1.0 log: tool, rules, results, places. Findings of jobs and mistakes of rulesets go into it.

A log is written from the front: `begin`, results one after another with `BETWEEN`, `end`. So it needs the memory of one
result, and the rules that results named are told behind them; the order of the parts of an object means nothing in JSON.

Source: OASIS, Static Analysis Results Interchange Format (SARIF) Version 2.1.0, from memory but for its schema, which
the tests hold every log against.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any, Literal, NamedTuple
from urllib.parse import quote

from checker.problems import json_out
from checker.problems.problem import Problem, Where

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
BETWEEN = ",\n"

# What came of a rule: it passed, failed, lacks a fact, is for a person to decide, or is not about this.
Kind = Literal["pass", "fail", "open", "review", "notApplicable", "informational"]
Level = Literal["error", "warning", "note", "none"]


class Rule(NamedTuple):
    """A rule as a log tells of it: `help` says what it is for and where it stands; `tags` are words to sort by."""

    id: str
    title: str
    help: str
    level: Level = "error"
    tags: tuple[str, ...] = ()


def log(rules: Iterable[Rule], results: Iterable[Mapping[str, Any]], told: Iterable[Mapping[str, Any]] = ()) -> str:
    """A whole log.

    Args:
        results: Each from `result`.
        told: What the run has to say besides, each from `notification`.
    """
    texts = [text(rule(one)) for one in sorted(set(rules))]
    return begin() + BETWEEN.join(map(text, results)) + end(texts, told)


def begin() -> str:
    return f'{{"$schema":{text(SCHEMA)},"version":"2.1.0","runs":[{{"results":[\n'


def end(
    rules: Iterable[str],
    told: Iterable[Mapping[str, Any]] = (),
    properties: Mapping[str, Any] | None = None,
    whole: bool = True,
) -> str:
    """What stands behind the results.

    Args:
        rules: Those that results name, each the text of `rule`.
        whole: Whether all that was to be looked at was looked at.
    """
    said = list(told)
    invocation: dict[str, Any] = {"executionSuccessful": whole and not any(one["level"] == "error" for one in said)}
    if said:
        invocation["toolExecutionNotifications"] = said
    run: dict[str, Any] = {"invocations": [invocation], "columnKind": "unicodeCodePoints"}
    if properties:
        run["properties"] = properties
    return f'\n],"tool":{tool(rules)},{text(run)[1:]}]}}\n'


def tool(rules: Iterable[str]) -> str:
    """This program and the rules that results name, in the order of their ids, as JSON."""
    driver = text({"name": "changeout", "semanticVersion": version("changeout-checker")})
    return f'{{"driver":{driver[:-1]},"rules":[{",".join(sorted(set(rules)))}]}}}}'


def rule(one: Rule) -> dict[str, Any]:
    """A rule as the tool tells of it."""
    data: dict[str, Any] = {
        "id": one.id,
        "shortDescription": {"text": one.title},
        "help": {"text": one.help},
        "defaultConfiguration": {"level": one.level},
    }
    if one.tags:
        data["properties"] = {"tags": list(one.tags)}
    return data


def result(
    rule_id: str,
    kind: Kind,
    message: str,
    where: Where,
    level: Level = "error",
    more: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """One result. Only what failed has a level.

    Args:
        more: Further parts of the result, such as `fingerprints`.
    """
    return {
        "ruleId": rule_id,
        "kind": kind,
        "level": level if kind == "fail" else "none",
        "message": {"text": message},
        "locations": [location(where)],
        **(more or {}),
    }


def of_problem(rule_id: str, problem: Problem, level: Level = "error") -> dict[str, Any]:
    """A mistake as a result."""
    return result(rule_id, "fail", _said(problem), problem.where, level)


def notification(problem: Problem, level: Level = "error") -> dict[str, Any]:
    """A mistake in what was to be looked at, which therefore was not."""
    return {"level": level, "message": {"text": _said(problem)}, "locations": [location(problem.where)]}


def location(where: Where) -> dict[str, Any]:
    """A place in a file; lines and columns count from 1, columns in characters."""
    physical: dict[str, Any] = {"artifactLocation": {"uri": uri(where.file)}}
    if where.line:
        physical["region"] = {"startLine": where.line, "startColumn": max(where.column, 1)}
    found: dict[str, Any] = {"physicalLocation": physical}
    if where.pointer:
        found["logicalLocations"] = [{"fullyQualifiedName": where.pointer}]
    return found


def uri(file: str) -> str:
    """A file's name as a URI: one below the present folder stays relative."""
    path = Path(file)
    return path.as_uri() if path.is_absolute() else quote(path.as_posix(), errors="surrogateescape")


def text(data: Any) -> str:
    """JSON on one line."""
    return json_out.compact(data)


def _said(problem: Problem) -> str:
    return " ".join(filter(None, (problem.what, problem.hint)))
