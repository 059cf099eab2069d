"""Two visits on the page for the phone, by tapping and typing alone, and what was handed over goes through the commands.

The visits are those of `tests/test_first_jobs.py`: a furnace, a coil and an air conditioner in a basement, and a heat pump with a
heat kit in an attic.
"""

from __future__ import annotations

import gzip
import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.fieldwork.phone import page as pages
from checker.reading.files import read_file
from checker.reading.job import load
from tests.support.browser import needs_chromium
from tests.support.commands import changeout
from tests.support.first_visits import FURNACE, HEAT_PUMP, Notes
from tests.support.phone_page import Thumb, made, thumb
from tests.support.phone_visits import NOON, Visit, page_at_home, told_in_interview
from tests.support.photographs import taken
from tests.support.rulesets import ON

MOST_BYTES, MOST_PACKED = 1_500_000, 400_000


@pytest.mark.long
def test_the_page_of_a_county_is_small_enough_to_mail(shipped: Checker) -> None:
    page = pages.render(made(shipped, "xx-alder")).encode()
    assert len(page) <= MOST_BYTES
    assert len(gzip.compress(page)) <= MOST_PACKED


@needs_chromium
@pytest.mark.parametrize(
    ("notes", "wrong"),
    [(FURNACE, "Breaker too big"), (HEAT_PUMP, "detector")],
    ids=["furnace and air conditioner", "heat pump"],
)
def test_a_visit_ends_in_a_zip_of_which_the_commands_say_the_same(
    shipped: Checker, tmp_path: Path, notes: Notes, wrong: str
) -> None:
    full = told_in_interview(shipped, notes)
    with thumb(page_at_home(shipped, full, tmp_path)) as (page, complaints, requests):
        page.page.clock.set_fixed_time(NOON)
        visit = Visit(page, full, shipped)
        visit.open("14 Elm")
        visit.walk()
        page.stations()
        page.tap("Pictures")
        page.page.set_input_files(
            "input.camera >> nth=6", {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": taken(["MCA"])}
        )
        page.page.wait_for_selector("figure img")
        said = told_on(page)
        page.stations()
        with page.page.expect_download() as saved:
            page.tap("Hand over (zip with pictures)")
        Path(saved.value.path()).rename(tmp_path / "elm.zip")
        assert (complaints, requests) == ([], [])
    assert wrong in json.dumps(said)
    assert said == told_by(shipped, tmp_path)
    bound = changeout(
        "photograph", "elm.zip", *(str(one) for one in (tmp_path / "elm" / "photographs").iterdir()), cwd=tmp_path
    )
    assert "it is in the job already" in " ".join(bound.stdout.split())
    assert changeout("packet", "elm.zip", "--zip", "packet.zip", "--on", str(ON), cwd=tmp_path).returncode == 1


def told_on(page: Thumb) -> dict[str, Any]:
    """What the screen of verdicts says: the headlines of what failed, and what is open and passed by its title."""
    page.page.locator("nav.bar .verdict").click()
    page.at("What it says")
    page.page.evaluate("document.querySelectorAll('details').forEach((one) => (one.open = true))")
    failed = page.page.eval_on_selector_all(
        "article.card h3",
        "all => all.map((one) => [...one.childNodes].filter((n) => n.nodeType === 3).map((n) => n.data).join('').trim())",
    )
    opened = page.page.eval_on_selector_all(
        "ul.open > li > b", "all => all.map((one) => one.textContent.replace('● ', ''))"
    )
    passed = page.page.eval_on_selector_all("ul.passed > li", "all => all.map((one) => one.firstChild.data)")
    return {"failed": sorted(failed), "open": sorted(opened), "passed": sorted(passed)}


def told_by(checker: Checker, folder: Path) -> dict[str, Any]:
    """The same out of the report that `changeout check` prints of the zip."""
    run = changeout("check", "elm.zip", "--format", "json", "--on", str(ON), cwd=folder)
    (job,) = json.loads(run.stdout)["jobs"]
    found: dict[str, list[str]] = {"failed": [], "open": [], "passed": []}
    names = {"fail": "failed", "verify_locally": "open", "pass": "passed"}
    report = checker.check_job(load(read_file(folder / "elm" / "14-Elm.json"), checker.vocabulary), ON)
    assert len(report.findings) == len(job["findings"])
    for one in report.findings:
        title = one.headline if one.outcome == "fail" and one.headline else one.title
        found[names[one.outcome]].append(title + (f" [{one.item.replace('/', ', ')}]" if one.item else ""))
    return {name: sorted(some) for name, some in found.items()}
