"""What is published of the states: the form and sources of the files, how sure they have to be to count, who goes before them."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from checker.engine.checker import Checker
from checker.engine.program_of import program_of
from checker.findings.report import Edition
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_file
from checker.reading.job import Job
from checker.reporting import page
from checker.reporting.title_block import title_block
from checker.rulesets import schema
from checker.rulesets.applicability import Versions
from checker.rulesets.layer_permissions import chain_problems
from checker.rulesets.layering import effective
from checker.rulesets.state_rulesets import StateRules, last_day, state_of_file
from checker.rulesets.states import FIRM
from tests.support.rulesets import ON, STATES
from tests.support.states import FILES, editions, job, put, shipped_editions

CODE = ("nec", "irc-mechanical", "umc-mechanical")
PERMIT = datetime.date(2026, 11, 2)


# --- the files ---


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_state_file_can_be_used(shipped: Checker, path: Path) -> None:
    """Its shape holds, each entry names a source that there is, its days are in order, what it changes is as it was."""
    found = state_of_file(path)
    assert found.state.state.lower() == path.stem
    assert [] == [error.message for error in VALIDATOR.iter_errors(read_file(path).data)]
    chain = shipped.chain("", found.state.state)
    assert [] == list(chain_problems(chain))
    for name, change in [*found.ruleset.amend.items(), *found.ruleset.withdraw.items()]:
        section = "rules" if ("rules", name) in chain.homes else "limits"
        home, day = (
            chain.homes[section, name].id,
            max(datetime.date.fromisoformat(change.starts or "2025-06-01").toordinal(), 1),
        )
        for edition in change.meaning:
            assert "" == effective(chain, section, name, {home: edition}, day).stale


VALIDATOR = Draft202012Validator(schema.schema_of_states())


def test_the_schema_is_current() -> None:
    assert schema.text(schema.schema_of_states()) == schema.OF_STATES.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_two_sources_or_the_states_own_text(path: Path) -> None:
    """second_hand is two sources at least; nothing read is from memory, or in doubt."""
    state = state_of_file(path).state
    for kind, code in state.codes.items():
        for one in code.in_force:
            where = f"{path.stem} {kind} {one.edition}"
            assert one.sure != "second_hand" or len(one.sources) > 1, where
            assert one.sure not in FIRM or one.sources != ["memory"], where
            assert one.sure == "doubtful" or not one.other, where


BROKEN = {
    "an entry without a source": ("sources: [gratis]", "sources: []"),
    "a source that is not there": ("sources: [gratis]", "sources: [gratia]"),
    "days out of order": ("from: 2024-04-15", "from: 2018-04-15"),
    "a kind of code that is none": ("  residential:", "  residental:"),
    "a word that is none": ("decided_by: state", "decided_by: stata"),
    "an amendment without what it amends": ("does: narrows", "does: narrows\n    amend: {a-b: {set: {title: x}}}"),
    "a day that is none": ("from: 2024-04-15", "from: soon"),
}


@pytest.mark.parametrize("change", BROKEN.values(), ids=BROKEN)
def test_a_broken_file_is_refused(tmp_path: Path, change: tuple[str, str]) -> None:
    text = (STATES / "oh.yaml").read_text(encoding="utf-8")
    assert change[0] in text
    with pytest.raises(ProblemsFound) as refused:
        state_of_file(put(tmp_path, "oh.yaml", text.replace(*change, 1)))
    assert all(problem.hint for problem in refused.value.problems)


def test_a_record_of_no_kind_of_code_is_told_where_it_stands(tmp_path: Path) -> None:
    text = (STATES / "oh.yaml").read_text(encoding="utf-8")
    text += 'confirmed:\n  - {code: electric, edition: "2023", by: b, where: w, on: 2026-11-01}\n'
    with pytest.raises(ProblemsFound) as refused:
        state_of_file(put(tmp_path, "oh.yaml", text))
    (problem,) = refused.value.problems
    assert len(text.splitlines()) == problem.where.line


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_no_entry_lacks_a_source(path: Path) -> None:
    """Each that says how sure it is names what was read; that says what it is, of which day, and when somebody read it."""
    data = read_file(path).data
    entries = list(saying_how_sure(data))
    assert len(entries) > len(data["codes"])
    assert [] == [entry for entry in entries if not set(entry.get("sources", ())) & set(data["sources"])]
    assert all({"what", "dated", "seen"} <= set(source) for source in data["sources"].values())


def saying_how_sure(data: Any) -> Iterator[dict[str, Any]]:
    """The entries of a state's file that say how sure they are."""
    if isinstance(data, dict) and "sure" in data:
        yield data
    for one in data.values() if isinstance(data, dict) else data if isinstance(data, list) else ():
        yield from saying_how_sure(one)


def test_the_day_that_a_source_is_of() -> None:
    assert ["2024-12-31", "2024-02-29", "2024-02-03", ""] == [
        last_day(d) for d in ("2024", "2024-02", "2024-02-03", "unknown")
    ]


# --- what counts ---


def counts(found: StateRules, code: str, day: str) -> set[str]:
    """The editions that a file makes sure of on a day, by hand: the last begun, of which the state decides."""
    kinds = [k for k, known in found.codes.codes.items() if code in known.rulesets.values() and k in found.state.codes]
    model = {
        name for known in found.codes.codes.values() for name, ruleset in known.rulesets.items() if ruleset == code
    }
    held = set()
    for kind in kinds:
        entry = found.state.codes[kind]
        begun = [one for one in entry.in_force if one.starts == "unknown" or one.starts <= day]
        statewide = entry.decided_by == "state" and entry.sure in FIRM
        if begun and begun[-1].sure in FIRM and begun[-1].code in model and statewide:
            held.add(begun[-1].edition)
    return held


def test_one_edition_only_where_the_state_decides_and_the_sources_agree(shipped: Checker) -> None:
    """Every state there is, with a file and without one."""
    states = next(leaf for leaf in shipped.vocabulary.leaves.values() if leaf.path == "site.state").possible
    for state in map(str, states):
        found = shipped.library.state(state)
        for code in CODE:
            judged = editions(shipped, job(shipped, state), code)
            sure = counts(found, code, PERMIT.isoformat()) if found else set()
            assert judged == shipped_editions(shipped, code) or (len(judged) == 1 and set(judged) <= sure), (
                state,
                code,
            )


def test_an_edition_that_no_rules_are_written_for_is_not_judged_by(shipped: Checker) -> None:
    """The District of Columbia was under the 2011 code before its 2014 one; ours begin with 2014."""
    assert shipped_editions(shipped, "nec") == editions(shipped, job(shipped, "DC", "2018-01-01"), "nec")


@pytest.mark.long
def test_a_job_can_be_judged_in_each_state_whatever_its_day(shipped: Checker) -> None:
    for path in FILES:
        for day in ("2012-01-01", "2018-01-01", "2022-01-01", "2026-11-01"):
            assert shipped.check_job(job(shipped, path.stem.upper(), day), ON).findings


def test_a_state_without_an_entry_is_judged_under_every_edition(shipped: Checker, tmp_path: Path) -> None:
    """Ohio's file with all but its energy code taken out: each code is told as not found, and none is judged alone."""
    data = read_file(STATES / "oh.yaml").data
    put(tmp_path, "oh.yaml", yaml.safe_dump({**data, "codes": {"energy": data["codes"]["energy"]}}))
    library = shipped.library.with_one(shipped.library.rulesets["nec"])
    library.of_states = (tmp_path,)
    checker = Checker(library, shipped.vocabulary)
    one = job(checker, "OH")
    for code in CODE:
        assert shipped_editions(checker, code) == editions(checker, one, code)
    notes = " ".join(checker.check_job(one, ON).deciding)
    assert "Electrical code: nothing was found for Ohio. Judged under every edition here." in notes


def test_the_permits_day_decides_which_period(shipped: Checker) -> None:
    """Texas, by its own rule (16 TAC 73.100): the 2023 code from September 1, 2023."""
    assert ["2020"] == editions(shipped, job(shipped, "TX", "2023-08-31"), "nec")
    assert ["2023"] == editions(shipped, job(shipped, "TX", "2023-09-01"), "nec")


def test_a_permit_that_straddles_a_change_is_judged_under_both(shipped: Checker) -> None:
    one = job(shipped, "TX", {"between": ["2023-08-01", "2023-10-01"]})  # type: ignore[arg-type]
    settings = list(Versions(one, shipped.chain_of(one)).settings("overcurrent-within-nameplate"))
    assert {"2020", "2023"} == {dict(setting.editions)["nec"] for setting in settings}
    assert {"date_unknown"} == {setting.doubt for setting in settings}


def test_a_program_marks_the_editions_that_are_only_published(shipped: Checker) -> None:
    """Whoever judges by the program alone lets the office's word go before these. A county's own adoptions have no mark."""
    calendars = [
        program_of(place, shipped.vocabulary, {}, {}, {}).calendar
        for place in (shipped.chain("", "TX"), shipped.chain("xx-alder"))
    ]
    assert [{True}, {False}] == [{one.by_report for one in calendar} for calendar in calendars]
    assert ("nec", "2023") in {(one.code, one.edition) for one in calendars[0]}


def test_while_applicants_may_choose_no_edition_is_judged_alone(shipped: Checker) -> None:
    """Massachusetts' tenth edition, based on the 2021 IRC, began on October 11, 2024; the ninth could be chosen until July 1,
    2025 (780 CMR, the state's own page)."""
    every = shipped_editions(shipped, "irc-mechanical")
    chosen = [editions(shipped, job(shipped, "MA", day), "irc-mechanical") for day in ("2024-10-11", "2025-06-30")]
    assert [every, every] == chosen
    assert ["2021"] == editions(shipped, job(shipped, "MA", "2025-07-01"), "irc-mechanical")
    said = [" ".join(shipped.check_job(job(shipped, "MA", day), ON).deciding) for day in ("2025-06-30", "2025-07-01")]
    assert ["until 2025-07-01 you may still choose the one before" in one for one in said] == [True, False]


def test_the_offices_word_goes_before_what_is_published(shipped: Checker) -> None:
    told = [{"key": "e", "code": "nec", "edition": "2017", "told_by": "the clerk"}]
    one = job(shipped, "TX", "2024-05-01", site={"adopted": told})
    assert ["2017"] == editions(shipped, one, "nec")
    notes = shipped.check_job(one, ON).notes
    assert "2017 NEC, as told by the clerk." in notes
    assert not [note for note in notes if "Electrical code:" in note]


def in_title_block(checker: Checker, one: Job, code: str) -> Edition:
    """What a title block says of a code."""
    return next(edition for edition in checker.check_job(one, ON).editions if code == edition.code)


NEC = "National Electrical Code"


def test_the_title_block_names_the_edition_that_the_office_told(shipped: Checker) -> None:
    """Texas publishes the 2023 code (16 TAC 73.100); the office said 2017, and by that the job is judged."""
    told = [{"key": "e", "code": "nec", "edition": "2017", "told_by": "the clerk"}]
    one = job(shipped, "TX", "2024-05-01", site={"adopted": told})
    assert Edition(NEC, ("2017",), "told by the clerk") == in_title_block(shipped, one, NEC)


def test_the_title_block_says_that_an_edition_is_only_published(shipped: Checker) -> None:
    found = in_title_block(shipped, job(shipped, "OH"), NEC)
    assert found.by.startswith("as published for Ohio, ask the office: ")


def test_the_title_block_names_the_books_cited_beside_a_code(shipped: Checker) -> None:
    """Nobody's word puts them in force: the residential rules cite them in the edition of their own book."""
    one = job(shipped, "TN", "2023-12-30")
    rows = {row.title: row.text for row in title_block(one, "", shipped.check_job(one, ON)).rows}
    assert "IMC, IFGC, IECC cited in the same edition, adoption not recorded" in rows["Editions in force"]
    assert () == in_title_block(shipped, one, NEC).beside


def test_the_title_block_names_no_edition_that_counts_no_longer(shipped: Checker) -> None:
    """Tennessee's residential code was read to January 2022, which counts for two years."""
    title = "International Residential Code"
    assert ("2018",) == in_title_block(shipped, job(shipped, "TN", "2023-12-30"), title).editions
    assert ((), "") == in_title_block(shipped, job(shipped, "TN", "2024-01-03"), title)[1:3]


def test_the_title_block_leaves_open_a_day_before_the_first_edition_that_counts(shipped: Checker) -> None:
    """Ohio's 2023 edition counts from April 15, 2024. A permit of 2023 or 2024 is judged under every edition."""
    one = job(shipped, "OH", {"between": ["2023-06-01", "2024-06-01"]})  # type: ignore[arg-type]
    found = in_title_block(shipped, one, NEC)
    assert tuple(shipped_editions(shipped, "nec")) == found.editions
    assert "not recorded as one day" in found.by


def test_a_covered_place_takes_nothing_from_what_is_published(shipped: Checker) -> None:
    assert shipped.chain("xx-alder").digest == shipped.chain("xx-alder", "OH").digest


# --- it ages ---


def test_a_report_and_a_page_made_a_year_after_the_review_say_so(shipped: Checker) -> None:
    reviewed = datetime.date.fromisoformat(state_of_file(STATES / "oh.yaml").state.reviewed_through)
    one = job(shipped, "OH", "2027-12-20")
    old = f"Nobody has looked up the codes of Ohio since {reviewed}. Ask which editions are in force."
    assert old in shipped.check_job(one, reviewed + datetime.timedelta(400)).deciding
    assert old not in shipped.check_job(one, reviewed + datetime.timedelta(300)).deciding
    later, sooner = (shipped.check_job(one, reviewed + datetime.timedelta(days)) for days in (400, 300))
    assert [True, False] == [old in page.render(report, one, None) for report in (later, sooner)]
