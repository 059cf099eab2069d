"""A short start: a handful of questions in trade words that make a first job file.

Each question writes the facts that its answer says, and no others: an answer skipped leaves the fact unrecorded.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from checker.facts import Vocabulary
from checker.readings import LeafError, read_leaf

Facts = dict[str, Any]

REPLACED: Mapping[str, tuple[str, ...]] = {
    "outdoor unit and indoor coil": ("outdoor_unit", "indoor_coil"),
    "outdoor unit and air handler": ("outdoor_unit", "air_handler"),
    "outdoor unit, coil and furnace": ("outdoor_unit", "indoor_coil", "furnace"),
    "outdoor unit only": ("outdoor_unit",),
}
OVERFLOW: Mapping[str, Facts] = {
    "float switch or other water-level device": {"condensate.water_level_device.fitted": True},
    "pan under the unit with its own drain": {
        "condensate.auxiliary_pan.fitted": True,
        "condensate.auxiliary_pan.drained": True,
    },
    "second drain from the unit's own pan": {"condensate.overflow_drain.fitted": True},
    "nothing": {
        "condensate.water_level_device.fitted": False,
        "condensate.auxiliary_pan.fitted": False,
        "condensate.overflow_drain.fitted": False,
    },
}
DEVICE = re.compile(r"\s*(\d+(?:\.\d+)?)\s*(?:A|amps?)?\s*(breaker|fuses?)\s*", re.IGNORECASE)


class Question(NamedTuple):
    """What is asked, the answers to choose from (none: anything), and the facts that an answer says."""

    text: str
    choices: tuple[str, ...]
    facts: Callable[[str], Facts]


class NotAnAnswer(ValueError):
    """An answer that cannot be used: says why."""


def questions(vocabulary: Vocabulary, places: tuple[str, ...]) -> Iterator[Question]:
    """The questions in order.

    Args:
        places: The jurisdiction codes that the rulesets cover, to offer.
    """
    known = f" (covered: {', '.join(places)})" if places else ""
    yield Question(
        f"Where is the job? Jurisdiction code; elsewhere any name, judged under every edition{known}",
        (),
        _one(vocabulary, "site.jurisdiction"),
    )
    yield Question(
        "On what day was or will the permit be applied for? (year-month-day)",
        (),
        _one(vocabulary, "dates.permit_applied"),
    )
    yield _choice(vocabulary, "What is put in?", "scope.system")
    yield Question("What is replaced?", tuple(REPLACED), _replaced)
    yield _choice(vocabulary, "Where is the indoor unit?", "indoor_unit.location")
    yield Question(
        "New outdoor unit's nameplate: minimum circuit ampacity (A)?",
        (),
        _circuit("nameplate.minimum_circuit_ampacity"),
    )
    yield Question("New outdoor unit's nameplate: maximum breaker or fuse (A)?", (), _maximum)
    yield _choice(
        vocabulary, "In which words does the plate name that device?", "circuits.nameplate.device_words", _words
    )
    yield Question("The breaker or fuse in the panel now on that circuit? (such as: 40 breaker)", (), _device)
    yield Question(
        "Does another gas or oil appliance, one that stays, share a vent or chimney with the old equipment?",
        ("yes", "no"),
        _flag("gas_and_venting.common_vent"),
    )
    yield _choice(vocabulary, "Refrigerant on the new nameplate?", "outdoor_unit.nameplate.refrigerant")
    yield Question(
        "What protects against a condensate overflow?", tuple(OVERFLOW), lambda answer: dict(OVERFLOW[answer])
    )


def chosen(question: Question, answer: str) -> str:
    """The choice that a number, a word or the start of one means.

    Raises:
        NotAnAnswer: It means none of them, or several.
    """
    if not question.choices:
        return answer
    if answer.isdigit() and 1 <= int(answer) <= len(question.choices) and answer not in question.choices:
        return question.choices[int(answer) - 1]
    exact = [choice for choice in question.choices if choice.lower() == answer.lower()]
    begun = [choice for choice in question.choices if choice.lower().startswith(answer.lower())]
    letters = "".join(filter(str.isalnum, answer.lower()))
    within = [
        choice for choice in question.choices if letters and letters in "".join(filter(str.isalnum, choice.lower()))
    ]
    found = exact or begun or within
    if len(found) != 1:
        raise NotAnAnswer(f"Answer with a number from 1 to {len(question.choices)}, or leave it empty.")
    return found[0]


def job_of(name: str, facts: Facts) -> dict[str, Any]:
    """The job file that the answers make: the facts by path, put into their places."""
    job: dict[str, Any] = {"job_id": name, "schema_version": 1}
    if any(path.startswith("circuits.") for path in facts):
        job["circuits"] = [{"key": "outdoor unit", "serves": "outdoor_unit"}]
    for path, value in facts.items():
        at: Any = job
        *around, last = path.split(".")
        for step in around:
            at = (
                at[int(step)]
                if step.isdigit()
                else at.setdefault(step, [{"key": "in the panel"}] if step == "devices" else {})
            )
        at[last] = value
    return job


def settled(facts: Facts) -> Facts:
    """The answers with the plate's maximum put where its words belong: for a fuse, a breaker, or both.

    Without the words it is not known which device the number is for, and nothing is recorded of it.
    """
    maximum = facts.pop("circuits.0.maximum", None)
    words = facts.get("circuits.0.nameplate.device_words", "")
    if maximum is None:
        return facts
    for kind in ("breaker", "fuse"):
        only_the_other = words.endswith("_only") and not words.startswith(kind)
        known: Any = {"none": "the plate names the other device only"} if only_the_other else maximum
        if words:
            facts[f"circuits.0.nameplate.maximum_{kind}"] = known
    return facts


def _one(vocabulary: Vocabulary, path: str) -> Callable[[str], Facts]:
    return lambda answer: {path: _checked(vocabulary, path, answer)}


def _checked(vocabulary: Vocabulary, path: str, answer: str) -> str:
    try:
        read_leaf(vocabulary.leaves[path], answer)
    except LeafError as error:
        raise NotAnAnswer(f"{error.what} {error.mend}") from None
    return answer


def _choice(vocabulary: Vocabulary, text: str, path: str, facts: Callable[[str], Facts] | None = None) -> Question:
    words = {word.replace("_", " "): word for word in vocabulary.leaves[path].possible}
    return Question(text, tuple(words), lambda answer: (facts or (lambda word: {path: word}))(words[answer]))


def _flag(path: str) -> Callable[[str], Facts]:
    return lambda answer: {path: answer == "yes"}


def _replaced(answer: str) -> Facts:
    parts = ("outdoor_unit", "indoor_coil", "air_handler", "furnace")
    return {f"scope.{part}": part in REPLACED[answer] for part in parts}


def _amps(answer: str) -> float:
    match = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*(?:A|amps?)?\s*", answer, re.IGNORECASE)
    if not match:
        raise NotAnAnswer("A number of amperes is wanted, such as 30.")
    return float(match[1])


def _circuit(path: str) -> Callable[[str], Facts]:
    return lambda answer: {f"circuits.0.{path}": _amps(answer)}


def _maximum(answer: str) -> Facts:
    return {"circuits.0.maximum": _amps(answer)}


def _words(word: str) -> Facts:
    return {"circuits.0.nameplate.device_words": word}


def _device(answer: str) -> Facts:
    match = DEVICE.fullmatch(answer)
    if not match:
        raise NotAnAnswer("Write its amperes and what it is, such as: 40 breaker, or 30 fuse.")
    kind = "breaker" if match[2].lower() == "breaker" else "fuse"
    device = "circuits.0.devices.0"
    return {f"{device}.rating": float(match[1]), f"{device}.kind": kind, f"{device}.place": "panel"}
