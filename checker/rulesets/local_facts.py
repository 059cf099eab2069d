"""Facts that a ruleset adds: what a definition has to say beyond its shape, so that it can be recorded and compared."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checker.problems.document import Document, Path_
from checker.problems.problem import Problem, did_you_mean
from checker.reading import units
from checker.rulesets.models import LocalFact

FLAGS = ("true", "false")


def as_schema(fact: LocalFact) -> dict[str, Any]:
    """A fact with the keywords of the job schema; the kind of an amount is that of its unit."""
    kind = units.kind_of_unit(fact.unit)
    return fact.as_data() | ({"kind": kind} if kind else {})


def local_fact_problems(fact: LocalFact, document: Document, at: Path_) -> Iterator[Problem]:
    """What is wrong with the unit, kind, words and alarming values of a fact.

    Args:
        at: Where it stands in the document.
    """
    for field, what, hint in (*_of_amount(fact), *_of_words(fact)):
        yield document.problem((*at, field), what, hint)


def _of_amount(fact: LocalFact) -> Iterator[tuple[str, str, str]]:
    if fact.form != "quantity":
        for field in ("unit", "kind"):
            if getattr(fact, field):
                yield (
                    field,
                    f"A fact of the form '{fact.form}' has no {field}.",
                    "Take it out, or write form: quantity.",
                )
        return
    kind = units.kind_of_unit(fact.unit)
    if not fact.unit:
        yield "form", "An amount has a unit, and none is given.", "Add unit:, such as unit: ft."
    elif not kind:
        names = {name for _, name in units.all_units()}
        yield (
            "unit",
            f"'{fact.unit}' is not a unit.",
            did_you_mean(fact.unit, names) or "Units: checker/reading/units.txt.",
        )
    elif fact.kind not in ("", kind):
        what = f"'{fact.unit}' is not a unit of the kind '{fact.kind}'."
        yield "kind", what, f"Write kind: {kind}, or take kind out."


def _of_words(fact: LocalFact) -> Iterator[tuple[str, str, str]]:
    if fact.form == "choice" and not fact.possible:
        yield "form", "A choice has words to choose from, and none are given.", "Add possible: [one, other]."
    if fact.form != "choice" and fact.possible:
        yield "possible", f"A fact of the form '{fact.form}' has no list of words.", "Write form: choice."
    can_be = FLAGS if fact.form == "flag" else fact.possible
    for value in fact.alarming:
        if value not in can_be:
            hint = (
                f"One of: {', '.join(can_be)}." if can_be else "Take it out: only a choice or a flag has such values."
            )
            yield "alarming", f"'{value}' cannot be recorded of this fact.", hint
