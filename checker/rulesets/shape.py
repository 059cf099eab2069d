"""Frozen records of what a ruleset says, as plain Python.

A record holds the fields that were written; the others stand at their defaults, which are those of its class. So it is
known of each field whether it was written. The annotations and descriptions of the fields are read where a file is held to
them (`border`); judging by rulesets that were read before needs neither.

    class Adoption(Shape):
        code: str = Field(description="The ruleset of the code.")
        until: str | None = Field(None, description="First day it is no longer in force.")

    Adoption.of({"code": "guild"}).until  # None
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Set
from typing import Any, ClassVar, NamedTuple, NoReturn, Self

REQUIRED: Any = object()
YES = ("true", "yes", "on", "y", "t", "1")  # what a file may write for true, in small letters or capitals
AROUND = re.compile(r"\b(list|dict)\[")


class Form(NamedTuple):
    """In an annotation: the pattern of a text, its least length, and whether it is a day of the calendar."""

    pattern: str | None = None
    min_length: int | None = None
    calendar: bool = False


class Described(NamedTuple):
    """A field: its default, or `REQUIRED`; the name that files give it; and what an editor shows of it."""

    default: Any
    factory: Any
    alias: str
    description: str

    @property
    def needed(self) -> bool:
        """Whether there is nothing that the field is where it is not written."""
        return self.default is REQUIRED and self.factory is None


def Field(
    default: Any = REQUIRED, *, description: str = "", alias: str = "", default_factory: Any = None, min_length: int = 0
) -> Any:
    """A field of a record. In an annotation, the least length of a list."""
    return Described(default, default_factory, alias, description)


class Shape:
    """A frozen record. `open_ended` takes fields of other names too; `marks` are the fields that say how sure something is."""

    fields: ClassVar[dict[str, Described]] = {}
    annotations: ClassVar[dict[str, str]] = {}
    open_ended: ClassVar[bool] = False
    marks: ClassVar[tuple[str, ...]] = ()
    _aliased: ClassVar[frozenset[str]] = frozenset()  # names that files have and Python does not
    _needed: ClassVar[frozenset[str]] = frozenset()
    _names: ClassVar[dict[str, str]] = {}  # as files have them → as Python does
    _inside: ClassVar[dict[str, tuple[list[str], type[Shape] | None]]] = {}  # fields that hold records, or yes and no

    def __init_subclass__(cls) -> None:
        own = {name: field for name, field in vars(cls).items() if isinstance(field, Described)}
        cls.fields = {**cls.fields, **own}
        cls.annotations = {**cls.annotations, **{name: cls.__annotations__[name] for name in own}}
        cls._needed = frozenset(name for name, field in cls.fields.items() if field.needed)
        cls._aliased = frozenset(field.alias for field in cls.fields.values()) - {""}
        cls._names = {field.alias or name: name for name, field in cls.fields.items()}
        cls._inside = {**cls._inside, **{name: found for name in own if (found := _inside(cls.annotations[name]))}}
        assert cls.__name__ not in SHAPES, (
            f"two records are called {cls.__name__}: one would be held to the other's shape"
        )
        SHAPES[cls.__name__] = cls
        for name, field in own.items():
            if field.factory is not None:
                setattr(cls, name, field.factory())
            elif field.default is REQUIRED:
                delattr(cls, name)
            else:
                setattr(cls, name, field.default)

    def __init__(self, **values: Any) -> None:
        self.__dict__.update(values)

    @classmethod
    def of(cls, data: Mapping[str, Any]) -> Self:
        """A record of the data of a file.

        Raises:
            ValueError: A field is missing, or not one of these.
        """
        values = dict(data)
        if cls._aliased & data.keys():
            values = {cls._names.get(written, written): value for written, value in data.items()}
        if not cls.open_ended and (unknown := values.keys() - cls.fields.keys()):
            raise ValueError(f"{', '.join(sorted(unknown))} not among the fields of {cls.__name__}")
        for name in cls._inside.keys() & values.keys():
            values[name] = _built(values[name], *cls._inside[name])
        if missing := cls._needed - values.keys():
            raise ValueError(f"{', '.join(sorted(missing))} of {cls.__name__} missing")
        return cls(**values)

    @classmethod
    def names_in_files(cls) -> list[str]:
        """The names of the fields as files have them, in the order of the class."""
        return [field.alias or name for name, field in cls.fields.items()]

    @classmethod
    def holds(cls, written: str) -> tuple[type[Shape] | None, tuple[str, ...]]:
        """The shape of the records in a field, by its name in files, and the lists and mappings around them; None for others."""
        around, shape = cls._inside.get(cls._names.get(written, written), ([], None))
        return shape, tuple(around)

    @property
    def written(self) -> Set[str]:
        """The names of the fields that were written."""
        return vars(self).keys()

    @property
    def others(self) -> dict[str, Any]:
        """What was written under names that are not fields."""
        return {name: value for name, value in vars(self).items() if name not in self.fields}

    def replaced(self, **values: Any) -> Self:
        """The same record with other values in some of its fields."""
        return type(self)(**{**vars(self), **values})

    def changed(self, data: Mapping[str, Any]) -> Self:
        """The same record with what the data of a file says instead of some of its fields.

        Raises:
            ValueError: A field is not one of these.
        """
        return type(self).of({**self.as_written(), **data})

    def as_written(self) -> dict[str, Any]:
        """The fields that were written, by the names that files have; records inside stay records."""
        aliases = {name: field.alias or name for name, field in self.fields.items()}
        return {aliases.get(name, name): value for name, value in vars(self).items()}

    def as_data(self) -> dict[str, Any]:
        """What is not at its default, by the names that files have."""
        found = {}
        for name, value in self._each():
            field = self.fields.get(name)
            if field is None or field.needed or value != getattr(type(self), name):
                found[field.alias or name if field else name] = _data(value)
        return found

    def _each(self) -> Iterator[tuple[str, Any]]:
        """Every field with its value, in the order of the class, and behind these what has no field."""
        yield from ((name, getattr(self, name)) for name in self.fields if hasattr(self, name))
        yield from self.others.items()

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and dict(self._each()) == dict(other._each())

    def __hash__(self) -> int:
        return hash((type(self), tuple(self._each())))

    def __repr__(self) -> str:
        return f"{type(self).__name__}({', '.join(f'{name}={value!r}' for name, value in self._each())})"

    def __setattr__(self, name: str, value: Any) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is frozen")


SHAPES: dict[str, type[Shape]] = {}


def _inside(annotation: str) -> tuple[list[str], type[Shape] | None] | None:
    """What stands around the records that a field holds, lists or mappings, and their class; None for a yes or no."""
    if annotation == "bool":
        return [], None
    named = next((word for word in re.findall(r"\w+", annotation) if word in SHAPES), "")
    return (AROUND.findall(annotation[: annotation.index(named)]), SHAPES[named]) if named else None


def _built(value: Any, around: list[str], kind: type[Shape] | None) -> Any:
    if kind is None:
        return str(value).lower() in YES
    if value is None or isinstance(value, Shape):
        return value
    if not around:
        return kind.of(value)
    if around[0] == "list":
        return [_built(one, around[1:], kind) for one in value]
    return {name: _built(one, around[1:], kind) for name, one in value.items()}


def _data(value: Any) -> Any:
    if isinstance(value, Shape):
        return value.as_data()
    if isinstance(value, list):
        return [_data(one) for one in value]
    return {name: _data(one) for name, one in value.items()} if isinstance(value, dict) else value
