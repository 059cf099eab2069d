"""A ruleset as read from its folder: the models, and for every part the file, line and column it stands at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from pydantic import ValidationError

from checker.problems.document import Document, Path_
from checker.problems.problem import Problem, ProblemsFound, Where, did_you_mean, refused, tell
from checker.reading.files import Unopened, files_inside, read_file, visible
from checker.rulesets.local_facts import local_fact_problems
from checker.rulesets.models import (
    TEXT_NOT_NAMED,
    Adoption,
    Amendment,
    Answer,
    Case,
    Change,
    Citation,
    Confirmation,
    Header,
    Law,
    Limit,
    LimitValue,
    LocalFact,
    Rule,
    Shape,
    Topic,
)

Shaped = TypeVar("Shaped", bound=Shape)
EVERYWHERE = ("federal", "manufacturer")  # kinds of owners whose rulesets hold at every place, named there or not
TO_FILL_IN = "to fill in"  # what stands where the keeper has still to write something


class Part(NamedTuple):
    """A part of a ruleset's text: the document, and the path inside it."""

    document: Document
    path: Path_

    def problem(self, inside: Path_, what: str, hint: str = "", caret: int = 0) -> Problem:
        """A problem at a path inside this part; `caret` counts from the start of that text."""
        return self.document.problem((*self.path, *inside), what, hint, caret)

    @property
    def place(self) -> str:
        where = self.document.where((*self.path, "="))
        return f"{where.file}:{where.line}" if where.line else str(where)


class Ruleset(NamedTuple):
    """One ruleset: its header, what it says, and where each part stands.

    `parts` finds the text of a rule, limit or change by ("rules", id) and the like; `documents` are its files by name,
    and `digest` is theirs. `to_fill_in` are the values that its keeper has still to write, by file and path.
    """

    header: Header
    rules: Mapping[str, Rule]
    limits: Mapping[str, Limit]
    amend: Mapping[str, Amendment]
    withdraw: Mapping[str, Change]
    restore: Mapping[str, Change]
    confirm: Mapping[str, Confirmation]
    answers: Mapping[str, Answer]
    facts: Mapping[str, LocalFact]
    parts: Mapping[tuple[str, str], Part]
    documents: Mapping[str, Document]
    digest: str
    to_fill_in: tuple[tuple[str, Path_], ...] = ()

    @property
    def id(self) -> str:
        return self.header.id


def read_ruleset(folder: Path, shown: str, digest: str) -> Ruleset:
    """Read every YAML file of a ruleset's folder.

    Args:
        folder: The folder; `releases/` and dot-files in it are passed over.
        shown: How to name the folder in messages.
        digest: The digest of its files, already taken.

    Raises:
        ProblemsFound: Everything wrong with the shape of its files, at once.
    """
    problems: list[Problem] = []
    documents: dict[str, Document] = {}
    for path in ruleset_files(folder):
        name = path.relative_to(folder).as_posix()
        try:
            documents[name] = read_file(path, f"{shown}/{name}")
        except ProblemsFound as found:
            problems += found.problems
    return assembled(documents, shown, digest, problems)


def assembled(documents: Mapping[str, Document], shown: str, digest: str, problems: Iterable[Problem] = ()) -> Ruleset:
    """A ruleset out of its files, by name.

    Args:
        problems: What was already found wrong with files that are not here.

    Raises:
        ProblemsFound: These, and everything wrong with the shape of the files.
    """
    left = tuple((name, at) for name, document in documents.items() for at in _to_fill_in(document.data, ()))
    return _put_together(documents, shown, digest, problems, left)


def _put_together(
    documents: Mapping[str, Document], shown: str, digest: str, problems: Iterable[Problem],
    to_fill_in: tuple[tuple[str, Path_], ...],
) -> Ruleset:  # fmt: skip
    problems = list(problems)
    header: Header | None = None
    sections: dict[str, dict[str, Any]] = {name: {} for name in Topic.model_fields}
    parts: dict[tuple[str, str], Part] = {}
    for name, document in documents.items():
        try:
            if name.rsplit("/", 1)[-1] == "ruleset.yaml":
                header = shaped(document, Header)
                parts["header", ""] = Part(document, ())
                continue
            topic = shaped(document, Topic)
        except ProblemsFound as found:
            problems += found.problems
            continue
        problems += _gather(document, topic, sections, parts)
        for name, fact in topic.facts.items():
            problems += local_fact_problems(fact, document, ("facts", name))
    if problems or header is None:
        raise ProblemsFound(problems or [_no_header(shown)])
    return Ruleset(header, parts=parts, documents=documents, digest=digest, to_fill_in=to_fill_in, **sections)


def _to_fill_in(data: Any, at: Path_) -> Iterator[Path_]:
    """Where a whole value is still the words that stand for one."""
    if data == TO_FILL_IN:
        yield at
    elif isinstance(data, dict | list):
        for key, inside in data.items() if isinstance(data, dict) else enumerate(data):
            yield from _to_fill_in(inside, (*at, key))


def kept(ruleset: Ruleset) -> dict[str, Any]:
    """What is kept of a ruleset for the next run: the data of its files, as read, and what in them is to be filled in."""
    files = {name: document.data for name, document in ruleset.documents.items()}
    return {"files": files, "to_fill_in": ruleset.to_fill_in}


def recalled(before: Any, folder: Path, shown: str, digest: str) -> Ruleset | None:
    """A ruleset out of what an earlier run kept of the same files; None where that is not whole.

    A file is read again where its text is asked for.
    """
    try:
        files, left = before["files"], before["to_fill_in"]
        documents = {name: Unopened(folder / name, f"{shown}/{name}", data) for name, data in files.items()}
        return _put_together(documents, shown, digest, (), tuple((name, tuple(at)) for name, at in left))
    except (AttributeError, KeyError, ProblemsFound, TypeError, ValueError):
        return None


def ruleset_files(folder: Path) -> list[Path]:
    """The YAML files of a ruleset in a fixed order, its releases left out; none outside its folder.

    Raises:
        ProblemsFound: There are too many, one ends in .yml, one is a link out of the folder, a pipe or the like, or
            a link stands in place of a folder inside it.
    """
    found = files_inside(folder, "*.yaml", "*.yml")
    for path in sorted(visible(folder, "*")):
        if path.is_symlink() and path.is_dir():
            raise refused(path, "This is a link to a folder; its rules are not read.", "Put the folder itself here.")
    for path in found:
        if path.suffix == ".yml":
            raise refused(path, "A ruleset's files end in .yaml; this one does not.", "Give it that ending.")
    return [path for path in found if "releases" not in path.relative_to(folder).parts]


def _no_header(shown: str) -> Problem:
    return Problem(
        Where(f"{shown}/ruleset.yaml"),
        "The folder has no ruleset.yaml.",
        "Copy one from another ruleset and change it.",
    )


def _gather(
    document: Document, topic: Topic, sections: dict[str, dict[str, Any]], parts: dict[tuple[str, str], Part]
) -> Iterator[Problem]:
    for section in Topic.model_fields:
        for name, value in getattr(topic, section).items():
            if (section, name) in parts:
                first = parts[section, name].place
                yield document.problem(
                    (section, name, "="),
                    f"'{name}' is used twice; it also stands at {first}.",
                    "Give one of them another name.",
                )
            sections[section][name] = value
            parts[section, name] = Part(document, (section, name))


def shaped(document: Document, model: type[Shaped]) -> Shaped:
    """A document's data in the shape of a model.

    Raises:
        ProblemsFound: Each field that is missing, unknown or of another shape, in words.
    """
    if not isinstance(document.data, dict):
        raise ProblemsFound(
            [
                document.problem(
                    (), "This file should be a mapping of names to values.", "Look at another file of its kind."
                )
            ]
        )
    try:
        return model.model_validate(document.data)
    except ValidationError as error:
        problems: list[Problem] = []
        for detail in error.errors():
            tell(problems, _said(document, model, detail))
        raise ProblemsFound(problems) from None


def misfits(part: Part, data: Rule | Limit, fields: Mapping[str, Any]) -> Iterator[Problem]:
    """What is wrong with the shape of the fields that an amendment puts into a rule or limit."""
    try:
        type(data).model_validate({**data.model_dump(by_alias=True, exclude_unset=True), **fields})
    except ValidationError as error:
        for detail in error.errors():
            if detail["type"] != "extra_forbidden" or len(detail["loc"]) > 1:
                yield _said(part.document, type(data), {**detail, "loc": (*part.path, "set", *detail["loc"])})


def _said(document: Document, model: type[Shape], detail: Any) -> Problem:
    path = tuple(part for part in detail["loc"] if part not in UNION_TAGS)
    name = str(path[-1]) if path else ""
    around = _around(path[:-1])
    kind = detail["type"]
    if detail["loc"][-1:] == ("[key]",):
        what = f"'{name}' is not of the form wanted for a name."
        return document.problem((*path, "="), what, _FORMS.get(detail.get("ctx", {}).get("pattern", ""), ""))
    if kind == "missing":
        return document.problem(
            (*path[:-1], "="),
            f"{around} has no '{name}'.",
            _MISSING.get(name, f"Add '{name}:'."),
        )
    if kind == "extra_forbidden":
        fields = _fields_at(model, path[:-1])
        return document.problem(
            (*path, "="),
            f"'{name}' is not a field of {around[0].lower() + around[1:]}.",
            _NO_FIELD.get(name) or did_you_mean(name, fields) or f"Fields: {', '.join(fields)}.",
        )
    if kind == "literal_error":
        return document.problem(
            path, f"'{detail['input']}' is not a value of '{name}'.", f"One of: {detail['ctx']['expected']}."
        )
    if kind in ("too_short", "string_too_short"):
        return document.problem(path, f"'{name}' is empty.", _MISSING.get(name, "Fill it in, or leave the field out."))
    if kind == "string_pattern_mismatch":
        return document.problem(
            path,
            f"'{detail['input']}' is not of the form wanted for '{name}'.",
            _FORMS.get(detail["ctx"]["pattern"], ""),
        )
    if kind == TEXT_NOT_NAMED:
        return document.problem(
            (*path, "="),
            f"{_around(path)} is marked second_hand and does not name the text that was read.",
            "Add 'read:' with the text that explains or reprints it, and the day it was read.",
        )
    if kind == "value_error":
        what = f"'{detail['input']}' is not a day of the calendar."
        return document.problem(path, what, "A date is year-month-day: 2026-05-04.")
    return document.problem(
        path,
        f"'{name}' has another shape than it should: {_PLAIN.get(kind, 'it cannot be read')}.",
        "Look at a rule beside it.",
    )


def _around(path: Path_) -> str:
    """How to name what a field stands in: `'some-rule'`, or `entry 2 of 'citation'` in a list."""
    if not path:
        return "The file"
    return f"Entry {int(path[-1]) + 1} of '{path[-2]}'" if isinstance(path[-1], int) else f"'{path[-1]}'"


# What pydantic puts into a place that is not a part of the text.
UNION_TAGS = ("[key]", "str", "constrained-str", "list[constrained-str]", "list[str]", "list[any]")
_MISSING = {
    "citation": "Add 'citation:' with document, section, section_sure and requirement_sure.",
    "cases": "Add 'cases:' with one example at least: name, given, expect.",
    "meaning": "Add 'meaning:' with the digest that 'changeout explain' shows for the rule, by edition.",
    "require": "Add 'require:' with one condition at least.",
    "section": "A document is cited by its section: add 'section:'.",
    "document": "Add 'document:': a section is cited with the document that it stands in.",
    "source": "Add 'source:': where this value stands, or 'common practice, no source'.",
}
_NO_FIELD = {
    "interim_changes": "Write what it changes under 'amend:', from the day it is in force, and cite it there.",
}
_PLAIN = {
    "string_type": "text is wanted", "dict_type": "a mapping of names to values is wanted", "list_type": "a list is wanted",
    "model_type": "a mapping of names to values is wanted", "bool_parsing": "true or false is wanted",
    "bool_type": "true or false is wanted",
    "model_attributes_type": "a mapping of names to values is wanted", "too_long": "it is too long",
}  # fmt: skip
_FORMS = {
    r"^[a-z0-9]+(-[a-z0-9]+)+$": "Small letters, digits and hyphens, two words at least: door-closes.",
    r"^[a-z][a-z0-9_]*$": "Small letters, digits and underlines: largest_allowed.",
    r"^\d{4}-\d{2}-\d{2}$": "A date is year-month-day: 2026-05-04.",
    r"^[0-9a-f]{16}$": "The 16 hex digits that 'changeout explain' shows for the rule.",
    r"^\d+\.\d+\.\d+$": "Three numbers: 1.0.0.",
    r"^[a-z0-9]+(-[a-z0-9]+)*$": "Small letters, digits and hyphens: green-county.",
}


def _fields_at(model: type[Shape], path: Path_) -> list[str]:
    """The fields that may stand at a path: those of the model whose own fields the path's end names."""
    shapes: dict[str, type[Shape]] = {
        "rules": Rule, "limits": Limit, "amend": Amendment, "withdraw": Change, "restore": Change,
        "confirm": Confirmation, "answers": Answer, "adopts": Adoption, "citation": Citation, "cases": Case, "values": LimitValue,
        "made_law_by": Law,
    }  # fmt: skip
    named = [shapes[str(part)] for part in path if part in shapes]
    fields = (named[-1] if named else model).model_fields
    return [field.alias or name for name, field in fields.items()]


def caution_of(rulesets: Mapping[str, Ruleset], ruleset: str, key: str) -> tuple[str, str] | None:
    """A caution that a ruleset names: `ruleset/key` of whose it is, and its text; None where there is none."""
    for one in stands_on(rulesets, ruleset):
        if key in one.header.cautions:
            return f"{one.id}/{key}", " ".join(one.header.cautions[key].split())
    return None


def documents_of(rulesets: Mapping[str, Ruleset], ruleset: str) -> dict[str, str]:
    """The documents that a ruleset can cite, by their keys in it: its own, or those of the nearest that it stands on."""
    near = reversed(stands_on(rulesets, ruleset))
    return {key: title for one in near for key, title in one.header.documents.items()}


def stands_on(rulesets: Mapping[str, Ruleset], ruleset: str) -> list[Ruleset]:
    """A ruleset, and those of the others that it stands on, the nearest first."""
    found = [ruleset]
    for one in found:  # grows while it is gone through
        if one in rulesets:
            found += [name for name in rulesets[one].header.uses if name not in found]
    return [rulesets[one] for one in found if one in rulesets]


def edition_within(editions: str, edition: str) -> bool:
    """Whether `2014-2020`, `2020-`, `-2017`, `2020` or `2014, 2020-` takes in an edition; nothing written takes in all."""
    if not editions:
        return True
    for part in editions.split(","):
        low, dash, high = part.strip().partition("-")
        if not dash and low == edition:
            return True
        if dash and (not low.strip() or low.strip() <= edition) and (not high.strip() or edition <= high.strip()):
            return True
    return False
