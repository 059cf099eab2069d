"""A short start: a handful of questions in trade words that make a first job file.

Each question writes the facts that its answer says, and no others: an answer skipped leaves the fact unrecorded.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from checker.facts import Vocabulary
from checker.visit.asking import Facts, NotAnAnswer, Question, placed, said_of, value_of, words_of

PARTS = ("outdoor_unit", "indoor_coil", "air_handler", "furnace")
REPLACED: Mapping[str, tuple[str, ...]] = {
    "outdoor unit and indoor coil": ("outdoor_unit", "indoor_coil"),
    "outdoor unit and air handler": ("outdoor_unit", "air_handler"),
    "outdoor unit, coil and furnace": ("outdoor_unit", "indoor_coil", "furnace"),
    "outdoor unit only": ("outdoor_unit",),
    "something else": (),  # says nothing of any part
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
    "more than one of these": {},
}
CIRCUIT = "circuits.0"
IN_PANEL = f"{CIRCUIT}.devices.0"
LISTS: Mapping[str, list[Facts]] = {
    "circuits": [{"key": "outdoor unit", "serves": "outdoor_unit"}],
    f"{CIRCUIT}.devices": [{"key": "in the panel"}],
}
AMPS = re.compile(r"(\d{1,6}(?:\.\d{1,6})?)\s*(?:A|amps?)?", re.IGNORECASE)
DEVICE = re.compile(rf"{AMPS.pattern}\s*(breaker|fuses?)", re.IGNORECASE)


def questions(vocabulary: Vocabulary, places: tuple[str, ...]) -> Iterator[Question]:
    """The questions in order.

    Args:
        places: The jurisdiction codes that the rulesets cover, to offer.
    """
    yield from the_rules(vocabulary, places)
    yield Question("What is replaced?", tuple(REPLACED), tuple(f"scope.{part}" for part in PARTS), _replaced)
    yield _one(vocabulary, "Where is the indoor unit?", "indoor_unit.location")
    yield from _the_circuit(vocabulary)
    yield _one(
        vocabulary,
        "Does another gas or oil appliance, one that stays, share a vent or chimney with the old equipment?",
        "gas_and_venting.common_vent",
    )
    yield _one(vocabulary, "Refrigerant on the new nameplate?", "outdoor_unit.nameplate.refrigerant")
    paths = tuple(dict.fromkeys(path for facts in OVERFLOW.values() for path in facts))
    yield Question(
        "What protects against a condensate overflow?", tuple(OVERFLOW), paths, lambda answer: dict(OVERFLOW[answer])
    )


def the_rules(vocabulary: Vocabulary, places: tuple[str, ...]) -> Iterator[Question]:
    """The questions that decide which rules hold: place, date and kind of system."""
    known = f" (covered: {', '.join(places)})" if places else ""
    where = f"Where is the job? Jurisdiction code; elsewhere any name, judged under every edition{known}"
    when = "On what day was or will the permit be applied for? (year-month-day)"
    yield _one(vocabulary, where, "site.jurisdiction")._replace(decides=True)
    yield _one(vocabulary, when, "dates.permit_applied")._replace(decides=True)
    yield _one(vocabulary, "What is put in?", "scope.system")._replace(decides=True)


def job_of(name: str, facts: Facts) -> dict[str, Any]:
    """The job file that the answers make: the facts by path, put into their places."""
    lists = {path: items for path, items in LISTS.items() if any(fact.startswith(f"{path}.") for fact in facts)}
    return placed({"job_id": name, "schema_version": 1}, {**lists, **facts})


def settled(facts: Facts) -> Facts:
    """The answers with the plate's maximum put where its words belong: for a fuse, a breaker, or both.

    Without the words it is not known which device the number is for, and nothing is recorded of it.
    """
    maximum = facts.pop(f"{CIRCUIT}.maximum", None)
    words = facts.get(f"{CIRCUIT}.nameplate.device_words", "")
    if maximum is None:
        return facts
    for kind in ("breaker", "fuse"):
        only_the_other = words.endswith("_only") and not words.startswith(kind)
        known: Any = {"none": "the plate names the other device only"} if only_the_other else maximum
        if words:
            facts[f"{CIRCUIT}.nameplate.maximum_{kind}"] = known
    return facts


def _one(vocabulary: Vocabulary, text: str, path: str, at: str = "") -> Question:
    """A question about one fact; `at` is its full path where that is another."""
    leaf = vocabulary.leaves[path]
    words = words_of(leaf)

    def facts(answer: str) -> Facts:
        return {at or path: value_of(leaf, words.get(answer, answer))}

    said = said_of(leaf, words)
    return Question(text, tuple(words), (at or path,), facts, may_be_none=leaf.may_be_none, said=said)


def _the_circuit(vocabulary: Vocabulary) -> Iterator[Question]:
    """The plate of the outdoor unit and the breaker or fuse in the panel."""
    plate, words = f"{CIRCUIT}.nameplate", "circuits.nameplate.device_words"
    least, most = f"{plate}.minimum_circuit_ampacity", f"{CIRCUIT}.maximum"
    yield Question("New outdoor unit's nameplate: minimum circuit ampacity (A)?", (), (least,), _amps(least))
    yield Question("New outdoor unit's nameplate: maximum breaker or fuse (A)?", (), (most,), _amps(most))
    yield _one(vocabulary, "In which words does the plate name that device?", words, f"{plate}.device_words")
    paths = tuple(f"{IN_PANEL}.{name}" for name in ("rating", "kind", "place"))
    yield Question("The breaker or fuse in the panel now on that circuit? (such as: 40 breaker)", (), paths, _device)


def _replaced(answer: str) -> Facts:
    replaced = REPLACED[answer]
    return {f"scope.{part}": part in replaced for part in PARTS} if replaced else {}


def _amps(path: str) -> Callable[[str], Facts]:
    def facts(answer: str) -> Facts:
        match = AMPS.fullmatch(answer.strip())
        if not match:
            raise NotAnAnswer("A number of amperes is wanted, such as 30.")
        return {path: float(match[1])}

    return facts


def _device(answer: str) -> Facts:
    match = DEVICE.fullmatch(answer.strip())
    if not match:
        raise NotAnAnswer("Write its amperes and what it is, such as: 40 breaker, or 30 fuse.")
    kind = "breaker" if match[2].lower() == "breaker" else "fuse"
    return {f"{IN_PANEL}.rating": float(match[1]), f"{IN_PANEL}.kind": kind, f"{IN_PANEL}.place": "panel"}
