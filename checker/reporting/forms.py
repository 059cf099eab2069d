"""The forms of a report for many jobs, by name. A form is read only when it is asked for."""

from __future__ import annotations

import importlib
import textwrap
from collections.abc import Callable

from checker.engine.checker import Checker
from checker.problems.sanitize import inert
from checker.reporting import screen, text
from checker.reporting.form import Form, Judged
from checker.reporting.paragraphs import Paint, columns, plain
from checker.reporting.table import Table
from checker.reporting.totals import Totals

# Form → the module under `checker.reporting` and the class in it.
MODULES = {
    "json": ("json", "Json"),
    "jsonl": ("jsonl", "JsonLines"),
    "csv": ("csv", "Csv"),
    "junit": ("junit", "JUnit"),
    "sarif": ("sarif", "Sarif"),
    "markdown": ("markdown", "Markdown"),
}
FORMS = ("text", *MODULES)
RESUMABLE = ("jsonl", "csv")


class Screen(Form):
    """The short answer: one job on a screen, many as a table."""

    def __init__(self, width: int = 80, paint: Paint = plain) -> None:
        self.width, self.paint = width, paint

    def for_jobs(self, several: bool) -> Form:
        return Table(self.width, self.paint) if several else self

    def job(self, one: Judged) -> str:
        return screen.render(one.report, self.width, self.paint, len(one.known or ()))


class Everything(Form):
    """All that is to say of each job; the totals close it where there is more than one job."""

    between = "\n"

    def __init__(self, width: int = 80, paint: Paint = plain) -> None:
        self.width, self.paint = width, paint

    def job(self, one: Judged) -> str:
        known = (
            f"\n{len(one.known)} of these are in the baseline and do not count for the exit code.\n"
            if one.known
            else ""
        )
        return text.render(one.report, self.width, self.paint) + known

    def end(self, totals: Totals, checker: Checker, whole: bool) -> str:
        if totals.seen < 2 or not totals.jobs:
            return ""
        lines = (wrapped for line in totals.lines() for wrapped in self.wrapped(line))
        return "\n" + "\n".join(lines) + "\n"

    def wrapped(self, line: str) -> list[str]:
        """A line of the totals in the width of the text; what follows a number in columns stays in its column."""
        hang = " " * (len(line) - len(line.lstrip()))
        return textwrap.wrap(inert(line), columns(self.width), subsequent_indent=hang, break_on_hyphens=False)


class OneStation(Form):
    """All that is to say of one station of each job."""

    between = "\n"

    def __init__(self, station: str, width: int = 80, paint: Paint = plain) -> None:
        self.station, self.width, self.paint = station, width, paint

    def job(self, one: Judged) -> str:
        return text.render_station(one.report, self.station, self.width, self.paint)


def form(name: str, width: int = 80, paint: Paint = plain, everything: bool = False, station: str = "") -> Form:
    """A form by its name. The rest is for text: columns, color, all there is to say, or all of one station. SARIF tells of
    what passed where everything is wanted, too."""
    if name == "text" and station:
        return OneStation(station, width, paint)
    if name == "text":
        return Everything(width, paint) if everything else Screen(width, paint)
    module, kind = MODULES[name]
    make: Callable[..., Form] = getattr(importlib.import_module(f"checker.reporting.{module}"), kind)
    return make(everything) if name == "sarif" else make()
