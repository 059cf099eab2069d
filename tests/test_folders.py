"""What a folder of rulesets or of makers' sheets may hold: bounded, told plainly, and nothing that is waited for."""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.reading.files import MOST_BYTES, MOST_FILES
from checker.reading.inherited.equipment import open_sheets
from checker.rulesets.library import MOST_OF_A_RULESET, open_library
from tests.support.fuzz_targets import TINY


def a_pipe(folder: Path) -> None:
    os.mkfifo(folder / "pipe.yaml")


def a_folder_called_as_a_file(folder: Path) -> None:
    (folder / "more.yaml").mkdir()


def too_many_files(folder: Path) -> None:
    for number in range(MOST_FILES + 1):
        (folder / f"{number}.yaml").write_text("rules: {}\n", encoding="utf-8")


def too_much(folder: Path) -> None:
    for number in range(9):
        (folder / f"{number}.yaml").write_text(f"# {'x' * (MOST_BYTES - 100)}\nrules: {{}}\n", encoding="utf-8")


def one_too_large(folder: Path) -> None:
    (folder / "large.yaml").write_text("#" * (MOST_BYTES + 1), encoding="utf-8")


def a_link_out_of_it(folder: Path) -> None:
    shutil.copy(folder / "lanterns.yaml", folder.parent)
    (folder / "absolute.yaml").symlink_to(folder.parent / "lanterns.yaml")


def a_relative_link_out_of_it(folder: Path) -> None:
    (folder / "relative.yaml").symlink_to(Path("..", "..", "elsewhere.yaml"))


def a_link_to_a_folder(folder: Path) -> None:
    (folder.parent / "more").mkdir()
    (folder / "linked").symlink_to(folder.parent / "more")


def another_ending(folder: Path) -> None:
    (folder / "more.yml").write_text("rules: {}\n", encoding="utf-8")


@pytest.mark.skipif(sys.platform == "win32", reason="there are no pipes with names")
@pytest.mark.parametrize(
    ("put", "told"),
    [
        (a_link_out_of_it, "absolute.yaml\n  This is a link out of the folder.\n  Put the file itself in its place."),
        (a_relative_link_out_of_it, "relative.yaml\n  This is a link out of the folder."),
        (a_link_to_a_folder, "linked\n  This is a link to a folder; its rules are not read."),
        (another_ending, "more.yml\n  A ruleset's files end in .yaml; this one does not.\n  Give it that ending."),
        (a_pipe, "pipe.yaml\n  This is not a regular file.\n  Take it out"),
        (a_folder_called_as_a_file, "more.yaml\n  This is not a regular file."),
        (too_many_files, f"guild\n  The folder holds more than {MOST_FILES} files."),
        (too_much, "guild\n  Its files are larger than 8 MiB.\n  Split it in two."),
        (one_too_large, "guild/large.yaml\n  The file is larger than 1 MiB."),
    ],
)
def test_what_a_folder_holds_is_bounded_and_nothing_is_waited_for(
    tmp_path: Path, put: Callable[[Path], None], told: str
) -> None:
    shutil.copytree(TINY / "rulesets" / "guild", tmp_path / "guild")
    put(tmp_path / "guild")
    began = time.process_time()
    with pytest.raises(ProblemsFound) as found:
        open_library([tmp_path / "guild"])
    assert told in str(found.value)
    assert time.process_time() - began < 1


@pytest.mark.skipif(sys.platform == "win32", reason="there are no pipes with names")
@pytest.mark.parametrize(("put", "told"), [(a_pipe, "not a regular file"), (too_many_files, "holds more than")])
def test_so_is_a_folder_of_makers_sheets(tmp_path: Path, tiny: Checker, put: Callable[[Path], None], told: str) -> None:
    put(tmp_path)
    with pytest.raises(ProblemsFound, match=told):
        open_sheets([tmp_path], tiny.vocabulary)


def test_what_a_hidden_folder_holds_is_no_part_of_a_ruleset(tmp_path: Path) -> None:
    shutil.copytree(TINY / "rulesets" / "guild", tmp_path / "guild")
    (tmp_path / "guild" / ".venv").mkdir()
    (tmp_path / "guild" / ".venv" / "config.yaml").write_text("not: of a ruleset\n", encoding="utf-8")
    (tmp_path / "guild" / ".venv" / "lib").mkdir()
    (tmp_path / "guild" / ".venv" / "lib64").symlink_to(tmp_path / "guild" / ".venv" / "lib")
    assert "guild" in open_library([tmp_path / "guild"]).rulesets


def test_a_ruleset_of_the_largest_size_is_read(tmp_path: Path) -> None:
    shutil.copytree(TINY / "rulesets" / "guild", tmp_path / "guild")
    room = MOST_OF_A_RULESET - sum(path.stat().st_size for path in (tmp_path / "guild").rglob("*.yaml"))
    for number in range(room // MOST_BYTES):
        (tmp_path / "guild" / f"{number}.yaml").write_text(f"rules: {{}} #{'x' * (MOST_BYTES - 11)}", encoding="utf-8")
    (tmp_path / "guild" / "last.yaml").write_text(f"rules: {{}} #{'x' * (room % MOST_BYTES - 11)}", encoding="utf-8")
    assert "guild" in open_library([tmp_path]).rulesets
