"""The three ways in which a text comes to be a fact: at a question, in a cell, in a job's file."""

from __future__ import annotations

from typing import Any

from checker.fieldwork.interview import new_job
from checker.fieldwork.prompts import NotAnAnswer, clean, said
from checker.fieldwork.questions import question_of
from checker.importing import cells
from checker.importing.places import Fault
from checker.reading import typed_input
from checker.reading.fact_reader import LeafError, read_leaf
from checker.reading.fact_shapes import Leaf
from checker.reading.files import read_text
from checker.reading.job import load
from tests.support.import_sheets import VOCABULARY

JOB = load(read_text(new_job("x").encode(), "job.json"), VOCABULARY)


def at_a_question(leaf: Leaf, text: str) -> dict[str, Any]:
    question = question_of(JOB, leaf.path)
    return {typed_input.name_of(path): value for path, value in said(question, clean(text)).items()}


def in_a_cell(leaf: Leaf, text: str) -> dict[str, Any]:
    return cells.values_of(VOCABULARY, leaf, text)


def in_a_file(leaf: Leaf, text: str) -> dict[str, Any]:
    """As a job's file holds it: an amount and a text as they are, the rest in its own form."""
    read_leaf(leaf, text)
    return {typed_input.name_of(leaf.path): text}


def worth_of(leaf: Leaf, found: dict[str, Any]) -> Any:
    """What was recorded in base units; a `not_known` or `none` as it stands."""
    value = found[typed_input.name_of(leaf.path)]
    return value if isinstance(value, dict) and {"none", "not_known"} & set(value) else read_leaf(leaf, value).value


def readings(leaf: Leaf, text: str) -> list[Any]:
    """What each way of reading a text makes of it, left out where it refuses."""
    found = []
    for way in (at_a_question, in_a_cell, in_a_file):
        try:
            found.append(worth_of(leaf, way(leaf, text)))
        except (NotAnAnswer, Fault, LeafError):
            continue
    return found
