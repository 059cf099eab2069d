"""State and county in one answer, as people say them: `Ohio, Franklin County`.

A county that has a ruleset is found by that ruleset's name: `some-county` answers to Some and to Some County.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from typing import NamedTuple

from checker.fieldwork.prompts import Facts, NotAnAnswer, value_of
from checker.problems.problem import did_you_mean
from checker.reading.typed_input import alike_place
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.library import Library

KIND = re.compile(r"\s+(?:county|co\.?|cnty\.?|parish|borough)$", re.IGNORECASE)
CITY = re.compile(r"^(?:city|town|village|township) of ", re.IGNORECASE)
ZIP = re.compile(r"[\s,]+\d{5}(?:-\d{4})?$")
BETWEEN = re.compile(r",|\s[-–]\s")  # state and place
MOST_WORDS = 3  # of a state's name
MUCH_ALIKE = 0.85  # as difflib measures it: Frankln and Franklin are, Columbus and Columbiana are not


class Place(NamedTuple):
    """A place as it was named: the state's name in the job schema, and the county, the city or the code of a ruleset."""

    state: str = ""
    name: str = ""


class Places:
    """The places that can be named: those that rulesets cover, and the states with their counties."""

    def __init__(self, library: Library, vocabulary: Vocabulary) -> None:
        self.library, self.vocabulary = library, vocabulary
        self.covered = tuple(sorted({code for one in library.rulesets.values() for code in one.header.covers}))

    def named(self, answer: str) -> Place:
        """The place that an answer names.

        Raises:
            NotAnAnswer: It names no state and no place with a ruleset, or a county is misspelled.
        """
        text = ZIP.sub("", answer.strip())
        found = list(self._readings(text))
        if not found:
            if code := self._code(text):
                return Place(name=code)
            meant = self.state_meant(text) or "Write the state with it."
            raise NotAnAnswer(f"Which state is '{text[:60]}' in? {meant}")
        state, rest = next((one for one in found if self.is_county(*one)), found[0])
        code = self._code(rest, state)
        return Place(state, code or self._checked(state, rest))

    def state(self, text: str) -> str:
        """The state that a text is the name or the letters of; empty where it is none."""
        try:
            return str(value_of(self.vocabulary.leaves[self.vocabulary.at("state")], text))
        except NotAnAnswer:
            return ""

    def is_county(self, state: str, name: str) -> bool:
        return alike_place(_base(name)) in map(alike_place, self.library.counties(state))

    def misspelled(self, state: str, name: str) -> str:
        """Which county of a state is meant by a name that is none of its counties; empty where none is. A city may be
        called much like a county: only a name that says county, or differs by a letter or two, is taken for one."""
        if CITY.match(name) or self.is_county(state, name):
            return ""
        base, known = _base(name), {one.casefold(): one for one in self.library.counties(state)}
        near = difflib.get_close_matches(base, known, 1, MUCH_ALIKE)
        return did_you_mean(base.title(), known.values()) if near or KIND.search(name) else ""

    def _checked(self, state: str, name: str) -> str:
        meant = self.misspelled(state, name)
        if meant:
            raise NotAnAnswer(
                f"'{name}' is not a county of {state} that is known here. {meant} If it is a city: city of {name}."
            )
        return name

    def state_meant(self, text: str) -> str:
        """Which state is meant by a text that names none, as a question; empty where nobody can tell."""
        words = [word for word, _ in self.vocabulary.leaves[self.vocabulary.at("state")].said]
        close = (did_you_mean(part.strip().casefold(), words) for part in text.split(","))
        return next(filter(None, close), "")

    def _code(self, text: str, state: str = "") -> str:
        """The code of the place with a ruleset that a text names; in a state only what has the state's letters in it."""
        for part in (text, *text.split(",")):
            for one in self.library.rulesets.values():
                for code in one.header.covers:
                    here = not state or state.casefold() in code.split("-")
                    if part.strip().casefold() == code or (here and len(one.header.covers) == 1 and _is(part, one.id)):
                        return code
        return ""

    def _readings(self, text: str) -> Iterator[tuple[str, str]]:
        """Each way in which a text is a state and a place in it."""
        parts = [part.strip() for part in BETWEEN.split(text) if part.strip()]
        for index in reversed(range(len(parts))):
            if state := self.state(parts[index]):
                yield state, ", ".join(parts[:index] + parts[index + 1 :])
        if len(parts) == 1:
            yield from self._without_comma(parts[0].split())

    def _without_comma(self, words: list[str]) -> Iterator[tuple[str, str]]:
        """Columbus Ohio and Ohio Franklin: a state's name at the end, or at the beginning before one of its counties."""
        for count in range(1, min(MOST_WORDS, len(words) - 1) + 1):
            last, before = " ".join(words[-count:]), " ".join(words[:-count])
            if not KIND.fullmatch(f" {last}") and (state := self.state(last)):
                yield state, before
            first, behind = " ".join(words[:count]), " ".join(words[count:])
            if (state := self.state(first)) and self.is_county(state, behind):
                yield state, behind


def facts_of(places: Places, answer: str) -> Facts:
    """The facts that an answer about state and county says.

    Raises:
        NotAnAnswer: See `Places.named`.
    """
    found, at = places.named(answer), places.vocabulary.at
    return {path: text for path, text in ((at("state"), found.state), (at("place"), found.name)) if text}


def _base(name: str) -> str:
    return KIND.sub("", " ".join(name.split())).casefold()


def _is(text: str, ruleset: str) -> bool:
    """Whether a text is the name of a ruleset as people say it: Some, or Some County, for `some-county`."""
    return bool(text.strip()) and _base(text) == _base(ruleset.replace("-", " "))
