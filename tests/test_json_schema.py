"""Data against a JSON Schema: a quick yes or no, and where it is no, each mistake with its place and in plain words.

What each keyword asks for: JSON Schema Validation, Draft 2020-12, section 6.
"""

from __future__ import annotations

import copy
import json
import subprocess
import sys
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import SchemaError

from checker.problems.problem import ProblemsFound
from checker.reading import json_schema
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.job_schema import OF_JOB_SCHEMAS, schema_problems
from checker.reading.vocabulary import Vocabulary
from tests.support.commands import JOBS, ROOT, on_day
from tests.support.job_schema import SCHEMA

REFUSED: list[tuple[dict[str, Any], Any, str]] = [
    ({"type": "string"}, 5, "must be text"),
    ({"type": ["number", "null"]}, "a", "must be a number or null"),
    ({"enum": ["up", "down"]}, "left", "must be 'up' or 'down'"),
    ({"const": 1}, 2, "must be '1'"),
    ({"minimum": 2}, 1, "must be 2 or more"),
    ({"maximum": 2}, 3, "must be 2 or less"),
    ({"exclusiveMinimum": 2}, 2, "must be more than 2"),
    ({"exclusiveMaximum": 2}, 2, "must be less than 2"),
    ({"minItems": 2}, [1], "must have 2 or more items"),
    ({"maxItems": 1}, [1, 2], "must have 1 or fewer items"),
    ({"minLength": 2}, "a", "must have 2 or more characters"),
    ({"maxLength": 2}, "abc", "must have 2 or fewer characters"),
    ({"uniqueItems": True}, [1, 1], "must not have the same item twice"),
    ({"pattern": "^B"}, "a", "must be written like the pattern ^B"),
    ({"required": ["key", "name"]}, {"name": 1}, "has no 'key'"),
    ({"multipleOf": 2}, 3, "does not fit the schema: 3 is not a multiple of 2"),
]


@pytest.mark.parametrize(("schema", "data", "said"), REFUSED)
def test_what_a_keyword_refuses_is_told_in_words_at_its_place(schema: dict[str, Any], data: Any, said: str) -> None:
    outer = {"properties": {"bell": {"items": schema}}}
    assert not json_schema.quick_check(outer)({"bell": [data]})
    assert [(("bell", 0), said)] == list(json_schema.mistakes(outer, {"bell": [data]}))


def test_all_mistakes_are_told_at_once() -> None:
    schema = {"required": ["c"], "properties": {"a": {"type": "string"}, "b": {"minimum": 1}}}
    assert {(), ("a",), ("b",)} == {one.at for one in json_schema.mistakes(schema, {"a": 1, "b": 0})}


def test_in_a_choice_of_forms_the_mistake_is_told_of_the_nearest() -> None:
    form = {"type": "object", "properties": {"value": {"type": "number"}}}
    (mistake,) = json_schema.mistakes({"anyOf": [form, {"type": "string"}]}, {"value": "ten"})
    assert (("value",), "must be a number") == mistake


SCHEMAS = st.sampled_from([schema for schema, _, _ in REFUSED])
PLAIN = st.none() | st.booleans() | st.integers(-5, 5) | st.text("aB ", max_size=4)
DATA = st.recursive(
    PLAIN, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["key", "name"]), inner)
)


@given(SCHEMAS, DATA)
def test_the_quick_check_and_the_slow_one_agree(schema: dict[str, Any], data: Any) -> None:
    from jsonschema import Draft202012Validator

    assert json_schema.quick_check(schema)(data) == Draft202012Validator(schema).is_valid(data)


def test_a_refusal_is_never_silent() -> None:
    """Where the two libraries do not agree, the quick one's refusal stands."""
    assert [((), "does not fit the schema")] == list(json_schema.mistakes({}, {}))


# --- jobs ------------------------------------------------------------------------------------------------------------


def refusal(vocabulary: Vocabulary, **facts: Any) -> str:
    text = json.dumps({"job_id": "7 Alder Way", "schema_version": 1, **facts})
    with pytest.raises(ProblemsFound) as raised:
        load(read_text(text.encode(), "job.json"), vocabulary)
    (problem,) = raised.value.problems
    return f"{problem.where} {problem.what}"


def test_a_job_that_only_the_schema_refuses_is_told_the_place() -> None:
    """A trade of its own may ask in its job schema for more than the forms of facts."""
    schema = copy.deepcopy(SCHEMA)
    schema["properties"]["supplies"]["maxItems"] = 1
    schema["properties"]["site"]["required"] = ["jurisdiction"]
    assert "'supplies' must have 1 or fewer items." in refusal(
        Vocabulary(schema), supplies=[{"key": "a"}, {"key": "b"}]
    )
    assert "(/site) 'site' has no 'jurisdiction'." in refusal(Vocabulary(schema), site={})
    assert "(/$schema) '$schema' must be text." in refusal(Vocabulary(schema), **{"$schema": 5})


@pytest.mark.long
def test_a_job_that_is_right_never_waits_for_jsonschema() -> None:
    script = (
        "import sys, checker.cli\ntry: checker.cli.main(sys.argv[1:])\n"
        "finally: print('jsonschema' in sys.modules, file=sys.stderr)"
    )
    words = ["check", str(JOBS / "02-oversized-breaker.json"), *on_day()]
    run = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, text=True, cwd=ROOT, timeout=120)
    assert "False" == run.stderr.strip()


# --- schemas of jobs, and of rulesets --------------------------------------------------------------------------------


def bells() -> dict[str, Any]:
    return dict(json.loads((ROOT / "tests" / "tiny" / "bells" / "job.schema.json").read_text(encoding="utf-8")))


def test_a_job_schema_that_misuses_one_of_our_keywords_is_told_the_place_deep_inside() -> None:
    """The schema of our keywords takes hold at every depth only through its dynamic anchor (Core, section 8.2.3.2)."""
    schema = bells()
    section = next(name for name, one in schema["properties"].items() if "properties" in one)
    fact = next(name for name, one in schema["properties"][section]["properties"].items() if "ask" in one)
    schema["properties"][section]["properties"][fact]["ask"] = "No question"
    (problem,) = schema_problems(read_text(json.dumps(schema).encode(), "job.schema.json"))
    assert f"/properties/{section}/properties/{fact}/ask" in problem.where.pointer
    assert "'ask' must be written like the pattern" in problem.what


def test_the_schema_of_our_keywords_is_a_schema() -> None:
    json_schema.check_schema(json.loads(OF_JOB_SCHEMAS.read_text(encoding="utf-8")))


def test_what_is_no_schema_is_refused() -> None:
    with pytest.raises(SchemaError):
        json_schema.check_schema({"type": "text"})
