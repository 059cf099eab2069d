"""No command writes over what it reads: told from the options of click, so that a new option is looked at as it comes.

Each command is called with an output that is one of its inputs, in its own name and through a link, and stops with 2
before it begins; the input keeps its bytes.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.commands.guard import Output
from tests.support.photographs import EXAMPLES

CLEAN = EXAMPLES / "jobs" / "01-clean.json"
ADDED_TO = {("interview", "file"), ("photograph", "job"), ("accept", "job")}
# Paths that a command edits or adds to, on purpose and in nobody's place.
EDITED = {
    *ADDED_TO,
    ("rules new", "into"),
    *((f"rules {one}", "into") for one in ("adopt", "amend", "answer", "confirm")),
}
WRITES = ("output", "write", "export", "summary", "details", "revisit", "zip", "site", "witness")
Found = tuple[str, click.Command]


def _commands(group: click.Group, before: str = "") -> Iterator[Found]:
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command
        if isinstance(command, click.Group):
            yield from _commands(command, f"{before}{name} ")
        else:
            yield f"{before}{name}", command


COMMANDS = dict(_commands(main))


def _paths(command: click.Command) -> list[click.Parameter]:
    return [param for param in command.params if isinstance(param.type, click.Path)]


def _outputs(command: click.Command) -> list[click.Parameter]:
    return [param for param in _paths(command) if isinstance(param.type, Output)]


def _inputs(command: click.Command) -> list[click.Parameter]:
    words = (click.Path, click.types.StringParamType)
    return [
        p for p in command.params if isinstance(p.type, words) and not isinstance(p.type, Output) and _takes_a_path(p)
    ]


def _takes_a_path(param: click.Parameter) -> bool:
    """Whether a parameter names what is read: a path, or an argument that many files may stand in."""
    return isinstance(param.type, click.Path) or param.name in ("paths", "file", "jobs", "old", "new")


PAIRS = [
    (name, into.opts[0], given.name or "")
    for name, command in COMMANDS.items()
    for into in _outputs(command)
    for given in _inputs(command)
    if getattr(into.type, "renews", "") != given.name
]


def test_every_path_says_whether_it_is_read_or_written() -> None:
    named_as_written = {
        (name, param.name)
        for name, command in COMMANDS.items()
        for param in command.params
        if any(word in option for option in param.opts for word in WRITES)
    }
    written = {(name, param.name) for name, command in COMMANDS.items() for param in _outputs(command)}
    assert named_as_written == written
    into = {(name, p.name) for name, command in COMMANDS.items() for p in _paths(command) if p.name == "into"}
    assert into | ADDED_TO == EDITED


@pytest.mark.parametrize("by", ["its own name", "a link"])
@pytest.mark.parametrize(("name", "option", "given"), PAIRS)
def test_what_is_read_is_not_written_over(tmp_path: Path, name: str, option: str, given: str, by: str) -> None:
    read = tmp_path / "read.json"
    read.write_bytes(CLEAN.read_bytes())
    place = read
    if by == "a link":
        place = tmp_path / "linked.json"
        place.symlink_to(read)
    command = COMMANDS[name]
    line = [*name.split(), option, str(place)]
    for param in command.params:
        if param.name == given and isinstance(param, click.Option):
            line += [param.opts[0], str(read)]
        elif isinstance(param, click.Argument):
            line.append(str(read) if param.name == given else _another(param, tmp_path))
        elif isinstance(param, click.Option) and param.required and param.opts[0] != option:
            line += [param.opts[0], "something"]
    result = CliRunner().invoke(main, line)
    both = [param for param in command.params if param.name == given or option in param.opts]
    folders_alone = any(isinstance(param.type, click.Path) and not param.type.file_okay for param in both)
    why = "is a file" if folders_alone else "would write over"
    assert (result.exit_code, why in result.stderr) == (2, True), result.output
    assert read.read_bytes() == CLEAN.read_bytes()


def _another(param: click.Parameter, folder: Path) -> str:
    """What stands for an argument that is not the one tried: a word, or an empty folder where one has to be there."""
    if not (isinstance(param.type, click.Path) and param.type.exists and not param.type.file_okay):
        return "something"
    empty = folder / "empty"
    empty.mkdir()
    return str(empty)


@pytest.mark.parametrize("name", ["05.json", "our-rules/rules.yaml"])
def test_what_stands_in_a_folder_that_is_read_is_not_written_over(tmp_path: Path, name: str) -> None:
    inside = tmp_path / name
    inside.parent.mkdir(exist_ok=True)
    inside.write_bytes(CLEAN.read_bytes())
    read = ["--rules", str(tmp_path)] if "rules" in name else []
    result = CliRunner().invoke(
        main, ["check", str(CLEAN if read else tmp_path), *read, "--format", "json", "--output", str(inside)]
    )
    assert (result.exit_code, inside.read_bytes()) == (2, CLEAN.read_bytes())


def test_what_the_settings_name_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "job.json").write_bytes(CLEAN.read_bytes())
    (tmp_path / "crew.json").write_text('{"profile_version": 1}')
    (tmp_path / "changeout.toml").write_text('profile = "crew.json"\n')
    for name in ("crew.json", "changeout.toml"):
        before = (tmp_path / name).read_bytes()
        result = CliRunner().invoke(main, ["prep", str(tmp_path / "job.json"), "--output", str(tmp_path / name)])
        assert (result.exit_code, (tmp_path / name).read_bytes()) == (2, before)


def test_a_photograph_is_not_written_over(tmp_path: Path) -> None:
    picture = tmp_path / "nameplate.jpg"
    picture.write_bytes(b"\xff\xd8\xff\xe0\x00\x10JFIF")
    result = CliRunner().invoke(main, ["prep", str(CLEAN), "--output", str(picture)])
    assert (result.exit_code, picture.read_bytes()[:3]) == (2, b"\xff\xd8\xff")


def test_a_report_of_before_is_written_anew_and_a_dash_is_standard_output(tmp_path: Path) -> None:
    report = tmp_path / "report.json"
    (tmp_path / "job.json").write_bytes(CLEAN.read_bytes())
    for _ in range(2):
        line = ["check", str(tmp_path), "--format", "json", "--output", str(report), "--on", "2026-08-01"]
        assert CliRunner().invoke(main, line).exit_code == 0
    printed = CliRunner().invoke(main, ["prep", str(CLEAN), "--output", "-"])
    assert (printed.exit_code, len(printed.stdout.splitlines()) > 10) == (0, True)
