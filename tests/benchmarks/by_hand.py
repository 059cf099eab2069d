"""The workload as Python that somebody wrote by hand: a function a rule, plain and quick, three-valued with None.

A template writes it, since nobody wants to write sixty such functions; `python -m tests.benchmarks --show` prints them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from tests.benchmarks.workload import Against, Among, AnyOf, Condition, Fact, Flagged, Rule, Workload

HEAD = """\
DOES_NOT_APPLY, PASS, FAIL, VERIFY = range(4)
"""


def evaluator(work: Workload) -> Callable[[dict[str, Any]], list[int]]:
    space: dict[str, Any] = {}
    exec(compile(source(work), "<by hand>", "exec"), space)
    evaluate: Callable[[dict[str, Any]], list[int]] = space["evaluate"]
    return evaluate


def source(work: Workload) -> str:
    functions = "\n\n".join(_function(rule) for rule in work.rules)
    own = ", ".join(map(_name, work.of_job))
    each = ", ".join(map(_name, work.of_item))
    return f"""{HEAD}

{functions}

OF_JOB = ({own},)
OF_ITEM = ({each},)


def evaluate(job):
    outcomes = [rule(job) for rule in OF_JOB]
    for item in job["items"]:
        outcomes += [rule(item) for rule in OF_ITEM]
    return outcomes
"""


def _name(rule: Rule) -> str:
    return rule.id.replace("-", "_")


def _function(rule: Rule) -> str:
    return "\n".join(
        [f"def {_name(rule)}({'item' if rule.each else 'job'}):", *(f"    {line}" for line in _body(rule))]
    )


def _body(rule: Rule) -> Iterator[str]:
    applies = [f"applies_{index}" for index, _ in enumerate(rule.applies)]
    for name, condition in zip(applies, rule.applies, strict=True):
        yield from _assign(name, condition)
    yield f"if {_any(applies, 'is False')}:"
    yield "    return DOES_NOT_APPLY"
    require = [f"met_{index}" for index, _ in enumerate(rule.require)]
    for name, part in zip(require, rule.require, strict=True):
        yield from _assign(name, part)
    yield f"if {_any(require, 'is False')}:"
    yield f"    return FAIL if {' and '.join(applies)} else VERIFY"
    yield f"return VERIFY if {_any(require, 'is None')} else PASS"


def _any(names: list[str], test: str) -> str:
    return " or ".join(f"{name} {test}" for name in names)


def _assign(name: str, condition: Condition) -> Iterator[str]:
    """Lines that set a name to True, False or None."""
    if isinstance(condition, AnyOf):
        names = [f"{name}_{index}" for index, _ in enumerate(condition.parts)]
        for inner, part in zip(names, condition.parts, strict=True):
            yield from _assign(inner, part)
        yield f"{name} = True if {' or '.join(names)} else None if {_any(names, 'is None')} else False"
        return
    yield f"value = {_read(condition.fact)}"
    if isinstance(condition, Flagged):
        yield f"{name} = value"
    elif isinstance(condition, Among):
        yield f"{name} = None if value is None else value in {condition.words!r}"
    elif isinstance(condition, Against):
        yield f"other = {_read(condition.other)}"
        yield f"{name} = None if value is None or other is None else value {condition.operator} other"
    else:
        yield f"{name} = None if value is None else value {condition.operator} {condition.limit}"


def _read(fact: Fact) -> str:
    return f'job["{fact.group}"].get("{fact.name}")' if fact.group else f'item.get("{fact.name}")'
