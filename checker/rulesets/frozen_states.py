"""What is published of the states inside a release: a group's ruleset stands on it wherever no ruleset covers the place."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from checker.rulesets.release import Frozen, FrozenDocument
from checker.rulesets.state_rulesets import CODES, Read, Shaped, StateRules, made_of
from checker.rulesets.states import Codes, State

SHARED = "shared"  # what the files of a country have in common, by the digest of its bytes
STATES = "states"


def as_data(states: Iterable[StateRules]) -> dict[str, Any]:
    """What a release holds of some states: each file as data with the digest of its bytes; nothing of none."""
    found = sorted(states, key=lambda one: one.state.state)
    if not found:
        return {}
    each = {
        one.state.state: {
            "country": one.country,
            "digest": one.own.digest,
            "data": one.own.document.data,
            SHARED: one.shared.digest,
        }
        for one in found
    }
    return {STATES: each, SHARED: {one.shared.digest: one.shared.document.data for one in found}}


def state_of(frozen: Frozen, state: str) -> StateRules | None:
    """The rules of a state as a release holds them; None where it does not hold the state.

    Raises:
        ProblemsFound: What it holds is not of the right form.
    """
    held = frozen.published.get(STATES, {}).get(state)
    if held is None:
        return None
    country, shared = held["country"], held[SHARED]
    codes = _read(frozen, f"{country}/{CODES}", frozen.published[SHARED][shared], shared, Codes)
    own = _read(frozen, f"{country}/{state.lower()}.yaml", held["data"], held["digest"], State)
    return made_of(country, own, codes, Path(frozen.shown))


def _read(frozen: Frozen, name: str, data: Any, digest: str, kind: type[Shaped]) -> tuple[Read, Shaped]:
    from checker.rulesets.misfits import shaped  # pydantic, where a release is in use

    document = FrozenDocument(frozen.shown, name, data)
    return Read(document, digest), shaped(document, kind)
