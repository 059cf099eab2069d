"""Layers over the invented trade: rulesets that change a rule of the lanterns, and answers of the authority on a hill."""

from __future__ import annotations

import functools
import json
import tempfile
from pathlib import Path
from typing import Any

from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.layering import effective, meaning_of
from checker.rulesets.library import open_library
from tests.support.rulesets import ON, TINY

RULE = "lit-lantern-high-enough"
HEAD = """id: {id}
version: 1.0.0
title: {id} (invented)
owner: {id} (invented)
owner_kind: {kind}
uses: {{{uses}: ">=1.0, <2"}}
{covers}reviewed_through: {reviewed}
documents: {{book: Their book}}
"""
ADOPTS = """adopts:
  - {code: guild, edition: "1", from: 2020-01-01, counts: dates.hung, citation: their book 1}
"""
CITED = "citation: [{document: book, section: '1', section_sure: checked, requirement_sure: checked}]"


def ruleset(
    folder: Path,
    name: str,
    kind: str,
    uses: str,
    body: str = "",
    covers: str = "",
    adopts: bool = False,
    reviewed: str = "2030-01-01",
) -> None:
    place = folder / name
    place.mkdir()
    head = HEAD.format(
        id=name, kind=kind, uses=uses, covers=f"covers: [{covers}]\n" if covers else "", reviewed=reviewed
    )
    (place / "ruleset.yaml").write_text(head + (ADOPTS if adopts else ""))
    if body:
        (place / "rules.yaml").write_text(body)


def change(operation: str, meaning: str, more: str = "") -> str:
    return f"{operation}:\n  {RULE}:\n    reason: because\n    {CITED}\n    meaning: {{'1': {meaning}}}\n{more}"


def checker(folder: Path) -> Checker:
    return Checker(open_library([TINY / "rulesets", folder]), job_vocabulary(TINY / "job.schema.json"))


# --- a hill whose three rules ask its authority ---

RULES = """
limits:
  fringe_counts:
    title: Whether the fringe counts as part of the lantern (counted or left_out)
    kind: word
    open: jurisdiction
  lowest_fringe:
    title: Least height of what counts
    unit: ft
    values:
      - {value: "6", source: Hill book 2, sure: checked}
rules:
  doubtful-lantern-of-tin:
    title: A lit lantern is of tin
    topic: fire
    obligation: shall
    intent: Nobody is sure that the book says so.
    citation: [{document: book, section: "2", section_sure: doubtful, requirement_sure: doubtful}]
    applies_when: [lantern.lit]
    require: [lantern.paper == tin]
    on_fail: It is {lantern.paper}.
    ask: "Does the hill ask for tin?"
    cases: &no
  asked-by-line-high-enough:
    title: A lit lantern hangs at 6 ft
    topic: hanging
    obligation: shall
    intent: Before the second edition the clerk is asked.
    citation: [{document: book, section: "3", section_sure: checked, requirement_sure: checked}]
    verify_when:
      - {when: edition(guild) < 2, ask: "Does the hill ask for a height at all?"}
    require: [lantern.height >= lowest_fringe]
    cases: &no
  left-open-fringe-high-enough:
    title: The fringe hangs at 6 ft where it counts
    topic: hanging
    obligation: shall
    intent: Fringes burn too.
    citation: [{document: book, section: "4", section_sure: checked, requirement_sure: checked}]
    applies_when: [lantern.lit, fringe_counts == counted]
    require: [lantern.height >= lowest_fringe]
    ask: "Does the hill count the fringe?"
    cases: &no
""".replace("&no", "[{name: one, given: {}, expect: verify_locally}]")
DOUBTFUL, BY_LINE, LEFT_OPEN = (
    "doubtful-lantern-of-tin",
    "asked-by-line-high-enough",
    "left-open-fringe-high-enough",
)
QUESTIONS = {
    DOUBTFUL: "Does the hill ask for tin?",
    BY_LINE: "Does the hill ask for a height at all?",
    LEFT_OPEN: "Does the hill count the fringe?",
}


def hill(folder: Path, *answers: str, kind: str = "local", rules: str = RULES) -> Checker:
    """A checker whose place xx-hill has these rules, and a ruleset on top of a kind that records these answers."""
    _ruleset(folder, "hill", "local", "guild", ADOPTS + "covers: [xx-hill]\n", rules)
    _ruleset(folder, "gate", kind, "hill", "covers: [xx-hill]\n", "answers:\n" + "".join(answers) if answers else "")
    return Checker(open_library([TINY / "rulesets", folder]), job_vocabulary(TINY / "job.schema.json"))


def _ruleset(folder: Path, name: str, kind: str, uses: str, more: str, text: str) -> None:
    (folder / name).mkdir()
    head = HEAD.format(id=name, kind=kind, uses=uses, covers="", reviewed="2030-01-01")
    (folder / name / "ruleset.yaml").write_text(head + more)
    if text:
        (folder / name / "rules.yaml").write_text(text)


def answer(
    rule: str, said: str, *, meaning: str = "", name: str = "hill-said", question: str = "", more: str = ""
) -> str:
    return (
        f"  {name}:\n    rule: {rule}\n    question: \"{question or QUESTIONS[rule]}\"\n    answer: {said}\n"
        f"    in_words: So it is.\n    who: M. Tallow\n    office: Hill clerk's office\n    on: 2021-03-04\n"
        f"    reference: note 12\n    meaning: {{any: {meaning or meanings()[rule]}}}\n{more}"
    )  # fmt: skip


def job(hung: Any = "2021-05-01", **lantern: Any) -> Job:
    facts = {"site": {"jurisdiction": "xx-hill"}, "dates": {"hung": hung}, "lantern": {"lit": True, **lantern}}
    written = json.dumps({"job_id": "a", "schema_version": 1, **facts})
    return load(read_text(written.encode(), "a.json"), job_vocabulary(TINY / "job.schema.json"))


def report(one: Checker, hung: Any = "2021-05-01", **lantern: Any) -> Report:
    return one.check_job(job(hung, **lantern), ON)


@functools.cache
def meanings() -> dict[str, str]:
    """The digest of each of the three rules, as an answer has to name it."""
    with tempfile.TemporaryDirectory() as folder:
        one = hill(Path(folder)).chain("xx-hill")
        return {rule: meaning_of(one, effective(one, "rules", rule, {}, 1), "any") for rule in QUESTIONS}
