"""A place named on the line: by the code of a ruleset, or by the state with its county or city."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from checker.commands.errors import stop

if TYPE_CHECKING:
    from checker.engine.checker import Checker
    from checker.reading.job import Job


def job_at(checker: Checker, place: str, state: str, county: str) -> tuple[Job, dict[str, Any]]:
    """A job of which only the place is known, and the facts that say it, by path.

    Raises:
        ProblemsFound: No place is named, or it is no place that is known here.
    """
    if place and (state or county):
        stop("--place", "A place and a state are named.", "Name one of them.")
    facts = {checker.vocabulary.at("place"): place} if place else _state_facts(checker, state, county)
    return job_of(checker, facts), facts


def _state_facts(checker: Checker, state: str, county: str) -> dict[str, Any]:
    from checker.fieldwork.place_question import Places
    from checker.problems.problem import refused

    vocabulary = checker.vocabulary
    at, place = vocabulary.at("state"), vocabulary.at("place")
    if not at or not state:
        raise refused("--state", "No state is named." if at else "These jobs don't record a state.", "Name a job.")
    places = Places(checker.library, vocabulary)
    word = places.state(state)
    if not word:
        hint = places.state_meant(state) or "Write it as on a letter: Ohio, or OH."
        raise refused("--state", f"'{state}' is not a state.", hint)
    named = county.strip()
    if named and (meant := places.misspelled(word, named)):
        raise refused("--county", f"'{named}' is not a county of {word} that is known here.", meant)
    return {at: word, **({place: named} if named else {})}


def job_of(checker: Checker, facts: dict[str, Any]) -> Job:
    """A job of a few facts, by path."""
    from checker.fieldwork import short_start
    from checker.problems import json_out
    from checker.reading.files import read_text
    from checker.reading.job import load

    job = short_start.job_of(checker.vocabulary, "a new job", facts)
    return load(read_text(json_out.document(job).encode(), "what was answered"), checker.vocabulary)
