"""The plan of a visit as text or Markdown: one line a thing, each with its section and rule."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator

from checker.fieldwork.prep import Line, Prep
from checker.findings.report import DEFERRAL, Report
from checker.problems.sanitize import inert
from checker.reporting.words import explained, not_judged

ORDERED = "Sizes here go by the order or a manufacturer's sheet. The plate of the unit that shows up decides."


def render_text(prep: Prep, width: int = 80) -> str:
    """The plan, wrapped to a terminal."""
    return "\n".join(_text(prep, max(40, min(width, 100)))) + "\n"


def render_markdown(prep: Prep) -> str:
    """The plan with a box to tick before each line."""
    return "\n".join(_markdown(prep)) + "\n"


def heading(prep: Prep) -> str:
    """What the plan is for."""
    report = prep.report
    return f"Before the visit: {report.job_id}" + (f", {report.title}" if report.title else "")


def head(prep: Prep) -> Iterator[str]:
    """Place, rulesets and what to know of the plan as a whole."""
    report = prep.report
    if report.ask_first:
        yield asked_first(report)
    yield f"Place: {report.place or 'not recorded'}. Made on {report.on}."
    yield "Rulesets: " + ", ".join(f"{used.id} {used.version}" for used in report.rulesets) + "."
    yield from (f"Not judged: {line}" for line in not_judged(report))
    yield from (f"Note: {note}" for note in report.notes)
    if prep.ordered:
        yield ORDERED
    if not prep.sections and not report.not_judged:
        yield "Nothing is open. Nothing to bring, ask or measure for these rules."


def asked_first(report: Report) -> str:
    """What to ask the office before anything else: the editions, of which something is published for the state."""
    return f"Ask the office first. {' '.join(report.ask_first)}"


def unchecked(prep: Prep) -> str:
    """What the mark of an unchecked section means, where the plan has one."""
    return explained("".join(line.cited for section in prep.sections for line in section.lines))


def _text(prep: Prep, width: int) -> Iterator[str]:
    yield from textwrap.wrap(inert(heading(prep)), width)
    for sentence in head(prep):
        yield from textwrap.wrap(inert(sentence), width, subsequent_indent="  ")
    for section in prep.sections:
        yield ""
        yield f"{section.heading} ({len(section.lines)})"
        for line in section.lines:
            yield from textwrap.wrap(
                inert(f"[ ] {_said(line)} {line.cited} ({', '.join(line.rules)})"),
                width,
                initial_indent="  ",
                subsequent_indent="      ",
                break_on_hyphens=False,
            )
    yield ""
    for sentence in (unchecked(prep), prep.report.caution, DEFERRAL):
        yield from textwrap.wrap(sentence, width)


def _said(line: Line) -> str:
    item = f"[{line.item}] " if line.item else ""
    return f"{item}{line.text}" + ("" if line.text.endswith((".", "?", ")")) else ".")


def _markdown(prep: Prep) -> Iterator[str]:
    yield f"# {_plain(heading(prep))}"
    yield ""
    for sentence in head(prep):
        yield f"{_plain(sentence)}  "
    for section in prep.sections:
        yield f"\n## {_plain(section.heading)}\n"
        for line in section.lines:
            yield f"- [ ] {_plain(_said(line))} *{_plain(line.cited)}* ({', '.join(line.rules)})"
    yield "\n" + "\n\n".join(filter(None, (unchecked(prep), prep.report.caution, DEFERRAL)))


def _plain(text: str) -> str:
    """Text of a job or ruleset that stays text in Markdown."""
    return re.sub(r"([\\`*_{}\[\]<>#|~$])", r"\\\1", " ".join(text.split()))
