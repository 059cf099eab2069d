"""Reading makers' sheets: the files that the user names, and everything that is wrong with them.

What a sheet is and what it may say stands in `maker_sheet`.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from checker.ir.kleene import NONE
from checker.problems.document import Document, Path_
from checker.problems.problem import Problem, ProblemsFound, Where, did_you_mean
from checker.reading.fact_reader import LeafError, Reading, called, from_text, read_leaf
from checker.reading.fact_shapes import Leaf
from checker.reading.files import files_inside, read_file
from checker.reading.inherited.manufacturer_sheet import Manual, Sheet, equipment_of, gives
from checker.reading.sureness import SURE
from checker.reading.vocabulary import Vocabulary

FIELDS = ("maker", "part", "models", "manual", "sure", "facts")


def open_sheets(folders: Iterable[Path], vocabulary: Vocabulary) -> tuple[Sheet, ...]:
    """Read every YAML file under these folders, dot-files passed over.

    Raises:
        ProblemsFound: Everything wrong with any of them, at once.
    """
    found: dict[str, Sheet] = {}
    problems: list[Problem] = []
    for folder in folders:
        try:
            files = files_inside(folder, "*.yaml", "*.yml")
        except ProblemsFound as error:
            problems += error.problems
            continue
        if not files:
            problems.append(_no_sheets(folder))
        for path in files:
            try:
                reader = _Reader(read_file(path), vocabulary)
            except ProblemsFound as error:
                problems += error.problems
                continue
            for sheet in reader.sheets():
                if sheet.id in found and found[sheet.id].place != sheet.place:
                    reader.used_twice(sheet.id, found[sheet.id].place)
                found[sheet.id] = sheet
            problems += reader.problems
    if problems:
        raise ProblemsFound(problems)
    return tuple(found.values())


def _no_sheets(folder: Path) -> Problem:
    if not folder.is_dir():
        return Problem(Where(str(folder)), "There is no such folder of manufacturers' sheets.", "Check its name.")
    return Problem(
        Where(str(folder)), "The folder has no manufacturers' sheets.", "A sheet is in a file ending in .yaml."
    )


class _Reader:
    """Reads the sheets of one file and says what is wrong with them."""

    def __init__(self, document: Document, vocabulary: Vocabulary) -> None:
        self.document, self.vocabulary = document, vocabulary
        self.problems: list[Problem] = []

    def sheets(self) -> Iterator[Sheet]:
        data = self.document.data
        if not isinstance(data, dict):
            self.wrong((), "A file of manufacturers' sheets begins with 'sheets:'.", "Copy another one and change it.")
            return
        self.fields(data, (), ("sheets",), "The file")
        for name, sheet in self.mapping(data["sheets"], ("sheets",)).items() if "sheets" in data else ():
            before = len(self.problems)
            read = self.sheet(name, sheet)
            if read and len(self.problems) == before:
                yield read

    def sheet(self, name: str, data: Any) -> Sheet | None:
        at: Path_ = ("sheets", name)
        data = self.mapping(data, at)
        if not data:
            return None
        self.fields(data, at, FIELDS, f"'{name}'")
        part = self.word(data, at, "part", tuple(equipment_of(self.vocabulary).parts))
        sure = self.word(data, at, "sure", tuple(SURE))
        models = tuple(self.models(data["models"], (*at, "models"))) if "models" in data else ()
        manual = self.manual(data["manual"], (*at, "manual")) if "manual" in data else None
        facts = self.facts(data["facts"], (*at, "facts"), part) if part and "facts" in data else {}
        maker = self.text(data, at, "maker")
        return Sheet(name, maker, part, models, manual, sure, facts, self.document) if manual else None

    def models(self, data: Any, at: Path_) -> Iterator[str]:
        if not isinstance(data, list) or not data:
            self.wrong(at, "'models' is a list of patterns.", 'Write ["NV14-0##"].')
            return
        for index, pattern in enumerate(data):
            if not isinstance(pattern, str) or not re.search(r"\w", pattern):
                what = "This pattern has no letter or digit of its own: it would fit any model."
                self.wrong(
                    (*at, index),
                    what,
                    "Write the model number, with * for any run, ? for one character, # for one digit.",
                )
            else:
                yield pattern

    def manual(self, data: Any, at: Path_) -> Manual | None:
        before = len(self.problems)
        data = self.mapping(data, at)
        if not data:
            return None
        self.fields(data, at, Manual._fields, "'manual'")
        manual = Manual(*(self.text(data, at, field) for field in Manual._fields))
        if manual.read_on and not _is_day(manual.read_on):
            self.wrong((*at, "read_on"), f"'{manual.read_on}' is not a date.", "Write year-month-day: 2026-05-04.")
        return manual if len(self.problems) == before else None

    def facts(self, data: Any, at: Path_, part: str) -> dict[str, Reading]:
        allowed = gives(part, self.vocabulary)
        found = {}
        for path, value in self.mapping(data, at).items():
            if path not in allowed:
                self.wrong((*at, path, "="), *_refused(path, part, allowed, self.vocabulary))
                continue
            try:
                found[path] = _read(
                    allowed[path], value, allowed[path].path in equipment_of(self.vocabulary).of_one_job
                )
            except LeafError as error:
                self.wrong((*at, path), f"{allowed[path].title}: {error.what}", error.hint)
        return found

    # --- one field ---

    def fields(self, data: Mapping[str, Any], at: Path_, known: tuple[str, ...], named: str) -> None:
        """Say which fields are missing and which are not known."""
        for name in data:
            if name not in known:
                hint = did_you_mean(name, known) or f"Fields: {', '.join(known)}."
                self.wrong((*at, name, "="), f"'{name}' is not a field of {named[0].lower() + named[1:]}.", hint)
        for name in known:
            if name not in data:
                self.wrong((*at, "="), f"{named} has no '{name}'.", self.missing(name, f"Add '{name}:'."))

    def mapping(self, data: Any, at: Path_) -> dict[str, Any]:
        if isinstance(data, dict) and data:
            return data
        what = (
            f"'{at[-1]}' is empty."
            if isinstance(data, dict)
            else f"'{at[-1]}' is names with values, not {called(data)}."
        )
        self.wrong(at, what, self.missing(str(at[-1]), "Look at another sheet."))
        return {}

    def text(self, data: Mapping[str, Any], at: Path_, name: str) -> str:
        value = data.get(name, "")
        if name in data and (not isinstance(value, str) or not value.strip()):
            self.wrong((*at, name), f"'{name}' is a text that is not empty.", self.missing(name, "Fill it in."))
            return ""
        return str(value)

    def word(self, data: Mapping[str, Any], at: Path_, name: str, known: tuple[str, ...]) -> str:
        value = self.text(data, at, name)
        if value and value not in known:
            hint = f"{did_you_mean(value, known)} One of: {', '.join(known)}.".strip()
            self.wrong((*at, name), f"'{value}' is not a value of '{name}'.", hint)
            return ""
        return value

    def used_twice(self, name: str, first: str) -> None:
        what = f"'{name}' is used twice; the other is at {first}."
        self.wrong(("sheets", name, "="), what, "Give one of them another name.")

    def missing(self, name: str, otherwise: str) -> str:
        """What to do about a field that is not there."""
        if name == "part":
            return f"Add 'part:' with one of: {', '.join(equipment_of(self.vocabulary).parts)}."
        return MISSING.get(name, otherwise)

    def wrong(self, at: Path_, what: str, hint: str) -> None:
        self.problems.append(self.document.problem(at, what, hint))


MISSING = {
    "manual": "Add 'manual: {title: …, page: …, read_on: 2026-05-04, read_by: …}': a value is as good as its source.",
    "sure": f"Add 'sure:' with one of: {', '.join(SURE)}.",
    "models": "Add 'models: [\"NV14-0##\"]'.",
    "facts": "Add 'facts:' with one fact of a job at least.",
}


def _refused(path: str, part: str, allowed: Mapping[str, Leaf], vocabulary: Vocabulary) -> tuple[str, str]:
    """Why a sheet of this part cannot give a fact, and what to do."""
    equipment = equipment_of(vocabulary)
    leaf = vocabulary.leaves.get(equipment.in_a_job(path))
    if leaf is None:
        group, _, name = path.rpartition(".")
        beside = [known.rpartition(".")[2] for known in allowed if known.rpartition(".")[0] == group]
        hint = did_you_mean(name, beside) if beside else did_you_mean(path, allowed)
        hint = hint or f"A sheet of this kind may give: {', '.join(equipment.parts[part].gives)}."
        return f"'{path}' is not a fact that a sheet may give.", hint
    own = equipment.in_a_sheet(path)
    if own in allowed:
        return (
            f"'{path}' is in a list; a sheet speaks of the unit's own {equipment.prefix.rstrip('.')}.",
            f"Write '{own}'.",
        )
    if leaf.measured:
        return f"'{path}' is measured on the job; no manufacturer can know it.", "Take it out. It belongs in the job."
    if not vocabulary.seen_at_any_time(leaf):
        return f"'{path}' tells of the work, not of the model.", "Take it out. It belongs in the job."
    others = [kind.title for other, kind in equipment.parts.items() if path in gives(other, vocabulary)]
    if others:
        return (
            f"'{path}' is not of the {equipment.parts[part].title}.",
            f"Put it in a sheet of the {' or '.join(others)}.",
        )
    return f"'{path}' does not follow from the model alone.", "Take it out. It belongs in the job."


def _read(leaf: Leaf, value: Any, of_one_job: bool) -> Reading:
    """A value as in a job: text with a unit, yes or no, a word, or `{none: why}`.

    Raises:
        LeafError: It is not a value that this fact can have in a sheet.
    """
    if isinstance(value, dict) and set(value) == {"not_known"}:
        raise LeafError("a sheet says what is known.", "Leave it out.")
    if not isinstance(value, dict) or set(value) != {"none"}:
        if of_one_job:
            what = "the manufacturer's tables give this for one job, not for the model."
            raise LeafError(what, "Take it out, or write {none: why} where the manufacturer has none.")
        return read_leaf(leaf, from_text(leaf, value))
    if not leaf.may_be_none:
        raise LeafError("this cannot be none.", "Leave it out.")
    if not isinstance(value["none"], str) or not value["none"].strip():
        raise LeafError("'none' needs its reason.", "Write {none: why}.")
    return Reading(NONE, f"none ({value['none']})")


def _is_day(text: str) -> bool:
    try:
        return datetime.date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
