"""The cache of an earlier run: it changes nothing but time, and nothing is taken from it that is not one's own."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path
from typing import Any

import pytest

from checker.engine import compiler
from checker.engine.checker import Checker
from checker.reading import cache
from checker.reading.files import read_file
from checker.reporting import json as as_json
from checker.rulesets import library
from checker.rulesets.library import Library, open_rulesets
from checker.rulesets.release import freeze, thaw
from checker.rulesets.ruleset import recalled
from tests.support import opening
from tests.support.many_jobs import BELLS
from tests.support.rulesets import ON

FACT = {"path": "site.elevation", "kind": "length"}
EXAMPLE = BELLS.with_name("bells_work") / "jobs" / "great-tom.json"


@pytest.fixture(autouse=True)
def read_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """Here every ruleset is read from disk or out of the cache, not shared with other tests."""
    monkeypatch.setattr(library, "_read", opening.read_anew)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(cache.SETTING, str(tmp_path / "kept"))
    return tmp_path / "kept"


def only_file(folder: Path) -> Path:
    (found,) = folder.iterdir()
    return found


def opened() -> Library:
    """An invented trade, opened in a moment: what is kept of a ruleset asks nobody for the trade."""
    return open_rulesets([BELLS])


def checker(library: Library) -> Checker:
    return Checker(library, library.vocabulary, kept=True)


def report() -> str:
    return as_json.render([checker(opened()).check(read_file(EXAMPLE), ON)])


def test_a_report_is_the_same_without_a_cache_while_it_is_made_and_out_of_it(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made, recalled = report(), report()
    assert any(folder.iterdir())
    monkeypatch.setenv(cache.SETTING, "off")
    assert report() == made == recalled


def test_what_was_kept_comes_back(folder: Path) -> None:
    cache.keep(FACT, "name")
    assert cache.recall("name") == FACT
    assert cache.recall("another name") is None
    assert only_file(folder).stat().st_mode & 0o077 == 0, "nobody else reads or writes it"


def test_a_file_that_was_changed_is_not_used(folder: Path) -> None:
    cache.keep(FACT, "name")
    file = only_file(folder)
    content = file.read_bytes()
    file.write_bytes(content.replace(b"elevation", b"barometer"))
    assert cache.recall("name") is None
    file.write_bytes(content[: len(content) // 2])
    assert cache.recall("name") is None


def test_a_file_that_others_could_have_written_is_not_used(folder: Path) -> None:
    cache.keep(FACT, "name")
    only_file(folder).chmod(0o666)
    assert cache.recall("name") is None


def test_a_file_in_the_place_of_another_is_not_used(folder: Path) -> None:
    cache.keep(FACT, "name")
    file = only_file(folder)
    cache.keep({"another": "thing"}, "other")
    (other,) = (one for one in folder.iterdir() if one != file)
    os.replace(file, other)
    assert cache.recall("other") is None
    cache.keep(FACT, "other")
    assert FACT == cache.recall("other")


@pytest.mark.parametrize(
    ("around", "home", "kept"),
    [
        ("/there", "/home/ada", "/there/changeout-checker"),
        ("", "/home/ada", "/home/ada/.cache/changeout-checker"),
        ("there", "/home/ada", "/home/ada/.cache/changeout-checker"),
        ("", "there", None),
        ("there", "", None),
    ],
)
def test_where_things_are_kept_is_a_folder_that_is_named_whole(
    around: str, home: str, kept: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """XDG Base Directory Specification 0.8: what is not absolute is passed over."""
    monkeypatch.delenv(cache.SETTING, raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", around)
    monkeypatch.setattr(Path, "home", lambda: Path(home))
    found = cache._folder()
    assert (str(found) if found else None) == kept


def test_there_may_be_no_home(monkeypatch: pytest.MonkeyPatch) -> None:
    def nowhere() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.delenv(cache.SETTING, raising=False)
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(Path, "home", nowhere)
    cache.keep(FACT, "name")
    assert cache.recall("name") is None


def test_a_file_of_another_user_is_not_used(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache.keep(FACT, "name")
    monkeypatch.setattr(os, "getuid", lambda: 424242)
    assert cache.recall("name") is None


def test_in_a_folder_that_anybody_may_write_what_is_ones_own_is_used_and_nothing_else(folder: Path) -> None:
    folder.mkdir()
    folder.chmod(0o777)
    cache.keep(FACT, "name")
    assert FACT == cache.recall("name")
    only_file(folder).chmod(0o620)
    assert cache.recall("name") is None


def test_a_folder_that_may_not_be_written_is_no_failure(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: Any, **__: Any) -> Any:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(cache.tempfile, "NamedTemporaryFile", refused)
    cache.keep(FACT, "name")
    assert cache.recall("name") is None


def test_a_link_is_not_followed(folder: Path, tmp_path: Path) -> None:
    cache.keep(FACT, "name")
    file = only_file(folder)
    elsewhere = file.rename(tmp_path / "elsewhere")
    file.symlink_to(elsewhere)
    assert cache.recall("name") is None


NO_JSON = [b"cos\nsystem\n(S'exit 1'\ntR.", b"", b"[1, 2", b"\xff"]


@pytest.mark.parametrize("content", NO_JSON, ids=["a pickle", "none", "cut", "bytes"])
def test_what_is_no_json_does_not_come_out_of_it(folder: Path, content: bytes) -> None:
    cache.keep(FACT, "name")
    file = only_file(folder)
    file.write_bytes(hashlib.sha256(file.name.encode() + b"\0" + content).digest() + content)
    assert cache.recall("name") is None


NOT_WHOLE = [None, [], {}, {"program": 1}, {"files": {}}, {"files": {"a.yaml": 3}, "to_fill_in": []}]


@pytest.mark.parametrize("data", NOT_WHOLE, ids=str)
def test_data_that_is_not_whole_is_made_anew(data: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever stands in our own files, they are read like any others: what is not whole is not used."""
    monkeypatch.setattr(cache, "recall", lambda *_: data)
    assert recalled(data, tmp_path, "a", "0" * 16) is None
    assert compiler.recalled("program") is None


def test_a_folder_that_cannot_be_made_is_no_failure(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv(cache.SETTING, str(tmp_path / "file" / "kept"))
    cache.keep(FACT, "name")
    assert cache.recall("name") is None


def test_the_folder_does_not_grow_without_end(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "MOST_FILES", 3)
    for number in range(6):
        cache.keep(FACT, str(number))
    assert len(list(folder.iterdir())) == 3


def test_what_else_stands_in_the_folder_is_left_alone(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder.mkdir()
    theirs = [folder / name for name in ("letter.txt", "0123", "job.json")]
    for file in theirs:
        file.write_text("not ours")
        os.utime(file, (0, 0))
    monkeypatch.setattr(cache, "MOST_FILES", 1)
    for number in range(3):
        cache.keep(FACT, str(number))
    assert all(file.exists() for file in theirs)
    assert len(list(folder.iterdir())) == len(theirs) + 1


def test_the_program_is_all_that_rules_are_bound_by() -> None:
    seen = cache._program()
    assert all(name in seen for name in ("binder.py ", "units.txt ", "saturation.json "))


def test_nothing_is_kept_of_a_release_which_says_itself_what_its_digests_are(folder: Path) -> None:
    found = opened()
    frozen = thaw(freeze(found.rulesets["lowchime"], found.rulesets).encode(), "release")
    before = set(folder.iterdir())
    checker(found.using([frozen])).check(read_file(EXAMPLE), ON)
    assert set(folder.iterdir()) == before
    checker(found).check(read_file(EXAMPLE), ON)
    assert set(folder.iterdir()) > before
