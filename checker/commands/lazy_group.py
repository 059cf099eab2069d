"""A group of commands that reads a command's module only when it is used, so that none waits for what another needs."""

from __future__ import annotations

import errno
import importlib
import keyword
import os
import sys
import traceback
from collections.abc import Mapping
from typing import Any

import click

from checker.commands.streams import make_readable

NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
WIDEST = 72  # columns of a command and what it is for
READER_LEFT = 141  # the exit code of what writes to nobody, as shells have it


class LazyGroup(click.Group):
    """Its commands are modules of a package, each with a function of the module's name: `check`, and `import_` for `import`."""

    def __init__(
        self,
        *args: Any,
        package: str,
        names: tuple[str, ...],
        headings: Mapping[str, tuple[str, ...]] | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.package, self.names, self.headings = package, names, headings or {"Commands": names}

    def main(self, *args: Any, **words: Any) -> Any:
        """Run from the command line, on whatever terminal there is."""
        make_readable()
        return super().main(*args, **words)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The commands under their headings, with what each is for."""
        widest = max(map(len, self.names))
        for heading, names in self.headings.items():
            found = [(name, command) for name in names if (command := self.get_command(ctx, name))]
            rows = [(name.ljust(widest), command.get_short_help_str(WIDEST - widest)) for name, command in found]
            with formatter.section(heading):
                formatter.write_dl(rows)

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command. An error that it did not tell itself is told here, and ends it with 2; 1 is for jobs alone.

        A full disk under standard output is told here, under a file by the file. Where the reader of standard output went
        away (`| head`), nothing is told and the code is 141.
        """
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.Abort, click.exceptions.Exit):
            raise
        except Exception as error:
            number = error.errno if isinstance(error, OSError) else 0
            if number in (*NO_ROOM, errno.EPIPE) and sys.stdout:
                os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # else Python tries again as it ends
            if number == errno.EPIPE:
                sys.exit(READER_LEFT)
            _tell(error, number in NO_ROOM)
            sys.exit(2)

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.names)

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        """The command that was typed. For a mistyped name, the message offers the one that was likely meant."""
        if args and args[0] not in self.names:
            from checker.problems.problem import did_you_mean

            if hint := did_you_mean(args[0], self.names):
                ctx.fail(f"No such command '{args[0]}'. {hint}")
        return super().resolve_command(ctx, args)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.names:
            return None
        name = f"{cmd_name}_" if keyword.iskeyword(cmd_name) else cmd_name
        command = getattr(importlib.import_module(f"{self.package}.{name}"), name)
        assert isinstance(command, click.Command)
        return command


def _tell(error: Exception, no_room: bool) -> None:
    """Tell why a command ended: no room on the disk, or a fault of this program with its traceback."""
    if no_room:
        what, hint = f"Standard output cannot be written: {error.args[1]}.", "Make room, or name another file."
    else:
        traceback.print_exception(error)
        what, hint = f"This is a bug in this program ({type(error).__name__}: {error}).", "Please report it."
    click.echo(f"{what}\n  {hint}\n", err=True)
