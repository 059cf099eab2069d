"""Many jobs as a table, a line a job; below it what failed, and the counts."""

from __future__ import annotations

from checker.engine.checker import Checker
from checker.findings.report import DEFERRAL_IN_SHORT
from checker.ir.outcomes import VERIFY
from checker.problems.problem import ProblemsFound
from checker.problems.sanitize import inert
from checker.reporting.form import Form, Judged
from checker.reporting.next_step import verdict
from checker.reporting.paragraphs import Paint, columns, plain, wrapped
from checker.reporting.totals import Totals
from checker.reporting.words import UNCHECKED, UNCHECKED_IN_SHORT, named, sections_of

MOST_FAILURES = 40  # failures told below the table; more are counted
COUNTS = 6  # columns of a count
VERDICT = 20  # columns of the verdict
MORE = "changeout check with one of them tells more; --all tells everything."


class Table(Form):
    """The text of a job is its line of the table, and below it a line for each of its failures."""

    def __init__(self, width: int = 80, paint: Paint = plain) -> None:
        self.width, self.paint = columns(width), paint
        self.failures: list[str] = []
        self.left_out = 0

    def begin(self) -> str:
        return self.paint(self.row("Job", "to fix", "open", ""), "heading") + "\n"

    def job(self, one: Judged) -> str:
        report = one.report
        open_ones = len(report.with_outcome(VERIFY))
        row = self.row(one.name, str(len(report.to_fix)), str(open_ones), verdict(report))
        failures = (
            f"{named(finding)}. {sections_of(finding)}{report.known.in_brackets(finding)}" for finding in report.to_fix
        )
        return "\n".join([row, *(f"{_short(one.name)}: {inert(told)}" for told in failures)]) + "\n"

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        return self.row(name, "-", "-", "cannot be read") + "\n"

    def add(self, text: str, first: bool) -> str:
        """The line of the table; the failures stand below it."""
        row, *failures = text.splitlines()
        room = MOST_FAILURES - len(self.failures)
        self.failures += failures[:room]
        self.left_out += len(failures[room:])
        return f"{row}\n"

    def end(self, totals: Totals, checker: Checker, whole: bool) -> str:
        lines: list[str] = []
        if self.failures:
            lines += ["", self.paint(f"To fix ({len(self.failures) + self.left_out})", "fail")]
        for failure in self.failures:
            lines += wrapped(failure, self.width, 2, 2)
        if self.left_out:
            lines += wrapped(f"and {self.left_out} more; --format csv has a row for each.", self.width, 2, 2)
            lines += [line for told in totals.fixed_most_often() for line in wrapped(told, self.width)]
        told = [*totals.counts(), *([UNCHECKED_IN_SHORT] if any(UNCHECKED in one for one in self.failures) else [])]
        lines += ["", *(line for one in (*told, MORE, DEFERRAL_IN_SHORT) for line in wrapped(one, self.width))]
        return "\n".join(lines) + "\n"

    def row(self, name: str, fix: str, still_open: str, said: str) -> str:
        room = self.width - 2 * COUNTS - VERDICT - 3
        return f"{_fit(inert(name), room):<{room}}{fix:>{COUNTS}}{still_open:>{COUNTS}}   {said}".rstrip()


def _fit(name: str, room: int) -> str:
    """A name in so many columns: the end of it tells one file from another."""
    return name if len(name) <= room else f"…{name[1 - room :]}"


def _short(name: str) -> str:
    """A file without its folders and its ending."""
    last = name.rpartition("/")[2]
    return inert(last.removesuffix(".json"))
