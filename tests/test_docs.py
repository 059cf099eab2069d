"""The pages of rules: every rule has one, every link leads somewhere, hostile text is inert, and what is old is noticed."""

from __future__ import annotations

import datetime
import json
import os
import re
import shutil
import subprocess
import sys
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from checker.authoring.docs import markdown as docs_markdown
from checker.authoring.docs import review
from checker.authoring.docs import site as docs_site
from checker.authoring.docs.cases import OUTCOMES
from checker.authoring.docs.collection import docs
from checker.authoring.docs.model import HEADINGS, Docs
from checker.cli import main
from checker.engine.checker import Checker
from checker.findings.report import DEFERRAL
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.layering import NO_EDITION
from checker.rulesets.library import SHIPPED, open_library
from checker.rulesets.ruleset import edition_within
from tests.support.browser import DESK, PHONE, faults, needs_chromium, opened
from tests.support.many_jobs import BELLS

pytestmark = pytest.mark.long

ON = datetime.date(2026, 11, 25)
DISCONNECT = "rules/nec/disconnect-fitted-in-sight"
HOSTILE = """<script>window.hit=1</script>"><img src=x onerror="window.hit=1">{{ 7*7 }} | [x](javascript:1) `a` **b**"""
RULESET = """\
id: birch-notes
version: 1.0.0
title: {title}
owner: Birch Notes
owner_kind: practice
reviewed_through: 2027-06-30
documents: {{ours: {title}}}
"""
RULE = """\
limits:
  deepest_drain:
    title: Deepest trap {hostile}
    unit: in
    values:
      - {{value: "2", until: 2027-03-01, source: {hostile}, sure: from_memory}}
rules:
  drain-looked-at:
    title: {hostile}
    topic: condensate
    obligation: should
    intent: {hostile}
    citation: [{{document: ours, section: {hostile}, section_sure: checked, requirement_sure: checked, note: {hostile}}}]
    require: [condensate.primary_drain.size >= deepest_drain]
    on_fail: {hostile}
    remedy: {hostile}
    cases:
      - {{name: {hostile}, given: {{condensate.primary_drain.size: 2 in}}, expect: pass}}
      - {{name: smaller, given: {{condensate.primary_drain.size: 1 in}}, expect: fail}}
"""


@pytest.fixture(scope="module")
def all_docs(shipped: Checker) -> Docs:
    return docs(shipped, "", ON)


@pytest.fixture(scope="module")
def site(all_docs: Docs, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return laid_out(docs_site.files(all_docs), tmp_path_factory.mktemp("site"))


@pytest.fixture(scope="module")
def markdown(all_docs: Docs, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return laid_out(docs_markdown.files(all_docs), tmp_path_factory.mktemp("markdown"))


def laid_out(files: dict[str, str], folder: Path) -> Path:
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def hostile_ruleset(folder: Path) -> Path:
    """A ruleset whose every free text tries to break out of a page."""
    folder.mkdir(parents=True)
    quoted = "'" + HOSTILE.replace("'", "''") + "'"
    (folder / "ruleset.yaml").write_text(RULESET.format(title=quoted))
    (folder / "drain.yaml").write_text(RULE.format(hostile=quoted).replace("Deepest trap '", "'Deepest trap "))
    return folder


def run(*arguments: str) -> Any:
    return CliRunner().invoke(main, ["rules", "docs", *arguments])


class Links(HTMLParser):
    """The links and names of a page, its tags and its text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.names: list[str] = []
        self.tags: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [str(value) for name, value in attributes if name in ("href", "src")]
        self.names += [str(value) for name, value in attributes if name == "id"]


def said(file: Path) -> str:
    """The text of a page, spaces run together."""
    bare = re.sub(r"<(style|script)>.*?</\1>", " ", file.read_text(encoding="utf-8"), flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]*>", "", bare)).split())


# --- links ---


def test_every_link_of_the_site_leads_to_a_page_or_a_part_of_one(site: Path) -> None:
    pages = {page: Links(page.read_text(encoding="utf-8")) for page in site.rglob("*.html")}
    for page, found in pages.items():
        assert len(found.names) == len(set(found.names)), page
        for link in found.links:
            file, _, part = link.partition("#")
            target = (page.parent / file).resolve() if file else page
            assert target in pages, f"{page}: {link}"
            assert not part or part in pages[target].names, f"{page}: {link}"


def test_every_link_of_the_markdown_leads_to_a_page(markdown: Path) -> None:
    for page in markdown.rglob("*.md"):
        links = re.findall(r"(?<!\\)\]\(([^)]*)\)", page.read_text(encoding="utf-8"))
        assert len(links) >= 3, "the way back stands on every page"
        for link in links:
            assert (page.parent / link).is_file(), f"{page}: {link}"


def test_both_indexes_lead_to_every_rule(site: Path, markdown: Path, shipped: Checker) -> None:
    wanted = {f"rules/{r.id}/{rule}" for r in shipped.library.rulesets.values() for rule in r.rules}
    for name in ("index.html", "stages.html"):
        links = [link for link in Links((site / name).read_text(encoding="utf-8")).links if link.startswith("rules/")]
        assert sorted(f"{one}.html" for one in wanted) == sorted(links), "each once"
    for name in ("README.md", "stages.md"):
        links = re.findall(r"\]\((rules/[^)]*)\.md\)", (markdown / name).read_text(encoding="utf-8"))
        assert sorted(wanted) == sorted(links)


# --- what a page says ---


def test_every_rule_has_a_page_with_its_sections_limits_and_cases(site: Path, shipped: Checker) -> None:
    for ruleset in shipped.library.rulesets.values():
        for rule_id, rule in ruleset.rules.items():
            page = said(site / f"rules/{ruleset.id}/{rule_id}.html")
            held = [e for e in ruleset.header.editions if edition_within(rule.editions, e)] or [NO_EDITION]
            for cited in rule.citation:
                if held == [NO_EDITION] or any(edition_within(cited.editions, edition) for edition in held):
                    document, section = ruleset.header.documents[cited.document], " ".join(cited.section.split())
                    assert f"{document} {section}" in page or f"{document}, {section}" in page
            for case in rule.cases:
                assert f"{' '.join(case.name.split())}" in page
            chain = shipped.using(ruleset.id).chain("") if ruleset.header.owner_kind == "group" else shipped.chain("")
            for name in chain.limits_named(rule_id) if ("rules", rule_id) in chain.homes else ():
                limit = chain.homes["limits", name].limits[name]
                assert name in page
                assert " ".join(limit.title.split()) in page
            assert ruleset.digest in page
            assert DEFERRAL in page


def test_every_page_has_the_same_headings_in_the_same_order(site: Path, markdown: Path) -> None:
    for page in (site / "rules").rglob("*.html"):
        headings = re.findall(r'<h2 id="part-\d+">([^<]*)</h2>', page.read_text(encoding="utf-8"))
        assert list(HEADINGS) == headings, page
    for page in (markdown / "rules").rglob("*.md"):
        assert list(HEADINGS) == re.findall(r"^## (.*)$", page.read_text(encoding="utf-8"), re.MULTILINE), page


def test_no_condition_is_left_as_it_is_written(all_docs: Docs) -> None:
    """A fact's path, a limit's name or an operator in a sentence would be for programmers."""
    for page in all_docs.pages:
        waiting = [*page.asked, *page.when, *(one.said for one in page.put)]
        while waiting:
            one = waiting.pop()
            waiting += one.parts
            bare = re.sub(r"\(.*?\)", "", one.words)
            assert not re.search(r"\w_\w|\w\.\w+\.|==|>=|<=|!=", bare), f"{page.id}: {one.words}"
        for name in page.names:
            assert not re.search(r"[a-z]\w*\(|\bitem\.|\bouter\.", name.words), f"{page.id}: {name.words}"


def test_a_limit_is_said_with_its_value_and_title_and_the_line_as_written_beside_it(all_docs: Docs) -> None:
    """50 ft is the distance of NEC Article 100, in sight from."""
    page = next(page for page in all_docs.pages if page.file == DISCONNECT)
    far = page.asked[2]
    assert "Distance to the disconnect is at most 50 ft [read second hand] (farthest a disconnect may be" in far.words
    assert "item.disconnect.distance <= farthest_disconnect" == far.text
    (limit,) = [one for one in page.limits if one.name == "farthest_disconnect"]
    assert ("50 ft", "read second hand") == (limit.values[0].value, limit.values[0].sure)


def test_a_case_says_what_comes_out_in_words(all_docs: Docs) -> None:
    page = next(page for page in all_docs.pages if page.file == DISCONNECT)
    by_name = {one.name: one for one in page.examples if not one.source}
    assert OUTCOMES["pass"] == by_name["at the limit"].outcome
    assert ("Distance to the disconnect", "50 ft") in by_name["at the limit"].given
    assert "needs distance to the disconnect" == by_name["not measured"].because


def test_the_history_says_who_changed_a_rule_where_and_what_it_was(all_docs: Docs) -> None:
    """Alder County asks for 25 ft in its own ordinance."""
    page = next(page for page in all_docs.pages if page.file == DISCONNECT)
    assert "amended by alder-county" in page.marks
    (change,) = [one for one in page.history if one.changed.ruleset == "alder-county"]
    assert re.search(r"alder-county/amendments\.yaml:\d+$", change.changed.place)
    old, new = next((old, new) for name, old, new in change.fields if name == "What is asked")
    assert "50 ft" in old[2].words
    assert "25 ft" in new[2].words


def test_a_rule_stands_at_the_stage_that_ends_the_time_for_one_of_its_facts(all_docs: Docs) -> None:
    stages = {page.id: page.stage for page in all_docs.pages}
    assert "Before anything is covered" == stages["primary-drain-falls"], "the slope cannot be seen afterwards"
    assert "Before the charge is released" == stages["evacuation-level"]


def test_no_page_claims_anything(site: Path) -> None:
    for page in site.rglob("*.html"):
        text = said(page).lower()
        for word in ("approved", "compliant"):
            assert word not in text, page


def test_the_history_tells_the_releases_whose_entry_names_the_rule(tmp_path: Path) -> None:
    rules = hostile_ruleset(tmp_path / "birch")
    (rules / "CHANGELOG.md").write_text(
        "# What changed, by version\n\n## 1.0.0, 2026-05-04\n\nWhy: deeper traps\nclog less.\n\n- `drain-looked-at`: limit\n\n"
        "## 0.9.0, 2026-01-04\n\nWhy: another rule.\n\n- `drain-looked-at-twice`: gone\n"
    )
    checker = Checker(open_library([rules]), job_vocabulary())
    (page,) = docs(checker, "", ON).pages
    assert [("1.0.0, 2026-05-04", "deeper traps clog less.")] == [tuple(one) for one in page.releases]
    for files in (docs_site.files(docs(checker, "", ON)), docs_markdown.files(docs(checker, "", ON))):
        text = next(text for name, text in files.items() if "drain-looked-at" in name)
        assert "Changed in 1.0.0, 2026-05-04: deeper traps clog less." in text


# --- a place ---


def test_at_a_place_a_rule_is_shown_as_it_is_in_force_there(shipped: Checker) -> None:
    here = docs(shipped, "xx-alder", ON)
    page = next(page for page in here.pages if page.file == DISCONNECT)
    assert "Outdoor unit has a disconnect in sight and within 25 ft" == page.title
    assert "25 ft" in page.asked[2].words
    assert ["2023"] == [one.edition for one in page.stands if one.in_force]
    assert "umc-mechanical" not in {one.id for one in here.rulesets}, "the county does not use it"


def test_before_the_amendment_counts_the_rule_is_shown_as_the_code_has_it(shipped: Checker) -> None:
    here = docs(shipped, "xx-alder", datetime.date(2026, 6, 30))
    page = next(page for page in here.pages if page.file == DISCONNECT)
    assert "50 ft" in page.asked[2].words


def test_what_a_place_withdraws_is_marked(shipped: Checker) -> None:
    here = docs(shipped, "xx-alder", ON)
    withdrawn = shipped.library.get("alder-county").withdraw
    marked = {page.id for page in here.pages if any(mark.startswith("withdrawn by alder") for mark in page.marks)}
    assert set(withdrawn) == marked
    assert marked


def test_a_place_that_nobody_covers_is_refused() -> None:
    result = run("--place", "xx-aldre")
    assert 2 == result.exit_code
    assert "Did you mean 'xx-alder'?" in result.stderr


# --- what to look at again ---


def test_the_list_names_reviews_and_ends_the_nearest_first(all_docs: Docs, shipped: Checker) -> None:
    due = all_docs.review.due
    assert [one.day for one in due] == sorted(one.day for one in due)
    for ruleset in shipped.library.rulesets.values():
        assert any(one.day == ruleset.header.reviewed_through and ruleset.id in one.what for one in due)
        for changes in (ruleset.amend, ruleset.withdraw, ruleset.restore):
            for name, change in changes.items():
                assert not change.until or any(one.day == change.until and name in one.what for one in due)
    assert all(one.past == (one.day < "2026-11-25") for one in due)


def test_doubt_is_counted_as_it_is_written(all_docs: Docs, shipped: Checker) -> None:
    by_id = {one.ruleset: one for one in all_docs.review.counted}
    for ruleset in shipped.library.rulesets.values():
        cited = [c for rule in ruleset.rules.values() for c in rule.citation]
        doubtful = sum("doubtful" in (c.section_sure, c.requirement_sure) for c in cited)
        checked = sum((c.section_sure, c.requirement_sure) == ("checked", "checked") for c in cited)
        counted = by_id[ruleset.id].citations
        assert (doubtful, checked, len(cited)) == (counted["in doubt"], counted["checked"], sum(counted.values()))


def test_the_list_is_printed_with_every_day_of_it(all_docs: Docs) -> None:
    result = run("--on", "2026-11-25")
    assert 0 == result.exit_code
    assert review.text(all_docs.review) == result.stdout
    assert all(one.day in result.stdout and one.what in result.stdout for one in all_docs.review.due)


def test_an_acceptance_on_a_job_is_listed_with_its_last_day() -> None:
    """The example's letter names 2027-06-30 as its last day."""
    result = run("--on", "2026-11-25", "--jobs", str(SHIPPED.parent / "examples/jobs/08-accepted.json"))
    assert re.search(r"^2027-06-30  Acceptance of .* ends$", result.stdout, re.MULTILINE)


def test_a_confirmation_is_counted_and_lapses_when_the_rule_has_changed(tmp_path: Path) -> None:
    folder = hostile_ruleset(tmp_path / "birch")
    record = (
        "confirm:\n  drain-looked-at-ours: {{rule: drain-looked-at, document: ours, printing: first, read_by: O. Marchbank,"
        " read_on: 2026-05-04, meaning: {{any: {meaning}}}}}\n"
    )
    shown = CliRunner().invoke(main, ["explain", "drain-looked-at", "--rules", str(folder)]).stdout
    meaning = re.search(r"meaning ([0-9a-f]{16})", shown)
    assert meaning
    (folder / "confirmations.yaml").write_text(record.format(meaning=meaning[1]))
    assert re.search(r"birch-notes .*; 1 confirmed$", run(str(folder)).stdout, re.MULTILINE)
    (folder / "confirmations.yaml").write_text(record.format(meaning="0" * 16))
    assert re.search(r"birch-notes .*; 0 confirmed, 1 lapsed$", run(str(folder)).stdout, re.MULTILINE)


# --- the folder ---


# Whether pages are current is asked of an invented trade, which has its pages in a moment; those of what ships are above.
ROPE = "rules/chimebook/rope-tied"


@pytest.fixture
def bells(tmp_path: Path) -> Path:
    return shutil.copytree(BELLS, tmp_path / "bells")


@pytest.mark.parametrize("form", ["site", "markdown"])
def test_check_notices_an_edit_of_a_ruleset(bells: Path, tmp_path: Path, form: str) -> None:
    output = tmp_path / "pages"
    assert 0 == run(str(bells), "--output", str(output), "--format", form, "--on", "2026-11-25").exit_code
    assert 0 == run(str(bells), "--output", str(output), "--check").exit_code
    topic = bells / "chimebook" / "bell.yaml"
    topic.write_text(topic.read_text().replace('value: "4"', 'value: "3"'))
    result = run(str(bells), "--output", str(output), "--check")
    assert 1 == result.exit_code
    assert "rules/chimebook/wheel-clear-of-the-floor." in result.stdout
    assert "is not current" in result.stdout
    run(str(bells), "--output", str(output), "--format", form, "--on", "2026-11-25")
    assert 0 == run(str(bells), "--output", str(output), "--check").exit_code


def test_check_notices_a_page_that_somebody_edited_or_took_away(bells: Path, tmp_path: Path) -> None:
    run(str(bells), "--output", str(tmp_path / "pages"))
    index, page = tmp_path / "pages/index.html", tmp_path / f"pages/{ROPE}.html"
    page.unlink()
    index.write_text(index.read_text() + " ")
    result = run(str(bells), "--output", str(tmp_path / "pages"), "--check")
    assert 1 == result.exit_code
    assert "index.html doesn't fit the rulesets any more" in result.stdout
    assert f"{ROPE}.html is missing" in result.stdout


def without_the_ringers(bells: Path) -> str:
    """Their rules are gone."""
    shutil.rmtree(bells / "ringers")
    return str(bells)


def ringers_page(output: Path) -> Path:
    (page,) = (output / "rules/ringers").iterdir()
    return page


def test_pages_of_rules_that_are_gone_are_taken_away_and_what_is_not_ours_stays(bells: Path, tmp_path: Path) -> None:
    output = tmp_path / "pages"
    run(str(bells), "--output", str(output))
    ours = ringers_page(output)
    (output / "notes.html").write_text("mine")
    assert 0 == run(without_the_ringers(bells), "--output", str(output)).exit_code
    assert not ours.exists()
    assert "mine" == (output / "notes.html").read_text()


def test_a_page_that_somebody_changed_is_left_where_its_rule_is_gone(bells: Path, tmp_path: Path) -> None:
    output = tmp_path / "pages"
    run(str(bells), "--output", str(output))
    ours = ringers_page(output)
    ours.write_text("changed")
    assert "somebody changed it, so it was kept" in run(without_the_ringers(bells), "--output", str(output)).stderr
    assert "changed" == ours.read_text()


def test_a_folder_of_other_things_is_not_written_to(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine")
    result = run("--output", str(tmp_path))
    assert 2 == result.exit_code
    assert "has other files in it" in result.stderr
    assert ["letter.txt"] == [path.name for path in tmp_path.iterdir()]


def test_a_list_of_pages_that_names_files_elsewhere_takes_nothing_away(bells: Path, tmp_path: Path) -> None:
    output, letter = tmp_path / "pages", tmp_path / "letter.html"
    letter.write_text("mine")
    run(str(bells), "--output", str(output))
    listed = json.loads((output / "docs.json").read_text())
    listed["files"]["../letter.html"] = "0" * 16
    (output / "docs.json").write_text(json.dumps(listed))
    assert 0 == run(str(bells), "--output", str(output)).exit_code
    assert "mine" == letter.read_text()


@pytest.mark.parametrize("listed", ["", "[]", "{}", '{"made_by": "changeout rules docs", "files": {}, "on": "soon"}'])
def test_a_list_of_pages_that_cannot_be_read_is_said_and_nothing_is_written(tmp_path: Path, listed: str) -> None:
    (tmp_path / "docs.json").write_text(listed)
    result = run("--output", str(tmp_path))
    assert 2 == result.exit_code
    assert "cannot be read; nothing was written" in result.stderr
    assert ["docs.json"] == [path.name for path in tmp_path.iterdir()]


AGAIN = """
import datetime, hashlib, json, sys
from pathlib import Path
from checker.engine.checker import Checker
from checker.authoring.docs import markdown as docs_markdown, site as docs_site
from checker.authoring.docs.collection import docs
from checker.rulesets.library import job_vocabulary, open_library
checker = Checker(open_library([Path(sys.argv[1])]), job_vocabulary())
for place in ("", "xx-alder"):
    found = docs(checker, place, datetime.date(2026, 11, 25))
    print(hashlib.sha256(json.dumps([docs_site.files(found), docs_markdown.files(found)]).encode()).hexdigest())
"""


def test_the_same_rulesets_give_the_same_bytes_whatever_the_order_of_sets(tmp_path: Path) -> None:
    """Everywhere and at one place."""
    copy = shutil.copytree(SHIPPED, tmp_path / "rulesets")
    said = [
        subprocess.run(
            [sys.executable, "-c", AGAIN, str(copy)],
            env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, text=True, check=True,
        ).stdout.split()
        for seed in ("1", "2")
    ]  # fmt: skip
    assert said[0] == said[1]
    assert 2 == len({*said[0]})


def test_pages_of_a_changed_ruleset_carry_another_digest(shipped: Checker, tmp_path: Path) -> None:
    copy = tmp_path / "nec"
    shutil.copytree(SHIPPED / "codes/nec", copy)
    with (copy / "disconnect.yaml").open("a") as file:
        file.write("\n# looked at again\n")
    others = [SHIPPED / name for name in ("federal", "manufacturer", "practice")]
    changed = docs(Checker(open_library([copy, *others]), job_vocabulary()), "", ON)
    digest = next(one.digest for one in changed.rulesets if one.id == "nec")
    assert digest != shipped.library.get("nec").digest
    assert digest in docs_site.files(changed)[f"{DISCONNECT}.html"]


# --- in a browser ---


@needs_chromium
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize(
    "name",
    [
        "index.html",
        "stages.html",
        "review.html",
        f"{DISCONNECT}.html",
        "rules/nec/equipment-ground-large-enough.html",
        "rules/irc-mechanical/co-alarms-where-this-work-calls-for-them.html",
        "rules/practice/x.html",
    ],
)
def test_a_page_fits_reaches_for_nothing_and_has_no_serious_fault(site: Path, name: str, size: dict[str, int]) -> None:
    file = site / name
    if name.endswith("x.html"):  # the longest page there is
        file = max((site / "rules").rglob("*.html"), key=lambda path: path.stat().st_size)
    with opened(file, size) as (browser, complaints, requests):
        browser.evaluate("document.querySelectorAll('details').forEach(fold => fold.open = true)")
        assert browser.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
        assert [] == faults(browser)
        assert ([], []) == (complaints, requests)


@needs_chromium
@pytest.mark.parametrize(
    ("written", "rule"),
    [
        ("neighbour disconnect sight", None),
        ("disconnect sight", DISCONNECT),
        ("440.14", DISCONNECT),
        ("M1411.3", "primary-drain"),
    ],
)
def test_the_search_finds_a_rule_by_words_of_its_title_and_by_its_section(
    site: Path, written: str, rule: str | None
) -> None:
    with opened(site / "index.html") as (browser, complaints, requests):
        browser.fill("#words", written)
        shown = browser.evaluate(
            "[...document.querySelectorAll('.rules li:not([hidden]) a')].map(a => a.getAttribute('href'))"
        )
        every = browser.locator(".rules li").count()
        told = browser.locator("#told").inner_text()
        topics = browser.locator("section.topic:visible").count()
        filled = browser.locator("section.topic:visible", has=browser.locator("li:visible")).count()
    assert f"{len(shown)} of {every} rules" == told
    assert topics == filled
    assert ([], []) == (complaints, requests)
    assert any(rule in link for link in shown) if rule else not shown
    assert len(shown) < every


@needs_chromium
def test_without_scripts_the_index_is_whole_and_offers_no_search(site: Path, all_docs: Docs) -> None:
    with opened(site / "index.html", PHONE, scripts=False) as (browser, complaints, _):
        assert len(all_docs.pages) == browser.locator(".rules li:visible").count()
        assert not browser.locator("#search").is_visible()
        browser.locator(".rules a", has_text="Outdoor unit has a disconnect in sight").first.click()
        assert browser.url.endswith(f"{DISCONNECT}.html")
    assert [] == complaints


@needs_chromium
def test_hostile_text_in_a_ruleset_is_inert(tmp_path: Path) -> None:
    rules, output = tmp_path / "birch", tmp_path / "pages"
    hostile_ruleset(rules)
    assert 0 == run(str(rules), "--output", str(output), "--on", "2026-11-25").exit_code
    for name in ("rules/birch-notes/drain-looked-at.html", "index.html", "review.html"):
        with opened(output / name, PHONE) as (browser, complaints, requests):
            assert not browser.evaluate("'hit' in window")
            assert 0 == browser.locator("img").count()
            assert browser.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
            assert ([], []) == (complaints, requests)
    text = " ".join(HOSTILE.split())
    page = Links((output / "rules/birch-notes/drain-looked-at.html").read_text())
    assert {"script", "img"}.isdisjoint(page.tags)
    assert said(output / "rules/birch-notes/drain-looked-at.html").count(text) >= 8, "said, and as text"


def test_hostile_text_is_inert_in_markdown(tmp_path: Path) -> None:
    rules, output = tmp_path / "birch", tmp_path / "pages"
    hostile_ruleset(rules)
    assert 0 == run(str(rules), "--output", str(output), "--format", "markdown").exit_code
    text = (output / "rules/birch-notes/drain-looked-at.md").read_text()
    bare = re.sub(r"\\.", "", text)
    for sign in ("<script", "<img", "](javascript", "**b**", "`a`"):
        assert sign not in bare
    heads = 0
    for line in bare.splitlines():
        if line.startswith("|"):
            heads = heads or line.count("|")
            assert heads == line.count("|"), "no bar of the text has become the edge of a cell"
        else:
            heads = 0
