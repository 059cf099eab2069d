"""A new ruleset's files, with one example each of a fact of its own, a rule of its own and an amendment."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from checker.authoring.editing import boundary_cases as moving
from checker.authoring.editing.amend import CASES_AT_A_LIMIT, Ground, amendable, limit_moved
from checker.authoring.editing.boundary_cases import Movable
from checker.authoring.editing.canonical import canonical
from checker.authoring.editing.file_edits import OneLine, OneLineList, lines_of, schema_line
from checker.authoring.editing.layer_context import Layers, layers_around
from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.reading import units
from checker.reading.files import read_text
from checker.reading.vocabulary import Vocabulary
from checker.rulesets import limits as limit_values
from checker.rulesets.library import Library
from checker.rulesets.ruleset import EVERYWHERE, TO_FILL_IN, Ruleset, assembled

KINDS = ("group", "local", "state", "practice")
FIRST = (
    "# An example: change it, or take it out with its file. No job is judged by this ruleset, and it is not released,\n"
    f"# while '{TO_FILL_IN}' stands here.\n"
)


class Wanted(NamedTuple):
    """What a new ruleset is to be: its id and title, who keeps it, where it is in force and what it stands on.

    `uses` gives a range of versions for each ruleset; `adopts` an adoption as it stands in `ruleset.yaml`.
    """

    id: str
    title: str
    owner: str
    kind: str
    covers: tuple[str, ...]
    uses: Mapping[str, str]
    adopts: tuple[Mapping[str, str], ...]
    reviewed_through: str

    @property
    def document(self) -> str:
        return "handbook" if self.kind in ("group", "practice") else "ordinance"


def texts(wanted: Wanted, library: Library, folder: Path, examples: bool = True) -> dict[str, str]:
    """Every file of the new ruleset by its name.

    Args:
        folder: Where it will stand, to find the schema from there.

    Raises:
        ProblemsFound: It cannot stand on what it is to use.
    """
    head = schema_line(folder)
    if not examples:
        return {"ruleset.yaml": head + _text(_header(wanted))}
    files = {
        "ruleset.yaml": head + _text(_header(wanted)),
        "facts.yaml": head + FIRST + _text({"facts": {"card_hung": _fact(library.vocabulary)}}),
        "rules.yaml": head + FIRST + _text({"rules": {f"{wanted.id}-card-hung": _rule(wanted)}}),
    }
    amendment = _amendment(wanted, files, library)
    for name in amendment:
        file = f"amendments/{name}.yaml"
        files[file] = schema_line(folder, file) + FIRST + _text({"amend": amendment})
    return {name: canonical(text, name) for name, text in files.items()}


def _text(data: Mapping[str, Any]) -> str:
    return "\n".join(lines_of(data, 0)) + "\n"


def range_of(version: str) -> str:
    """The versions that mean the same to whoever stands on this one: `1.4.2` → `>=1.4, <2`."""
    major, minor, _ = version.split(".")
    return f">={major}.{minor}, <{int(major) + 1}"


def _header(wanted: Wanted) -> dict[str, Any]:
    return {
        "id": wanted.id,
        "version": "0.1.0",
        "title": wanted.title,
        "owner": wanted.owner,
        "owner_kind": wanted.kind,
        **({"covers": OneLineList(wanted.covers)} if wanted.covers else {}),
        "uses": dict(wanted.uses),
        "reviewed_through": wanted.reviewed_through,
        "documents": {wanted.document: f"{wanted.owner} {wanted.document}"},
        **({"adopts": [OneLine(adoption) for adoption in wanted.adopts]} if wanted.adopts else {}),
    }


def _fact(vocabulary: Vocabulary) -> dict[str, Any]:
    """A fact that is seen before leaving, at the last station."""
    station = vocabulary.stations[-1].name
    return {
        "form": "flag",
        "title": "Job card left with the work",
        "description": "The card that says what was put in and by whom, filled in and left with the work.",
        "ask": "Is the job card filled in and left with the work?",
        "known": vocabulary.stages[-2].name,
        **({"station": station} if station else {}),
    }


def _rule(wanted: Wanted) -> dict[str, Any]:
    fact = f"local.{wanted.id}.card_hung"
    cited = {
        "document": wanted.document,
        "section": TO_FILL_IN,
        "section_sure": "from_memory",
        "requirement_sure": "from_memory",
    }
    return {
        "title": "The job card is left with the work",
        "topic": "proof",
        "obligation": "should" if wanted.kind in ("group", "practice") else "shall",
        "intent": "Whoever comes next sees what was put in.",
        "citation": [OneLine(cited)],
        "weight": "usual",
        "require": [fact],
        "failed": "No job card left with the work",
        "on_fail": f"Card left: {{{fact}}}.",
        "remedy": "Fill the card in and leave it with the work before you go.",
        "bring": "Job card",
        "cases": [
            OneLine({"name": "hung", "given": {fact: "true"}, "expect": "pass"}),
            OneLine({"name": "not hung", "given": {fact: "false"}, "expect": "fail"}),
            OneLine({"name": "not noted", "given": {}, "expect": "verify_locally", "needs": [fact]}),
        ],
    }


# --- the amendment: a limit of a real rule, moved so that it asks more -----------------------------------------------


def _amendment(wanted: Wanted, files: Mapping[str, str], library: Library) -> dict[str, Any]:
    """An amendment of the first rule below whose limit can be moved and tried at it, past it and without a reading."""
    here = _with(library, wanted, files)
    layers = layers_around(here, here.library.rulesets[wanted.id])
    ground = Ground(TO_FILL_IN, wanted.document, TO_FILL_IN, "from_memory")
    for rule_id, moved, value in _candidates(layers):
        data = {moved.name: limit_moved(layers, rule_id, amendable(layers, rule_id, ""), moved, value, ground)}
        if len(data[moved.name].get("cases", ())) == CASES_AT_A_LIMIT:
            return data
    return {}


def _candidates(layers: Layers) -> Iterator[tuple[str, Movable, str]]:
    """Limits that only one rule names and compares a reading with, with a value that asks more; codes before practice."""
    named = [name for rule_id in layers.below.rule_ids for name in layers.below.limits_named(rule_id)]
    used = [home for home in layers.below.rulesets if layers.chain.uses(layers.ruleset.id, home.id)]
    pairs = [(home, name) for home in used for name in home.rules if home.header.owner_kind not in EVERYWHERE]
    for _, rule_id in sorted(pairs, key=lambda pair: _simplest(*pair)):
        try:
            at = amendable(layers, rule_id, "")
        except ProblemsFound:
            continue
        rule = moving.bound(layers, rule_id, at.edition, at.day)
        for moved in at.limits:
            read = moving.against(layers, rule, moved.name) if rule and named.count(moved.name) == 1 else None
            value = _asking_more(moved, read.operator) if read else ""
            if value and moving.shown(moved) not in at.rule.title:
                yield rule_id, moved, value


def _simplest(home: Ruleset, rule_id: str) -> tuple[bool, bool, int]:
    """Codes before practice, and what is short before what is long: an example is read."""
    rule = home.rules[rule_id]
    return home.header.owner_kind != "code", bool(rule.where), len(rule.applies_when or []) + len(rule.require)


def _asking_more(moved: Movable, operator: str) -> str:
    """A value a fifth beyond the present one on the side that asks more, in two digits; empty where there is none."""
    kind = limit_values.kind_of(moved.limit)
    if kind not in units.kinds() or moved.now is None or operator in ("==", "!="):
        return ""
    unit = units.find_unit(kind, moved.limit.unit) or units.base_unit(kind)
    now = units.from_base(float(limit_values.read(moved.limit, str(moved.now.value))), unit)
    if now <= 0:
        return ""
    new = now * (0.8 if operator.startswith("<") else 1.2)
    return f"{round(new, 1 - math.floor(math.log10(new))):.10g}"


def _with(library: Library, wanted: Wanted, files: Mapping[str, str]) -> Checker:
    """A checker of a library and the new ruleset as its files would be."""
    ruleset = read(files, wanted.id)
    return Checker(library.with_one(ruleset), library.vocabulary)


def read(files: Mapping[str, str], shown: str) -> Ruleset:
    """A ruleset out of the texts of its files."""
    documents = {name: read_text(text.encode(), f"{shown}/{name}") for name, text in files.items()}
    return assembled(documents, shown, "0" * 16)
