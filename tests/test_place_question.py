"""State and county in one answer, as people say them.

Counties are those of the Census Bureau as shipped (2020); which ways of writing are usual: common practice, no source.
"""

from __future__ import annotations

import pytest

from checker.engine.checker import Checker
from checker.fieldwork.place_question import Places
from checker.fieldwork.prompts import NotAnAnswer
from tests.support.interviews import about, asked

PATHS = ("site.state", "site.jurisdiction")


@pytest.fixture(scope="module")
def places(shipped: Checker) -> Places:
    return Places(shipped.library, shipped.vocabulary)


@pytest.mark.parametrize(
    ("state", "name", "answers"),
    [
        ("OH", "Franklin", "Ohio, Franklin; Ohio Franklin; Franklin, OH; Franklin, Ohio; Ohio - Franklin; Franklin oh"),
        ("OH", "Franklin County", "Franklin County, Ohio; OH, Franklin County; Franklin County OH"),
        ("OH", "Columbus", "Columbus, OH; Columbus OH 43215; Columbus, Ohio"),  # a city; Columbiana is a county
        ("OH", "14 Quarry Rd, Millbrook", "14 Quarry Rd, Millbrook, OH 43055"),
        ("OH", "", "Ohio; oh; OH"),
        ("OR", "Washington", "Washington, Oregon; Washington, OR; Oregon, Washington"),  # a county there, and a state
        ("OH", "Washington", "Ohio, Washington; Washington OH"),
        ("OH", "Delaware", "Delaware, Ohio; Ohio, Delaware"),
        ("NY", "", "New York"),
        ("NY", "New York", "New York, New York; New York, NY"),
        ("NC", "Wake", "North Carolina, Wake; Wake, NC; wake north carolina"),
        ("MO", "Kansas City", "Kansas City, MO; Kansas City MO; Kansas City, Missouri"),
        ("LA", "Orleans Parish", "Orleans Parish, Louisiana"),
    ],
)
def test_a_place_is_read_as_people_say_it(places: Places, state: str, name: str, answers: str) -> None:
    for answer in answers.split("; "):
        assert (state, name.casefold()) == (places.named(answer).state, places.named(answer).name.casefold()), answer


@pytest.mark.parametrize("answer", ["Alder County", "alder", "Alder Co.", "xx-alder", "Larch, Alder County"])
def test_a_county_with_a_ruleset_is_found_by_its_name(places: Places, answer: str) -> None:
    assert ("", "xx-alder") == places.named(answer)


def test_a_county_of_a_real_state_is_not_taken_for_one_of_the_same_name_elsewhere(places: Places) -> None:
    assert ("OH", "Alder") == places.named("Ohio, Alder")


@pytest.mark.parametrize("answer", ["Washington County", "Ohio County", "Kansas City", "Millbrook", "Wood Co"])
def test_a_place_alone_does_not_name_its_state(places: Places, answer: str) -> None:
    with pytest.raises(NotAnAnswer, match="Which state"):
        places.named(answer)


@pytest.mark.parametrize(
    ("answer", "meant"),
    [("Frankln, Ohio", "Franklin"), ("Ohio, Cuyahga County", "Cuyahoga"), ("Ohoi, Franklin", "ohio")],
)
def test_a_misspelled_county_or_state_is_asked_about(places: Places, answer: str, meant: str) -> None:
    with pytest.raises(NotAnAnswer, match=meant):
        places.named(answer)
    assert "city of Frankln" == places.named("city of Frankln, Ohio").name


def test_the_state_is_asked_before_any_code_of_a_place_and_what_was_said_is_not_asked_again(shipped: Checker) -> None:
    talk = about(shipped, {})
    while asked(talk).paths != PATHS:
        talk.skip()
    assert asked(talk).text.startswith("State and county")
    talk.answer("Franklin County, Ohio")
    site = talk.now.job.data["site"]
    assert ("OH", "Franklin County") == (site["state"], site["jurisdiction"])
    while talk.question and talk.where is None:
        assert not {*PATHS} & {*asked(talk).paths}
        talk.skip()


def test_of_a_job_that_says_the_state_the_place_is_asked_and_the_other_way_round(shipped: Checker) -> None:
    for known, path in (({"state": "OH"}, PATHS[1]), ({"jurisdiction": "Millbrook"}, PATHS[0])):
        talk, found = about(shipped, {"site": known}), []
        while talk.question and talk.where is None:
            found += asked(talk).paths
            talk.skip()
        assert path in found
