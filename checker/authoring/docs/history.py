"""Who changed a rule or a limit that it names, at which file and line, why, and what it was before."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from checker.rulesets.chain import Chain
from checker.rulesets.layering import NO_EDITION, effective
from checker.rulesets.limits import day_number
from checker.rulesets.models import Answer, Change
from checker.rulesets.ruleset import Ruleset

DONE = {"amend": "amended", "withdraw": "withdrawn", "restore": "put back"}


class Layer(NamedTuple):
    """A ruleset with the chain in which what it does is looked at."""

    ruleset: Ruleset
    chain: Chain


class Replaced(NamedTuple):
    """A field that an amendment replaced, as it is written: before and after."""

    field: str
    old: Any
    new: Any


class Changed(NamedTuple):
    """A change that a ruleset makes to a rule or limit: where it is written, why, by what section, when, and what it replaced.

    `stale` says why the change cannot be trusted.
    """

    ruleset: str
    title: str
    place: str
    what: str
    limit: str
    why: str
    ground: str
    holds: str
    stale: str
    fields: tuple[Replaced, ...] = ()


class Released(NamedTuple):
    """An entry of a changelog that names a rule: the version and day that head it, and why it was released."""

    version: str
    why: str


def releases(changelog: str, rule_id: str) -> Iterator[Released]:
    """The entries of a ruleset's changelog that name a rule, as they stand there."""
    named = re.compile(rf"(?<![\w-]){re.escape(rule_id)}(?![\w-])")
    for entry in re.split(r"^## ", changelog, flags=re.MULTILINE)[1:]:
        if named.search(entry):
            why = re.search(r"^Why: (.*(?:\n.+)*)", entry, re.MULTILINE)
            yield Released(entry.splitlines()[0].strip(), " ".join(why[1].split()) if why else "")


def changes(layers: Iterable[Layer], rule_id: str, limits: Iterable[str], day: int) -> Iterator[Changed]:
    """Everything that rulesets do to a rule and to the limits it names.

    Args:
        day: The day to look at a change that has no day of its own.
    """
    named = [("rules", rule_id), *(("limits", name) for name in limits)]
    for layer in layers:
        for section, name in named:
            if (section, name) in layer.chain.homes:
                yield from _done(layer, section, name, day)
        for key, answer in layer.ruleset.answers.items():
            if answer.rule == rule_id:
                yield _answered(layer.ruleset, key, answer)


def _done(layer: Layer, section: str, name: str, day: int) -> Iterator[Changed]:
    ruleset, chain = layer
    for operation, done in DONE.items():
        change: Change | None = getattr(ruleset, operation).get(name)
        if change is None:
            continue
        place = ruleset.parts[operation, name].place
        layered = effective(chain, section, name, {chain.homes[section, name].id: _edition(change)}, _day(change, day))
        fields = tuple(
            Replaced(step.field, step.old, step.new) for step in layered.steps if step.place == place and step.field
        )
        documents = chain.documents(ruleset.id)
        ground = "; ".join(f"{documents.get(c.document, c.document)}, {c.section}" for c in change.citation)
        limit = name if section == "limits" else ""
        yield Changed(
            ruleset.id, ruleset.header.title, place, done, limit, " ".join(change.reason.split()), ground,
            _holds(change), layered.stale, fields,
        )  # fmt: skip


def _answered(ruleset: Ruleset, key: str, answer: Answer) -> Changed:
    words = " ".join(answer.in_words.split())
    until = f", before {answer.until}" if answer.until else ""
    return Changed(
        ruleset.id, ruleset.header.title, ruleset.parts["answers", key].place, "answered", "",
        f"Asked: {' '.join(answer.question.split())} Answer: {words}",
        f"{answer.who}, {answer.office}; {answer.reference}", f"from {answer.first_day}{until}", "",
    )  # fmt: skip


def _edition(change: Change) -> str | None:
    """An edition under which a change holds; None where its ruleset has no editions."""
    first = next(iter(change.meaning))
    return None if first == NO_EDITION else first


def _day(change: Change, day: int) -> int:
    """A day number on which a change holds: its first day, the last day before its end, or the day looked at."""
    if change.starts:
        return day_number(change.starts)
    return min(day, day_number(change.until) - 1) if change.until else day


def _holds(change: Change) -> str:
    editions = [edition for edition in change.meaning if edition != NO_EDITION]
    parts = [f"under edition {', '.join(editions)}"] if editions else []
    parts += [f"from {change.starts}"] if change.starts else []
    parts += [f"before {change.until}"] if change.until else []
    return ", ".join(parts)
