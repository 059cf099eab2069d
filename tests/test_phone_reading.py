"""The reader in JavaScript reads what the one in Python reads: jobs, their mistakes, and what people type.

It is handed the vocabulary as data; Python reads the same out of the job schema.
"""

from __future__ import annotations

import ast
import contextlib
import copy
import hashlib
import json
import random
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.fieldwork import short_start
from checker.fieldwork.interview import Interview, as_text
from checker.fieldwork.place_question import Places
from checker.fieldwork.prompts import NotAnAnswer, said
from checker.fieldwork.questions import question_of
from checker.ir import packed
from checker.problems.problem import ProblemsFound
from checker.reading import typed_input, typed_line, vocabulary_document
from checker.reading.fact_reader import LeafError
from checker.reading.files import read_text
from checker.reading.inherited import inherited_document
from checker.reading.inherited.equipment import open_sheets
from checker.reading.inherited.inheritance import Inherited, load_job
from checker.reading.inherited.profile import open_profile
from checker.reading.job import Job
from checker.reading.line import line_of
from tests.long.random_jobs import Facts, at, leaves, put, random_job, without, worked
from tests.support.first_visits import FURNACE, HEAT_PUMP, Notes
from tests.support.javascript import InJavaScript
from tests.support.phone_visits import told_in_interview

SEED, FEW, MANY = 26, 40, 400
TEXTS = 2000  # typed in each run; the long part types all
HERE = Path(__file__).parent
EXAMPLES = HERE.parent / "examples"
NOTHING = Inherited()


@pytest.fixture(scope="module")
def page(shipped: Checker) -> InJavaScript:
    """Opened with the vocabulary and no rules: what is read hangs on no place."""
    javascript = InJavaScript()
    javascript.open(_packed(shipped, NOTHING))
    return javascript


def _packed(checker: Checker, inherited: Inherited) -> str:
    data = {
        "program": {"program": 1, "nodes": [], "functions": {}, "rules": {}, "written_for": {}, "facts": {}},
        "vocabulary": vocabulary_document.document(checker.vocabulary),
        "inherited": inherited_document.document(inherited),
    }
    return packed.packed(json.loads(json.dumps(data)))


def read_here(checker: Checker, text: str, inherited: Inherited) -> dict[str, Any]:
    """What Python reads of a job, told as the reader in JavaScript tells it."""
    try:
        job = load_job(read_text(text.encode(), "job.json"), checker.vocabulary, inherited)
    except ProblemsFound as found:
        return {"problems": [{"line": one.where.line, "what": one.what, "hint": one.hint} for one in found.problems]}
    return _plain(job)


def _plain(job: Job) -> dict[str, Any]:
    return {
        "id": job.id,
        "readings": inherited_document.readings(job.readings),
        "notKnown": dict(job.not_known),
        "lists": {path: list(keys) for path, keys in job.lists.items()},
        "notes": list(job.notes),
        "written": as_text(job.data),
    }


def read_there(page: InJavaScript, text: str, opened: int) -> dict[str, Any]:
    found: dict[str, Any] = page.of_opened("read", text, opened=opened)
    if "problems" in found:
        return {"problems": [{name: one[name] for name in ("line", "what", "hint")} for one in found["problems"]]}
    return found


def differing(
    page: InJavaScript, checker: Checker, texts: Iterable[str], inherited: Inherited = NOTHING, opened: int = 0
) -> list[Any]:
    """The first jobs that are read otherwise, with what is other in them."""
    found = []
    for text in texts:
        here, there = read_here(checker, text, inherited), read_there(page, text, opened)
        if here != there:
            found.append(
                {
                    name: (here.get(name), there.get(name))
                    for name in {*here, *there}
                    if here.get(name) != there.get(name)
                }
            )
    return found[:3]


def test_every_worked_job_is_read_and_written_again_the_same(page: InJavaScript, shipped: Checker) -> None:
    assert differing(page, shipped, (as_text(facts) for facts in worked())) == []


def test_a_job_takes_over_the_same_from_sheets_and_a_profile(page: InJavaScript, shipped: Checker) -> None:
    """The facts with where they come from, what became known, and every note; of the shop's jobs and of others with less."""
    inherited = Inherited(
        open_sheets([EXAMPLES / "equipment"], shipped.vocabulary),
        open_profile(EXAMPLES / "profile.json", shipped.vocabulary),
        "xx-alder",
        "Settings of the office are used.",
    )
    opened = page.open(_packed(shipped, inherited))
    rng, bases = random.Random(SEED), worked()
    bases += [json.loads(path.read_text(encoding="utf-8")) for path in sorted((EXAMPLES / "shop").glob("*.json"))]
    models = sorted({model for sheet in inherited.sheets for model in sheet.models})
    texts = [*map(as_text, bases), *(as_text(with_less(rng, facts, models, shipped)) for facts in bases)]
    refused = [
        text for text in texts if "problems" in read_here(shipped, text, inherited)
    ]  # an instrument is two things
    assert all("problems" in read_there(page, text, opened) for text in refused)
    assert differing(page, shipped, [text for text in texts if text not in refused], inherited, opened) == []
    notes = [note for text in texts for note in page.of_opened("read", text, opened=opened).get("notes", [])]
    assert len({note.partition(" ")[0] for note in notes}) > 3


def with_less(rng: random.Random, facts: Facts, models: list[str], checker: Checker) -> Facts:
    """A job of which facts are left out, with units that sheets are of."""
    for spot in rng.choices([spot for spot in leaves(facts, checker) if spot[0] != "instruments"], k=60):
        with contextlib.suppress(KeyError, IndexError):
            facts = without(facts, spot)
    for section in ("outdoor_unit", "indoor_unit"):
        model = rng.choice(models).replace("#", "3").replace("*", "-X").replace("?", "Z").lower()
        facts = {**facts, section: {**facts.get(section, {}), "model": model}}
    return facts


def test_photographs_that_are_not_there_or_are_others_do_not_count(
    page: InJavaScript, shipped: Checker, tmp_path: Path
) -> None:
    """As in a folder: one that is there, one that is another than was recorded, one that is not there."""
    picture = b"\xff\xd8\xff and more"
    (tmp_path / "a.jpg").write_bytes(picture)
    (tmp_path / "b.jpg").write_bytes(picture)
    own, other = hashlib.sha256(picture).hexdigest(), hashlib.sha256(b"").hexdigest()
    digests = {"a.jpg": own, "b.jpg": other, "c.jpg": own}
    taken = [
        {"key": file[0], "file": file, "sha256": digest, "shows": "outdoor_unit.model"}
        for file, digest in digests.items()
    ]
    text = as_text({"job_id": "a", "schema_version": 1, "photographs": taken})
    here = _plain(load_job(read_text(text.encode(), "job.json", tmp_path), shipped.vocabulary, NOTHING))
    assert page.of_opened("read", text, {"a.jpg": own, "b.jpg": own}) == here
    assert len(here["notKnown"]) == 2


def spoiled(rng: random.Random, facts: Facts, checker: Checker) -> Facts:
    """A job with a few mistakes in it: other values, other names, other forms."""
    facts = copy.deepcopy(facts)
    for spot in rng.choices(list(leaves(facts, checker)), k=6):
        put(facts, spot, rng.choice(WRONG))
    for spot in rng.choices(list(leaves(facts, checker)), k=3):
        *around, last = spot
        group = at(facts, tuple(around)) if around else facts
        if isinstance(group, dict) and last in group:
            name = str(last)
            group[rng.choice([f"{name}x", name[1:] or "x", name.upper(), "length"])] = group.pop(name)
    return facts


WRONG: tuple[Any, ...] = (
    None, True, 0, 5.0, -1, 1.5, 1e13, -40, 999999, "", "n/a", "yes", "12", "12 A", "3/8 in", "1-1/8 in", "7/9 in", "5' 6\"",
    "12 lb 4 oz", "36k", "036", "0,5 A", "1,200 W", "10.5.2 V", "12 bananas", "300 psi", "300 psig", "71 deg", "-3 psig", [], [1],
    {}, {"value": 5}, {"value": 5.0, "unit": "A"}, {"value": "5"}, {"value": 5, "unit": ""}, {"value": 5, "unti": "A"},
    {"value": 5, "unit": "A", "instrument": "g9"}, {"not_known": "why"}, {"not_known": ""}, {"none": "why"}, {"none": 3},
    {"between": ["2026-01-02", "2026-02-01"]}, {"between": ["2026-03-02", "2026-02-01"]}, {"between": ["2026-03-02"]},
    "2026-02-29", "2024-02-29", "May 5 2026", "house", "coper", "PVC", "one familly", "a \"quoted\" word",
)  # fmt: skip


@pytest.mark.parametrize("seed", ["quick", pytest.param("long", marks=pytest.mark.long)])
def test_a_job_with_mistakes_is_refused_with_the_same_sentences(
    page: InJavaScript, shipped: Checker, seed: str
) -> None:
    """And with their lines. What the job schema alone refuses is another matter: JavaScript has no schema."""
    rng, bases = random.Random(f"{SEED} {seed}"), worked()
    texts = (as_text(spoiled(rng, rng.choice(bases), shipped)) for _ in range(FEW if seed == "quick" else MANY))
    assert differing(page, shipped, texts) == []


@pytest.mark.long
def test_jobs_at_random_are_read_the_same(page: InJavaScript, shipped: Checker) -> None:
    rng, bases = random.Random(SEED), worked()
    assert differing(page, shipped, (as_text(random_job(rng, bases, shipped).facts) for _ in range(MANY))) == []


# --- what people type ------------------------------------------------------------------------------------------------


def trade_words() -> list[str]:
    """Every short text in the tests of what people type."""
    found = {
        node.value
        for path in sorted(HERE.glob("test_typed*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and 0 < len(node.value.strip()) <= 40
    }
    return sorted({text.strip() for text in found})


def typed_here(checker: Checker, path: str, text: str) -> dict[str, Any]:
    try:
        return {"values": typed_input.values_of(checker.vocabulary.leaves[path], text)}
    except LeafError as error:
        return {"what": error.what, "hint": error.hint}


def typed_otherwise(page: InJavaScript, checker: Checker, rows: list[tuple[str, str]]) -> list[Any]:
    told = page.of_opened("typed", rows)
    here = [typed_here(checker, *row) for row in rows]
    return [one for one in zip(rows, here, told, strict=True) if one[1] != one[2]][:5]


def test_two_thousand_typed_texts_are_read_the_same(page: InJavaScript, shipped: Checker) -> None:
    """Texts of the tests of trade words, each at a few facts of every form, and every other word for a value."""
    rng, leaves_ = random.Random(SEED), list(shipped.vocabulary.leaves.values())
    rows = [(rng.choice(leaves_).path, text) for text in rng.choices(trade_words(), k=TEXTS)]
    dotted = [(leaf.path, f"{'.'.join(word)}.") for leaf in leaves_ for word in leaf.possible if len(word) < 5]
    words = [(leaf.path, word) for leaf in leaves_ for word in (*leaf.possible, *(word for word, _ in leaf.said))]
    assert typed_otherwise(page, shipped, [*rows, *dotted, *rng.choices(words, k=TEXTS // 2)]) == []
    assert sum("values" in one for one in page.of_opened("typed", rows)) > 100


@pytest.mark.long
def test_so_is_every_text_of_the_trade_words_at_every_fact(page: InJavaScript, shipped: Checker) -> None:
    words = trade_words()
    for path in shipped.vocabulary.leaves:
        assert typed_otherwise(page, shipped, [(path, text) for text in words]) == []


def answered_here(job: Job, path: str, text: str) -> Any:
    """What an interview records for an answer; None where it records nothing."""
    try:
        return said(question_of(job, path), text)
    except NotAnAnswer:
        return None


GROUPED = (
    "2p40",
    "8-2 NM-B",
    "40A 2 pole",
    "10/2 romex",
    "60 A fused",
    "3/4 emt",
    "unknown: too dark",
    "none: not there",
    "idk",
)


def test_a_thousand_answers_record_the_same(page: InJavaScript, shipped: Checker) -> None:
    """At questions about facts, with what says others of the group too; a number is no choice on a page, which has none."""
    rng = random.Random(SEED)
    paths = [
        path
        for path in shipped.vocabulary.leaves
        if not any(path.startswith(f"{one}.") for one in shipped.vocabulary.lists)
    ]
    rows = [(rng.choice(paths), text) for text in rng.choices([*trade_words(), *GROUPED * 20], k=1000)]
    of_groups = [
        path for path in shipped.vocabulary.leaves if path.startswith(("circuits.devices.", "circuits.segments."))
    ]
    rows += [(path, text) for path in of_groups for text in GROUPED]
    rows = [row for row in rows if not row[1].isdigit()]
    job = load_job(read_text(b'{"job_id": "new", "schema_version": 1}', "new"), shipped.vocabulary, NOTHING)
    here = [answered_here(job, *row) for row in rows]
    told = page.of_opened("answered", rows)
    assert [one for one in zip(rows, here, told, strict=True) if one[1] != one[2]][:5] == []
    assert any(one and len(one) > 1 for one in told)


# --- what people type on one line -------------------------------------------------------------------------------------


def line_here(checker: Checker, path: str, text: str) -> dict[str, Any]:
    line = line_of(checker.vocabulary, [path])
    assert line is not None, path
    read = typed_line.read_line(line, text, checker.vocabulary)
    unclear = [{"text": one.text, "meanings": list(one.meanings)} for one in read.unclear]
    return {
        "facts": read.facts, "notUnderstood": list(read.not_understood), "unclear": unclear, "aside": list(read.aside),
        "byLabel": sorted(read.by_label),
    }  # fmt: skip


def lines_otherwise(page: InJavaScript, checker: Checker, rows: list[tuple[str, str]]) -> list[Any]:
    told = [{**one, "byLabel": sorted(one["byLabel"])} for one in page.of_opened("typedLines", rows)]
    here = [line_here(checker, *row) for row in rows]
    return [one for one in zip(rows, here, told, strict=True) if one[1] != one[2]][:3]


def line_rows(checker: Checker) -> list[tuple[str, str]]:
    """Every text of the tests of lines at every line."""
    texts = sorted(
        {
            node.value
            for name in ("test_typed_line.py", "test_typed_lines.py")
            for node in ast.walk(ast.parse((HERE / name).read_text(encoding="utf-8")))
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and 0 < len(node.value) <= 100
        }
    )
    return [(next(iter(line["labels"])), text) for line in checker.vocabulary.commands["lines"] for text in texts]


def test_two_hundred_typed_lines_say_the_same(page: InJavaScript, shipped: Checker) -> None:
    """What is recorded, what is not understood, what may mean several things, and what is kept by no fact."""
    rows = random.Random(SEED).sample(line_rows(shipped), 200)
    assert lines_otherwise(page, shipped, rows) == []


@pytest.mark.long
def test_so_does_every_line_of_the_trade_words(page: InJavaScript, shipped: Checker) -> None:
    assert lines_otherwise(page, shipped, line_rows(shipped)) == []


# --- the packed text -------------------------------------------------------------------------------------------------


EDITIONS = (
    "2021 residential, 2023 electrical", "irc 2021 and nec 2023", "2023 NEC 2021 res", "nec 23", "Elec. 2020; 2018 IRC", "2021",
    "residential", "2021 2023 nec", "the handbook 2021", "andnec 2023", "2021 uniform  mechanical/nec 2020", "", " , ",
    "20212 res", "nec 2023 nec 2020", "constructor 2020", "x" * 50,
)  # fmt: skip


@pytest.mark.parametrize("typed", EDITIONS)
def test_editions_in_any_order_are_read_as_in_an_interview(page: InJavaScript, shipped: Checker, typed: str) -> None:
    asked = short_start.questions(shipped.vocabulary, Places(shipped.library, shipped.vocabulary), "start", {})
    question = next(one for one in asked if one.text.startswith("Which code editions"))
    (told,) = (one for one in shipped.vocabulary.commands["start"] if "words" in one)
    try:
        here: Any = {"facts": question.facts(typed)}
    except NotAnAnswer as error:
        here = {"refused": str(error)}
    assert here == page.call("pairsTyped", told, typed)


@pytest.mark.long
@pytest.mark.parametrize("notes", [FURNACE, HEAT_PUMP], ids=["furnace and air conditioner", "heat pump"])
def test_a_whole_visit_is_saved_byte_for_byte_as_an_interview_writes_it(
    page: InJavaScript, shipped: Checker, notes: Notes, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After each answer, with how every fact is known."""
    steps: list[tuple[str, Facts, bool, str]] = []
    recording = Interview._with

    def watched(talk: Interview, facts: Facts, ticked: bool = False) -> Any:
        after = recording(talk, facts, ticked)
        steps.append((talk.now.text, facts, ticked, after.text))
        return after

    monkeypatch.setattr(Interview, "_with", watched)
    told_in_interview(shipped, notes)
    written = ""
    for before, facts, ticked, after in steps:
        if before != written:  # the first, and where the last answer was not kept
            page.engine.eval(f"var sitting = changeout.readJob(opened[0], {json.dumps(before)}).job")
        handed = f"JSON.parse({json.dumps(json.dumps(facts))}), {json.dumps({'ticked': ticked})}"
        page.engine.eval(f"var sitting = changeout.withFacts(opened[0], sitting, {handed}).job")
        written = str(page.engine.eval("changeout.writeJob(sitting)"))
        assert after == written, facts
    assert len(steps) > 40


def test_a_packed_text_unpacks_to_what_was_packed() -> None:
    """With what looks alike kept apart: 1, 1.0 and true, a text and its number, an empty list and an empty group."""
    like = {"is": "fact", "path": "a", "kind": "", "to": 1}
    data = {
        "numbers": [1, 1.0, True, 0, False, "1", "0", None], "empty": [[], {}, "", [[]], [{}]],
        "like": [like, {**like, "to": 2}, {**like, "to": 2.0}, {**like, "to": True}, {**like, "to": "2"}, like],
        "again": [like, {"other": [1, 2, 3]}, [1, 2, 3], [1.0, 2, 3]],
    }  # fmt: skip
    text = packed.packed(data)
    assert json.dumps(packed.unpacked(text)) == json.dumps(data)
    assert InJavaScript().call("unpacked", text) == json.loads(json.dumps(data))
