"""The command line: which command stands in which module of `checker.commands`."""

from __future__ import annotations

import importlib
import keyword

import click

# Each command is a module of `checker.commands` with a function of the same name, in the order of the work; a name that
# is a word of Python's own takes a _ after it there.
COMMANDS = (
    "start",
    "interview",
    "prep",
    "sheet",
    "import",
    "check",
    "explain",
    "compute",
    "packet",
    "rules",
    "lessons",
    "open",
)


class _Commands(click.Group):
    """Reads a command's module only when it is used, so that none waits for what another needs."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        name = f"{cmd_name}_" if keyword.iskeyword(cmd_name) else cmd_name
        command = getattr(importlib.import_module(f"checker.commands.{name}"), name)
        assert isinstance(command, click.Command)
        return command


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="changeout-checker")
def main() -> None:
    """Check a replacement of an air conditioner or heat pump against rules kept as data.

    A self-check: the authority having jurisdiction decides.
    """
