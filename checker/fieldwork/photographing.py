"""Binding photographs to a job: what each shows, the day it was taken, and the SHA-256 of its file.

A photograph that the job only speaks of gets its file; one that it names gets what is missing; any other is added.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath
from typing import NamedTuple

from checker.fieldwork.changing import fits
from checker.fieldwork.prompts import Facts, NotAnAnswer, new_item
from checker.fieldwork.sheet import value_at
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import PASS
from checker.problems.problem import did_you_mean
from checker.reading import photographs, picture_content, picture_metadata, pictures
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job, noted_photographs
from checker.reading.photographs import subject_title, subjects
from checker.reading.picture_content import Look
from checker.reading.typed_input import name_of
from checker.reading.vocabulary import Vocabulary

MOST_FITS = 8
ENDINGS = {"jpeg": (".jpg", ".jpeg", ".jpe", ".jfif"), "png": (".png",), "webp": (".webp",)}


class Taken(NamedTuple):
    """A photograph that was looked at: its kind and bytes, what it tells, and both SHA-256.

    `sha256` is that of the file as it is, `handed_over` that of the file without metadata.
    """

    kind: str
    content: bytes
    look: Look
    sha256: str
    handed_over: str


def taken(kind: str, content: bytes, name: str) -> Taken:
    """Look at a photograph.

    Raises:
        Unshown: It is broken, too large, or its name has the ending of another kind.
    """
    if not _is_text(name):
        raise pictures.Unshown("its name has characters a job can't hold; rename it")
    endings = ENDINGS[kind]
    if not name.lower().endswith(endings):
        better = PurePosixPath(name).with_suffix(endings[0]).name
        raise pictures.Unshown(f"it is a {kind.upper()} by its first bytes; rename it to {better}")
    look = picture_content.look(kind, content)
    bare = picture_metadata.without_metadata(kind, content, look)
    return Taken(kind, content, look, pictures.digest(content), pictures.digest(bare))


def _is_text(name: str) -> bool:
    try:
        name.encode()
    except UnicodeEncodeError:
        return False
    return True


def shown_by(job: Job, words: str) -> str:
    """The path of what some words mean: of the listed subjects, a path, or a fact that they fit.

    Raises:
        NotAnAnswer: They mean nothing, or may mean several.
    """
    vocabulary, listed = job.vocabulary, subjects(job.vocabulary)
    lowered = words.strip().casefold()
    if pattern(lowered) in vocabulary.places:
        return lowered
    whole = [one.shows for one in listed if one.title.casefold() == lowered]
    part = [one.shows for one in listed if lowered and lowered in one.title.casefold()]
    found = {one: called_by(vocabulary, one) for one in whole or part} or _facts(job, words)
    if len(found) == 1:
        return next(iter(found))
    if found:
        some = "; ".join(list(found.values())[:MOST_FITS])
        raise NotAnAnswer(f"'{words}' may mean: {some}. Use more of its words.")
    hint = did_you_mean(words, [one.title for one in listed]) or "Use a word of its title, or the path of a fact."
    raise NotAnAnswer(f"'{words}' is not something a job records. {hint}")


def called_by(vocabulary: Vocabulary, shows: str) -> str:
    """What a photograph shows, in words, and where one stands to take it."""
    return f"{subject_title(vocabulary, shows)} ({vocabulary.station(shows).heading})"


def _facts(job: Job, words: str) -> dict[str, str]:
    """The facts that some words fit; those of a list by their path without positions."""
    return {one.path: one.called for one in fits(job, job.vocabulary.leaves, words)}


def bound_already(job: Job, sha256: str) -> str:
    """The name under which the job has this very file; empty where it has not."""
    return next((key for at, key in _named(job) if noted(job, at, "sha256") == sha256), "")


def named_as(job: Job, file: str) -> int | None:
    """The position of the photograph that the job names by this file."""
    return next((at for at, _ in _named(job) if noted(job, at, "file") == file), None)


def facts(job: Job, file: str, shows: str, found: Taken) -> Facts:
    """What the job is to record of a photograph.

    Args:
        file: Its place, relative to the folder of the job.
        shows: The path of what it shows.
    """
    said = {"file": file, "shows": shows, "sha256": found.sha256, "handed_over": found.handed_over}
    item = {_name(job.vocabulary, field): value for field, value in said.items() if value}
    if day := found.look.day:
        item[_name(job.vocabulary, "taken")] = day.isoformat()
    at = _place(job, file, shows)
    if at is not None:
        return {f"{job.at('photographs')}.{at}.{name}": value for name, value in item.items()}
    return new_item(job, "photographs", PurePosixPath(file).stem, item)


def _place(job: Job, file: str, shows: str) -> int | None:
    """Where the job speaks of this photograph: by its file, or of one without a file that shows the same."""
    at = named_as(job, file)
    if at is not None or not shows:
        return at
    return next((at for at, _ in _named(job) if not noted(job, at, "file") and noted(job, at, "shows") == shows), None)


def not_counted(job: Job) -> tuple[str, ...]:
    """A note on each photograph of the job that does not count as taken."""
    return photographs.looked_for(noted_photographs(job), job.folder, {}, {}).notes


def still_wanted(job: Job, report: Report) -> list[Finding]:
    """The findings that want a photograph which the job does not have."""
    listed = job.at("photographs")

    def reads(finding: Finding) -> bool:
        paths = (*(one.fact for one in finding.evidence), *(one.fact for one in finding.needs))
        return any(pattern(path).split(".")[0] == listed for path in paths)

    return [one for one in report.findings if one.outcome != PASS and one.photograph and reads(one)]


def _named(job: Job) -> Iterator[tuple[int, str]]:
    return enumerate(job.lists.get(job.at("photographs"), ()))


def noted(job: Job, at: int, field: str) -> str:
    """What the job itself writes of a photograph, also of one that does not count."""
    value = value_at(job.data, job.at(f"photographs.{field}", at))
    return value if isinstance(value, str) else ""


def _name(vocabulary: Vocabulary, field: str) -> str:
    return name_of(vocabulary.roles[f"photographs.{field}"])
