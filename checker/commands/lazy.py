"""A group of commands that reads a command's module only when it is used, so that none waits for what another needs."""

from __future__ import annotations

import errno
import importlib
import keyword
import os
import sys
from typing import Any

import click

NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


class LazyGroup(click.Group):
    """Each name is a module of a package with a function of that name; a word of Python's own takes a _ after it there."""

    def __init__(self, *args: Any, package: str, names: tuple[str, ...], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.package, self.names = package, names

    def invoke(self, ctx: click.Context) -> Any:
        """A command run. Files tell of a full disk themselves; what is left is standard output."""
        try:
            return super().invoke(ctx)
        except OSError as error:
            if error.errno not in NO_ROOM:
                raise
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # else Python tries again as it ends
            click.echo(
                f"Standard output cannot be written: {error.strerror}.\n  Make room, or name another file.\n", err=True
            )
            sys.exit(2)

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.names)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.names:
            return None
        name = f"{cmd_name}_" if keyword.iskeyword(cmd_name) else cmd_name
        command = getattr(importlib.import_module(f"{self.package}.{name}"), name)
        assert isinstance(command, click.Command)
        return command
