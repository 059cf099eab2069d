"""The result of a peer's pipeline: findings, built out of outcomes by code that a template writes for the rules.

The same for every peer, and what our line of a job holds: rules are told apart from the jobs; a finding that did not pass
tells what was read and what is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from tests.benchmarks.workload import OUTCOMES, Fact, Rule, Workload, facts_of

Build = Callable[[dict[str, Any], list[int]], dict[str, Any]]

MAIN = """\
DOES_NOT_APPLY, PASS, FAIL, VERIFY = 0, 1, 2, 3

def build(job, outcomes):
    found = []
    for number, outcome in enumerate(outcomes[:len(OF_JOB)]):
        if outcome != DOES_NOT_APPLY:
            found.append(OF_JOB[number](job, outcome))
    at = len(OF_JOB)
    for index, item in enumerate(job["items"]):
        key, before = item["key"], f"items.{index}."
        for rule in OF_ITEM:
            if outcomes[at] != DOES_NOT_APPLY:
                found.append(rule(item, outcomes[at], key, before))
            at += 1
    return {"job_id": job["job_id"], "findings": found}
"""


def builder(work: Workload) -> Build:
    lines = [line for rule in work.rules for line in _function(rule)]
    own, each = (", ".join(map(_name, rules)) for rules in (work.of_job, work.of_item))
    text = "\n".join([*lines, f"OF_JOB = ({own},)", f"OF_ITEM = ({each},)", MAIN])
    words = {float(number): word for number, word in enumerate(OUTCOMES)}
    space: dict[str, Any] = {"WORDS": words}
    exec(compile(text, "<builder>", "exec"), space)
    build: Build = space["build"]
    return build


def _name(rule: Rule) -> str:
    return rule.id.replace("-", "_")


def _function(rule: Rule) -> Iterator[str]:
    yield f"def {_name(rule)}({'item, outcome, key, before' if rule.each else 'job, outcome'}):"
    item = "'item': key, " if rule.each else ""
    yield f"    found = {{'rule': {rule.id!r}, {item}'outcome': WORDS[outcome]}}"
    yield "    if outcome == PASS:"
    yield "        return found"
    yield "    read, needs = {}, []"
    for fact in facts_of(rule):
        yield from _reading(fact)
    yield "    if outcome == FAIL:"
    yield "        found.update(message='It is not met.', remedy='Meet it.', read=read)"
    yield "    else:"
    yield "        found.update(reason='not_recorded', read=read, needs=needs)"
    yield "    return found"


def _reading(fact: Fact) -> Iterator[str]:
    path = f"{fact.group}.{fact.name}" if fact.group else fact.name
    full = repr(path) if fact.group else f"before + {path!r}"
    yield (
        f"    value = job[{fact.group!r}].get({fact.name!r})" if fact.group else f"    value = item.get({fact.name!r})"
    )
    yield "    if value is not None:"
    yield f"        read[{full}] = str(value)"
    yield "    elif outcome == VERIFY:"
    yield f"        needs.append({full})"
