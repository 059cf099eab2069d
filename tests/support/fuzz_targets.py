"""What hostile bytes are tried on, one function a door: every way in, and every form of report as the way out.

A target takes any bytes. What it may do with them is nothing, or say `ProblemsFound` or `ExpressionError`; all else is a fault
of the program, and so is an input on which it works for longer than a second. `tests/test_fuzz.py` tries some, with what was once
found among them; `tests/long/fuzz.py` tries a million and lets itself be led by which lines of code they reach.
"""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import tempfile
import unicodedata
from collections.abc import Callable
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

from checker.batch.running import Judge, Setup
from checker.batch.sources import Item
from checker.binding import parser
from checker.binding.parser import ExpressionError
from checker.engine.checker import Checker
from checker.problems.problem import Problem, ProblemsFound, Where
from checker.reading.files import read_text
from checker.reading.inherited.inheritance import Inherited
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.reading.vocabulary import Vocabulary
from checker.reporting import forms, index_page, page
from checker.reporting.form import Form, Judged
from checker.reporting.totals import Totals, share
from checker.rulesets.library import open_library
from tests.support import fuzz_files
from tests.support.fuzz_files import spliced, told
from tests.support.rulesets import ON

HERE = Path(__file__).parents[1]
TINY = HERE / "tiny"
RULESETS = HERE.parent / "rulesets"
EXAMPLES = HERE.parent / "examples" / "jobs"
EXAMPLE = (EXAMPLES / "02-oversized-breaker.json").read_bytes()
LANTERN = json.dumps(
    {
        "job_id": "1",
        "schema_version": 1,
        "site": {"jurisdiction": "xx-nether-lamp"},
        "lantern": {"lit": True, "height": 6},
    }
).encode()

Target = Callable[[bytes], None]


# --- ways in ---------------------------------------------------------------------------------------------------------


def conditions(data: bytes) -> None:
    """The parser of conditions and of values."""
    text = data.decode("utf-8", "replace")
    for parse in (parser.parse_condition, parser.parse_value):
        try:
            parse(text)
        except ExpressionError as error:
            _said(error)


def _said(error: ExpressionError) -> None:
    assert error.what


def yaml(data: bytes) -> None:
    """A file of a ruleset, read."""
    _read(data, "ruleset.yaml")


def yaml_changed(data: bytes) -> None:
    """A file of a shipped ruleset with some bytes changed, read."""
    _read(spliced(_shipped_yaml(), data), "ruleset.yaml")


def json_text(data: bytes) -> None:
    """A job, read."""
    _read(data, "job.json")


def jobs(data: bytes) -> None:
    """An example job with some bytes changed, read by the job schema."""
    try:
        load(read_text(spliced(EXAMPLE, data), "job.json"), _shipped())
    except ProblemsFound as found:
        told(found)


def layers(data: bytes) -> None:
    """A small ruleset with some bytes changed, layered with another, bound, and a job judged by both."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "rulesets"
        shutil.copytree(TINY / "rulesets", place)
        files = sorted(place.rglob("*.yaml"))
        file = files[data[0] % len(files)] if data else files[0]
        file.write_bytes(spliced(file.read_bytes(), data[1:]))
        try:
            checker = Checker(open_library([place]), job_vocabulary(TINY / "job.schema.json"))
            checker.check(read_text(LANTERN, "job.json"), ON)
        except ProblemsFound as found:
            told(found)


def _read(data: bytes, name: str) -> None:
    try:
        read_text(data, name)
    except ProblemsFound as found:
        told(found)


@cache
def _shipped_yaml() -> bytes:
    return max(RULESETS.rglob("*.yaml"), key=lambda path: path.stat().st_size).read_bytes()[:6000]


@cache
def _shipped() -> Vocabulary:
    return job_vocabulary()


# --- ways out --------------------------------------------------------------------------------------------------------


def writers(data: bytes) -> None:
    """Every form of report, of a job whose every text is hostile; each can be read again by its own kind of reader."""
    parts = [*data.decode("utf-8", "replace").split("|", 4), *[""] * 5]
    job = {
        "job_id": parts[0] or "1",
        "schema_version": 1,
        "site": {"jurisdiction": parts[1] or "xx-nether-lamp"},
        "lantern": {"lit": {"not_known": parts[2]} if parts[2].strip() else True, "height": parts[3] or 6},
    }
    item = Item(parts[4] or "job.json", 0, json.dumps(job).encode())
    for name, form in _forms().items():
        _written(name, form, item)


def _written(name: str, form: Form, item: Item) -> None:
    totals = Totals()
    try:
        one = _judge(name).judged(item)
    except ProblemsFound as found:
        told(found)
        totals.add_unreadable(item.name)
        form = forms.form(name)
        form.gather(item.name, tuple(found.problems))
        text = form.unreadable(item.name, found)
    else:
        totals.add(share(one.report, 0, 0))
        text = form.tell(form.once(one)) + form.job(one)
        _page(one)
    _readable(name, form.begin() + form.add(text, True) + form.end(totals, _tiny(), True))


def _page(one: Judged) -> None:
    entry = index_page.Entry(one.report, "job.html")
    unreadable = index_page.Unreadable(one.report.job_id, (Problem(Where(one.report.file), one.report.title),))
    for text in (page.render(one.report, one.job, None), index_page.render([entry], [unreadable])):
        _steers_nothing(text)
        found = _Elements()
        found.feed(text)
        assert not found.foreign
        assert found.scripts <= 1


class _Elements(HTMLParser):
    """What of a page could act: how many scripts it has, and what no page of ours has."""

    def __init__(self) -> None:
        super().__init__()
        self.scripts, self.foreign = 0, list[str]()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.scripts += tag == "script"
        self.foreign += [tag] if tag in ("iframe", "object", "embed", "base", "form", "x") else []
        for name, value in attrs:
            leads_out = name in ("href", "src", "action") and re.match(r"\s*(javascript|https?|//)", value or "", re.I)
            self.foreign += [f"{name}={value}"] if name.startswith("on") or leads_out else []


def _readable(name: str, text: str) -> None:
    if name in ("json", "sarif"):
        json.loads(text)
    elif name == "jsonl":
        assert all(json.loads(line) for line in text.split("\n") if line)
    elif name == "junit":
        ElementTree.fromstring(text.encode())
    elif name == "markdown":
        assert not re.search(r"(?<!\\)<(?!/?(details|summary|br)\b)[a-z!/]", text, re.IGNORECASE)
    elif name == "csv":
        rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
        assert len({len(row) for row in rows}) == 1
    _steers_nothing(text)
    text.encode()


def _steers_nothing(text: str) -> None:
    """No control, mark of direction or sign without a shape in what is written, but ends of lines and tabs."""
    assert all(unicodedata.category(sign) not in ("Cc", "Cf", "Zl", "Zp") or sign in "\n\r\t" for sign in set(text))


@cache
def _forms() -> dict[str, Form]:
    return {name: forms.form(name) for name in forms.FORMS}


@cache
def _tiny() -> Checker:
    return Checker(open_library([TINY / "rulesets"]), job_vocabulary(TINY / "job.schema.json"))


@cache
def _judge(name: str) -> Judge:
    return Judge(Setup(_forms()[name], ON), _tiny(), Inherited())


# Target, and how much of the inputs of a long run it gets.
TARGETS: dict[str, tuple[Target, float]] = {
    "conditions": (conditions, 0.40),
    "json": (json_text, 0.18),
    "yaml": (yaml, 0.16),
    "yaml_changed": (yaml_changed, 0.02),
    "jobs": (jobs, 0.05),
    "layers": (layers, 0.02),
    "writers": (writers, 0.02),
    "releases": (fuzz_files.releases, 0.04),
    "records": (fuzz_files.records, 0.03),
    "profiles": (fuzz_files.profiles, 0.02),
    "sheets": (fuzz_files.sheets, 0.02),
    "packets": (fuzz_files.packets, 0.02),
    "workbooks": (fuzz_files.workbooks, 0.01),
    "photographs": (fuzz_files.photographs, 0.01),
}
