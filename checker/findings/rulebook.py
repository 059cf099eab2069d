"""The rules as they stand for a job: what of them is the same in every finding, so that a report tells it once.

Two jobs of one place have one rulebook where the same editions, limits and answers hold for both.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

from checker.findings.citations import merged_citations
from checker.findings.finding import Finding
from checker.ir import tree
from checker.ir.digests import digest
from checker.rulesets import limits

OF_A_RULE = ("title", "ruleset", "topic", "obligation", "weight", "life_safety")


class Rulebook:
    """Rules by their ids as plain data. `key` is a digest of all of it: the name by which a report refers to it."""

    def __init__(self, versions: Mapping[str, tuple[tree.BoundRule, ...]]) -> None:
        self._versions = versions
        self._told: dict[str, dict[str, Any]] = {}

    @functools.cached_property
    def key(self) -> str:
        return digest({rule: self.rule(rule) for rule, versions in self._versions.items() if versions})

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Rulebook) and self.key == other.key

    def __hash__(self) -> int:
        return hash(self.key)

    def rule(self, rule_id: str) -> dict[str, Any]:
        """One rule. Where several versions of it could hold, it is told as the last of them, under the sections of all."""
        found = self._told.get(rule_id)
        if found is None:
            found = self._told[rule_id] = _told(self._versions[rule_id])
        return found

    def differing(self, finding: Finding) -> dict[str, Any]:
        """What a finding says otherwise than its rule here: it is of one of several versions, and carries that itself."""
        versions = self._versions[finding.rule]
        if len(versions) == 1:
            return {}
        told = self.rule(finding.rule)
        own = _of_rule(finding) | {"citations": [citation(one) for one in finding.citations]}
        return {name: said for name, said in own.items() if said != told.get(name)}

    def cautions(self, rule_id: str) -> tuple[tree.Caution, ...]:
        """The cautions of a rule, with their texts."""
        return self._versions[rule_id][-1].cautions


def _told(versions: tuple[tree.BoundRule, ...]) -> dict[str, Any]:
    last = versions[-1]
    each = merged_citations([one.citations for one in versions])
    data = _of_rule(last) | {
        "cautions": [one.key for one in last.cautions],
        "citations": [citation(one) for one in each],
        "limits": given({one.name: _value(one) for one in last.limits}),
        "set_by": {one.name: _set_by(one) for one in last.limits if not _own(one, last)},
    }
    return given(data)


def _of_rule(one: tree.BoundRule | Finding) -> dict[str, Any]:
    return {name: getattr(one, name) for name in OF_A_RULE}


def _own(held: tree.Held, rule: tree.BoundRule) -> bool:
    """Whether a limit is as the rule's own ruleset set it, so that the rule's citations cover it."""
    return held.below is None and held.set_by.ruleset == rule.ruleset


def _set_by(held: tree.Held) -> dict[str, Any]:
    """Who set a limit, and what it took the place of."""
    below = held.below
    before = below and {"name": below.name, "value": _value(below), "set_by": _by(below.set_by)}
    return given({"title": held.title, **_by(held.set_by), "instead_of": before and given(before)})


def _by(by: tree.SetBy) -> dict[str, Any]:
    citations = [citation(one) for one in by.citations]
    return given({"ruleset": by.ruleset, "citations": citations, "source": by.source, "sure": by.sure})


def _value(held: tree.Held) -> str:
    """The value of a limit as it is shown; empty for a table, and for a limit that is left to the place."""
    return "" if held.rows else limits.shown(held.value, held.kind, held.unit)


def citation(one: tree.Citation) -> dict[str, str]:
    """A section as plain data: one `sure` where its number and the requirement are equally sure."""
    said = {name: getattr(one, name) for name in ("document", "edition", "section", "note")}
    if one.section_sure == one.requirement_sure:
        return given(said | {"sure": one.section_sure})
    return given(said | {"section_sure": one.section_sure, "requirement_sure": one.requirement_sure})


def given(data: Mapping[str, Any]) -> dict[str, Any]:
    """The fields that say something: an empty one, and a `False`, is left out."""
    return {name: said for name, said in data.items() if said or (said == 0 and said is not False)}
