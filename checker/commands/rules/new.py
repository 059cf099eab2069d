"""`changeout rules new`."""

from __future__ import annotations

import datetime
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands import options
from checker.commands.inputs import checker_of
from checker.commands.options import more_rules
from checker.commands.output import write_folder
from checker.commands.prompts import Asking, Option, a_day, refuse, stoppable
from checker.commands.ruleset_edits import say_what_is_left
from checker.problems.problem import Problem, ProblemsFound, Where, did_you_mean, refused

if TYPE_CHECKING:
    from checker.rulesets.library import Library

KINDS = {
    "a contractor group's own checks": "group",
    "a county, a city or another place": "local",
    "a state": "state",
    "recognised practice": "practice",
}
ALL = "that is all"
NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
PLACE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+")


@options.command()
@click.argument("name", required=False)
@click.option(
    "--kind", type=click.Choice(list(KINDS.values())), metavar="WORD", help=f"One of {', '.join(KINDS.values())}."
)
@click.option("--uses", multiple=True, metavar="RULESET", help="A ruleset it builds on; give it as often as needed.")
@click.option("--covers", help="The place it is for, such as xx-birch.")
@click.option("--owner", help="Who keeps it.")
@click.option("--title", help="What it is.")
@click.option(
    "--adopts", multiple=True, metavar="CODE:EDITION:FROM[:BY]", help="An edition adopted, and by which ordinance."
)
@click.option("--bare", is_flag=True, help="Without the examples.")
@click.option("--into", type=click.Path(path_type=Path), default=Path(), help="The folder to put it in, else here.")
@more_rules
@stoppable
def new(
    name: str | None,
    kind: str | None,
    uses: tuple[str, ...],
    covers: str | None,
    owner: str | None,
    title: str | None,
    adopts: tuple[str, ...],
    bare: bool,
    into: Path,
    folders: tuple[Path, ...],
) -> None:
    """Begin a ruleset: a folder NAME with one example each of a fact, a rule and an amendment, all with their cases.

    Asks for what is not given; with NAME and --uses nothing is asked but the place of a county. Exit code: 0 made and
    nothing wrong with it; 2 it cannot be made; 130 stopped, nothing written.
    """
    from checker.authoring.editing.file_edits import schema_beside
    from checker.authoring.editing.new import Wanted, range_of, texts

    ask, library = Asking(), checker_of(folders, ()).library
    short = bool(name and uses)
    named = ask.text(
        "A name for the ruleset: small letters, digits and hyphens.", Option("NAME", name), _name_in(into, library)
    )
    whose = kind or ("group" if short else ask.choice("What is it?", KINDS))
    keeper = ask.text("Who keeps it?", Option("--owner", owner or (_of_name(named) if short else None)))
    what = ask.text("What is it, in a few words?", Option("--title", title or (f"Rules of {keeper}" if short else None)),
                    default=f"Rules of {keeper}")  # fmt: skip
    place = _place(ask, library, whose, covers)
    stands_on = _checked_uses(library, uses) if uses else _uses(ask, library, whose)
    adopted = _given(library, adopts) if adopts or short else _adopted(ask, library, whose, stands_on)
    if adopted and whose in ("group", "practice"):
        what = f"A {whose} ruleset cannot put an edition of a code in force."
        raise refused("--adopts", what, "Only the ruleset of a state or of a place can.")
    codes = [code for code in dict.fromkeys(one["code"] for one in adopted) if not _reached(library, stands_on, code)]
    versions = {one: range_of(library.get(one).header.version) for one in [*stands_on, *codes]}
    wanted = Wanted(named, what, keeper, whose, (place,) if place else (), versions, tuple(adopted), _in_a_year())
    folder = into / named
    written = texts(wanted, library, folder, examples=not bare)
    made = {name: text.encode() for name, text in written.items()}
    write_folder({**made, **schema_beside(folder)}, folder)
    click.echo(f"\nMade {folder}: {', '.join(sorted(made))}.")
    code = say_what_is_left(folder, folders)
    _say_what_next(folder, folders, wanted.id, whose, place)
    sys.exit(code)


def _of_name(name: str) -> str:
    return name.replace("-", " ").title()


def _in_a_year() -> str:
    from checker.rulesets.limits import years_on

    return years_on(datetime.date.today().isoformat(), 1)


def _name_in(into: Path, library: Library) -> Callable[[str], str]:
    def read(text: str) -> str:
        if not NAME.fullmatch(text):
            refuse(f"'{text}' cannot be a ruleset's name.", "Small letters, digits and hyphens: birch-county.")
        if text in library.rulesets:
            refuse(f"There is a ruleset '{text}' already.", "Give another name.")
        if (into / text).exists():
            refuse(f"There is a folder {into / text} already.", "Give another name, or another folder by --into.")
        return text

    return read


def _place(ask: Asking, library: Library, kind: str, covers: str | None) -> str:
    if kind in ("group", "practice") and covers is None:
        return ""
    known = [place for ruleset in library.rulesets.values() for place in ruleset.header.covers]

    def read(text: str) -> str:
        if not PLACE.fullmatch(text):
            refuse(f"'{text}' is not a jurisdiction code.", "Small letters, digits and hyphens, two words: xx-birch.")
        if text in known:
            refuse(f"{library.covering(text)[0].id} covers {text} already.", "Use that ruleset, or name another place.")
        return text

    return ask.text(
        "The jurisdiction code of the place, as jobs will name it, such as xx-birch?", Option("--covers", covers), read
    )


# --- what it stands on -----------------------------------------------------------------------------------------------


def _checked_uses(library: Library, uses: tuple[str, ...]) -> list[str]:
    problems = [
        Problem(
            Where("--uses"), f"There is no ruleset '{name}'.", did_you_mean(name, library.rulesets) or _known(library)
        )
        for name in uses
        if name not in library.rulesets
    ]
    if problems:
        raise ProblemsFound(problems)
    return list(dict.fromkeys(uses))


def _known(library: Library) -> str:
    return f"There are: {', '.join(sorted(library.rulesets))}."


def _uses(ask: Asking, library: Library, kind: str) -> list[str]:
    """The ruleset of a place that it stands on, or where there is none the codes and practice."""
    kinds = ("state",) if kind == "local" else ("local", "state") if kind == "group" else ()
    places = {r.header.title: r.id for r in library.rulesets.values() if r.header.owner_kind in kinds}
    if places:
        picked = ask.choice("Which rulesets does it build on?", {**places, "none of these": ""})
        if picked:
            return [picked]
    codes = [r.id for r in library.rulesets.values() if r.header.owner_kind == "code"]
    listed = ask.text(f"Which codes are in force there? Of {', '.join(codes)}, with commas between.", read=_some(codes))
    practice = [r.id for r in library.rulesets.values() if r.header.owner_kind == "practice"]
    return [*(part.strip() for part in listed.split(",")), *practice]


def _some(known: list[str]) -> Callable[[str], str]:
    def read(text: str) -> str:
        named = [part.strip().lower() for part in text.split(",") if part.strip()]
        for name in named:
            if name not in known:
                refuse(f"There is no code '{name}'.", did_you_mean(name, known) or f"There are: {', '.join(known)}.")
        if not named:
            refuse("This needs an answer.")
        return ", ".join(dict.fromkeys(named))

    return read


def _reached(library: Library, stands_on: list[str], code: str) -> bool:
    """Whether a ruleset is among those that others stand on."""
    return any(name == code or _reached(library, list(library.get(name).header.uses), code) for name in stands_on)


# --- which editions --------------------------------------------------------------------------------------------------


def _given(library: Library, adopts: tuple[str, ...]) -> list[dict[str, str]]:
    """Adoptions as the option gives them."""
    from checker.authoring.editing.adopt import adoption, usual_deciding_dates
    from checker.rulesets.ruleset import TO_FILL_IN

    given = []
    for written in adopts:
        code, _, rest = written.partition(":")
        edition, _, rest = rest.partition(":")
        starts, _, citation = rest.partition(":")
        known = library.rulesets[code].header.editions if code in library.rulesets else []
        if edition not in known:
            hint = f"Editions: {', '.join(known)}." if known else "Write CODE:EDITION:FROM, such as CODE:2:2027-01-01."
            raise refused("--adopts", f"'{written}' names no edition of a code here.", hint)
        day = Asking().text("", Option("--adopts", starts), a_day)
        given.append(adoption(code, edition, day, usual_deciding_dates(library.vocabulary)[0], citation or TO_FILL_IN))
    return given


def _deciding_dates(library: Library) -> dict[str, str]:
    """The dates of a job that usually decide which edition it is judged by, by their titles."""
    from checker.authoring.editing.adopt import usual_deciding_dates

    return {library.vocabulary.title(path).lower(): path for path in usual_deciding_dates(library.vocabulary)}


def _adopted(ask: Asking, library: Library, kind: str, stands_on: list[str]) -> list[dict[str, str]]:
    """The editions that a place adopted, asked for code by code until there are no more of it."""
    from checker.authoring.editing.adopt import adoption

    if kind not in ("local", "state"):
        return []
    codes = [r for r in library.rulesets.values() if r.header.editions and _reached(library, stands_on, r.id)]
    usual = _deciding_dates(library)
    counts = ask.choice("Which day of a job decides the edition it is judged by?", usual, default=next(iter(usual)))
    adopted: list[dict[str, str]] = []
    for code in codes:
        question = f"Which edition of {code.id} did the place adopt itself?"
        editions = {**{e: e for e in code.header.editions}, ALL: ""}
        edition = ask.choice(question, editions, default=ALL)
        if not edition:
            edition = _none_adopted(ask, library, stands_on, code.id, editions)
        while edition:
            starts = ask.text(f"From which day on is {code.id} {edition} in force? (year-month-day)", read=a_day)
            citation = ask.text("Where is that adoption written?", later=True)
            adopted.append(adoption(code.id, edition, starts, counts, citation))
            question = f"Another edition of {code.id}, before or after?"
            edition = ask.choice(question, editions, default=ALL)
    return adopted


def _none_adopted(ask: Asking, library: Library, stands_on: list[str], code: str, editions: dict[str, str]) -> str:
    """Say what it means that a place adopts no edition of a code itself; asked once more where no other adopts it for it."""
    others = [r for r in library.rulesets.values() if _reached(library, stands_on, r.id)]
    owners = [r.id for r in others if any(adoption.code == code for adoption in r.header.adopts)]
    if owners:
        click.echo(f"   Then {code} holds there as {' and '.join(owners)} adopted it.")
        return ""
    click.echo(f"   Then nothing of {code} is judged there until an edition is adopted.")
    return ask.choice(f"Which edition of {code} is in force there?", editions, default=ALL)


# --- writing it ------------------------------------------------------------------------------------------------------


def _say_what_next(folder: Path, folders: tuple[Path, ...], name: str, kind: str, place: str) -> None:
    rules = "".join(f" --rules {one}" for one in folders)
    inside = any(folder.resolve().is_relative_to(one.resolve()) for one in folders)
    using = rules if inside else f"{rules} --rules {folder}"
    used = f" --ruleset {name}" if kind in ("group", "practice") and not place else ""
    where = f" --place {place}" if place else ""
    adopt = f"""
  changeout rules adopt --into {folder}{rules}
      put an edition of a code in force"""
    adopting = "" if kind in ("group", "practice") else adopt
    click.echo(f"""
What to do next:
  changeout rules overview{using}{used}{where}
      what is in force there
  changeout rules amend RULE --into {folder}{rules}
      change a rule of what it stands on{adopting}
  changeout rules lint {folder}{rules}
  changeout rules cases {folder}{rules}
      after every change
  changeout check job.json{using}{used}
      judge a job by it""")
