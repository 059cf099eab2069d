"""A whole visit on the page for the phone, by tapping and typing alone, with what the notes of a visit say."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

from checker.engine.checker import Checker
from checker.fieldwork.phone import page as pages
from checker.fieldwork.prompts import NotAnAnswer
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_text
from checker.reading.job import load
from tests.support.first_visits import Notes
from tests.support.interviews import about, at_path, typed
from tests.support.phone_page import Thumb
from tests.support.rulesets import ON

ROUNDS = 3
NOON = datetime.datetime(ON.year, ON.month, ON.day, 12)


def page_at_home(checker: Checker, full: dict[str, Any], folder: Path) -> Path:
    """The page of the state and county of a job, as a file."""
    begins = {"site.state": full["site"]["state"], "site.jurisdiction": full["site"]["jurisdiction"]}
    facts = {"job_id": "a", "schema_version": 1, "site": full["site"]}
    job = load(read_text(json.dumps(facts).encode(), "a"), checker.vocabulary)
    file = folder / "phone.html"
    file.write_text(pages.render(pages.made(checker, job, begins, ON)), encoding="utf-8")
    return file


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
