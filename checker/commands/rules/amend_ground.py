"""On what ground a rule is amended, and what is still to do after: what `amend` asks and tells besides the change itself."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from checker.commands.prompts import Option
from checker.commands.ruleset_edits import Edit, EditSession

if TYPE_CHECKING:
    from checker.authoring.editing.amend import Amendable, Ground
    from checker.authoring.editing.boundary_cases import Movable

AT_A_LIMIT = ("at the limit of this place", "just past it", "not recorded")
HOW_SURE = {"read in print": "checked", "from memory": "from_memory", "doubtful": "doubtful"}
ANOTHER = "another document"


class Change(NamedTuple):
    """An entry to be written: its section, name and data; and facts that the other cases of the rule need from now on."""

    section: str
    name: str
    data: dict[str, Any]
    passing: Mapping[str, str] = MappingProxyType({})


def ground_of(
    session: EditSession,
    day: str,
    reason: str | None,
    document: str | None,
    section: str | None,
    sure: str | None,
) -> tuple[Ground, list[Edit]]:
    """Why and on what ground; and the edit of `ruleset.yaml` where its document is new."""
    from checker.authoring.editing.amend import Ground
    from checker.rulesets.ruleset import TO_FILL_IN

    ask = session.ask
    click.echo(f"\n   {session.layers.ruleset.header.owner} decides this.")
    why = ask.text("Why does this place require something else?", Option("--reason", reason), later=True)
    key, title, edits = _document(session, document)
    where = ask.text("Which section of it?", Option("--section", section), later=True)
    words = {word: word for word in HOW_SURE.values()} if sure is not None else HOW_SURE
    open_still = sure is None and where == TO_FILL_IN
    how = (
        "from_memory"
        if open_still
        else ask.choice("How sure are the section and the requirement?", words, Option("--sure", sure))
    )
    return Ground(why, key, where, how, day, title), edits


def _document(session: EditSession, document: str | None) -> tuple[str, str, list[Edit]]:
    """The key and title of the document that says so; a new one is written into `ruleset.yaml`."""
    from checker.authoring.editing.file_edits import with_name

    ask, known = session.ask, session.layers.ruleset.header.documents
    keys = {title: key for key, title in known.items()}
    if document is not None and document in known:
        return document, known[document], []
    if document is None and known:
        picked = ask.choice("Which document says so?", {**keys, ANOTHER: ""})
        if picked:
            return picked, known[picked], []
    title = ask.text("What is the document called?", Option("--document", document))
    if title in keys:
        return keys[title], title, []
    key = re.sub(r"[^a-z0-9]+", "_", title.lower()).strip("_")[:24] or "document"
    return key, title, [session.edit("ruleset.yaml", with_name, ("documents",), key, title)]


def say_of_days(day: str, data: dict[str, Any]) -> None:
    """Say where a change begins later than it was asked for, and which editions it is bound to."""
    starts = data.get("from", "")
    if starts != day:
        click.echo(f"\n   A ruleset below changes it on {starts} itself: this change begins then.")
    editions = ", ".join(data["meaning"])
    click.echo(f"\n   It holds under: {'every edition' if editions == 'any' else editions}.")


def say_of_words(rule_id: str, moved: Movable, at: Amendable) -> None:
    """Say where the rule's own words still tell the old value."""
    from checker.authoring.editing.boundary_cases import shown
    from checker.rulesets.remedy_words import spoken

    words = (at.rule.title, at.rule.on_fail, *spoken(at.rule.failed), *spoken(at.rule.remedy))
    if shown(moved) in " ".join(words):
        hint = "'changeout rules amend' takes --title and --failed; the others go under 'set:'."
        click.echo(f"The words of '{rule_id}' still say {shown(moved)}. {hint}")


def say_of_cases(made: Change) -> None:
    """Say which cases the keeper has still to write."""
    names = {case["name"] for case in made.data.get("cases", ())}
    wanted: tuple[str, ...] = AT_A_LIMIT if "values" in made.data.get("set", ()) else ()
    wanted = ("as this place asks", "not as this place asks") if made.passing else wanted
    missing = [name for name in wanted if name not in names]
    if missing:
        click.echo(f"No case could be made: {', '.join(missing)}. Write it under 'cases:' by hand.")
