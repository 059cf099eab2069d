"""An edition put in force at a place, as text of its `ruleset.yaml`; and the changes that would end with the old edition."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath
from typing import NamedTuple

from checker.authoring.editing.file_edits import with_item, with_name
from checker.authoring.editing.layer_context import Layers, below_on
from checker.authoring.editing.new import range_of
from checker.problems.problem import ProblemsFound
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.layer_permissions import GUESTS
from checker.rulesets.layering import NO_EDITION, meaning_of
from checker.rulesets.limits import day_number
from checker.rulesets.ruleset import Ruleset


class Ending(NamedTuple):
    """A change of this ruleset that ends with the old edition: where it stands, and the digest that would carry it on.

    `same` tells that the rule asks the same under the new edition as where the change was written.
    """

    operation: str
    name: str
    file: str
    digest: str
    same: bool

    @property
    def said(self) -> str:
        if self.same:
            return f"'{self.name}' requires the same under the new edition as it did where it was changed."
        return f"'{self.name}' requires something else under the new edition: read it first ('changeout rules show {self.name}')."


def refuse_guests(layers: Layers) -> None:
    """Refuse a ruleset whose owner makes no law: it cannot put an edition in force.

    Raises:
        ProblemsFound: The ruleset is a contractor group's or a practice.
    """
    kind = layers.ruleset.header.owner_kind
    if kind in GUESTS:
        what = f"{layers.ruleset.id} is a {kind} ruleset, and cannot put an edition of a code in force."
        hint = "Only the ruleset of a state or of a place can: name its folder by --into."
        raise ProblemsFound([layers.ruleset.parts["header", ""].problem(("owner_kind",), what, hint)])


def codes(layers: Layers) -> dict[str, Ruleset]:
    """The rulesets that have editions, those in use here first."""
    with_editions = [ruleset for ruleset in layers.checker.library.rulesets.values() if ruleset.header.editions]
    return {
        ruleset.id: ruleset for ruleset in sorted(with_editions, key=lambda r: (r.id not in layers.chain.by_id, r.id))
    }


def deciding_dates(layers: Layers) -> dict[str, str]:
    """The dates of a job that may decide the edition: those that adoptions here name already, then the usual ones."""
    held = [adopted.counts for ruleset in reversed(layers.chain.rulesets) for adopted in ruleset.header.adopts]
    return {path: path for path in [*held, *usual_deciding_dates(layers.checker.vocabulary)]}


def usual_deciding_dates(vocabulary: Vocabulary) -> list[str]:
    """The dates of a job that usually decide which edition it is judged by: those that the schema names, else all."""
    dates = [leaf.path for leaf in vocabulary.leaves.values() if leaf.kind == "date"]
    return list(vocabulary.commands.get("deciding_dates", dates))


def on_that_day(layers: Layers, code: str, starts: str) -> str:
    """Why a code cannot be adopted from a day on; "" where it can."""
    for adoption in layers.ruleset.header.adopts:
        if (adoption.code, adoption.starts) == (code, starts):
            return f"{code} {adoption.edition} is adopted from that day already ({adoption.citation})."
    return ""


def turned_back(layers: Layers, asked: dict[str, str]) -> Iterator[str]:
    """Warn of an adoption that makes an older edition follow a newer one."""
    code, edition, starts = asked["code"], asked["edition"], asked["from"]
    order = layers.checker.library.rulesets[code].header.editions.index
    adopted = layers.chain.adoptions(code)
    before, after = [a for a in adopted if a.starts <= starts][-1:], [a for a in adopted if a.starts > starts][:1]
    for earlier in before:
        if order(earlier.edition) > order(edition):
            yield f"{code} {earlier.edition} is in force since {earlier.starts}; from {starts}, the older {edition} is."
    for later in after:
        if order(later.edition) < order(edition):
            yield f"{code} {edition} is newer than {later.edition}, which takes its place on {later.starts}."


def adoption(code: str, edition: str, starts: str, counts: str, citation: str) -> dict[str, str]:
    """An adoption as it stands in `ruleset.yaml`."""
    return {"code": code, "edition": edition, "from": starts, "counts": counts, "citation": citation}


def header_with(text: str, file: str, layers: Layers, asked: dict[str, str]) -> str:
    """The text of a `ruleset.yaml` with one adoption more, and its code among what is used where it is not yet.

    Raises:
        ProblemsFound: The text cannot be added to.
    """
    code = asked["code"]
    if code not in layers.chain.by_id:
        version = layers.checker.library.rulesets[code].header.version
        text = with_name(text, file, ("uses",), code, range_of(version))
    return with_item(text, file, "adopts", asked)


def ending_with(layers: Layers, edition: str, code: str) -> Iterator[Ending]:
    """The changes of rules and limits of a code that name other editions and not this one."""
    for operation in ("amend", "withdraw", "restore"):
        for name, change in getattr(layers.ruleset, operation).items():
            section = "rules" if ("rules", name) in layers.below.homes else "limits"
            home = layers.below.homes.get((section, name))
            if home is None or home.id != code or edition in change.meaning or NO_EDITION in change.meaning:
                continue
            adopted = [day_number(a.starts) for a in layers.chain.adoptions(code) if a.edition == edition]
            day = max([*adopted, day_number(change.starts) if change.starts else 1])
            digest = meaning_of(layers.below, below_on(layers, section, name, edition, day), edition)
            file = PurePosixPath(layers.ruleset.parts[operation, name].document.file)
            folder = PurePosixPath(layers.ruleset.parts["header", ""].document.file).parent
            yield Ending(operation, name, str(file.relative_to(folder)), digest, digest in change.meaning.values())
