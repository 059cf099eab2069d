"""The command line: which command stands in which module of `checker.commands`."""

from __future__ import annotations

import click

from checker.commands.lazy_group import LazyGroup

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
    "acceptances",
)


@click.group(
    cls=LazyGroup, package="checker.commands", names=COMMANDS, context_settings={"help_option_names": ["-h", "--help"]}
)
@click.version_option(package_name="changeout-checker")
def main() -> None:
    """Check a replacement of an air conditioner or heat pump against rules kept as data.

    A self-check: the authority having jurisdiction decides.

    First time here? 'changeout start' asks a dozen questions and checks your job. A job file is checked with
    'changeout check JOB'. Bash completes commands after: eval "$(_CHANGEOUT_COMPLETE=bash_source changeout)"
    """
