"""The page for the phone: what stands in its file, and how it goes on when tabs are closed, doubled, killed or refused room.

The bells of the tests' own trade are made ready in a moment; `tests/test_phone_visits.py` goes through whole visits.
"""

from __future__ import annotations

import base64
import contextlib
import datetime
import hashlib
import html
import json
import re
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.engine.startup import open_checker
from checker.fieldwork.phone import page as pages
from checker.fieldwork.phone import site
from checker.fieldwork.phone.icons import icon
from tests.support.browser import DESK, PHONE, faults, needs_chromium, weak_contrast
from tests.support.commands import ROOT, changeout
from tests.support.phone_page import Thumb, made, thumb, written
from tests.support.rulesets import TINY

BELLS = TINY / "bells"
PLACE = "xx-lowchime"
BUILT = ROOT / "checker" / "fieldwork" / "phone" / "built" / "page.js"


@pytest.fixture(scope="module")
def bells() -> Checker:
    return open_checker((BELLS,), ())


@pytest.fixture(scope="module")
def page_file(bells: Checker, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(bells, PLACE, tmp_path_factory.mktemp("phone"))


# --- the file ---------------------------------------------------------------------------------------------------------


def test_its_policy_names_every_script_and_its_style_by_digest(bells: Checker) -> None:
    text = pages.render(made(bells, PLACE))
    (policy,) = re.findall(r'Content-Security-Policy" content="([^"]*)"', text)
    rules = dict(part.split(" ", 1) for part in policy.split("; "))
    assert rules["default-src"] == rules["base-uri"] == rules["form-action"] == "'none'"
    assert "unsafe" not in policy
    for element, rule in (("script", "script-src"), ("style", "style-src")):
        digests = {digest_of(one) for one in re.findall(rf"<{element}>(.*?)</{element}>", text, re.DOTALL)}
        assert digests == set(rules[rule].split(" "))


def digest_of(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_it_names_no_address(bells: Checker) -> None:
    text = pages.render(made(bells, PLACE))
    own = re.sub(r'<script type="application/octet-stream" id="rules">.*?</script>', "", text, flags=re.DOTALL)
    assert re.findall(r"https?://|//[a-z]+\.", own) == []


def test_its_own_script_makes_no_markup_out_of_text_and_asks_no_network() -> None:
    text = BUILT.read_text(encoding="utf-8")
    for word in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "new Function", "fetch(",
                 "XMLHttpRequest", "WebSocket", "sendBeacon", "import("):  # fmt: skip
        assert word not in text, word


def test_the_built_script_is_that_of_the_modules() -> None:
    """Its first line has their digest; CI builds it anew as well."""
    modules = sorted((BUILT.parents[1] / "source").iterdir())
    digest = hashlib.sha256(b"".join(path.read_bytes() for path in modules)).hexdigest()
    assert BUILT.read_text(encoding="utf-8").startswith(f"/* built from source, {digest} */"), (
        "npm run build in checker/judging/javascript"
    )


def test_a_name_with_signs_of_html_stays_text_in_the_page(bells: Checker) -> None:
    page = made(bells, PLACE)._replace(place="<b>x</b>", begins={"tower.parish": "</script><img src=x>"})
    text = pages.render(page)
    assert html.escape("<b>x</b>") in text
    assert "</script><img" not in text


def test_a_picture_for_the_home_screen_is_a_png_of_its_size() -> None:
    """RFC 2083: signature, then width and height in the first chunk."""
    data = icon(192)
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert (192, 192) == (int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big"))


def test_the_folder_for_a_web_host_names_what_is_in_it(bells: Checker) -> None:
    files = site.files(made(bells, PLACE))
    about = json.loads(files[site.PAGE.replace("index.html", pages.MANIFEST)])
    assert {one["src"] for one in about["icons"]} | {about["start_url"]} <= set(files)
    kept = json.loads(re.search(rb"const FILES = (\[.*\]);", files[site.WORKER])[1])  # type: ignore[index]
    assert set(kept) == {"./", *files} - {site.WORKER}


def test_the_command_writes_both(tmp_path: Path) -> None:
    words = (
        "phone",
        "--place",
        PLACE,
        "--rules",
        str(BELLS),
        "--on",
        "2026-11-25",
        "--output",
        "p.html",
        "--site",
        "s",
    )
    run = changeout(*words, cwd=tmp_path)
    assert run.returncode == 0, run.stderr
    assert (tmp_path / "p.html").stat().st_size > 50_000
    assert {one.name for one in (tmp_path / "s").iterdir()} >= {"index.html", "worker.js", "manifest.webmanifest"}
    refused = changeout("phone", "--place", PLACE, "--rules", str(BELLS), cwd=tmp_path)
    assert (2, True) == (refused.returncode, "No place is named to write to." in refused.stderr)


# --- in a browser -----------------------------------------------------------------------------------------------------


def begun(page: Thumb, name: str = "great tom") -> None:
    """A job of a bell and its ropes, at the belfry."""
    page.begin(name)
    page.tap("bell and ropes")
    page.station("The parish")
    page.choose("tower.built", "stone")
    page.station("Belfry")


@needs_chromium
def test_an_answer_gives_its_verdict_at_once(page_file: Path) -> None:
    with thumb(page_file) as (page, complaints, requests):
        begun(page)
        assert page.type("bell.clearance", "3 in").strip() == ""
        card = page.page.locator("article.card.fail").first.inner_text()
        for part in ("3 in", "6 in", "Chime book", "Raise the headstock", "A swinging bell crushes"):
            assert part in card, part
        assert page.verdict().startswith("1 to fix")
        assert (complaints, requests) == ([], [])


@needs_chromium
def test_what_cannot_be_read_is_refused_and_nothing_else_is_lost(page_file: Path) -> None:
    with thumb(page_file) as (page, _, _):
        begun(page)
        page.type("bell.clearance", "5 in")
        assert "quick" in page.type("bell.swing", "quick")
        assert '"clearance": "5 in"' in page.job_file()


@needs_chromium
def test_a_draft_is_there_after_reload_back_and_a_killed_tab(page_file: Path) -> None:
    with thumb(page_file) as (page, _, _):
        begun(page)
        page.type("bell.clearance", "3 in")
        page.kept()
        page.page.reload()
        page.at("Belfry")
        assert page.verdict().startswith("1 to fix")
        page.page.go_back()
        page.page.go_forward()
        page.at("Belfry")
        page.type("bell.swing", "30 in")
        other = page.page.context.new_page()
        killed(page.page)
        other.goto(page_file.as_uri())
        again = Thumb(other)
        again.page.get_by_role("button", name="great tom").click()
        said = json.loads(again.job_file())
        assert (said["bell"]["clearance"], said["bell"]["swing"]) == ("3 in", "30 in")


def killed(page: Any) -> None:
    """Kill the process of a tab, as a phone short of memory does."""
    with contextlib.suppress(Exception):
        page.goto("chrome://crash", timeout=5000)


@needs_chromium
def test_two_tabs_lose_nothing_of_each_other(page_file: Path) -> None:
    with thumb(page_file) as (first, _, _):
        begun(first)
        first.kept()
        tab = first.page.context.new_page()
        tab.goto(first.page.url)
        second = Thumb(tab)
        second.at("Belfry")
        first.type("bell.clearance", "5 in")
        second.type("bell.swing", "30 in")
        first.kept()
        second.kept()
        said = json.loads(second.job_file())
        assert (said["bell"]["clearance"], said["bell"]["swing"]) == ("5 in", "30 in")
        first.page.bring_to_front()
        first.page.evaluate("dispatchEvent(new Event('focus'))")
        first.kept()
        assert first.job_file() == second.job_file()


FULL = """const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (...words) {
  if (window.full) throw new DOMException("no room", "QuotaExceededError");
  return put.apply(this, words);
};"""


@needs_chromium
def test_a_full_phone_is_told_and_what_was_typed_is_kept_once_there_is_room(page_file: Path) -> None:
    with thumb(page_file) as (page, _, _):
        page.page.add_init_script(FULL)
        page.page.reload()
        page = Thumb(page.page)
        begun(page)
        page.page.evaluate("window.full = true")
        page.type("bell.clearance", "5 in")
        page.page.wait_for_selector(".notice:has-text('no room left')")
        assert '"clearance": "5 in"' in page.job_file()
        page.page.evaluate("window.full = false")
        page.station("Belfry")
        page.type("bell.swing", "30 in")
        page.page.wait_for_selector(".notice", state="detached")
        page.page.reload()
        said = json.loads(Thumb(page.page).job_file())
        assert (said["bell"]["clearance"], said["bell"]["swing"]) == ("5 in", "30 in")


@needs_chromium
def test_a_browser_that_keeps_nothing_says_so_and_still_judges_and_saves(page_file: Path) -> None:
    forbidden = (
        "Object.defineProperty(window, 'indexedDB', {get() { throw new DOMException('no', 'SecurityError'); }});"
    )
    with thumb(page_file) as (page, _, _):
        page.page.add_init_script(forbidden)
        page.page.reload()
        page = Thumb(page.page)
        page.page.wait_for_selector(".notice:has-text('keeps nothing')")
        begun(page)
        page.type("bell.clearance", "3 in")
        assert page.verdict().startswith("1 to fix")
        page.tap("Undo")
        page.type("bell.clearance", "6 in")
        assert '"clearance": "6 in"' in page.job_file()


@needs_chromium
def test_answers_are_taken_back_one_by_one_and_jobs_stand_apart(page_file: Path) -> None:
    with thumb(page_file) as (page, _, _):
        begun(page)
        page.type("bell.clearance", "3 in")
        page.type("bell.swing", "30 in")
        page.tap("Undo")
        page.kept()
        said = json.loads(page.job_file())
        assert said["bell"] == {"clearance": "3 in"}
        page.tap("Jobs")
        begun(page, "little tom")
        page.stations()
        page.tap("Jobs")
        page.at("Jobs on this phone (2)")


@needs_chromium
def test_a_job_file_is_opened_and_a_broken_one_is_refused_in_words(page_file: Path, tmp_path: Path) -> None:
    jobs = BELLS.parent / "bells_work" / "jobs"
    (tmp_path / "broken.json").write_text('{"job_id": "a", "schema_version": 1, "bell": {"wieght": "9 lb"}}')
    with thumb(page_file) as (page, _, _):
        page.page.set_input_files("#open-job", tmp_path / "broken.json")
        page.page.wait_for_selector("text='bell.wieght' is not a fact")
        page.page.set_input_files("#open-job", jobs / "great-tom.json")  # it has an answer of the verger
        page.page.wait_for_selector(".notice:has-text('judge this job with changeout check')")
        page.page.set_input_files("#open-job", jobs / "little-tom.json")
        page.at("The job")
        page.stations()
        assert json.loads(page.job_file()) == json.loads((jobs / "little-tom.json").read_text())


@needs_chromium
def test_it_says_when_its_rules_are_old_or_an_edition_came_since(bells: Checker, tmp_path: Path) -> None:
    """Low Chime has had the second edition of the chime book since 2024."""
    old = written(bells, PLACE, tmp_path, datetime.date(2023, 11, 25))
    with thumb(old) as (page, _, _):
        said = page.page.inner_text(".top")
        assert "more than a year old" in said
        assert "chimebook 2 is in force here since 2024-01-01, after this page was made" in said


@needs_chromium
def test_what_a_job_says_is_text_on_every_screen(page_file: Path) -> None:
    name = '<img src=x onerror="document.title=1">\u202eabc'
    with thumb(page_file) as (page, complaints, requests):
        page.begin(name)
        page.tap("bell and ropes")
        page.stations()
        page.at("<img src=x")
        assert page.page.locator("main img").count() == 0
        assert "\u202e" not in page.page.inner_text("main")
        assert (complaints, requests) == ([], [])


# --- looks ------------------------------------------------------------------------------------------------------------

SMALL = """() => [...document.querySelectorAll('button, input, select, summary, label.take, label.tick')]
  .filter((one) => one.getClientRects().length && !one.closest('label.take, label.tick') || one.matches('label'))
  .map((one) => [one.tagName + ' ' + (one.textContent || one.id), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 48 || box.width < 48).map(([name]) => name)"""


def looked_at(page: Thumb) -> list[str]:
    """What is wrong with the looks of a screen: faults of WCAG A and AA, contrast under 7 to 1, and targets under 48 px."""
    wide = page.page.evaluate("document.documentElement.scrollWidth > innerWidth")
    return [*faults(page.page), *weak_contrast(page.page), *page.page.evaluate(SMALL), *(["too wide"] * wide)]


@needs_chromium
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_every_screen_is_read_in_the_sun_and_tapped_with_gloves(
    page_file: Path, scheme: str, size: dict[str, int]
) -> None:
    with thumb(page_file, size) as (page, _, _):
        page.page.emulate_media(color_scheme=scheme)
        wrong = {"jobs": looked_at(page)}
        begun(page)
        page.type("bell.clearance", "3 in")
        wrong["station"] = looked_at(page)
        for name, go in (("stations", page.stations), ("verdict", lambda: page.tap(page.verdict()))):
            go()
            page.page.wait_for_timeout(50)
            wrong[name] = looked_at(page)
        assert {name: found for name, found in wrong.items() if found} == {}


@needs_chromium
def test_twice_the_size_of_type_still_fits_the_phone(page_file: Path) -> None:
    with thumb(page_file) as (page, _, _):
        begun(page)
        page.page.evaluate("document.documentElement.style.setProperty('font-size', '34px')")
        assert page.page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@needs_chromium
def test_on_paper_stands_all_of_a_job_and_no_button(page_file: Path) -> None:
    with thumb(page_file) as (page, _, _):
        begun(page)
        page.type("bell.clearance", "3 in")
        page.tap(page.verdict())
        page.at("What it says")
        page.page.emulate_media(media="print")
        assert not page.page.locator("nav.bar").is_visible()
        assert "authority having jurisdiction decides" in page.page.inner_text("body")
