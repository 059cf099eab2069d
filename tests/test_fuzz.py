"""Hostile bytes at every door, some of them in each run: nothing comes of them but a plain message, within a second.

`tests/support/fuzz_targets.py` says what is tried and what is held; `tests/long/fuzz.py` goes through a million.
"""

from __future__ import annotations

import gc
import json
import time
from pathlib import Path
from unicodedata import category

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checker.problems import json_out
from checker.problems.problem import MOST_TOLD, ProblemsFound
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import open_library
from tests.support.fuzz_targets import TARGETS, TINY, conditions, jobs, json_text, layers, writers, yaml, yaml_changed

pytestmark = pytest.mark.long

# What the parsers have words for, so that random bytes get further than the first sign.
TOKENS = {
    "conditions": (
        "a.b", "lookup(", "highest(readings.x", " where ", ")", "(", " and ", " or ", "not ", " in [", "x, y", "]", " >= ",
        "<", "==", "7 ft", "1e400", "-", "+", "*", "/", "2026-02-30", "\"", "'", "none", "given", "\x00", "µ",
        "٣ ft", "first_given(",
    ),
    "yaml": (
        "a: ", "- ", "\n", "  ", "&a ", "*a", "<<: ", "!!str ", "? ", "|\n", ">\n", "'", "\"",
        "{", "}", "[", "]", "#", "---\n", "\t", "\ufeff", "rules:\n",
    ),
    "json": (
        "{", "}", "[", "]", "\"a\"", ":", ",", "1e999", "-0", "NaN", "\\ud800", "\"\\u0000\"", "true", "null", " ",
        "\ufeff", "\"a\":",
    ),
}  # fmt: skip


def texts(name: str) -> st.SearchStrategy[bytes]:
    """Texts of what a parser knows and what it does not, and bytes of any kind."""
    parts = st.one_of(st.sampled_from(TOKENS[name]), st.text(max_size=3))
    return st.one_of(
        st.lists(parts, max_size=40).map(lambda found: "".join(found).encode("utf-8", "replace")), st.binary()
    )


def changes() -> st.SearchStrategy[bytes]:
    """Where in a text to change how much, and what to put there."""
    words = st.one_of(*(st.sampled_from(found) for found in TOKENS.values())).map(str.encode)
    return st.tuples(st.binary(min_size=4, max_size=5), st.one_of(words, st.binary(max_size=12))).map(b"".join)


def tried(target: str, data: bytes) -> None:
    gc.disable()  # what other tests left in this process is not this input's doing
    try:
        began = time.process_time()
        TARGETS[target][0](data)
        took = time.process_time() - began
    finally:
        gc.enable()
    assert took < 1, "a second of the processor, since the machine may be busy"


@settings(max_examples=1500, deadline=None, derandomize=True)
@given(texts("conditions"))
def test_a_condition_of_any_text_is_parsed_or_told_of(data: bytes) -> None:
    tried("conditions", data)


@settings(max_examples=800, deadline=None, derandomize=True)
@given(texts("yaml"))
def test_a_ruleset_file_of_any_text_is_read_or_told_of(data: bytes) -> None:
    tried("yaml", data)


@settings(max_examples=800, deadline=None, derandomize=True)
@given(texts("json"))
def test_a_job_of_any_text_is_read_or_told_of(data: bytes) -> None:
    tried("json", data)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(changes())
def test_a_shipped_file_with_anything_changed_is_read_or_told_of(data: bytes) -> None:
    tried("yaml_changed", data)
    tried("jobs", data)


@settings(max_examples=250, deadline=None, derandomize=True)
@given(st.tuples(st.binary(min_size=1, max_size=1), changes()).map(b"".join))
def test_a_ruleset_with_anything_changed_is_layered_bound_and_judged_by_or_told_of(data: bytes) -> None:
    tried("layers", data)


@settings(max_examples=120, deadline=None, derandomize=True)
@given(st.text(max_size=60).map(lambda text: text.encode("utf-8", "replace")))
def test_every_form_of_report_of_any_text_can_be_read_again(data: bytes) -> None:
    tried("writers", data)


FILES = ("releases", "records", "profiles", "sheets", "packets", "workbooks", "photographs")


@pytest.mark.parametrize("target", FILES)
def test_a_file_beside_jobs_and_rules_with_anything_changed_is_taken_or_told_of(target: str) -> None:
    @settings(max_examples=25, deadline=None, derandomize=True)
    @given(st.tuples(st.binary(min_size=1, max_size=1), changes()).map(b"".join))
    def changed(data: bytes) -> None:
        tried(target, data)

    changed()


@pytest.mark.parametrize("data", [b"1e999A", b"2" * 69 + b"none226/e&`&", b'{"a": [1, 1e400b]}'])
def test_a_number_out_of_bounds_with_signs_behind_it_is_told_of(data: bytes) -> None:
    """Found by the fuzzer: the place of such a number was looked for as a whole word, and the search came to nothing."""
    with pytest.raises(ProblemsFound, match="is not a number that can be judged"):
        read_text(data, "job.json")


@pytest.mark.parametrize(
    ("target", "data"),
    [
        (conditions, b"(" * 400),
        (conditions, b"not " * 100 + b"a.b"),
        (conditions, "a.b >= ٣ ft".encode()),
        (yaml, b"[" * 5000),
        (yaml, b"a: &a [x]\nb: *a\n"),
        (yaml, b"? " * 300),
        (yaml_changed, b"\x00\x00\x00\x00!!python/object/apply:os.system ['x']\n"),
        (json_text, b"[" * 100_000),
        (writers, b"\x1b]([31m|\xef\xbf]]>a|b||]]>|\x0bc|"),  # the place of a problem stood in a page as it came
        (json_text, b'{"job_id": ' + b"9" * 10_000 + b"}"),
        (json_text, b'{"a": "\\ud800"}'),
        (jobs, b"\x20\x00\x00\x05\xff\xfe"),
        (jobs, b"&++" + b"C" * 50 + b"GCCCCCCCCCCCCCC3"),
        (layers, b"\x00\x00\x00\x00\x00\xff"),
        (writers, b"a" * 50_000 + b"|" + b"=" * 50_000 + b"|" + "\u202e".encode() * 20_000 + b"|7 ft|" + b"x" * 50_000),
        (writers, "a\x9b31m|\u2028\u2066b|\x9b\u200f|\u202e7 ft|\ufeffj.json".encode()),
        (writers, b'<script>x()</script>"onload=x|<iframe src=//a|">\'><x onerror=x>|7 ft|</title><script>'),
        (writers, "\u0603|\u06dd|\U000110bd|7 ft|\U0001d173\U000e0041".encode()),
        (writers, "a\ud7ff|\ufffe|\x00\x1b[2J|]]>|\x0b".encode()),
    ],
)
def test_what_parsers_are_known_to_break_on(target: object, data: bytes) -> None:
    """From memory: depth, aliases, tags, long numbers, lone surrogates, other alphabets' digits, signs that XML cannot hold."""
    tried(next(name for name, (found, _) in TARGETS.items() if found is target), data)


MANY = {
    "keys that stand twice": ("ruleset.yaml", b"a: 1\n" * 20_000),
    "anchors": ("ruleset.yaml", b"- &a 1\n" * 20_000),
    "names with nothing after them": ("ruleset.yaml", b"{" + b"a," * 20_000 + b"}"),
    "half characters": ("job.json", b"[" + b'"\\ud800",' * 20_000 + b"1]"),
    "facts of no job": ("job.json", json.dumps({f"k{number}": 1 for number in range(20_000)}).encode()),
}


@pytest.mark.parametrize("sort", MANY)
def test_thousands_of_mistakes_are_not_all_told_of(sort: str) -> None:
    """Found by making texts longer than the fuzzer's: each mistake went through the whole text, minutes for 100 kB."""
    name, data = MANY[sort]
    began = time.process_time()
    with pytest.raises(ProblemsFound, match="what comes after them was not looked at") as found:
        load(read_text(data, name), job_vocabulary())
    assert MOST_TOLD + 1 >= len(found.value.problems)
    assert time.process_time() - began < 5, "most of it goes into where things stand, once for the whole text"


def test_thousands_of_fields_of_no_rule_are_not_all_told_of(tmp_path: Path) -> None:
    header = (TINY / "rulesets" / "guild" / "ruleset.yaml").read_text(encoding="utf-8")
    (tmp_path / "ruleset.yaml").write_text(
        header + "".join(f"k{number}: 1\n" for number in range(20_000)), encoding="utf-8"
    )
    began = time.process_time()
    with pytest.raises(ProblemsFound, match="what comes after them was not looked at"):
        open_library([tmp_path])
    assert time.process_time() - began < 5


@pytest.mark.parametrize(
    "version", ["../../outside/1.0.0", "/etc/hostname", "..", "1.0.0/../../../outside/1.0.0", "\x00"]
)
def test_no_name_of_a_release_leads_out_of_its_folder(version: str) -> None:
    with pytest.raises(ProblemsFound, match="is not here"):
        open_library([TINY / "rulesets"], wanted=[f"guild@{version}"])


def test_json_shows_every_sign_that_steers_as_its_escape() -> None:
    """What Unicode counts as control, format or an end of line, by the tables that Python has of it."""
    signs = "".join(map(chr, (code for code in range(0x110000) if category(chr(code)) in ("Cc", "Cf", "Zl", "Zp"))))
    written = json_out.compact(signs)
    assert json.loads(written) == signs
    assert not [sign for sign in set(written) if category(sign) in ("Cc", "Cf", "Zl", "Zp")]
