"""How much is published of the states' codes and how sure it is, and what of it to look up next."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from checker.reading.sureness import SURE
from checker.rulesets.state_rulesets import StateRules
from checker.rulesets.state_words import counting_on, likely_on, model_of
from checker.rulesets.states import FIRM, StateCode

LEFT = "left to each place"
NONE = "no edition found"
SORTS = (*SURE, LEFT, NONE)
DECIDES = {"state": "", "locality": ", each place decides", "unknown": ", who decides not known"}


def coverage(states: list[StateRules], day: int) -> Iterator[str]:
    """How many entries of each sort there are, and a line for each state."""
    on = datetime.date.fromordinal(day).isoformat()
    yield f"What is published of the codes of {len(states)} states, for {on}. The office's word goes before all of it."
    if not states:
        return
    for kind, known in states[0].codes.codes.items():
        yield ""
        yield from _of_kind(kind, known.title, states, day)
    yield ""
    yield from _of_changes(states)
    yield ""
    yield from (_of_state(one, day) for one in states)


def _of_kind(kind: str, title: str, states: list[StateRules], day: int) -> Iterator[str]:
    found = [one.state for one in states if kind in one.state.codes]
    codes = [state.codes[kind] for state in found]
    sorts = [_sort(code, day) for code in codes]
    decided = Counter(code.decided_by for code in codes)
    counting = sum(bool(counting_on(state.codes[kind], state.sources, day)) for state in found)
    yield f"{title}: {len(found)} states. Edition now: {_counted(sorts)}."
    yield f"  Decided by: {', '.join(f'{who} {decided[who]}' for who in ('state', 'locality', 'unknown'))}. Counts in {counting}."


def _sort(code: StateCode, day: int) -> str:
    """Which sort of entry it is: how sure its edition is, or that the state leaves the edition to its places."""
    found = likely_on(code, day)
    return found.sure if found else LEFT if code.decided_by == "locality" else NONE


def _of_changes(states: list[StateRules]) -> Iterator[str]:
    for name, act in states[0].codes.acts.items():
        acts = [one.state.acts[name].sure for one in states if name in one.state.acts]
        yield f"{act.title}: {len(acts)} states ({_counted(acts)})."
    licenses = [one.state.license.sure for one in states if one.state.license]
    yield f"Licenses: {len(licenses)} states ({_counted(licenses)})."
    changes = [change.sure for one in states for change in one.state.amendments]
    rules = sum(bool(one.ruleset.amend or one.ruleset.withdraw) for one in states)
    yield f"Amendments: {len(changes)} ({_counted(changes)}). They, or an act, change rules here in {rules} states."


def _counted(sorts: Iterable[str]) -> str:
    """How many there are of each sort, the surest first."""
    many = Counter(sorts)
    return ", ".join(f"{SURE.get(sort, sort)} {many[sort]}" for sort in SORTS if many[sort]) or "none"


def _of_state(one: StateRules, day: int) -> str:
    told = [
        f"{one.codes.codes[kind].title.lower()} {_edition(one, code, day)}" for kind, code in one.state.codes.items()
    ]
    return f"{one.state.state}  {'; '.join(told)}"


def _edition(one: StateRules, code: StateCode, day: int) -> str:
    found, decides = likely_on(code, day), DECIDES[code.decided_by]
    return f"{model_of(found, one)} ({SURE[found.sure]}{decides})" if found else _sort(code, day)


class ToLookUp(NamedTuple):
    """An entry that nobody has confirmed: how many jobs lie in the state, and what is known."""

    jobs: int
    state: str
    kind: str
    known: str
    reaches: str


def todo(states: Iterable[StateRules], jobs: Mapping[str, int], day: int) -> list[ToLookUp]:
    """What to look up next of the codes that there are rules for: most jobs first, then what was read longest ago."""
    found = [
        ToLookUp(
            jobs.get(one.state.state, 0), one.state.state, kind, _edition(one, code, day), code.known_through or ""
        )
        for one in states
        for kind, code in one.state.codes.items()
        if one.codes.codes[kind].rulesets and not _confirmed(code, day)
    ]
    return sorted(found, key=lambda line: (-line.jobs, line.reaches, line.state, line.kind))


def _confirmed(code: StateCode, day: int) -> bool:
    found = likely_on(code, day)
    return found is not None and found.sure == FIRM[0] and code.decided_by == "state"
