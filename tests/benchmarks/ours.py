"""The workload as a job schema and a ruleset of ours, and what is measured of our engine on it."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

from checker.batch.running import Judge, Setup
from checker.batch.sources import Item
from checker.engine.checker import Checker
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.reading.files import read_text
from checker.reading.inherited.inheritance import Inherited
from checker.reading.job import Job, load
from checker.reading.job_schema import job_vocabulary
from checker.reporting.jsonl import JsonLines
from checker.rulesets.library import open_library
from tests.benchmarks.workload import OUTCOMES, WORDS, Against, Among, AnyOf, Condition, Fact, Flagged, Rule, Workload

ON = datetime.date(2026, 11, 25)
FORMS: dict[str, dict[str, Any]] = {
    "number": {"$ref": "#/$defs/quantity", "unit": "ft", "kind": "length"},
    "flag": {"$ref": "#/$defs/flag"},
    "word": {"anyOf": [{"enum": list(WORDS)}, {"$ref": "#/$defs/not_known"}]},
}
DEFS: dict[str, dict[str, Any]] = {
    "not_known": {
        "type": "object",
        "required": ["not_known"],
        "additionalProperties": False,
        "properties": {"not_known": {"type": "string", "minLength": 1}},
    },
    "text": {"type": "string", "minLength": 1},
    "flag": {"anyOf": [{"type": "boolean"}, {"$ref": "#/$defs/not_known"}]},
    "quantity": {"type": ["number", "string", "object"]},
}


def schema(work: Workload) -> dict[str, Any]:
    """The job schema of the workload; every pipeline validates by it."""
    groups = {group: _group([fact for fact in work.facts if fact.group == group]) for group in work.groups}
    item = _group(list(work.item_facts))
    item["properties"]["key"] = {"$ref": "#/$defs/text", "title": "Name"}
    item["required"] = ["key"]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "type": "object",
        "additionalProperties": False,
        "required": ["job_id", "schema_version"],
        "properties": {
            "job_id": {"$ref": "#/$defs/text", "title": "Job"},
            "schema_version": {"const": 1},
            "site": {
                "type": "object",
                "additionalProperties": False,
                "properties": {"jurisdiction": {"$ref": "#/$defs/text", "title": "Place"}},
            },
            **groups,
            "items": {"type": "array", "keyed": True, "title": "Items", "ask": "Which items?", "items": item},
        },
        "$defs": DEFS,
    }


def title(fact: Fact) -> str:
    return f"Fact {fact.name[1:]}"


def ask(fact: Fact) -> str:
    return f"What is fact {fact.name[1:]}?"


def _group(facts: list[Fact]) -> dict[str, Any]:
    properties = {fact.name: FORMS[fact.form] | {"title": title(fact), "ask": ask(fact)} for fact in facts}
    return {"type": "object", "additionalProperties": False, "properties": properties}


# --- the ruleset ---

HEADER = """\
id: bench
version: 1.0.0
title: Rules of no trade
owner: Nobody (invented)
owner_kind: practice
reviewed_through: 2030-01-01
documents: {book: Book}
"""


def write(work: Workload, folder: Path) -> None:
    """The job schema and the ruleset, into a folder."""
    (folder / "rulesets").mkdir(parents=True)
    (folder / "job.schema.json").write_text(json.dumps(schema(work)), encoding="utf-8")
    (folder / "rulesets" / "ruleset.yaml").write_text(HEADER, encoding="utf-8")
    limits: dict[str, float] = {}
    rules = "".join(_rule(rule, limits) for rule in work.rules)
    listed = "".join(_limit(name, value) for name, value in limits.items())
    (folder / "rulesets" / "rules.yaml").write_text(f"limits:\n{listed}rules:\n{rules}", encoding="utf-8")


def _limit(name: str, value: float) -> str:
    return (
        f'  {name}:\n    title: Limit\n    unit: ft\n    values: [{{value: "{value}", source: drawn, sure: checked}}]\n'
    )


def _rule(rule: Rule, limits: dict[str, float]) -> str:
    lines = [
        f"  {rule.id}:",
        f"    title: {rule.title}",
        "    topic: bench",
        "    obligation: shall",
        "    intent: None.",
        '    citation: [{document: book, section: "1", section_sure: checked, requirement_sure: checked}]',
        *(["    for_each: items"] if rule.each else []),
        "    applies_when:",
        *(f"      - {_condition(condition, rule, limits)}" for condition in rule.applies),
        "    require:",
        *(f"      - {_condition(condition, rule, limits)}" for condition in rule.require),
        "    on_fail: It is not met.",
        "    remedy: Meet it.",
        "    cases: [{name: nothing known, given: {}, expect: verify_locally}]",
    ]
    return "\n".join(lines) + "\n"


def _condition(condition: Condition, rule: Rule, limits: dict[str, float]) -> str:
    if isinstance(condition, AnyOf):
        return "any_of: [" + ", ".join(_condition(part, rule, limits) for part in condition.parts) + "]"
    if isinstance(condition, Flagged):
        return condition.fact.path
    if isinstance(condition, Among):
        return f'"{condition.fact.path} in [{", ".join(condition.words)}]"'
    if isinstance(condition, Against):
        return f'"{condition.fact.path} {condition.operator} {condition.other.path}"'
    name = f"limit_{len(limits)}"
    limits[name] = condition.limit
    return f'"{condition.fact.path} {condition.operator} {name}"'


# --- what is measured ---


class Ours:
    """Our engine on the workload."""

    def __init__(self, work: Workload, folder: Path) -> None:
        write(work, folder)
        self.work = work
        self.checker = Checker(open_library([folder / "rulesets"]), job_vocabulary(folder / "job.schema.json"))
        self.judge = Judge(Setup(JsonLines(), ON), self.checker, Inherited())

    def job(self, document: dict[str, Any]) -> Job:
        return load(read_text(json.dumps(document).encode(), "job.json"), self.checker.vocabulary)

    def evaluate(self, job: Job) -> Any:
        """Evaluation only: the outcome of every rule at every item, no words."""
        return self.checker.outcomes(job, ON)

    def end_to_end(self, line: bytes) -> bytes:
        """A line of JSON, validated, judged, with findings and evidence, as a line of JSON."""
        return written(self.judge, line)

    def outcomes(self, job: Job) -> list[int]:
        """The outcomes in the order of the reference, as the report gives them."""
        return self._ordered(job, {(f.rule, f.item): f.outcome for f in self.checker.check_job(job, ON).findings})

    def outcomes_alone(self, job: Job) -> list[int]:
        """The same, as the entry for outcomes alone gives them."""
        rows = self.checker.outcomes(job, ON)
        said = {(rule, row.item): o for row in rows for rule, o in zip(row.rules, row.outcomes, strict=True)}
        return self._ordered(job, said)

    def _ordered(self, job: Job, said: dict[tuple[str, str], str]) -> list[int]:
        words = {outcome: index for index, outcome in enumerate(OUTCOMES)} | {DOES_NOT_APPLY: 0}
        found = [words[said.get((rule.id, ""), DOES_NOT_APPLY)] for rule in self.work.of_job]
        keys = job.lists["items"]
        return found + [words[said.get((rule.id, key), DOES_NOT_APPLY)] for key in keys for rule in self.work.of_item]


def written(judge: Judge, line: bytes) -> bytes:
    """A line of JSON through `changeout check --format jsonl`, without the command line around it."""
    done = judge.done(Item("jobs.jsonl", 1, line))
    assert not done.problems, done.problems
    return done.text.encode()
