"""What the page of a job tells, as plain texts for a PDF: the same content, without what is behind a fold on the page."""

from __future__ import annotations

import base64
import itertools
import json
from collections.abc import Iterable
from typing import Any

from checker.findings.finding import Finding
from checker.findings.report import DEFERRAL, Report
from checker.ir.outcomes import FAIL
from checker.reporting import page, words
from checker.reporting.figures.canvas import Figure
from checker.reporting.first_look import NOT_JUDGED, Look
from checker.reporting.in_short import Listed
from checker.reporting.open_facts import OpenFact
from checker.reporting.passed import Row
from checker.reporting.photographs import Photograph

DECIDES = "The authority having jurisdiction decides; see who decides and the cautions at the end."


class Texts:
    """The texts of one page; `pictures` are the files that they name."""

    def __init__(self, told: dict[str, Any], report: Report) -> None:
        self.told, self.report = told, report
        self.pictures: dict[str, bytes] = {}

    def data(self) -> dict[str, Any]:
        told, report = self.told, self.report
        cycle = told["cycle"] if report.with_outcome(FAIL) else None  # what passed needs no picture on paper
        return {
            "title": report.title or f"Job {report.job_id}",
            "headline": told["headline"],
            "counts": " ".join(filter(None, (report.headline, told["answered"], told["known"]))),
            "decides": " ".join(filter(None, (DECIDES, told["unchecked"]))),
            "block": [{"title": row.title, "text": row.text} for row in told["block"].rows],
            "signatures": list(told["block"].signatures),
            "short": [_short(one) for one in told["short"]],
            "looks": [self.look(one) for one in told["looks"]],
            "not_judged": words.not_judged(report),
            "groups": [self.group(one) for one in told["groups"]],
            "passed_count": len(report.passed),
            "passed": list(self.passed(told["passed"])),
            "legend": list(self.legend()),
            "pictures": [self.picture(one) for one in told["other_photographs"]],
            "cycle": self.figure(cycle),
            "about": list(self.about()),
            "notes": list(report.notes),
            "worrying_heading": words.WORRYING,
            "worrying": words.worrying(report),
            "caution": report.caution,
            "deferral": DEFERRAL,
            "footer": told["footer"],
        }

    def look(self, look: Look) -> dict[str, Any]:
        title = look.title if look.lines else f"{look.title}: {NOT_JUDGED}"
        return {"title": title, "there": look.there, "lines": [line._asdict() for line in look.lines]}

    # --- what did not pass ---

    def group(self, group: page.Group) -> dict[str, Any]:
        stations = group.by_station(self.told["stations"])
        return {
            "heading": f"{group.heading} ({len(group.findings)})",
            "stations": [
                {"heading": heading, "questions": [_question(one) for one in facts]} for heading, facts in stations
            ],
            "findings": [self.finding(one) for one in group.rest],
            "waiting": [_waiting(one) for one in group.waiting],
            "cautions": list(words.cautions_in(group.findings)),
        }

    def finding(self, finding: Finding) -> dict[str, Any]:
        return {
            "word": page.badge(finding) + (", life safety" if finding.life_safety else ""),
            "title": words.named(finding),
            "requirement": finding.title if finding.headline not in ("", finding.title) else "",
            "message": finding.message,
            "lines": [_comparison(line) for line in page.lines(finding)] + page.limits(finding),
            "section": words.sections_of(finding),
            "known": self.report.known.line(finding),
            "do": words.do_label(finding),
            "remedy": finding.remedy,
            "ask": words.put_to(finding),
            "needs": [words.asked(need) for need in finding.needs],
            "bring": finding.bring,
            "photograph": finding.photograph,
            "accepted": words.accepted(finding.acceptance) if finding.acceptance else "",
            "cautions": words.caution_names(finding),
            "notes": page.notes(finding),
            "figure": self.figure(self.told["figures"].get(finding.finding_id)),
            "pictures": [self.picture(one) for one in self.told["photographs"].get(finding.finding_id, ())],
        }

    # --- what passed ---

    def passed(self, rows: list[Row]) -> Iterable[dict[str, Any]]:
        for heading, some in itertools.groupby(rows, key=lambda row: row.station):
            yield {"heading": heading, "rows": [_row(row) for row in some]}

    def legend(self) -> Iterable[str]:
        """What the words and signs beside what passed mean."""
        if not self.told["passed"]:
            return
        yield f"± is the expanded uncertainty, k = 2. {words.STATED_MEANS}"
        if any(row.near for row in self.told["passed"]):
            yield words.NEAR_MEANS
        if self.told["instruments"]:
            yield f"Instruments. {'; '.join(f'{key}: {said}' for key, said in self.told['instruments'])}."
        if self.told["manual"]:
            yield f"Manual. {self.told['manual']}."

    def about(self) -> Iterable[str]:
        report = self.report
        if report.dates:
            yield f"{'; '.join(f'{title} {written}' for title, written in report.dates)}."
        yield f"{'; '.join(f'{used.id} {used.version} {used.digest}' for used in report.rulesets)}."
        yield f"{words.not_applying(report)} {words.left_as_found(report)}".strip()

    # --- pictures ---

    def figure(self, figure: Figure | None) -> dict[str, str] | None:
        """The file of a drawing, what it says, and its title."""
        if figure is None:
            return None
        return {
            "file": self.file(figure.svg.encode(), "svg"),
            "says": figure.description,
            "title": figure.title,
        }

    def picture(self, picture: Photograph) -> dict[str, str]:
        told = {"file": "", "says": picture.alt, "caption": picture.caption}
        if picture.data:
            content = base64.b64decode(picture.data.partition(";base64,")[2])
            told["file"] = self.file(json.dumps([*content]).encode(), "json")  # typst takes no file that is no text
        return told

    def file(self, content: bytes, ending: str) -> str:
        name = f"picture-{len(self.pictures) + 1}.{ending}"
        self.pictures[name] = content
        return name


def _short(part: Listed) -> dict[str, Any]:
    return {"heading": part.heading, "lines": [*part.lines, *([f"{part.more}."] if part.more else [])]}


def _question(one: OpenFact) -> str:
    mark = "● " if one.life_safety else ""
    return f"{mark}{words.asked(one.need)}" + (f" [{one.item}]" if one.item else "")


def _waiting(finding: Finding) -> str:
    return f"{words.named(finding)}. {words.sections_of(finding)}."


def _comparison(line: page.Line) -> str:
    parts = [f"Reading {line.reading}", f"limit {line.limit}"]
    parts += [f"margin {line.margin}"] if line.margin else []
    parts += [f"uncertainty {line.uncertainty}"] if line.uncertainty else []
    return f"{'; '.join(parts)}."


def _row(row: Row) -> dict[str, str]:
    marks = [*(["Practice"] if row.practice else []), *([f"Passed, {words.NEAR}"] if row.near else [])]
    return {
        "title": f"{', '.join(marks)}: {row.title}" if marks else row.title,
        "reading": "; ".join(f"{item}{': ' if item and read else ''}{read}" for item, read, _ in row.readings),
        "limit": "; ".join(limit for _, read, limit in row.readings if read),
        "section": "; ".join(filter(None, (row.section, row.parallel))),
        "known": row.known,
    }
