"""The command line as a person uses it: exit codes, files, folders, standard input, output whole or not at all."""

from __future__ import annotations

import functools
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from checker.cli import main
from tests.support.commands import JOBS, as_process, changeout, on_day
from tests.support.many_jobs import BELLS
from tests.support.opening import forget_reports


def test_a_clean_job_ends_with_0_and_says_no_more_than_it_knows() -> None:
    run = as_process(*on_day("check", "examples/jobs/01-clean.json"))
    assert 0 == run.returncode, run.stdout + run.stderr
    assert "Nothing was found wrong in what these rules read. That doesn't mean the job is ready." in " ".join(
        run.stdout.split()
    )


def test_a_failing_job_ends_with_1() -> None:
    run = changeout(*on_day("check", "examples/jobs/02-oversized-breaker.json"))
    assert 1 == run.returncode
    assert "Fix first" in run.stdout


def test_an_unreadable_job_does_not_stop_the_others(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text("{")
    (tmp_path / "b.json").write_text((JOBS / "01-clean.json").read_text())
    run = changeout(*on_day("check", str(tmp_path)))
    assert 2 == run.returncode
    assert "a.json:1:2" in run.stderr
    assert "b.json" in run.stdout
    assert "cannot be read" in run.stdout


def test_a_job_on_standard_input() -> None:
    run = changeout(*on_day("check", "-", "--format", "json"), stdin=(JOBS / "01-clean.json").read_text())
    assert "standard input" == json.loads(run.stdout)["jobs"][0]["file"]


@pytest.mark.long
def test_the_same_job_gives_the_same_bytes() -> None:
    jobs = ("examples/jobs/01-clean.json", "examples/jobs/02-oversized-breaker.json")
    first = changeout(*on_day("check", *jobs, "--format", "json")).stdout
    forget_reports()
    assert first == changeout(*on_day("check", *jobs, "--format", "json")).stdout


def test_output_goes_to_a_file_whole(tmp_path: Path) -> None:
    file = tmp_path / "report.json"
    run = changeout(*on_day("check", "examples/jobs/01-clean.json", "--format", "json", "--output", str(file)))
    assert ("", 0) == (run.stdout, run.returncode)
    assert 1 == len(json.loads(file.read_text())["jobs"])
    assert [file] == list(tmp_path.iterdir()), "nothing else is left behind"


def test_output_that_cannot_be_written_is_a_problem_not_a_traceback(tmp_path: Path) -> None:
    run = changeout(*on_day("check", "examples/jobs/01-clean.json", "--output", str(tmp_path / "no" / "r.txt")))
    assert 2 == run.returncode
    assert "cannot be written" in run.stderr
    assert "Traceback" not in run.stderr


@pytest.mark.parametrize(
    "words", [("check",), ("check", "no-such.json"), ("check", "examples/jobs", "--ruleset", "nobody")]
)
def test_wrong_usage_ends_with_2_and_no_traceback(words: tuple[str, ...]) -> None:
    run = changeout(*words)
    assert 2 == run.returncode
    assert "Traceback" not in run.stderr


def test_strict_ends_with_1_for_open_questions() -> None:
    loose = changeout(*on_day("check", "examples/jobs/01-clean.json"))
    strict = changeout(*on_day("check", "examples/jobs/01-clean.json", "--strict"))
    open_ones = "open" in loose.stdout.split("Requirements:")[-1].split("Passed:")[0]
    assert (0, int(open_ones)) == (loose.returncode, strict.returncode)


def test_no_colour_in_a_pipe() -> None:
    assert "\x1b" not in changeout(*on_day("check", "examples/jobs")).stdout


def test_explain_shows_who_changed_a_rule_and_the_working_on_a_job() -> None:
    run = changeout(*on_day("explain", "overcurrent-within-nameplate", "examples/jobs/02-oversized-breaker.json"))
    assert 0 == run.returncode, run.stderr
    for part in ("Sections by edition:", "Where it comes from:", "does not hold", "finding ", "margin"):
        assert part in run.stdout
    assert "is not a rule" not in run.stdout


def test_explain_tells_what_to_do_every_caution_and_who_decides() -> None:
    run = changeout(*on_day("explain", "overcurrent-within-nameplate", "--place", "xx-alder"))
    assert "What to do: If the nameplate says fuse only: Put a fused disconnect" in run.stdout
    assert 2 == run.stdout.count("  Caution: ")
    assert "The authority having jurisdiction decides" in run.stdout


def test_explain_of_no_rule_offers_the_nearest() -> None:
    run = changeout("explain", "overcurrent-within-nameplates")
    assert 2 == run.returncode
    assert "Did you mean 'overcurrent-within-nameplate'?" in run.stderr


def test_another_folder_of_rulesets_is_used(tmp_path: Path) -> None:
    folder = tmp_path / "our-group"
    folder.mkdir()
    (folder / "ruleset.yaml").write_text(
        "id: our-group\nversion: 1.0.0\ntitle: Our group (invented)\nowner: Us\nowner_kind: group\n"
        'uses: {commissioning: ">=1.0"}\nreviewed_through: 2027-01-01\ndocuments: {ours: Our book}\n'
    )
    (folder / "rules.yaml").write_text(
        "rules:\n  photo-of-the-plate:\n    title: The plate is photographed\n    topic: proof\n    obligation: should\n"
        "    intent: Proof in hand.\n"
        "    citation: [{document: ours, section: '1', section_sure: checked, requirement_sure: checked}]\n"
        '    require: [outdoor_unit.serial != ""]\n'
        "    cases: [{name: there, given: {outdoor_unit.serial: A1}, expect: pass}]\n"
    )
    run = changeout(
        *on_day("check", "examples/jobs/01-clean.json", "--all", "--rules", str(tmp_path), "--ruleset", "our-group")
    )
    assert "The plate is photographed" in run.stdout, run.stderr
    assert "our-group 1.0.0 (" in " ".join(run.stdout.split())


def test_cases_run_from_the_command_line() -> None:
    """Those of a few rules; every shipped one is judged in `test_cases.py`."""
    run = changeout("rules", "cases", str(BELLS))
    assert 0 == run.returncode, run.stderr
    assert re.search(r"^\d\d cases, 0 of them not as stated\.$", run.stdout, re.MULTILINE)


def test_a_written_file_can_be_read_by_those_who_may_read_the_folder(tmp_path: Path) -> None:
    new, old = tmp_path / "new.txt", tmp_path / "old.txt"
    old.write_text("before")
    old.chmod(0o640)
    for file in (new, old):
        changeout(*on_day("check", "examples/jobs/01-clean.json", "--output", str(file)))
    mask = os.umask(0)
    os.umask(mask)
    assert new.stat().st_mode & 0o777 == 0o666 & ~mask
    assert old.stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize(
    ("typed", "meant"), [(["chek"], "check"), (["intervew"], "interview"), (["rules", "lnt"], "lint")]
)
def test_a_mistyped_command_is_told_with_the_one_that_was_likely_meant(typed: list[str], meant: str) -> None:
    run = changeout(*typed)
    assert run.returncode == 2
    assert f"No such command '{typed[-1]}'. Did you mean '{meant}'?" in run.stderr


def test_alone_it_says_what_to_do_first() -> None:
    run = changeout()
    assert "'changeout interview' asks what it needs" in " ".join((run.stdout + run.stderr).split())


def test_it_runs_as_a_module_too() -> None:
    run = subprocess.run([sys.executable, "-m", "checker", "--version"], capture_output=True, text=True, check=True)
    assert run.stdout.startswith("changeout, version ")


# --- what there is to type ---


def groups(group: click.Group = main) -> Iterator[click.Group]:
    """The command line and every group of commands in it."""
    yield group
    for name in group.list_commands(click.Context(group)):
        inside = group.get_command(click.Context(group), name)
        if isinstance(inside, click.Group):
            yield from groups(inside)


def test_a_dozen_commands_at_most_and_none_differs_from_another_by_a_letter() -> None:
    assert len(main.list_commands(click.Context(main))) <= 12
    for group in groups():
        names = group.list_commands(click.Context(group))
        assert len(names) == len(set(names))
        for one, other in combinations(names, 2):
            assert distance(one, other) > 1, (one, other)


@functools.cache
def distance(one: str, other: str) -> int:
    """How many letters lie between two words: Levenshtein's distance (1965, from memory)."""
    if not one or not other:
        return len(one) + len(other)
    changed = distance(one[1:], other[1:]) + (one[0] != other[0])
    return min(changed, 1 + distance(one[1:], other), 1 + distance(one, other[1:]))


def every_command(group: click.Group, names: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """The words of each command, those of groups too."""
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        if isinstance(command, click.Group):
            yield from every_command(command, (*names, name))
        else:
            yield (*names, name)


@pytest.mark.parametrize("names", list(every_command(main)), ids=" ".join)
def test_help_fits_a_screen_with_what_everybody_needs_first(names: tuple[str, ...]) -> None:
    """A terminal of 24 lines and 80 columns."""
    told = CliRunner().invoke(main, [*names, "--help"], terminal_width=80).output
    assert len(told.splitlines()) <= 24
    assert max(map(len, told.splitlines())) <= 80
    assert told.count("--rules PATH") <= 1
    if "--rules PATH" in told:
        assert told.index("-h, --help") < told.index("--rules PATH")


def test_commands_are_told_by_the_moment_of_the_job() -> None:
    told = changeout("--help").stdout
    order = ["Before the visit:", "At the house:", "Before the inspector:", "After:"]
    assert order == sorted(order, key=told.index)
    assert len(told.splitlines()) <= 40
    assert "..." not in told.partition(order[0])[2], "each command is told in a line"
