"""A ruleset as read from its folder: the models, and for every part the file, line and column it stands at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from checker.problems.document import Document, Path_
from checker.problems.problem import Problem, ProblemsFound, Where, refused
from checker.reading.files import Unopened, files_inside, read_file, visible
from checker.rulesets.headers import Header, Topic
from checker.rulesets.local_facts import local_fact_problems
from checker.rulesets.models import Amendment, Answer, Change, Confirmation, Limit, LocalFact, Rule

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
    from checker.rulesets.misfits import shaped  # pydantic, which a ruleset that was read before does without

    left = tuple((name, at) for name, document in documents.items() for at in _to_fill_in(document.data, ()))
    return _put_together(documents, shown, digest, problems, left, shaped)


def _put_together(
    documents: Mapping[str, Document], shown: str, digest: str, problems: Iterable[Problem],
    to_fill_in: tuple[tuple[str, Path_], ...], shaped: Callable[[Document, type[Any]], Any],
) -> Ruleset:  # fmt: skip
    """
    Args:
        shaped: Makes a record of a class out of a document.
    """
    problems = list(problems)
    header: Header | None = None
    sections: dict[str, dict[str, Any]] = {name: {} for name in Topic.fields}
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
        left = tuple((name, tuple(at)) for name, at in left)
        return _put_together(documents, shown, digest, (), left, lambda document, kind: kind.of(document.data))
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
    for section in Topic.fields:
        for name, value in getattr(topic, section).items():
            if (section, name) in parts:
                first = parts[section, name].place
                yield document.problem(
                    (section, name, "="),
                    f"'{name}' is used twice; the other is at {first}.",
                    "Give one of them another name.",
                )
            sections[section][name] = value
            parts[section, name] = Part(document, (section, name))


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
    """A ruleset, and those of the others that it stands on, the nearest first. A group's stands on all of them."""
    found = [ruleset]
    for one in found:  # grows while it is gone through
        if one in rulesets:
            found += [name for name in rulesets[one].header.uses if name not in found]
    if ruleset in rulesets and rulesets[ruleset].header.owner_kind == "group":
        found += [name for name in rulesets if name not in found]
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
