"""The page of a job: it opens from disk in a real browser, says what the report says, prints, and runs nothing."""

from __future__ import annotations

import datetime
import json
import os
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.findings.report import DEFERRAL, NotJudged, Report
from checker.reading.files import read_file, read_text
from checker.reading.job import Job, load
from checker.reading.pictures import MOST_BYTES
from checker.reporting import index_page, page, words
from checker.reporting.first_look import first_look
from checker.reporting.in_short import in_short
from checker.reporting.photographs import Photograph, photographs
from checker.reporting.title_block import title_block
from tests.support import pdf_text
from tests.support.browser import DESK, PHONE, faults, needs_chromium, opened
from tests.support.commands import Run, changeout, on_day
from tests.support.opening import forget_reports
from tests.support.photographs import taken

ROOT = Path(__file__).parent.parent
JOBS = ROOT / "examples" / "jobs"
ON = datetime.date(2026, 11, 25)
EXAMPLES = ["01-clean", "02-oversized-breaker", "04-decay-rises", "05-only-the-nameplate", "06-heat-kit-two-circuits",
            "08-accepted"]  # fmt: skip
BREAKER = "Breaker or fuse no larger than the nameplate max (MOCP)"

# The smallest picture there is.
PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010806000000"
    "1f15c4890000000d49444154789c6360606060000000050001a5f645400000000049454e44ae426082"
)
JPEG, WEBP = (taken(["LARKSPUR (invented)", "MODEL LK-36", "SERIAL 0031"], kind) for kind in ("JPEG", "WEBP"))

Judged = tuple[Report, Job]


def loaded(checker: Checker, facts: dict[str, Any]) -> Job:
    content = json.dumps({"job_id": "test", "schema_version": 1, **facts}).encode()
    return load(read_text(content, "job.json"), checker.vocabulary)


def judged(checker: Checker, facts: dict[str, Any]) -> Judged:
    job = loaded(checker, facts)
    return checker.check_job(job, ON), job


@pytest.fixture(scope="module")
def pages(shipped: Checker, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The pages of the examples, by the name of the job's file."""
    folder = tmp_path_factory.mktemp("pages")
    for name in (*EXAMPLES, "03-no-overflow-device", "09-measure-again"):
        job = load(read_file(JOBS / f"{name}.json", f"{name}.json"), shipped.vocabulary)
        (folder / f"{name}.html").write_text(page.render(shipped.check_job(job, ON), job, JOBS), encoding="utf-8")
    return {file.stem: file for file in folder.iterdir()}


def shown(judged: Judged, file: Path, folder: Path | None = None) -> Path:
    file.write_text(page.render(*judged, folder), encoding="utf-8")
    return file


def failing(browser: Any) -> Any:
    """The breaker that is too large, where it stands among what to fix."""
    return browser.locator("article.fix", has_text=BREAKER)


# --- in a browser ---


@needs_chromium
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_page_fits_reaches_for_nothing_and_has_no_serious_fault(
    pages: dict[str, Path], name: str, size: dict[str, int]
) -> None:
    with opened(pages[name], size) as (browser, complaints, requests):
        browser.evaluate("document.querySelectorAll('details').forEach(fold => fold.open = true)")
        assert browser.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
        assert [] == faults(browser)
        assert ([], []) == (complaints, requests)


@needs_chromium
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_link_in_a_page_has_its_target_and_no_name_is_used_twice(pages: dict[str, Path], name: str) -> None:
    with opened(pages[name]) as (browser, _, _):
        links = browser.evaluate("[...document.querySelectorAll('a')].map(link => link.getAttribute('href'))")
        names = browser.evaluate("[...document.querySelectorAll('[id]')].map(element => element.id)")
    assert len(names) == len(set(names))
    assert all(link.startswith("#") for link in links)
    assert {link[1:] for link in links} <= set(names)


@needs_chromium
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_list_at_the_top_leads_to_every_part_of_what_is_not_passed(pages: dict[str, Path], name: str) -> None:
    with opened(pages[name]) as (browser, _, _):
        links = browser.evaluate("[...document.querySelectorAll('nav a')].map(link => link.hash.slice(1))")
        parts = browser.evaluate("[...document.querySelectorAll('main section > h2')].map(heading => heading.id)")
    assert len(parts) > 3
    assert set(parts) <= set(links)


@needs_chromium
def test_folds_open_and_a_link_leads_there_with_scripts_off(pages: dict[str, Path]) -> None:
    with opened(pages["02-oversized-breaker"], PHONE, scripts=False) as (browser, complaints, _):
        working = failing(browser).locator("table").first
        assert not working.is_visible()
        failing(browser).locator("summary").first.click()
        assert working.is_visible()
        browser.locator("nav a", has_text="Fix first").first.click()
        assert browser.url.endswith("#fix")
        assert browser.locator(":target").is_visible()
        browser.locator(".passed a").first.click()
        assert browser.locator(":target").is_visible(), "what a line rests on is one tap away"
    assert [] == complaints


@needs_chromium
def test_an_inspector_finds_section_reading_and_limit_of_a_failure_on_one_line(pages: dict[str, Path]) -> None:
    """The figures are those of the job: a 45 A breaker, a nameplate that allows 20 A; the section is NEC 440.4(B)."""
    with opened(pages["02-oversized-breaker"]) as (browser, _, _):
        line = failing(browser).locator("p.line").first
        said = line.inner_text()
        rows = line.evaluate(
            "e => {const r = document.createRange(); r.selectNodeContents(e);"
            " return new Set([...r.getClientRects()].map(b => Math.round(b.bottom / 6))).size}"
        )
    for part in ("Reading 45 A", "limit ≤ 20 A", "margin -25 A", "NEC 2023, 440.4(B)"):
        assert part in said
    assert "checked" not in said, "it could be read as: this job was checked"
    assert 1 == rows


@needs_chromium
def test_headings_go_down_one_step_at_a_time(pages: dict[str, Path]) -> None:
    for file in pages.values():
        with opened(file) as (browser, _, _):
            steps = browser.evaluate("[...document.querySelectorAll('h1,h2,h3,h4')].map(h => +h.tagName[1])")
        assert 1 == steps[0] == steps.count(1)
        assert all(after - before <= 1 for before, after in pairwise(steps))


@needs_chromium
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_a_clean_job_prints_on_three_sheets(pages: dict[str, Path], paper: str) -> None:
    with opened(pages["01-clean"]) as (browser, _, _):
        printed = browser.pdf(format=paper)
        rows = browser.locator(".passed td:first-child").count()
    assert rows > 100
    assert 3 == len(re.findall(rb"/Type\s*/Page\b", printed))


@needs_chromium
@pytest.mark.parametrize(
    "name", ["02-oversized-breaker", "04-decay-rises", "05-only-the-nameplate", "09-measure-again"]
)
def test_the_first_printed_sheet_has_the_block_what_failed_what_is_open_and_the_five_things(
    pages: dict[str, Path], shipped: Checker, name: str
) -> None:
    job = load(read_file(JOBS / f"{name}.json", name), shipped.vocabulary)
    report = shipped.check_job(job, ON)
    with opened(pages[name]) as (browser, _, _):
        printed = browser.pdf(format="Letter")
    first = pdf_text.text_of(printed, slice(1))
    told = [line for part in in_short(report) for line in (part.heading, *part.lines, part.more)]
    told += [row.text for row in title_block(job, report.authority, report).rows]
    told += [part for look in first_look(report, job) for line in look.lines for part in (line.title, line.known)]
    assert len(told) > 30
    assert [] == [one for one in told if pdf_text.bare(one) not in first]


@pytest.mark.parametrize("name", [*EXAMPLES, "03-no-overflow-device", "09-measure-again"])
@pytest.mark.long
def test_a_page_is_under_150_kb_without_its_photographs(pages: dict[str, Path], name: str) -> None:
    """The bound is a wish of those who open it on a phone in a basement."""
    said = re.sub(r'src="data:[^"]*"', "", pages[name].read_text(encoding="utf-8"))
    assert len(said.encode()) < 150_000


@needs_chromium
def test_on_paper_the_comparisons_are_open_and_the_list_of_links_is_gone(pages: dict[str, Path]) -> None:
    tables = "[...document.querySelectorAll('article details table:not(.facts-of)')]"
    tall = f"{tables}.every(t => t.checkVisibility({{contentVisibilityAuto: true}}))"
    with opened(pages["02-oversized-breaker"]) as (browser, _, _):
        assert browser.evaluate(f"{tables}.length") > 0
        assert not browser.evaluate("[...document.querySelectorAll('details table')].some(t => t.checkVisibility())")
        browser.emulate_media(media="print")
        browser.wait_for_function(tall, timeout=5000)  # the browser opens them with its next frame
        assert not browser.locator("nav").is_visible()


@needs_chromium
def test_where_much_is_open_each_fact_is_asked_for_once_with_how_much_waits_for_it(
    pages: dict[str, Path], shipped: Checker
) -> None:
    report = shipped.check(read_file(JOBS / "05-only-the-nameplate.json", "05"), ON)
    waiting = [one for one in (*report.before_running, *report.to_verify) if one.reason == "not_recorded"]
    waits = [need.fact for finding in waiting for need in finding.needs]
    with opened(pages["05-only-the-nameplate"], scripts=False) as (browser, _, _):
        table = browser.locator("section[aria-labelledby=verify-record] .open tbody")
        rows = table.locator("code").all_text_contents()
        counts = table.locator("td:last-child").all_text_contents()
    told = dict(zip(rows, map(int, counts), strict=True))
    assert len(rows) == len(told) > 30
    assert {fact: waits.count(fact) for fact in waits} == told


# --- what it says ---


@pytest.mark.parametrize(
    "name", [EXAMPLES[1], *(pytest.param(name, marks=pytest.mark.long) for name in EXAMPLES if name != EXAMPLES[1])]
)
def test_a_page_says_what_the_report_says(pages: dict[str, Path], shipped: Checker, name: str) -> None:
    """Against the report itself, from which the text and JSON forms are made."""
    report = shipped.check(read_file(JOBS / f"{name}.json", name), ON)
    said = text_of(pages[name].read_text(encoding="utf-8"))
    for finding in report.findings:
        assert finding.title in said
        assert finding.outcome == "pass" or finding.finding_id in said
        assert finding.outcome != "fail" or finding.evidence_digest in said  # an acceptance is bound to it
        assert all(one.written in said and one.title in said for one in finding.evidence if finding.outcome == "pass")
        assert all(words.section(citation) in said for citation in finding.citations)
        assert all(words.asked(need) in said for need in finding.needs)
    for finding in (*report.failed, *report.accepted):
        assert finding.message in said
        assert finding.remedy in said
        assert all(caution.text in said for caution in finding.cautions)
    for section in map(text_of, pages[name].read_text(encoding="utf-8").split("<section")):
        assert all(section.count(one.text) <= 1 for finding in report.findings for one in finding.cautions)
    for used in report.rulesets:
        assert used.version in said
        assert used.digest in said
    for finding in report.failed:
        assert words.named(finding) in said
    for part in (report.headline, DEFERRAL, report.caution, *report.notes, *words.unread_titles(report)):
        assert part in said


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_page_claims_nothing(pages: dict[str, Path], name: str) -> None:
    said = text_of(pages[name].read_text(encoding="utf-8")).lower()
    for word in ("approved", "compliant", "certified"):
        assert word not in said


def test_an_accepted_failure_names_who_accepted_it_and_where_it_is_written(pages: dict[str, Path]) -> None:
    said = text_of(pages["08-accepted"].read_text(encoding="utf-8"))
    assert "Accepted by the authority in writing (1)" in said
    assert "Letter B-2026-0417 of 2026-09-16, through 2027-06-30; stands." in said


def test_a_job_that_the_rulesets_are_not_written_for_gets_a_page_that_says_so(shipped: Checker) -> None:
    report, job = judged(shipped, {"scope": {"system": "split_air_conditioner"}})
    left = NotJudged("houses", "The book of houses", ("Not a house.",), ("roof-tight",))
    said = text_of(page.render(report._replace(not_judged=(left,), findings=()), job, None))
    assert "Nothing was judged. Not judged here: 1 rule of houses" in said
    assert "The book of houses (houses): 1 rule not judged. Not a house." in said
    assert DEFERRAL in said


def test_the_same_job_gives_the_same_page(shipped: Checker) -> None:
    job = load(read_file(JOBS / "01-clean.json", "01"), shipped.vocabulary)
    first = page.render(shipped.check_job(job, ON), job, JOBS)
    forget_reports()
    assert first == page.render(shipped.check_job(job, ON), job, JOBS)


def text_of(html: str) -> str:
    """The text of a page, spaces run together."""
    from html import unescape

    bare = re.sub(r"<style>.*?</style>", " ", html, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]*>", "", bare)).split())


# --- what a stranger writes into a job ---

INJECTED = ["<script>window.hit=1</script>", '"><img src=x onerror="window.hit=1">', "{{ 7*7 }}{% x %}</style></title>"]


def every_text(data: Any, text: str, key: str = "") -> Any:
    """A job with each free text replaced; words of closed lists, dates and quantities stay."""
    if isinstance(data, dict):
        return {name: every_text(value, text, name) for name, value in data.items()}
    if isinstance(data, list):
        return [every_text(value, text, key) for value in data]
    return text if key in FREE and isinstance(data, str) else data


FREE = {
    "title",
    "address",
    "maker",
    "model",
    "serial",
    "not_known",
    "none",
    "file",
    "shows",
    "accepted_by",
    "reference",
}


@needs_chromium
@pytest.mark.parametrize("text", INJECTED, ids=["script", "attribute", "template"])
def test_a_job_full_of_markup_is_shown_as_text(shipped: Checker, tmp_path: Path, text: str) -> None:
    facts = every_text(json.loads((JOBS / "02-oversized-breaker.json").read_text()), text)
    facts |= {"job_id": text, "photographs": [{"key": text.replace("/", ""), "file": text, "shows": text}]}
    facts["circuits"][0]["key"] = text.replace("/", "")
    file = shown(judged(shipped, facts), tmp_path / "page.html", tmp_path)
    with opened(file) as (browser, complaints, requests):
        browser.wait_for_timeout(200)
        assert browser.evaluate("window.hit === undefined")
        assert 0 == browser.locator("script, img, iframe, object, link").count()
        assert 0 == browser.evaluate(
            "[...document.querySelectorAll('*')].filter(e => [...e.attributes].some(a => a.name.startsWith('on'))).length"
        )
        assert text in browser.locator("h1").inner_text()
        assert 1 == browser.locator("style").count()
    assert ([], []) == (complaints, requests)


# --- photographs ---


def photographed(shipped: Checker, folder: Path, *files: str) -> Iterator[Photograph]:
    facts = {"photographs": [{"key": f"p{number}", "file": file} for number, file in enumerate(files)]}
    return photographs(loaded(shipped, facts), folder)


def test_a_photograph_is_known_by_its_first_bytes_and_not_by_its_name(shipped: Checker, tmp_path: Path) -> None:
    for name, content in {"a": PNG, "b": JPEG, "c": WEBP, "d.png": b"<svg onload=x>", "e": b""}.items():
        (tmp_path / name).write_bytes(content)
    found = list(photographed(shipped, tmp_path, "a", "b", "c", "d.png", "e"))
    assert [True, True, True] == [bool(one.data) for one in found[:3]]
    assert {"the file is not a picture (JPEG, PNG or WebP)"} == {one.missing for one in found[3:]}


@pytest.mark.parametrize(
    "name", ["../out.png", "/etc/hostname", "in/../../out.png", "C:\\out.png", "..\\out.png", "leak"]
)
def test_nothing_outside_the_folder_of_the_job_is_read(shipped: Checker, tmp_path: Path, name: str) -> None:
    folder = tmp_path / "job"
    folder.mkdir()
    (tmp_path / "out.png").write_bytes(PNG)
    (folder / "leak").symlink_to(tmp_path / "out.png")
    (one,) = photographed(shipped, folder, name)
    assert ("", "its name points outside the folder of the job file") == (one.data, one.missing)


def test_what_cannot_be_shown_says_why(shipped: Checker, tmp_path: Path) -> None:
    (tmp_path / "large.png").write_bytes(PNG + bytes(MOST_BYTES))
    os.mkfifo(tmp_path / "pipe")
    names = ["large.png", "gone.jpg", "pipe", "name\0zero", "x" * 5000]
    found = [one.missing for one in photographed(shipped, tmp_path, *names)]
    gone = "there is no such file in the folder of the job file"
    assert ["the file is larger than 32 MiB", gone, gone] == found[:3]
    assert all("cannot be read" in why or why == gone for why in found[3:])
    (one,) = photographs(loaded(shipped, {"photographs": [{"key": "p", "file": "a.png"}]}), None)
    assert "the job has no folder to look in" == one.missing


def test_a_photograph_of_exactly_the_largest_size_is_shown(shipped: Checker, tmp_path: Path) -> None:
    (tmp_path / "full.png").write_bytes(PNG + bytes(MOST_BYTES - len(PNG)))
    (one,) = photographed(shipped, tmp_path, "full.png")
    assert "" == one.missing


@needs_chromium
def test_a_photograph_stands_at_the_finding_that_rests_on_what_it_shows(shipped: Checker, tmp_path: Path) -> None:
    facts = json.loads((JOBS / "02-oversized-breaker.json").read_text())
    (tmp_path / "breaker.png").write_bytes(PNG)
    facts["photographs"] = [
        {"key": "the old breaker", "file": "breaker.png", "shows": "circuits.0.devices.0.rating"},
        {"key": "plate", "file": "gone.png", "shows": "circuits.nameplate"},
        {"key": "the dog", "file": "breaker.png", "shows": "nothing.known"},
    ]
    file = shown(judged(shipped, facts), tmp_path / "page.html", tmp_path)
    with opened(file) as (browser, complaints, requests):
        picture = failing(browser).locator("img")
        assert "Photograph “the old breaker”: Amps of the breaker or fuse" == picture.get_attribute("alt")
        assert picture.evaluate("image => image.complete && image.naturalWidth === 1")
        assert "Not shown here: there is no such file" in failing(browser).inner_text()
        others = browser.locator("section[aria-labelledby=photographs]")
        assert "the dog" in others.inner_text()
        assert 1 == others.locator("img").count()
        assert [] == faults(browser)
    assert ([], []) == (complaints, requests)


# --- the index and the names of files ---


def test_names_of_pages_are_safe_and_no_two_alike() -> None:
    ids = ["../../etc", "A b/c", "a-b-c", "index", "INDEX", "…", "..", "x" * 300]
    file_names = index_page.FileNames()
    names = [file_names.of(job_id) for job_id in ids]
    assert [
        "etc.html",
        "A-b-c.html",
        "a-b-c-2.html",
        "index-2.html",
        "INDEX-3.html",
        "job.html",
        "job-2.html",
    ] == names[:7]
    assert len(names[7]) < 100


def test_requirements_that_fail_on_most_jobs_come_first(shipped: Checker) -> None:
    two, eight = (shipped.check(read_file(JOBS / f"{n}.json", n), ON) for n in ("02-oversized-breaker", "08-accepted"))
    rules = ("overcurrent-within-nameplate", "disconnect-working-space")
    kept = [one._replace(findings=tuple(f for f in one.findings if f.rule in rules)) for one in (two, eight, two)]
    assert 1 == len(kept[1].accepted)
    assert [(BREAKER, 2)] == [(one.title, one.jobs) for one in index_page.often(kept)]


# --- the command ---


def checked(*said: str, stdin: str = "") -> Run:
    return changeout(*on_day("check", *said), stdin=stdin)


def test_one_job_gives_one_file_on_standard_output_or_where_it_is_told(tmp_path: Path) -> None:
    job = str(JOBS / "05-only-the-nameplate.json")
    run = checked(job, "--format", "page")
    assert 1 == run.returncode, run.stderr
    assert run.stdout.startswith("<!doctype html>")
    for output, file in ((tmp_path / "a.html", "a.html"), (tmp_path, "alder-2026-0502.html")):
        assert 1 == checked(job, "--format", "page", "--output", str(output)).returncode
        assert run.stdout == (tmp_path / file).read_text(encoding="utf-8")
    assert {"a.html", "alder-2026-0502.html"} == {path.name for path in tmp_path.iterdir()}


def test_a_job_on_standard_input_gives_a_page() -> None:
    run = checked("-", "--format", "page", stdin=(JOBS / "01-clean.json").read_text())
    assert 0 == run.returncode, run.stderr
    assert "requirements answered" in run.stdout


@needs_chromium
def test_several_jobs_give_a_folder_with_an_index_that_names_the_unreadable_one(tmp_path: Path) -> None:
    jobs, out = tmp_path / "jobs", tmp_path / "new" / "pages"
    jobs.mkdir()
    for name in ("01-clean", "02-oversized-breaker", "05-only-the-nameplate"):
        (jobs / f"{name}.json").write_text((JOBS / f"{name}.json").read_text())
    (jobs / "broken <b>.json").write_text('{"job_id": ')
    run = checked(str(jobs), "--format", "page", "--output", str(out))
    assert (2, "") == (run.returncode, run.stdout), run.stderr
    assert "broken <b>.json:" in run.stderr
    with opened(out / "index.html", PHONE) as (browser, complaints, requests):
        links = browser.evaluate("[...document.querySelectorAll('table.jobs a')].map(a => a.getAttribute('href'))")
        unreadable = browser.locator("section[aria-labelledby=unreadable]").inner_text()
        said = browser.locator("body").inner_text()
        assert browser.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
        assert [] == faults(browser)
        browser.locator("table.jobs a").first.click()
        assert browser.url.endswith(links[0])
    assert ["alder-2026-0431.html", "alder-2026-0502.html", "alder-2026-0412.html"] == links, (
        "something to fix comes first"
    )
    assert "broken <b>.json" in unreadable
    assert "This is not JSON" in unreadable
    assert BREAKER in said.split("Most often to fix")[1]
    assert DEFERRAL in " ".join(said.split())
    assert {"index.html", *links} == {path.name for path in out.iterdir()}
    assert [] == complaints
    assert [(out / links[0]).as_uri()] == requests, "the one that was clicked"


@pytest.mark.parametrize(
    ("said", "what"),
    [
        (("examples/jobs", "--format", "page"), "need a folder"),
        (("examples/jobs/01-clean.json", "examples/jobs/08-accepted.json", "--format", "page"), "need a folder"),
        (("examples/jobs", "--format", "page", "--output", "README.md"), "this is a file"),
        (("examples/jobs", "--format", "page", "--output", "README.md/pages"), "cannot be made"),
        (("examples/jobs/01-clean.json", "--format", "json", "--output", "examples"), "is a directory"),
        (
            ("examples/jobs/01-clean.json", "--format", "page", "--output", "examples/jobs/01-clean.json"),
            "This command reads it",
        ),
    ],
)
def test_an_output_that_cannot_be_is_said_before_anything_is_written(said: tuple[str, ...], what: str) -> None:
    before = {path: path.stat().st_mtime_ns for path in (*JOBS.iterdir(), ROOT / "README.md")}
    run = checked(*said)
    assert (2, "") == (run.returncode, run.stdout)
    assert what in run.stderr
    assert "Traceback" not in run.stderr
    assert before == {path: path.stat().st_mtime_ns for path in before}


@needs_chromium
@pytest.mark.parametrize("name", ["01-clean", "02-oversized-breaker", "05-only-the-nameplate"])
def test_no_text_on_paper_is_smaller_than_8_pt(pages: dict[str, Path], name: str) -> None:
    small = """[...document.querySelectorAll('body *')].filter(e => !e.closest('svg') && e.checkVisibility()
      && [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())
      && parseFloat(getComputedStyle(e).fontSize) * 72 / 96 < 7.99 && getComputedStyle(e).fontSize !== '0px')
      .map(e => e.outerHTML.slice(0, 80))"""
    with opened(pages[name]) as (browser, _, _):
        browser.emulate_media(media="print")
        assert [] == browser.evaluate(small)
