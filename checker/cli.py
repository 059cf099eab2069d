"""The command line: which command stands in which module of `checker.commands`."""

from __future__ import annotations

import click

from checker.commands.lazy_group import LazyGroup

# Each command is a module of `checker.commands` with a function of the same name, by the moment of the job; a name that is a
# word of Python's own takes a _ after it there.
MOMENTS = {
    "Before the visit": ("prep", "phone"),
    "At the house": ("interview", "photograph", "sheet", "compute"),
    "Before the inspector": ("check", "explain", "accept"),
    "After": ("packet", "jobs"),
    "For those who keep rules": ("rules",),
}


@click.group(
    cls=LazyGroup,
    package="checker.commands",
    names=tuple(name for names in MOMENTS.values() for name in names),
    headings=MOMENTS,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(package_name="changeout-checker")
def main() -> None:
    """Check the change-out of an air conditioner or heat pump before the inspector does.

    A self-check: the authority having jurisdiction decides.

    First time here? 'changeout interview' asks what it needs and checks as you go. Bash completes commands after:
    eval "$(_CHANGEOUT_COMPLETE=bash_source changeout)"
    """
