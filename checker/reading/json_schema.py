"""Whether plain data fits a JSON Schema (Draft 2020-12), and where it does not. The door of jsonschema-rs and of jsonschema.

jsonschema-rs says yes or no in a millisecond. Only data that it refuses is read once more by jsonschema, which tells the
place of each mistake, and knows what a schema says of its own vocabulary.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

Schema = Mapping[str, Any]
MOST_TOLD = 200  # characters of the library's own words, which may hold the data
NAMES = {
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "yes or no",
    "array": "a list",
    "object": "a group",
    "null": "null",
}


class Mistake(NamedTuple):
    """One mistake: its place in the data, and what is wrong there as a sentence without its subject.

    >>> Mistake(("permits", 0), "has no 'key'").what
    "has no 'key'"
    """

    at: tuple[str | int, ...]
    what: str


def quick_check(schema: Schema) -> Callable[[Any], bool]:
    """Return a function that says whether data fits a schema."""
    from jsonschema_rs import Draft202012Validator

    # It would look up the schema of our own keywords, which only annotate.
    found: Callable[[Any], bool] = Draft202012Validator(
        {key: value for key, value in schema.items() if key not in ("$schema", "$vocabulary")}
    ).is_valid
    return found


def mistakes(schema: Schema, data: Any) -> Iterator[Mistake]:
    """Tell every mistake in data that the quick check refused: at least one.

    Of a choice between several forms, the mistake is told in the form that comes nearest.
    """
    from jsonschema import Draft202012Validator
    from jsonschema.exceptions import best_match
    from referencing import Registry
    from referencing.jsonschema import DRAFT202012

    # Crawled once: else each look-up of a dynamic reference goes through the whole schema again.
    registry: Registry[Any] = (
        Registry().with_resource(schema.get("$id", ""), DRAFT202012.create_resource(schema)).crawl()
    )
    found = False
    for error in Draft202012Validator(schema, registry=registry).iter_errors(data):
        found, nearest = True, best_match([error])
        yield Mistake(tuple(nearest.absolute_path), _in_words(nearest))
    if not found:
        yield Mistake((), "does not fit the schema")


def check_schema(schema: Schema) -> None:
    """Make sure that a schema is one of Draft 2020-12.

    Raises:
        jsonschema.SchemaError: It is not. That is a mistake in this program.
    """
    from jsonschema import Draft202012Validator

    Draft202012Validator.check_schema(schema)


def _in_words(error: Any) -> str:
    """What is wrong, as people say it; in the library's own words where a keyword is rare."""
    wanted, got = error.validator_value, error.instance
    match error.validator:
        case "type":
            return f"must be {_named(wanted)}"
        case "required":
            return "has no " + " and no ".join(f"'{name}'" for name in wanted if name not in got)
        case "enum" | "const":
            return "must be " + " or ".join(f"'{one}'" for one in (wanted if error.validator == "enum" else [wanted]))
        case "minimum" | "exclusiveMinimum":
            return f"must be {wanted:g} or more" if error.validator == "minimum" else f"must be more than {wanted:g}"
        case "maximum" | "exclusiveMaximum":
            return f"must be {wanted:g} or less" if error.validator == "maximum" else f"must be less than {wanted:g}"
        case "minItems" | "maxItems":
            return f"must have {wanted} or {'more' if error.validator == 'minItems' else 'fewer'} items"
        case "minLength" | "maxLength":
            return f"must have {wanted} or {'more' if error.validator == 'minLength' else 'fewer'} characters"
        case "uniqueItems":
            return "must not have the same item twice"
        case "pattern":
            return f"must be written like the pattern {wanted}"
        case _:
            return f"does not fit the schema: {textwrap.shorten(error.message, MOST_TOLD)}"


def _named(kind: str | list[str]) -> str:
    return " or ".join(NAMES[one] for one in ([kind] if isinstance(kind, str) else kind))
