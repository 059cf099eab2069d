"""What a name would be on Windows, reasoned with the library's own pure paths; no test runs there.

Reserved names are those of Microsoft, "Naming Files, Paths, and Namespaces" (from memory).
"""

from __future__ import annotations

from pathlib import PureWindowsPath

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from checker.authoring.releasing import VERSION_LINE
from checker.fieldwork.packet_list import NoList, read, safe_name
from checker.problems.file_names import MOST_LETTERS, safe_stem
from checker.reading.files import read_text
from checker.reporting.index_page import FileNames

DEVICES = ["CON", "PRN", "AUX", "NUL", *(f"{name}{number}" for name in ("COM", "LPT") for number in "0123456789¹²³")]


@given(st.text(max_size=200))
@example("CON")
@example("aux.json")
@example("nul.tar.gz")
@example("Lpt¹")
@example("com1 ")
@example("C:\\jobs\\a")
@example("a/b\\c")
@example("ends in a dot.")
@example("")
def test_a_file_named_after_anything_is_one_plain_name_on_windows(words: str) -> None:
    stem = safe_stem(words)
    path = PureWindowsPath(f"{stem}.json")
    assert ("", (f"{stem}.json",)) == (path.anchor, path.parts)
    assert not path.is_reserved()
    assert not set(stem) & set('/\\:*?"<>|\0\n\r\t ')
    assert stem
    assert stem[-1] not in ". "
    assert len(stem) <= MOST_LETTERS + 4


@pytest.mark.parametrize("name", DEVICES)
@pytest.mark.parametrize("ending", ["", ".json", ".tar.gz"])
def test_no_file_gets_a_name_that_windows_keeps_for_a_device(name: str, ending: str) -> None:
    for written in (name, name.lower(), name.capitalize()):
        assert f"job-{written}{ending}" == safe_stem(written + ending)


def test_two_jobs_whose_names_windows_takes_for_one_have_two_pages() -> None:
    names = FileNames()
    made = [names.of(job) for job in ("Elm 3", "elm-3", "ELM 3", "con", "CON")]
    assert len({name.casefold() for name in made}) == len(made)
    assert not any(PureWindowsPath(name).is_reserved() for name in made)


@pytest.mark.parametrize(
    "name", ["C:a.jpg", "C:\\a.jpg", "\\\\there\\share\\a.jpg", "..\\a.jpg", "a\\..\\b.jpg", "\\a.jpg", "a\\b.jpg"]
)
def test_a_packet_names_no_drive_no_share_and_no_folder_above(name: str) -> None:
    assert not safe_name(name)
    with pytest.raises(NoList):
        read(f"{'0' * 64}  {name}\n".encode())


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_lines_may_end_as_on_windows(ends: str) -> None:
    job = ends.join(['{"job_id": "x",', '"title": "a"', "}"])
    assert {"job_id": "x", "title": "a"} == read_text(job.encode(), "job.json").data
    rules = ends.join(["id: a", "version: 1.0.0", "title: b", ""])
    assert {"id": "a", "version": "1.0.0", "title": "b"} == read_text(rules.encode(), "a.yaml").data
    assert f"id: a{ends}version: 2.0.0{ends}title: b{ends}" == VERSION_LINE.sub(r"\g<1>\g<2>2.0.0\g<2>", rules)
    assert {"a.jpg": "0" * 64} == read(f"{'0' * 64}  a.jpg{ends}".encode())
