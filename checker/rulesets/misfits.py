"""What does not fit the shape of a ruleset's file, in words: which field, of what, and what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, TypeVar

from checker.problems.document import Document, Path_
from checker.problems.problem import Problem, ProblemsFound, did_you_mean, tell
from checker.rulesets.border import TEXT_NOT_NAMED, problems_of
from checker.rulesets.headers import Adoption
from checker.rulesets.models import (  # fmt: skip
    Amendment,
    Answer,
    Case,
    Change,
    Citation,
    Confirmation,
    Law,
    Limit,
    LimitValue,
    Rule,
)
from checker.rulesets.shape import Shape

Shaped = TypeVar("Shaped", bound=Shape)


def shaped(document: Document, model: type[Shaped]) -> Shaped:
    """A document's data in the shape of a model.

    Raises:
        ProblemsFound: Each field that is missing, unknown or of another shape, in words.
    """
    if not isinstance(document.data, dict):
        raise ProblemsFound(
            [document.problem((), "This file has to be names with values.", "Look at another file of its kind.")]
        )
    problems: list[Problem] = []
    for detail in problems_of(model, document.data):
        tell(problems, _said(document, model, detail))
    if problems:
        raise ProblemsFound(problems)
    return model.of(document.data)


def misfits(document: Document, at: Path_, data: Rule | Limit, fields: Mapping[str, Any]) -> Iterator[Problem]:
    """What is wrong with the shape of the fields that an amendment puts into a rule or limit.

    Args:
        at: Where the amendment stands in its document.
    """
    for detail in problems_of(type(data), {**data.as_data(), **fields}):
        if detail["type"] != "extra_forbidden" or len(detail["loc"]) > 1:
            yield _said(document, type(data), {**detail, "loc": (*at, "set", *detail["loc"])})


def _said(document: Document, model: type[Shape], detail: Any) -> Problem:
    path = tuple(part for part in detail["loc"] if part not in UNION_TAGS)
    name = str(path[-1]) if path else ""
    around = _around(path[:-1])
    kind = detail["type"]
    if detail["loc"][-1:] == ("[key]",):
        what = f"'{name}' is not a valid name."
        return document.problem((*path, "="), what, _FORMS.get(detail.get("ctx", {}).get("pattern", ""), ""))
    if kind == "missing":
        return document.problem(
            (*path[:-1], "="),
            f"{around} has no '{name}'.",
            _MISSING.get(name, f"Add '{name}:'."),
        )
    if kind == "extra_forbidden":
        fields = _fields_at(model, path[:-1])
        return document.problem(
            (*path, "="),
            f"'{name}' is not a field of {around[0].lower() + around[1:]}.",
            _NO_FIELD.get(name) or did_you_mean(name, fields) or f"Fields: {', '.join(fields)}.",
        )
    if kind == "literal_error":
        return document.problem(
            path, f"'{detail['input']}' is not a value of '{name}'.", f"One of: {detail['ctx']['expected']}."
        )
    if kind in ("too_short", "string_too_short"):
        return document.problem(path, f"'{name}' is empty.", _MISSING.get(name, "Fill it in, or leave the field out."))
    if kind == "string_pattern_mismatch":
        return document.problem(
            path,
            f"'{detail['input']}' is not valid for '{name}'.",
            _FORMS.get(detail["ctx"]["pattern"], ""),
        )
    if kind == TEXT_NOT_NAMED:
        return document.problem(
            (*path, "="),
            f"{_around(path)} is marked second_hand and does not name the text that was read.",
            "Add 'read:' with the text that explains or reprints it, and the day it was read.",
        )
    if kind == "value_error":
        what = f"'{detail['input']}' is not a day of the calendar."
        return document.problem(path, what, "A date is year-month-day: 2026-05-04.")
    return document.problem(
        path,
        f"'{name}' is not in the right form: {_PLAIN.get(kind, 'it cannot be read')}.",
        "Look at a rule beside it.",
    )


def _around(path: Path_) -> str:
    """How to name what a field stands in: `'some-rule'`, or `entry 2 of 'citation'` in a list."""
    if not path:
        return "The file"
    return f"Entry {int(path[-1]) + 1} of '{path[-2]}'" if isinstance(path[-1], int) else f"'{path[-1]}'"


# What pydantic puts into a place that is not a part of the text.
UNION_TAGS = ("[key]", "str", "constrained-str", "list[constrained-str]", "list[str]", "list[any]")
_MISSING = {
    "citation": "Add 'citation:' with document, section, section_sure and requirement_sure.",
    "cases": "Add 'cases:' with one example at least: name, given, expect.",
    "meaning": "Add 'meaning:' with the digest that 'changeout explain' shows for the rule, by edition.",
    "require": "Add 'require:' with one condition at least.",
    "section": "A document is cited by section: add 'section:'.",
    "document": "Add 'document:': a section is cited with the document that it stands in.",
    "source": "Add 'source:': where this value comes from, or 'common practice, no source'.",
}
_NO_FIELD = {
    "interim_changes": "Write what it changes under 'amend:', from the day it is in force, and cite it there.",
}
_PLAIN = {
    "string_type": "it has to be text", "dict_type": "it has to be names with values", "list_type": "it has to be a list",
    "model_type": "it has to be names with values", "bool_parsing": "it has to be true or false",
    "bool_type": "it has to be true or false",
    "model_attributes_type": "it has to be names with values", "too_long": "it is too long",
}  # fmt: skip
_FORMS = {
    r"^(\d{4}-\d{2}-\d{2}|unknown)$": "A date is year-month-day: 2026-05-04. Or unknown.",
    r"^(\d{4}(-\d{2}){0,2}|unknown)$": "A year, a month or a day: 2026, 2026-05, 2026-05-04. Or unknown.",
    r"^[a-z0-9]+(-[a-z0-9]+)+$": "Small letters, digits and hyphens, two words at least: door-closes.",
    r"^[a-z][a-z0-9_]*$": "Small letters, digits and underlines: largest_allowed.",
    r"^\d{4}-\d{2}-\d{2}$": "A date is year-month-day: 2026-05-04.",
    r"^[0-9a-f]{16}$": "The 16 hex digits that 'changeout explain' shows for the rule.",
    r"^\d+\.\d+\.\d+$": "Three numbers: 1.0.0.",
    r"^[a-z0-9]+(-[a-z0-9]+)*$": "Small letters, digits and hyphens: green-county.",
}


def _fields_at(model: type[Shape], path: Path_) -> list[str]:
    """The fields that may stand at a path: those of the model whose own fields the path's end names."""
    shapes: dict[str, type[Shape]] = {
        "rules": Rule, "limits": Limit, "amend": Amendment, "withdraw": Change, "restore": Change,
        "confirm": Confirmation, "answers": Answer, "adopts": Adoption, "citation": Citation, "cases": Case, "values": LimitValue,
        "made_law_by": Law,
    }  # fmt: skip
    named = [shapes[str(part)] for part in path if part in shapes]
    fields = (named[-1] if named else model).fields
    return [field.alias or name for name, field in fields.items()]
