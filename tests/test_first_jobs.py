"""Two contractors' first jobs in a place that no ruleset covers, from a blank file to a page, on a real terminal.

What each has noted stands in the order of the visit. People, places and figures are invented. A prompt of which the notes
say nothing is left with Enter, and counts as well.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.support.commands import changeout
from tests.support.first_visits import FURNACE, HEAT_PUMP, Notes
from tests.support.photographs import taken
from tests.support.terminal import DAY, Session

MOST_PROMPTS = 80
PHOTOGRAPHS = {
    "IMG_0041.jpg": ("outdoor unit's nameplate", ["LARKSPUR (invented)", "MODEL LK-36", "SERIAL 0031"]),
    "IMG_0057.jpg": ("micron gauge at the end", ["330 micron", "15 min"]),
}


def sitting(folder: Path, notes: Notes) -> tuple[int, list[str], str]:
    """One sitting: how many prompts it took, the notes that nobody asked for, and all that was shown."""
    talk, left, count = Session(folder), dict(notes), 0
    while left and count < MOST_PROMPTS:
        shown = talk.shown()
        if "go on or stop here?" in shown:
            talk.type("go on")
            continue
        count += 1
        _, number, question = shown.rpartition(f"{count}. ")
        assert number, f"not taken: {shown}"
        fits = next((words for words in left if words in question), None)
        talk.type(left.pop(fits) if fits else "")
    talk.shown()
    talk.type("stop")
    talk.end()
    return count, [*left], talk.seen


@pytest.mark.long
@pytest.mark.parametrize(
    ("notes", "wrong"),
    [(FURNACE, "Breaker too big"), (HEAT_PUMP, "detector")],
    ids=["furnace and air conditioner", "heat pump"],
)
def test_a_first_job_goes_from_blank_to_a_page_in_one_sitting(tmp_path: Path, notes: Notes, wrong: str) -> None:
    count, left, seen = sitting(tmp_path, notes)
    assert not left, left
    assert count <= MOST_PROMPTS
    assert "Core is done" in seen
    run = changeout("check", "job.json", "--format", "page", "--output", "page.html", *DAY, cwd=tmp_path)
    assert run.returncode == 1, run.stderr
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert wrong in page
    assert json.loads((tmp_path / "job.json").read_text())["site"]["jurisdiction"] in page
    handed_over(tmp_path)


def handed_over(folder: Path) -> None:
    """Photographs are bound, the packet is made and verified, and a change in it is told."""
    (folder / "phone").mkdir()
    for name, (shows, lines) in PHOTOGRAPHS.items():
        (folder / "phone" / name).write_bytes(taken(lines))
        assert changeout("photograph", "job.json", f"phone/{name}", "--shows", shows, *DAY, cwd=folder).returncode == 0
    made = changeout("packet", "job.json", "--output", "packet", "--zip", "packet.zip", *DAY, cwd=folder)
    assert made.returncode == 1, made.stderr
    assert "where it was taken (2)" in " ".join(made.stdout.split())
    for place in ("packet", "packet.zip"):
        assert changeout("packet", "--verify", place, cwd=folder).returncode == 0
    again = changeout("check", "job.json", "--format", "json", *DAY, cwd=folder / "packet")
    assert "does not count as taken" not in again.stdout
    record = folder / "packet" / "refrigerant-record.html"
    record.write_text(record.read_text().replace("Day of recovery", "Day of recovery "))
    told = changeout("packet", "--verify", "packet", cwd=folder)
    assert (1, True) == (told.returncode, "Changed since: refrigerant-record.html." in told.stdout)
