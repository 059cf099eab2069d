"""What is typed is read as what it says, in one way at a question, in a cell and in a job's file; nothing is guessed.

What a text says is common practice of the trade, no source: 45/5 on a dual run capacitor, 208/230 on a plate, 60/30 on a
fused disconnect (switch and fuse), 1-1/8 on a tube.
"""

from __future__ import annotations

import itertools
import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.engine.checker import Checker
from checker.fieldwork.interview import new_job
from checker.fieldwork.prompts import NotAnAnswer, chosen, counted
from checker.fieldwork.questions import question_of
from checker.importing.places import Fault
from checker.reading import typed_input, units
from checker.reading.fact_reader import LeafError, read_leaf
from checker.reading.fact_shapes import Leaf
from checker.reading.files import read_text
from checker.reading.job import load
from tests.support.import_sheets import VOCABULARY
from tests.support.rulesets import ON
from tests.support.typed import JOB, at_a_question, in_a_cell, in_a_file, readings, worth_of

LEAVES = [leaf for leaf in VOCABULARY.leaves.values() if leaf.form != "constant" and leaf.path != "job_id"]
QUANTITIES = [leaf for leaf in LEAVES if leaf.form == "quantity"]
CLOSED = [leaf for leaf in LEAVES if leaf.possible]
RATED = "outdoor_unit.run_capacitor.rated"


# --- one text, one reading -----------------------------------------------------------------------------------------------

NUMBERS = st.from_regex(r"[-+]?[0-9]{0,4}([.,/ -][0-9]{1,4}){0,2}", fullmatch=True)
UNITS = st.sampled_from(
    sorted({"", "#", "k", "°", *(word for u in units.all_units().values() for word in (u.name, *u.also))})
)
WORDS = st.sampled_from(
    sorted({"n/a", "none", "no", "yes", "y", "true", "0", "1", "2026-10-05", "10/5/2026", "20261005", "2026-W41-1", "idk",
            "unknown", "none: worn off", *(w for leaf in CLOSED for w in (*leaf.possible, *(k for k, _ in leaf.said)))})
)  # fmt: skip


@given(leaf=st.sampled_from(LEAVES), number=NUMBERS, unit=UNITS, word=WORDS, amount=st.booleans())
def test_no_text_is_read_as_two_things(leaf: Leaf, number: str, unit: str, word: str, amount: bool) -> None:
    found = readings(leaf, f"{number} {unit}".strip() if amount else word)
    assert all(one == found[0] for one in found), found


def test_a_share_in_percent_is_never_taken_for_a_multiple_of_the_whole() -> None:
    """The text "12" in a job's file says no unit: it is neither 12 percent nor 12 times the whole."""
    leaf = VOCABULARY.leaves["ducts.share_replaced"]
    assert [0.12, 0.12] == readings(leaf, "12")
    assert [0.12, 0.12, 0.12] == pytest.approx(readings(leaf, "12 %"))
    assert read_leaf(leaf, 12).value == pytest.approx(0.12)
    with pytest.raises(LeafError, match="'12' has no unit"):
        read_leaf(leaf, "12")


@given(leaf=st.sampled_from(QUANTITIES), a=st.integers(0, 999), b=st.integers(1, 999), unit=st.booleans())
def test_a_slash_is_a_fraction_of_an_inch_and_of_nothing_else(leaf: Leaf, a: int, b: int, unit: bool) -> None:
    text = f"{a}/{b}" + (f" {units.shown(leaf.unit)}" if unit else "")
    fraction = leaf.unit in ("inch", "in_per_ft") and 0 < a < b and b in (2, 4, 8, 16, 32, 64)
    if leaf.beside or any(other.beside == leaf.path for other in QUANTITIES):
        return
    for way in (at_a_question, in_a_cell):
        if fraction:
            assert worth_of(leaf, way(leaf, text)) == pytest.approx(a / b)
        else:
            with pytest.raises((NotAnAnswer, Fault), match="slash"):
                way(leaf, text)


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("circuits.devices.rating", "60/30 A"),
        ("circuits.nameplate.supply_voltage", "208/230 V"),
        ("line_set.length", "1/2 ft"),
        ("removed.charge", "12-1/2 lb"),
        ("line_set.vapor_size", "9/8"),
        ("line_set.vapor_size", "45/5 in"),
        ("ratings.cooling_capacity", "0036"),
        ("line_set.vapor_size", "0,875"),
        ("line_set.vapor_size", "1,12 in"),
        ("charge.liquid_pressure", "1.105,5"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_reason_and_an_example(path: str, text: str) -> None:
    leaf = VOCABULARY.leaves[path]
    for way in (at_a_question, in_a_cell, in_a_file):
        with pytest.raises((NotAnAnswer, Fault, LeafError)) as error:
            way(leaf, text)
        told = " ".join(str(getattr(error.value, part, "")) for part in ("what", "hint")) + str(error.value)
        assert re.search(r"Write (it|one|the)|number", told), told


@pytest.mark.parametrize(
    ("path", "text", "inches"),
    [
        ("line_set.vapor_size", "1-1/8", 1.125),
        ("line_set.vapor_size", "1 1/8 in", 1.125),
        ("line_set.vapor_size", '3/4"', 0.75),
        ("condensate.primary_drain.slope", "1/8", 0.125),
        ("condensate.primary_drain.slope", "1/4 in/ft", 0.25),
    ],
)
def test_fractions_of_an_inch_are_read(path: str, text: str, inches: float) -> None:
    leaf = VOCABULARY.leaves[path]
    assert inches == worth_of(leaf, at_a_question(leaf, text)) == worth_of(leaf, in_a_cell(leaf, text))


# --- words that may mean two things -------------------------------------------------------------------------------------


def parts_of(word: str) -> set[str]:
    """What people shorten a word to: its beginnings, and each of its words alone."""
    shown = word.replace("_", " ")
    return (
        {shown[:at] for at in range(1, len(shown))}
        | set(shown.split())
        | {shown[at:] for at in range(1, len(shown) - 2)}
    )


@pytest.mark.parametrize("leaf", CLOSED, ids=lambda leaf: leaf.path)
def test_a_part_of_a_word_is_asked_about_and_never_taken(leaf: Leaf) -> None:
    """Every beginning, end and single word of every value: it is another value, another word for one, or it is asked."""
    question = question_of(JOB, leaf.path)
    known = {
        typed_input.alike(word) for word in (*leaf.possible, *(word for word, values in leaf.said if len(values) == 1))
    }
    for part in sorted(set().union(*map(parts_of, leaf.possible))):
        part = part.strip(" -")
        numbered = counted(question.choices)
        whole = typed_input.alike(part if numbered else typed_input.SIZE.sub("", part))
        if not part or whole in known | {""} or (numbered and part.isdigit()):
            continue
        with pytest.raises(NotAnAnswer, match="Answer with"):
            chosen(question, part)
        with pytest.raises(Fault) as fault:
            in_a_cell(leaf, part)
        holding = [word for word in leaf.possible if typed_input.alike(word).startswith(typed_input.alike(part))]
        assert len(holding) < 2 or all(word in fault.value.what for word in holding), (part, fault.value.what)


@pytest.mark.parametrize("leaf", CLOSED, ids=lambda leaf: leaf.path)
def test_other_words_for_a_value_mean_it_alone(leaf: Leaf) -> None:
    """A word with one meaning is no part of another value, values are told apart however they are written, and all that a
    word may mean are values."""
    assert len({typed_input.alike(word) for word in leaf.possible}) == len(leaf.possible)
    for word, values in leaf.said:
        assert set(values) <= set(leaf.possible), word
        whole = [
            one
            for one in leaf.possible
            if word.casefold() in one.replace("_", " ").casefold().split() and one not in values
        ]
        assert not whole, (word, whole)
        assert typed_input.alike(word) not in {
            typed_input.alike(one) for one in leaf.possible if (one,) != tuple(values)
        }


@pytest.mark.parametrize("leaf", [leaf for leaf in CLOSED if leaf.said], ids=lambda leaf: leaf.path)
def test_a_job_file_with_another_word_for_a_value_is_told_all_that_it_may_mean(leaf: Leaf) -> None:
    """A file is not read as it is spoken, and the nearest spelling is not what the word means: "house" is no townhouse."""
    for word, values in leaf.said:
        if word in leaf.possible:
            continue
        with pytest.raises(LeafError) as found:
            read_leaf(leaf, word)
        assert f"Did you mean {' or '.join(repr(value) for value in values)}?" in found.value.hint


@pytest.mark.parametrize(
    ("path", "word", "may_mean"),
    [
        ("site.dwelling", "house", ("one family", "townhouse")),
        ("condensate.primary_drain.terminates_at", "sewer", ("indirect to sewer", "plumbing vent", "other")),
        ("circuits.segments.wiring_method", "raceway ", ("raceway",)),
        ("circuits.disconnect.kind", "pullout", ("pullout unfused", "pullout fused")),
    ],
)
def test_the_candidates_are_shown(path: str, word: str, may_mean: tuple[str, ...]) -> None:
    leaf, question = VOCABULARY.leaves[path], question_of(JOB, path)
    if len(may_mean) == 1:
        assert chosen(question, word) == may_mean[0]
        return
    with pytest.raises(NotAnAnswer) as asked:
        chosen(question, word)
    with pytest.raises(Fault) as fault:
        in_a_cell(leaf, word)
    for one in may_mean:
        assert f"{question.choices.index(one) + 1} {one}" in str(asked.value)
        assert one.replace(" ", "_") in fault.value.what


def test_the_pan_of_a_short_start_is_asked_about(shipped: Checker) -> None:
    from checker.fieldwork.place_question import Places
    from checker.fieldwork.short_start import Setting, of_job

    overflow = next(
        one for one in of_job(JOB, Setting(Places(shipped.library, shipped.vocabulary))) if "overflow" in one.text
    )
    with pytest.raises(NotAnAnswer, match=r"may mean 3 float switch in the coil pan or .* pan under the unit"):
        chosen(overflow, "pan")


@pytest.mark.parametrize("word", ["y", "Y", "yep", "yes", "TRUE"])
def test_yes_is_yes_everywhere(word: str) -> None:
    leaf = VOCABULARY.leaves["permit.obtained"]
    assert {"obtained": True} == at_a_question(leaf, word) == in_a_cell(leaf, word)


@pytest.mark.parametrize("word", ["n/a", "N/A", "-", "?", "tbd"])
def test_what_may_mean_none_or_not_known_is_asked_about(word: str) -> None:
    for leaf in LEAVES:
        assert readings(leaf, word) == [], leaf.path


@pytest.mark.parametrize("answer", ["no", "n/a", "0", "idk", "nothing, furnace"])
def test_an_answer_to_another_question_is_no_name_of_an_item(answer: str) -> None:
    with pytest.raises(NotAnAnswer, match="Write none if there are none"):
        question_of(JOB, "circuits").facts(answer)


def test_a_comma_inside_a_number_does_not_part_a_row_of_readings() -> None:
    question = question_of(JOB, "airflow.readings")
    assert question.facts("0 1,105, 5 1,140") == {
        "airflow.readings": [{"elapsed": "0 min", "flow": "1,105 cfm"}, {"elapsed": "5 min", "flow": "1,140 cfm"}]
    }
    for answer in ("0-310", "5/320"):
        with pytest.raises(NotAnAnswer):
            question.facts(answer)


def test_not_known_is_recorded_with_the_words_for_it() -> None:
    leaf = VOCABULARY.leaves["removed.model"]
    assert (
        {"model": {"not_known": "can't see it"}}
        == at_a_question(leaf, "can't see it")
        == in_a_cell(leaf, "can't see it")
    )


# --- two sections of one capacitor ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["45/5", "45/5 uF", "45 / 5 MFD", "45+5 mfd"])
def test_a_dual_capacitor_is_two_sections(text: str) -> None:
    leaf = VOCABULARY.leaves[RATED]
    for way in (at_a_question, in_a_cell):
        found = way(leaf, text)
        under = "outdoor_unit.run_capacitor."
        read = {name: read_leaf(VOCABULARY.leaves[under + name], one).value for name, one in found.items()}
        assert read == {"rated": 45, "fan_rated": 5}


@pytest.mark.parametrize("text", ["45/5/3", "45/", "/5", "45/5 psig", "45/05"])
def test_what_is_no_pair_of_sections_is_refused(text: str) -> None:
    assert readings(VOCABULARY.leaves[RATED], text) == []


def test_a_section_that_is_recorded_is_not_written_over() -> None:
    job = json.loads(new_job("x")) | {"outdoor_unit": {"run_capacitor": {"fan_rated": "7.5 uF"}}}
    question = question_of(load(read_text(json.dumps(job).encode(), "job.json"), VOCABULARY), RATED)
    with pytest.raises(NotAnAnswer, match=r"fan section is recorded already: 7\.5 µF"):
        question.facts("45/5")


def test_what_is_written_beside_an_amount_is_another_amount_of_its_kind() -> None:
    for leaf in (leaf for leaf in LEAVES if leaf.beside):
        other = VOCABULARY.leaves[leaf.beside]
        assert (leaf.form, leaf.kind, leaf.unit) == (other.form, other.kind, other.unit)


@pytest.mark.long
def test_each_section_of_a_capacitor_is_judged(shipped: Checker) -> None:
    """45/5 at 6 percent allows 42.3 to 47.7 and 4.7 to 5.3: worked by hand."""
    facts = {"system": "split_air_conditioner", "outdoor_unit": True}
    for (herm, good), (fan, fine) in itertools.product(
        [("43.1", True), ("42.2", False)], [("4.8", True), ("4.6", False)]
    ):
        capacitor = {
            "rated": "45 uF",
            "fan_rated": "5 uF",
            "tolerance": "6 %",
            "measured": f"{herm} uF",
            "fan_measured": f"{fan} uF",
        }
        job = {"job_id": "a", "schema_version": 1, "scope": facts, "outdoor_unit": {"run_capacitor": capacitor}}
        report = shipped.check(read_text(json.dumps(job).encode(), "job.json"), ON)
        found = {finding.rule: finding.outcome for finding in report.findings}
        assert ("pass" if good else "fail") == found["run-capacitor-within-tolerance"]
        assert ("pass" if fine else "fail") == found["fan-capacitor-within-tolerance"]
