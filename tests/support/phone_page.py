"""The page for the phone in tests: made once a place, opened in Chromium, and filled in as a thumb does."""

from __future__ import annotations

import datetime
import functools
import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from checker.engine.checker import Checker
from checker.fieldwork.phone import page as pages
from checker.reading.files import read_text
from checker.reading.job import load
from tests.support.browser import PHONE, opened
from tests.support.rulesets import ON


@functools.cache
def made(checker: Checker, place: str, day: datetime.date = ON) -> pages.Made:
    """The page of a place, as `changeout phone --place` makes it."""
    at = checker.vocabulary.at("place")
    section, _, name = at.rpartition(".")
    facts = {"job_id": "page", "schema_version": 1, section: {name: place}}
    job = load(read_text(json.dumps(facts).encode(), "page"), checker.vocabulary)
    return pages.made(checker, job, {at: place}, day)


def written(checker: Checker, place: str, folder: Path, day: datetime.date = ON) -> Path:
    """The page of a place as a file."""
    file = folder / f"{place}-{day}.html"
    file.write_text(pages.render(made(checker, place, day)), encoding="utf-8")
    return file


class Thumb:
    """A page in a browser, and what a thumb does on it."""

    def __init__(self, page: Any) -> None:
        self.page = page
        page.set_default_timeout(5000)
        page.wait_for_selector("h1")

    def begin(self, name: str) -> None:
        """A new job."""
        self.page.fill("#new-job", name)
        self.tap("Begin")
        self.at("The job")

    def at(self, heading: str) -> None:
        """Wait for the screen with a heading."""
        self.page.wait_for_selector(f"h1:has-text('{heading}')")

    def tap(self, text: str) -> None:
        self.page.get_by_role("button", name=text, exact=True).first.click()

    def stations(self) -> None:
        """Go to the list of stations from wherever one is."""
        back = self.page.get_by_role("button", name="All stations", exact=True)
        if back.count():
            back.click()
        self.page.wait_for_selector("h2:has-text('Take it along')")

    def station(self, heading: str) -> None:
        """Go to a station from wherever one is."""
        self.stations()
        self.page.locator("button.station", has_text=heading).last.click()
        self.at(heading)

    def field(self, path: str) -> Any:
        """The field of a fact on the screen, with what is folded around it opened."""
        found = self.page.locator(f'[data-path="{path}"]').first
        found.wait_for(state="attached")
        self.page.evaluate("document.querySelectorAll('details.rest').forEach((one) => (one.open = true))")
        return found

    def type(self, path: str, text: str) -> str:
        """Type a value, and leave the field. Returns what is said below it."""
        box = self.field(path).locator("input").first
        box.fill(text)
        box.dispatch_event("change")
        return str(self.field(path).locator(".said").inner_text())

    def choose(self, path: str, word: str) -> None:
        """Take one of a few choices, or of a list."""
        field = self.field(path)
        if field.locator("select").count():
            field.locator("select").select_option(word)
        else:
            field.get_by_role("button", name=word, exact=True).click()

    def verdict(self) -> str:
        """What the bar says in a few words."""
        return str(self.page.inner_text("nav.bar .verdict"))

    def job_file(self) -> str:
        """The text of the job file that it saves."""
        self.stations()
        with self.page.expect_download() as saved:
            self.tap("Save job file")
        return Path(saved.value.path()).read_text(encoding="utf-8")

    def kept(self) -> None:
        """Wait until the last answer is kept."""
        self.page.wait_for_timeout(150)


@contextmanager
def thumb(file: Path, size: dict[str, int] = PHONE) -> Iterator[tuple[Thumb, list[str], list[str]]]:
    """A page opened from disk, what its console complained of, and every request that left it."""
    with opened(file, size) as (page, complaints, requests):
        yield Thumb(page), complaints, requests
