"""The page as PDF: the same content by the text in it, tagged, with bookmarks; markup in a job is text."""

from __future__ import annotations

import datetime
import io
import json
from pathlib import Path
from typing import Any

import pypdf
import pytest

from checker.engine.checker import Checker
from checker.findings.report import DEFERRAL, Report
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from checker.reporting import page, pdf, words
from checker.reporting.title_block import title_block
from tests.support.commands import changeout
from tests.support.pdf_text import bare, text_of

JOBS = Path(__file__).parent.parent / "examples" / "jobs"
ON = datetime.date(2026, 11, 25)


def made(checker: Checker, name: str) -> tuple[Report, bytes]:
    job = load(read_file(JOBS / f"{name}.json", name), checker.vocabulary)
    report = checker.check_job(job, ON)
    return report, pdf.render(report, job, JOBS)


@pytest.fixture(scope="module")
def oversized(shipped: Checker) -> tuple[Report, bytes]:
    return made(shipped, "02-oversized-breaker")


def tells_all(report: Report, content: bytes, rows: list[str]) -> None:
    said = text_of(content)
    told = [*rows, DEFERRAL, report.caution, *report.notes, *words.not_judged(report)]
    for finding in report.findings:
        told += [finding.title, words.cited(finding.citations)]
        told += [words.asked(need) for need in finding.needs]
        if finding.outcome == "fail":
            told += [finding.message, finding.remedy, finding.headline, report.known.words(finding)]
    assert [] == [one for one in told if bare(one) not in said]


def test_a_pdf_tells_what_the_report_tells(shipped: Checker, oversized: tuple[Report, bytes]) -> None:
    """Against the report itself, from which the page is made."""
    job = load(read_file(JOBS / "02-oversized-breaker.json", "02"), shipped.vocabulary)
    tells_all(*oversized, [row.text for row in title_block(job, oversized[0].authority, oversized[0]).rows])


def test_the_photographs_of_what_passed_are_in_it_with_what_they_go_with(shipped: Checker) -> None:
    """Three of example 01: each is a picture in the file, and its caption says what rests on it."""
    _, content = made(shipped, "01-clean")
    reader = pypdf.PdfReader(io.BytesIO(content))
    pictures = {image.data for one in reader.pages for image in one.images}
    said = text_of(content)
    assert len(pictures) >= 3
    for key in ("outdoor plate", "coil plate", "vacuum at 15 min"):
        assert bare(f"Photograph “{key}”, shows:") in said
    assert bare("Goes with: Vacuum held with the pump valved off") in said
    assert bare("from the nameplate (picture “outdoor plate”)") in text_of(content, slice(1))


@pytest.mark.long
@pytest.mark.parametrize("name", ["01-clean", "05-only-the-nameplate", "06-heat-kit-two-circuits", "08-accepted"])
def test_other_jobs_too(shipped: Checker, name: str) -> None:
    tells_all(*made(shipped, name), [])


def test_it_is_tagged_has_a_language_and_a_bookmark_for_each_part_of_the_page(oversized: tuple[Report, bytes]) -> None:
    """ISO 32000-1, 14.7 and 14.8 (StructTreeRoot, MarkInfo), 12.3.3 (outline), from memory."""
    report, content = oversized
    reader = pypdf.PdfReader(io.BytesIO(content))
    root: Any = reader.trailer["/Root"]
    assert "/StructTreeRoot" in root
    assert root["/MarkInfo"]["/Marked"]
    assert str(root["/Lang"]).startswith("en")
    flat = [one for entry in reader.outline for one in (entry if isinstance(entry, list) else [entry])]
    marks = [one.title for one in flat if not isinstance(one, list)]
    parts = [f"{group.heading} ({len(group.findings)})" for group in page.groups(report)]
    assert set(parts) | {"What an inspector looks at first", f"Passed ({len(report.passed)})", "Who decides"} <= set(
        marks
    )


def test_the_first_page_has_what_an_inspector_looks_at_first(oversized: tuple[Report, bytes]) -> None:
    _, content = oversized
    first = text_of(content, slice(1))
    for said in ("To fix (1)", "Is the breaker marked HACR?", "Alder County building office",
                 "Breaker against nameplate", "Breaker too big: 45 A, nameplate max 20 A", "Disconnect", "Overflow protection",
                 "Permit obtained: yes", "Receptacle has GFCI: yes", "model OL15-24S, serial L2604-77120"):  # fmt: skip
        assert bare(said) in first


@pytest.mark.long
def test_the_same_job_gives_the_same_bytes(shipped: Checker, oversized: tuple[Report, bytes]) -> None:
    assert oversized[1] == made(shipped, "02-oversized-breaker")[1]


@pytest.mark.long
def test_markup_in_a_job_is_text(shipped: Checker) -> None:
    marked = '#read("/etc/hostname") *b* $x$ #panic() <x> @y // \\ ' + "`z`"
    job = {"job_id": "test", "schema_version": 1, "title": marked, "site": {"address": marked}}
    loaded = load(read_text(json.dumps(job).encode(), "job.json"), shipped.vocabulary)
    content = pdf.render(shipped.check_job(loaded, ON), loaded, None)
    assert text_of(content).count(bare(marked)) >= 2


def test_without_the_library_a_word_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdf, "missing", lambda: True)
    run = changeout("check", str(JOBS / "02-oversized-breaker.json"), "--format", "pdf")
    assert 2 == run.returncode
    assert "pip install 'changeout-checker[pdf]'" in run.stderr


def test_one_pdf_goes_to_a_file(tmp_path: Path) -> None:
    run = changeout(
        "check", str(JOBS / "02-oversized-breaker.json"), "--format", "pdf", "--output", str(tmp_path / "a.pdf")
    )
    assert 1 == run.returncode, run.stderr
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF-")
