"""Two visits on the page for the phone, by tapping and typing alone, and what was handed over goes through the commands.

The visits are those of `tests/test_first_jobs.py`: a furnace, a coil and an air conditioner in a basement, and a heat pump with a
heat kit in an attic.
"""

from __future__ import annotations

import datetime
import gzip
import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.fieldwork.phone import page as pages
from checker.fieldwork.prompts import NotAnAnswer
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from tests.support.browser import needs_chromium
from tests.support.commands import changeout
from tests.support.first_visits import FURNACE, HEAT_PUMP, Notes
from tests.support.interviews import about, at_path, typed
from tests.support.phone_page import Thumb, made, thumb
from tests.support.photographs import taken
from tests.support.rulesets import ON

MOST_BYTES, MOST_PACKED = 1_500_000, 400_000
ROUNDS = 3


@pytest.mark.long
def test_the_page_of_a_county_is_small_enough_to_mail(shipped: Checker) -> None:
    page = pages.render(made(shipped, "xx-alder")).encode()
    assert len(page) <= MOST_BYTES
    assert len(gzip.compress(page)) <= MOST_PACKED


def told_in_interview(checker: Checker, notes: Notes) -> dict[str, Any]:
    """What the notes of a visit record, as an interview takes them."""
    talk, left = about(checker, {}), dict(notes)
    while talk.question and left:
        shown = "\n".join((talk.question.text, *talk.question.parts, *talk.question.lines))
        fits = next((words for words in left if words in shown), None)
        try:
            if fits:
                talk.answer(left.pop(fits))
                continue
        except NotAnAnswer:
            pass
        talk.skip()
    found: dict[str, Any] = json.loads(talk.now.text)
    return found


class Visit:
    """One job, filled in on the page with what another job file records."""

    def __init__(self, page: Thumb, full: dict[str, Any], checker: Checker) -> None:
        self.page, self.full, self.checker = page, full, checker
        commands = checker.vocabulary.commands
        self.told = {one["ask"]: one for one in (*commands["start"], *commands["together"])}
        self.given: set[str] = set()

    def open(self, name: str) -> None:
        """Begin the job and answer what it begins with."""
        self.page.begin(name)
        self.fill()
        for word, days in (("applied", "permit_applied"), ("issued", "permit_issued")):
            day = at_path(self.full, f"dates.{days}")
            box = self.page.page.get_by_label(word, exact=True)
            if isinstance(day, str) and box.count():
                box.fill(day)
                box.dispatch_event("change")
        told = ", ".join(f"{one['edition']} {one['key']}" for one in self.full["site"]["adopted"])
        self.page.page.fill("#editions", told)
        self.page.page.dispatch_event("#editions", "change")
        self.page.page.get_by_role("button", name="Done", exact=True).click()

    def walk(self) -> None:
        """Go through all stations, and again while more is asked."""
        for _ in range(ROUNDS):
            before = len(self.given)
            self.page.stations()
            names = self.page.page.locator("button.station > span:first-child").all_inner_texts()
            for name in names:
                self.page.station(name)
                self.fill()
            if len(self.given) == before:
                return

    def fill(self) -> None:
        """Answer every field of the screen, and what comes up behind it."""
        while True:
            self.page.page.evaluate("document.querySelectorAll('details.rest').forEach((one) => (one.open = true))")
            paths = self.page.page.eval_on_selector_all("[data-path]", "all => all.map((one) => one.dataset.path)")
            new = [path for path in paths if path and path not in self.given]
            if not new:
                return
            for path in new:
                self.given.add(path)
                self.give(path)

    def give(self, path: str) -> None:
        field = self.page.page.locator(f'[data-path="{path}"]').first
        if field.locator(".choices.tall").count():
            self.choose(field)
            return
        value = at_path(self.full, path)
        entry = self.checker.vocabulary.lists.get(pattern(path))
        if value is None:
            return
        if entry and not entry.keyed:
            self.rows(field, value)
        elif entry:
            for item in value:
                field.locator("input").fill(item["key"])
                field.get_by_role("button", name="Add", exact=True).click()
        elif isinstance(value, dict) and "value" not in value:
            field.locator("summary").click()
            word, why = next(iter(value.items()))
            field.locator("details input").fill(str(why))
            field.get_by_role("button", name="Can't tell" if word == "not_known" else "There is none").click()
        elif field.locator(".choices, select").count():
            self.page.choose(path, typed(value, choice=True))
        else:
            self.page.type(path, typed(value))

    def choose(self, field: Any) -> None:
        told = self.told[field.locator(".ask").inner_text()]
        fits = {word: facts for word, facts in told["choices"].items() if facts and self.says(facts)}
        if fits:
            field.get_by_role("button", name=max(fits, key=lambda word: len(fits[word])), exact=True).click()

    def says(self, facts: dict[str, Any]) -> bool:
        return all(at_path(self.full, path) == value for path, value in facts.items())

    def rows(self, field: Any, rows: list[dict[str, Any]]) -> None:
        boxes = field.locator("tbody tr")
        while boxes.count() < len(rows):
            field.get_by_role("button", name="One more row").click()
        for number, row in enumerate(rows):
            for box, value in zip(boxes.nth(number).locator("input").all(), row.values(), strict=True):
                box.fill(typed(value))
                box.dispatch_event("change")


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
    begins = {"site.state": full["site"]["state"], "site.jurisdiction": full["site"]["jurisdiction"]}
    job = load(
        read_text(json.dumps({"job_id": "a", "schema_version": 1, "site": full["site"]}).encode(), "a"),
        shipped.vocabulary,
    )
    file = tmp_path / "phone.html"
    file.write_text(pages.render(pages.made(shipped, job, begins, ON)), encoding="utf-8")
    with thumb(file) as (page, complaints, requests):
        page.page.clock.set_fixed_time(datetime.datetime(ON.year, ON.month, ON.day, 12))
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
