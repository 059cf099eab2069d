"""What stands at a place: a group's ruleset on top of whatever the place has, and what of a ruleset holds there alone.

A group that works in five counties keeps one ruleset. It may name all five under `uses`: that says whose rules it changes.
Which of them are in force at a job is said by the place of the job, never by the group.
"""

from __future__ import annotations

from typing import Any

from checker.rulesets.ruleset import Ruleset

OF_A_PLACE = ("code", "state", "local")  # kinds that are in force by place, and by no group's word
BASES = ("code", "federal", "practice")  # kinds that are all in force where no ruleset covers the place
LIMITED = ("rules", "amend", "withdraw", "restore")  # sections whose entries may name their places


def stands_over_all(ruleset: Ruleset) -> bool:
    """Whether a ruleset stands on top of whatever the place of a job has."""
    return ruleset.header.owner_kind == "group"


def brings(ruleset: Ruleset, used: Ruleset) -> bool:
    """Whether a ruleset puts another that it uses in force, where the place does not have that already."""
    return not (stands_over_all(ruleset) and used.header.owner_kind in OF_A_PLACE)


def elsewhere(ruleset: Ruleset, place: str) -> frozenset[tuple[str, str]]:
    """What of a ruleset holds at other places than this one, by section and name."""
    return frozenset(
        (section, name)
        for section in LIMITED
        for name, one in getattr(ruleset, section).items()
        if one.places and place not in one.places
    )


def without(ruleset: Ruleset, left_out: frozenset[tuple[str, str]]) -> Ruleset:
    """A ruleset without some of its entries, and without what it records of the rules among these."""
    gone = {name for section, name in left_out if section == "rules"}
    kept: dict[str, Any] = {
        section: {name: one for name, one in getattr(ruleset, section).items() if (section, name) not in left_out}
        for section in LIMITED
    }
    for section in ("confirm", "answers"):
        entries = getattr(ruleset, section)
        kept[section] = {name: one for name, one in entries.items() if one.rule not in gone}
    return ruleset._replace(**kept)
