"""The forms of a report for many jobs, by name. A form is read only when it is asked for."""

from __future__ import annotations

import importlib
import textwrap
from collections.abc import Callable

from checker.engine.checker import Checker
from checker.problems.sanitize import inert
from checker.reporting.form import Form, Judged
from checker.reporting.text import Paint, plain, render
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


class Text(Form):
    """The report as people read it; the totals close it where there is more than one job."""

    between = "\n"

    def __init__(self, width: int = 80, paint: Paint = plain) -> None:
        self.width, self.paint = width, paint

    def job(self, one: Judged) -> str:
        known = (
            f"\n{len(one.known)} of these stand in the baseline and do not count for the exit code.\n"
            if one.known
            else ""
        )
        return render(one.report, self.width, self.paint) + known

    def end(self, totals: Totals, checker: Checker, whole: bool) -> str:
        if totals.seen < 2 or not totals.jobs:
            return ""
        lines = (wrapped for line in totals.lines() for wrapped in self.wrapped(line))
        return "\n" + "\n".join(lines) + "\n"

    def wrapped(self, line: str) -> list[str]:
        """A line of the totals in the width of the text; what follows a number in columns stays in its column."""
        hang = " " * (len(line) - len(line.lstrip()))
        return textwrap.wrap(inert(line), max(40, min(self.width, 100)), subsequent_indent=hang, break_on_hyphens=False)


def form(name: str, width: int = 80, paint: Paint = plain) -> Form:
    """A form by its name; width and paint are the text's."""
    if name == "text":
        return Text(width, paint)
    module, kind = MODULES[name]
    make: Callable[[], Form] = getattr(importlib.import_module(f"checker.reporting.{module}"), kind)
    return make()
