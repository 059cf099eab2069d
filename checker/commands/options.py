"""Options that several commands take, each written once."""

from __future__ import annotations

import datetime
import functools
import textwrap
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import click

from checker.commands import guard
from checker.commands.errors import stopping
from checker.commands.inputs import Chosen, Inputs
from checker.commands.settings import Settings, settings_for
from checker.commands.zipped_jobs import unpack
from checker.problems.sanitize import inert

Command = Callable[..., None]


class Day(click.ParamType[datetime.date]):
    name = "date"

    def convert(
        self, value: str | datetime.date, param: click.Parameter | None, ctx: click.Context | None
    ) -> datetime.date:
        if isinstance(value, datetime.date):
            return value
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            self.fail(f"'{value}' is not a date: write year-month-day.", param, ctx)


class Common(click.Option):
    """An option that many commands take: it stands under a heading of its own, below what a command alone has."""

    heading = "Rules, sheets and day"


class OfRuns(click.Option):
    """An option for runs over many jobs."""

    heading = "Long runs"


class OnGround(click.Option):
    """An option that says why and on what ground something is changed."""

    heading = "On what ground, else asked"


class Sectioned(click.Command):
    """A command whose help fits a screen, its own options first; it writes over nothing that it reads.

    Options that stand under a heading of their own are told in a paragraph.
    """

    def invoke(self, ctx: click.Context) -> Any:
        with stopping():
            guard.look(ctx)
        return super().invoke(ctx)

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        found: dict[str, list[tuple[str, str]]] = {"Options": []}
        for param in self.get_params(ctx):
            if isinstance(param, click.Option) and (record := param.get_help_record(ctx)):
                found.setdefault(getattr(param, "heading", "Options"), []).append(record)
        with formatter.section("Options"):
            formatter.write_dl(found.pop("Options"))
        for heading in sorted(found, key=lambda one: one == Common.heading):
            told = ", ".join(f"{name} ({said.partition('  [')[0].rstrip('.')})" for name, said in found[heading])
            lines = textwrap.wrap(f"{heading}: {told}", formatter.width, subsequent_indent="  ", break_on_hyphens=False)
            formatter.write_paragraph()
            formatter.write("\n".join(lines) + "\n")


command = functools.partial(click.command, cls=Sectioned)

jobs = click.argument("paths", nargs=-1, required=True, metavar="JOB…")
more_rules = click.option(
    "--rules", "folders", multiple=True, type=click.Path(path_type=Path), help="more rulesets", cls=Common
)
more_rules_too = click.option(
    "--rules", "more", multiple=True, type=click.Path(path_type=Path), help="more rulesets", cls=Common
)
to_file = click.option("--output", type=guard.Output(dir_okay=False), help="Write to a file.")
at_place = click.option("--place", default="", help="The place, where no job names one.")

_wanted = click.option(
    "--ruleset", "wanted", multiple=True, metavar="ID[@VERSION]", help="one more by its name", cls=Common
)
_signers = click.option("--signers", type=click.Path(path_type=Path), help="who may sign releases", cls=Common)
_on = click.option("--on", type=Day(), metavar="DATE", help="the day, else today", cls=Common)
_profile = click.option("--profile", type=click.Path(path_type=Path), help="instruments, crew and place", cls=Common)
_no_config = click.option("--no-config", is_flag=True, help="use no changeout.toml", cls=Common)
_equipment = click.option(
    "--equipment",
    multiple=True,
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="manufacturers' sheets",
    cls=Common,
)


def days_ahead(name: str, help: str) -> Callable[[Command], Command]:
    """The days ahead that count as near, 30 where none are named; the command takes them as `near`."""
    days = click.IntRange(0, 3650)
    return click.option(name, "near", type=days, default=30, show_default=True, metavar="DAYS", help=help)


def in_form(*forms: str) -> Callable[[Command], Command]:
    """`--format`, the first form being what is written where none is named."""
    return click.option(
        "--format",
        "form",
        type=click.Choice(forms),
        default=forms[0],
        metavar="FORM",
        help=f"{', '.join(forms)}.",
    )


def with_inputs(*, dated: bool = True, inherited: bool = True) -> Callable[[Command], Command]:
    """The options that say which rulesets, on which day, and what jobs inherit from; the command takes them as `given`."""
    own = [*([_equipment, _profile] if inherited else []), *([_on] if dated else [])]
    options = [_no_config, *own, _signers, _wanted, more_rules]

    def with_options(command: Command) -> Command:
        @functools.wraps(command)
        def called(no_config: bool, **words: Any) -> None:
            at_place = "place" in words
            chosen = Chosen(**{name: words.pop(name) for name in Chosen._fields if name in words})
            with stopping():
                unpack(words)
                settings = Settings() if no_config else settings_for(_jobs_named(words))
            chosen = _with_settings(chosen, settings, inherited)
            if settings.read:  # what stands on the line was looked at before
                with stopping():
                    guard.look(click.get_current_context(), settings.read)
            if at_place:
                words["place"] = chosen.place
            command(given=Inputs(chosen), **words)

        # Like `command`, `called` carries the options written below this decorator: click keeps them as an attribute.
        for option in options:
            option(called)
        return called

    return with_options


def _jobs_named(words: Mapping[str, Any]) -> list[Path]:
    """The folders of the jobs that a command line names."""
    named = [words[name] for name in ("paths", "job", "jobs", "file") if words.get(name)]
    flat = [one for value in named for one in (value if isinstance(value, tuple) else (value,))]
    return list(dict.fromkeys(one if one.is_dir() else one.parent for one in map(Path, flat) if str(one) != "-"))


def _with_settings(chosen: Chosen, settings: Settings, inherited: bool) -> Chosen:
    """What the line leaves open, out of the settings; said in one line on standard error."""
    own = {
        "folders": settings.rules,
        "wanted": settings.ruleset,
        "signers": settings.signers,
        **(
            {"equipment": settings.equipment, "profile": settings.profile, "place": settings.place} if inherited else {}
        ),
    }
    used: dict[str, Any] = {name: value for name, value in own.items() if value and not getattr(chosen, name)}
    if not used:
        return chosen
    said = ", ".join(f"{SETTING.get(name, name)} {_listed(value)}" for name, value in used.items())
    click.echo(inert(f"Using {settings.file}: {said}. Leave it out with --no-config."), err=True)
    return chosen._replace(**used, settings=f"From {settings.file}: {said}.")


SETTING = {"folders": "rules", "wanted": "ruleset"}


def _listed(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, tuple) else str(value)
