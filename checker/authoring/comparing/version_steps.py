"""What each part of a comparison needs of the next version: a patch, a minor or a major step. The table is in rulesets/README.md.

A step is major where something that others hold on to by name is gone or has become another thing; minor where a job
kept from before could be judged otherwise; and a patch where nothing but words, sources, records or cases changed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from checker.authoring.comparing.differences import Difference, applied, with_renamed
from checker.rulesets.fingerprint import meaning
from checker.rulesets.models import Limit, Rule

PATCH, MINOR, MAJOR = STEPS = ("patch", "minor", "major")
MEANING, WORDING, CASES = "meaning", "wording", "cases"

# What others name: a rule in an acceptance or an amendment, a limit or a caution in a rule, a fact in a job.
HELD_BY_NAME = ("rules", "limits", "facts")
HELD_IN_HEADER = ("covers", "editions", "cautions", "documents")
HEADER_WORDING = ("title", "owner", "documents", "reviewed_through", "cautions", "version")
CHANGE_WORDING = ("reason", "citation", "direction")
ANSWER_WORDING = ("in_words", "who", "office", "reference")
FACT_WORDING = ("title", "description", "ask", "known")
# Fields of a rule that decide an outcome and are no part of its meaning.
DECIDES_BESIDES = ("editions", "acceptable_by")


def weighed(old: Mapping[str, Any], parts: Iterable[Difference]) -> list[Difference]:
    """The parts of a comparison, each with what it changes and the step it needs."""
    parts = list(parts)
    before = with_renamed(old, {part.old: part.new for part in parts if part.kind == "renamed"})
    fields: dict[tuple[str, ...], list[Difference]] = {}
    for part in parts:
        fields.setdefault(part.path[:3], []).append(part)
    effects = [(part, _effect(before, part, fields[part.path[:3]])) for part in parts]
    return [part._replace(effect=effect, step=_step(part, effect)) for part, effect in effects]


def largest(steps: Iterable[str]) -> str:
    """The largest of some steps; a patch where there are none."""
    return max(steps, key=STEPS.index, default=PATCH)


def least_version(version: str, step: str) -> str:
    """The least version that is one such step from a version."""
    major, minor, patch = (int(number) for number in version.split("."))
    return {PATCH: f"{major}.{minor}.{patch + 1}", MINOR: f"{major}.{minor + 1}.0", MAJOR: f"{major + 1}.0.0"}[step]


def _step(part: Difference, effect: str) -> str:
    if _breaks(part):
        return MAJOR
    return MINOR if effect == MEANING else PATCH


def _breaks(part: Difference) -> bool:
    """Whether something that others name is gone, or its name now means another thing."""
    section, *inside = part.path
    if section in HELD_BY_NAME and len(inside) == 1:
        return part.kind == "gone"
    if section == "facts" and inside[1] == "possible":
        return not set(part.old or ()) <= set(part.new or ())
    if section in ("facts", "limits"):
        return inside[1] in ("form", "kind", "keys") or (section == "facts" and inside[1] == "unit")
    if section == "header" and inside[0] in HELD_IN_HEADER:
        return bool(_names(part.old) - _names(part.new)) if len(inside) == 1 else part.kind == "gone"
    return section == "header" and inside[0] in ("id", "owner_kind")


def _names(value: Any) -> set[str]:
    return set(value or ())


def _effect(before: Mapping[str, Any], part: Difference, field_parts: list[Difference]) -> str:
    section, *inside = part.path
    field = inside[1] if len(inside) > 1 else ""
    if section == "header":
        return _of_header(part, inside)
    if section == "confirm" or part.kind == "renamed":
        return WORDING
    if field in ("cases", "untried"):
        return CASES
    if not field:
        return MEANING
    if section == "rules":
        return _of_rule(before, part, field_parts)
    if section == "limits":
        return _of_limit(part)
    if section in ("amend", "withdraw", "restore"):
        return WORDING if field in CHANGE_WORDING else MEANING
    known = {"facts": FACT_WORDING, "answers": ANSWER_WORDING}.get(section, ())
    return WORDING if field in known else MEANING


def _of_header(part: Difference, inside: list[str]) -> str:
    if inside[0] in HEADER_WORDING or (inside[0] == "adopts" and inside[-1] == "citation"):
        return WORDING
    return MEANING


def _of_rule(before: Mapping[str, Any], part: Difference, field_parts: list[Difference]) -> str:
    """The effect of a change inside a rule. Parts of one field that change nothing together, such as a citation split by
    edition, are wording each."""
    if part.path[2] in DECIDES_BESIDES:
        return MEANING
    moved = _asks_otherwise(before, field_parts) and _asks_otherwise(before, [part])
    return MEANING if moved else WORDING


def _asks_otherwise(before: Mapping[str, Any], parts: list[Difference]) -> bool:
    """Whether parts of one rule, applied alone, change what it asks or how firmly it can say so."""
    name = parts[0].path[1]
    rule = before["rules"][name]
    other = applied({"rules": {name: rule}}, parts)["rules"][name]
    if not other["citation"] or _doubtful(rule) != _doubtful(other):
        return True
    limits = {limit: Limit.of(data) for limit, data in before.get("limits", {}).items()}
    then, now = Rule.of(rule), Rule.of(other)
    editions = before.get("header", {}).get("editions") or ["any"]
    return any(meaning(then, edition, limits) != meaning(now, edition, limits) for edition in editions)


def _doubtful(rule: Mapping[str, Any]) -> list[str]:
    """The editions in which what a rule asks is in doubt."""
    return [entry.get("editions", "") for entry in rule["citation"] if entry["requirement_sure"] == "doubtful"]


def _of_limit(part: Difference) -> str:
    """A limit is another where anything but its title and its sources is, or where it goes into doubt or out of it."""
    if part.path[-1] == "sure":
        return MEANING if "doubtful" in (part.old, part.new) else WORDING
    return WORDING if part.path[2] == "title" or part.path[-1] in ("document", "source") else MEANING
