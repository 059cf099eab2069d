"""A job that is read at once is the job that is read sign by sign, and its mistakes are told in the same words."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.problems.problem import ProblemsFound
from checker.reading.files import read_job_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.reading.json_text import read_json
from checker.reading.quick_json import QuickDocument
from tests.support.jobs import JOBS, NAMES, whole_job

EXAMPLES = sorted((Path(__file__).parent.parent / "examples" / "jobs").glob("*.json"))
TEXTS = [path.read_bytes() for path in EXAMPLES]
TEXTS += [json.dumps(whole_job(JOBS / f"{name}.json")).encode() for name in NAMES]
MOST = 4  # facts of a group


def thinned(data: Any) -> Any:
    """A job with the first few facts of each group and the first item of each list: every shape of it, and quickly read."""
    if isinstance(data, dict):
        return {name: thinned(value) for name, value in list(data.items())[:MOST]}
    return [thinned(item) for item in data[:1]] if isinstance(data, list) else data


FULL = json.dumps({name: thinned(section) for name, section in json.loads(TEXTS[0]).items()}, indent=2)
SMALL = '{"job_id": "a", "schema_version": 1, "title": "x"%s}'


def told(read: Any, content: bytes) -> tuple[Any, ...]:
    """What is read of a job, or what is wrong with it."""
    try:
        job = load(read(content), job_vocabulary())
    except ProblemsFound as found:
        return ("wrong", *found.problems)
    readings = {
        path: (one.value, one.written, one.unit, one.digits, one.instrument) for path, one in job.readings.items()
    }
    return job.id, readings, job.not_known, job.lists, job.data


def exactly(content: bytes) -> Any:
    return read_json(content.decode("utf-8-sig"), "job.json")


def at_once(content: bytes) -> Any:
    return read_job_text(content, "job.json")


@pytest.mark.parametrize("content", TEXTS)
def test_jobs_are_read_at_once_and_alike(content: bytes) -> None:
    assert isinstance(at_once(content), QuickDocument)
    assert told(exactly, content)[0] != "wrong"
    assert told(exactly, content) == told(at_once, content)


MISTAKEN = {
    "a key twice": SMALL % ', "title": "y"',
    "a key twice with a space before its colon": SMALL % ', "title" : "y"',
    "a key twice, and a text that begins with a colon": SMALL % ', "title": ": y"',
    "a key twice, and a text that holds what looks like a key": SMALL % r', "title": "\": y"',
    "a key twice in an amount": SMALL % ', "outdoor_unit": {"nameplate": {"maximum_overcurrent": {"value": 1, "value": 2}}}',
    "a key twice in what is not known": SMALL % ', "site": {"elevation": {"not_known": "a", "not_known": "b"}}',
    "a key twice in an item of a list": SMALL % ', "circuits": [{"key": "a", "key": "b"}]',
    "a group twice": SMALL % ', "site": {"elevation": "5 ft"}, "site": {"elevation": "6 ft"}',
    "not a number": SMALL % ', "site": {"elevation": NaN}',
    "no end of it": SMALL % ', "site": {"elevation": 1e999}',
    "a number of 21 digits": SMALL % ', "site": {"elevation": 123456789012345678901}',
    "a number of 20 digits": SMALL % ', "site": {"elevation": 99999999999999999999}',
    "half a character": SMALL % r', "site": {"city": "\ud800"}',
    "a fact that is none": SMALL % ', "site": {"elevatoin": 5}',
    "nested too deep": SMALL % f', "site": {"[" * 60}{"]" * 60}',
    "a comma too many": SMALL % ", ",
    "nothing in it": "[]",
    "brackets alone": "[" * 60 + "]" * 60,
    "a word": '"a"',
    "brackets and a large number": "[99999999999999999999]",
    "an instrument that nobody lists": SMALL % ', "evacuation": {"level": {"value": 400, "instrument": "g9"}}',
}  # fmt: skip


@pytest.mark.parametrize("name", MISTAKEN)
def test_mistakes_are_told_alike(name: str) -> None:
    content = MISTAKEN[name].encode()
    assert told(at_once, content)[0] == "wrong"
    assert told(exactly, content) == told(at_once, content)


LINES = json.dumps(json.loads(FULL), indent=1).splitlines()
WITH_A_KEY = [number for number, line in enumerate(LINES) if '":' in line and line.rstrip().endswith(",")]


@given(st.sampled_from(WITH_A_KEY), st.sampled_from(['":', '" :', '"\t:']), st.sampled_from(["", ":", '\\":']))
def test_a_key_that_stands_twice_is_found_wherever_it_is(number: int, colon: str, begins: str) -> None:
    twice = LINES[number].replace('":', colon, 1).replace(': "', f': "{begins}', 1)
    content = "\n".join([*LINES[: number + 1], twice, *LINES[number + 1 :]]).encode()
    assert "is here twice" in str(told(at_once, content))
    assert told(exactly, content) == told(at_once, content)


@given(st.integers(0, len(FULL)), st.sampled_from(list('"{}[],:9e\\ ')))
def test_a_sign_too_many_is_told_alike(at: int, sign: str) -> None:
    content = (FULL[:at] + sign + FULL[at:]).encode()
    assert told(exactly, content) == told(at_once, content)
