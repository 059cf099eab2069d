"""What commands make of what is published of the states: a plan, the interview, overview, what to look up next, a record."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.engine.checker import Checker
from checker.engine.startup import open_checker
from checker.fieldwork.place_question import Places
from checker.fieldwork.prompts import NotAnAnswer
from checker.rulesets.state_rulesets import state_of_file
from tests.support.states import FILES, editions, job, put


def run(*words: str, typed: str = "") -> tuple[int, str]:
    done = CliRunner().invoke(main, [*words, "--on", "2026-11-25"], input=typed)
    return done.exit_code, " ".join(done.output.split())


@pytest.mark.long
def test_a_plan_from_a_state_and_a_county_alone() -> None:
    """Its first line is what to ask the office there."""
    code, said = run("prep", "--state", "ohio", "--county", "Franklin County")
    assert 0 == code
    assert said.startswith("Before the visit: a new job Ask the office first. Electrical: 2023 NEC")
    assert "Residential: likely the 2018 IRC (2019 Residential Code of Ohio), which edition is in force?" in said
    assert "Place: Franklin County, Ohio." in said
    said = run("prep", "--state", "KY", "--county", "Fayette")[1]
    assert "Residential: likely the 2015 IRC (2018 Kentucky Residential Code), which edition is in force?" in said


@pytest.mark.long
def test_a_plan_asks_for_the_state_where_no_ruleset_covers_the_place() -> None:
    code, said = run("prep", typed="Franklin County\nohio\n1\n\n\n")
    assert 0 == code
    assert "Which state is 'Fran" in said
    assert "Ask the office first. Electrical: 2023 NEC" in said


WRONG_PLACES = {
    "a state": (("--state", "Ohoi"), "Did you mean 'ohio'?"),
    "a county": (("--state", "OH", "--county", "Frankin county"), "Did you mean 'Franklin'?"),
    "a county alone": (("--county", "Franklin"), "No state is named."),
    "beside a job": (("examples/jobs/01-clean.json", "--state", "OH"), "The job says where it is."),
}


@pytest.mark.parametrize("wrong", WRONG_PLACES.values(), ids=WRONG_PLACES)
def test_a_place_that_cannot_be(wrong: tuple[tuple[str, ...], str]) -> None:
    code, said = run("prep", *wrong[0])
    assert 2 == code
    assert wrong[1] in said


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ("St. Louis, MO", ("MO", "St. Louis")),
        ("St Louis, Mo.", ("MO", "St Louis")),
        ("Saint Louis County, Missouri", ("MO", "Saint Louis County")),
        ("Sainte Genevieve, MO", ("MO", "Sainte Genevieve")),
        ("N.J., Essex", ("NJ", "Essex")),
        ("D.C.", ("DC", "")),
        ("Prince George's, Md.", ("MD", "Prince George's")),
        ("OBrien County, Iowa", None),
    ],
)
def test_a_place_is_read_with_and_without_its_dots(typed: str, place: tuple[str, str] | None, shipped: Checker) -> None:
    """As people write them on letters. Names by the Census Bureau: St. Louis, Ste. Genevieve, O'Brien."""
    places = Places(shipped.library, shipped.vocabulary)
    if place is None:
        with pytest.raises(NotAnAnswer, match="O'Brien"):
            places.named(typed)
    else:
        assert place == places.named(typed)


def test_a_ruleset_may_cover_a_place_whose_name_has_dots(tmp_path: Path) -> None:
    """Judged in it, and released: dots and blanks are no parts of a path there."""
    header = tmp_path / "saint" / "ruleset.yaml"
    header.parent.mkdir()
    header.write_text(
        'id: saint\nversion: 1.0.0\ntitle: St. Lamp (invented)\nowner: Keeper\nowner_kind: local\nuses: {nec: ">=1.0, <9"}\n'
        'covers: ["St. Lamp", "../a", "a/b.c"]\nreviewed_through: 2030-01-01\ndocuments: {o: Ordinance}\n'
        'adopts: [{code: nec, edition: "2020", from: 2021-07-01, counts: dates.permit_applied, citation: Ordinance 12}]\n'
    )
    for place in ("St. Lamp", "../a", "a/b.c"):
        data = {
            "job_id": "1",
            "schema_version": 1,
            "site": {"jurisdiction": place},
            "dates": {"permit_applied": "2024-01-01"},
        }
        (tmp_path / "j.json").write_text(json.dumps(data))
        code, said = run(
            "check", str(tmp_path / "j.json"), "--rules", str(header.parent), "--format", "json", "--output", "-"
        )
        assert ("saint", 1) == (json.loads(said)["jobs"][0]["rulesets"][-1]["id"], code)
    code, said = run("rules", "release", str(header.parent), "--version", "1.0.0")
    assert (0, True) == (code, (header.parent / "releases" / "1.0.0.json").is_file()), said
    assert ["../a", "St. Lamp", "a/b.c"] == sorted(
        json.loads((header.parent / "releases" / "1.0.0.json").read_text())["programs"]
    )


def test_a_city_that_is_no_county_is_taken() -> None:
    assert 0 == run("prep", "--state", "OH", "--county", "Xenia")[0]


@pytest.mark.long
def test_the_interview_says_what_is_published_where_it_asks_for_the_editions(tmp_path: Path) -> None:
    said = run("interview", str(tmp_path / "j.json"), typed="1\n1\nFranklin County\nOhio\n\nstop\n")[1]
    assert "Which code editions does the office go by?" in said
    assert "Published: Electrical: 2023 NEC (2019 Residential Code of Ohio, electrical part), is that still so?" in said


def test_overview_counts_what_is_published_by_sort() -> None:
    """Held against a count of the files by hand: each kind's states, and who decides."""
    states = [state_of_file(path).state for path in FILES]
    code, said = run("rules", "overview", "--states")
    assert 0 == code
    assert f"What is published of the codes of {len(states)} states" in said
    for kind, title in (("electrical", "Electrical"), ("residential", "Residential"), ("mechanical", "Mechanical")):
        found = [one.codes[kind] for one in states if kind in one.codes]
        deciding = sum(one.decided_by == "state" for one in found)
        assert f"{title}: {len(found)} states. Edition now:" in said
        left = sum(one.decided_by == "locality" and not one.in_force for one in found)
        assert f"left to each place {left}" in said.split(f"{title}: ")[1].split("Decided by")[0]
        assert f"Decided by: state {deciding}," in said
    assert f"A2L refrigerants allowed: {sum('a2l' in one.acts for one in states)} states" in said


def test_what_to_look_up_next_begins_where_most_jobs_lie(tmp_path: Path) -> None:
    for number, state in enumerate(("WY", "OH", "OH")):
        job_file = {"job_id": f"j{number}", "schema_version": 1, "site": {"state": state}}
        (tmp_path / f"{number}.json").write_text(json.dumps(job_file), encoding="utf-8")
    code, said = run("rules", "todo", "--states", str(tmp_path))
    assert 0 == code
    assert said.startswith("2 jobs OH ")
    assert said.index("2 jobs OH residential") < said.index("1 jobs WY electrical") < said.index("0 jobs")
    assert said.endswith("3 jobs read.")


def test_an_edition_that_was_looked_up_counts_from_then_on(tmp_path: Path, shipped: Checker) -> None:
    folder = tmp_path / "states" / "us"
    folder.mkdir(parents=True)
    file = put(folder, "oh.yaml")
    for kind, edition in (("residential", "2018"), ("electrical", "2026")):
        record = ("--edition", edition, "--printing", "the board's own page", "--by", "R. Vale", "--into", str(folder))
        code, said = run("rules", "confirm", kind, "--state", "OH", *record)
        assert (0, f"Recorded in {file}.") == (code, said)
    found = state_of_file(file)
    adopted = [(one.code, one.edition, one.starts) for one in found.ruleset.header.adopts]
    assert ("irc-mechanical", "2018", "2019-07-01") in adopted
    assert ("nec", "2026", "2026-11-25") in adopted
    assert "R. Vale" in file.read_text(encoding="utf-8")
    assert "2026-11-25" == found.state.codes["residential"].known_through
    one = job(shipped, "OH")
    assert ["2018"] == editions(open_checker([tmp_path]), one, "irc-mechanical")


WRONG_RECORDS = {
    "no such kind of code": (("electric", "--edition", "2023"), "electrical"),
    "two editions": (("electrical", "--edition", "2023", "--edition", "2020"), "One edition is in force."),
    "no such state there": (("electrical", "--edition", "2023"), "There is no zz.yaml in it."),
}


@pytest.mark.parametrize("name", WRONG_RECORDS)
def test_a_record_that_cannot_be(tmp_path: Path, name: str) -> None:
    put(tmp_path, "oh.yaml")
    words, told = WRONG_RECORDS[name]
    state = "ZZ" if name == "no such state there" else "OH"
    code, said = run(
        "rules", "confirm", *words, "--state", state, "--printing", "p", "--by", "b", "--into", str(tmp_path)
    )
    assert 2 == code
    assert told in said


def test_a_page_of_a_job_with_nothing_but_its_state(tmp_path: Path) -> None:
    """It says first what counts there."""
    (tmp_path / "j.json").write_text(json.dumps({"job_id": "j", "schema_version": 1, "site": {"state": "OH"}}))
    page = tmp_path / "j.html"
    assert "fault" not in run("check", str(tmp_path / "j.json"), "--format", "page", "--output", str(page))[1]
    assert "Electrical code: Ohio enforces the 2023 NEC" in page.read_text(encoding="utf-8")
