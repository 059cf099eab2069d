"""Where the data of a file is held to the shape of a record. What does not fit is told field by field.

The door of pydantic, through which only files go that no earlier run has read.
"""

from __future__ import annotations

import datetime
import functools
from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, StringConstraints, ValidationError, model_validator
from pydantic import Field as ModelField
from pydantic_core import PydanticCustomError

from checker.rulesets import headers, models, states
from checker.rulesets.shape import REQUIRED, SHAPES, Form, Shape

TEXT_NOT_NAMED = "text_not_named"  # something is marked second hand and does not say which text was read


def problems_of(kind: type[Shape], data: Mapping[str, Any]) -> list[Any]:
    """All of the data of a file that does not fit a class of records, as pydantic tells it."""
    try:
        model_of(kind).model_validate(data)
    except ValidationError as error:
        return list(error.errors())
    return []


def model_of(kind: type[Shape]) -> type[BaseModel]:
    """The pydantic model of a class of records."""
    return _models()[kind.__name__]


@functools.cache
def _models() -> dict[str, type[BaseModel]]:
    """The model of each class of records, in the order in which they were written: each uses those above it."""
    names: dict[str, Any] = {**vars(models), **vars(headers), **vars(states), **_forms()}
    names |= {"Field": ModelField, "Form": _constraints}
    made: dict[str, type[BaseModel]] = {}
    for name, kind in SHAPES.items():
        base = made.get(kind.__base__.__name__ if kind.__base__ else "", _Record)
        names[name] = made[name] = _model(kind, base, names)
    return made


class _Record(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


def _forms() -> dict[str, Any]:
    """The texts of a certain form that annotations name, as pydantic knows them."""
    found: dict[str, Any] = {}
    for name, value in {**vars(models), **vars(states)}.items():
        form = next((one for one in getattr(value, "__metadata__", ()) if isinstance(one, Form)), None)
        if form:
            days = (AfterValidator(_in_the_calendar),) if form.calendar else ()
            found[name] = Annotated[(str, _constraints(*form[:2]), *days)]
    return found


def _constraints(pattern: str | None = None, min_length: int | None = None) -> StringConstraints:
    return StringConstraints(pattern=pattern, min_length=min_length)


def _in_the_calendar(day: str) -> str:
    datetime.date.fromisoformat(day)
    return day


def _model(kind: type[Shape], base: type[BaseModel], names: dict[str, Any]) -> type[BaseModel]:
    own = [name for name in kind.fields if name in vars(kind)["__annotations__"]]
    inside: dict[str, Any] = {"__module__": __name__, "__doc__": kind.__doc__}
    inside["__annotations__"] = {name: eval(kind.annotations[name], names) for name in own}
    inside |= {name: _field(kind, name) for name in own}
    if kind.open_ended:
        inside["model_config"] = ConfigDict(extra="allow")
    if "marks" in vars(kind):
        inside["model_config"] = ConfigDict(json_schema_extra=_needs_text(*kind.marks))
        inside["_names_the_text"] = model_validator(mode="after")(functools.partial(_names_the_text, kind.marks))
    metaclass: Any = type(base)
    made: type[BaseModel] = metaclass(kind.__name__, (base,), inside)
    return made


def _field(kind: type[Shape], name: str) -> Any:
    field = kind.fields[name]
    told: dict[str, Any] = {"description": field.description} | ({"alias": field.alias} if field.alias else {})
    if field.factory is not None:
        return ModelField(default_factory=field.factory, **told)
    return ModelField(**told) if field.default is REQUIRED else ModelField(field.default, **told)


def _needs_text(*marks: str) -> dict[str, Any]:
    """The schema's way to say that `read` is needed where one of these fields is second_hand."""
    second_hand = [{"properties": {mark: {"const": "second_hand"}}, "required": [mark]} for mark in marks]
    return {"if": {"anyOf": second_hand}, "then": {"required": ["read"]}}


def _names_the_text(marks: tuple[str, ...], record: Any) -> Any:
    if any(getattr(record, mark) == "second_hand" for mark in marks) and not record.read:
        raise PydanticCustomError(TEXT_NOT_NAMED, "no text is named")
    return record
