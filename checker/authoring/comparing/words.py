"""The parts of a comparison in words: `Farthest a disconnect may be: 50 ft → 25 ft, from 2026-07-01`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from checker.authoring.comparing.differences import Difference, named
from checker.authoring.limit_words import amount, edition_words
from checker.reading.sureness import SURE
from checker.rulesets.models import Limit, LimitValue

LABELS = {
    "intent": "Why", "for_each": "Judged for each", "applies_when": "Applies when",
    "verify_when": "Left to the authority when", "where": "Worked out", "require": "Asked", "failed": "Headline of a fail",
    "on_fail": "Message of a fail",
    "bring": "To bring", "ask": "Question to the authority", "judged": "Judged by", "date": "Date that decides",
    "remedy_after": "Remedy waits for", "mend": "Set by the remedy", "acceptable_by": "May be accepted by",
    "untried": "Left untried", "uses": "Stands on", "covers": "Places covered", "written_for": "Written for",
    "possible": "Possible values", "documents": "Document", "cautions": "Caution", "set": "Sets", "meaning": "Of the meaning",
    "section_sure": "how sure of the section", "requirement_sure": "how sure of the requirement", "values": "Value",
    "counts": "date that decides", "places": "Places", "add": "Adds",
}  # fmt: skip
CONDITIONS = ("applies_when", "verify_when", "require")
ONE_OF = {
    "rules": "Rule", "limits": "Limit", "amend": "Amendment", "withdraw": "Withdrawal", "restore": "Restoration",
    "confirm": "Section read in the book", "facts": "Fact", "answers": "Answer of the authority", "citation": "Citation",
    "cases": "Case", "adopts": "Adoption", "written_for": "Written for",
}  # fmt: skip


def worded(
    old: Mapping[str, Any],
    new: Mapping[str, Any],
    parts: Iterable[Difference],
    limits: Mapping[str, Mapping[str, Any]] = MappingProxyType({}),
) -> list[Difference]:
    """The parts of a comparison of two versions as plain data, each with its words.

    Args:
        limits: Limits of other rulesets, as plain data, of which amendments are told.
    """
    return [part._replace(words=_words(old, new, part, limits)) for part in parts]


def _words(
    old: Mapping[str, Any], new: Mapping[str, Any], part: Difference, limits: Mapping[str, Mapping[str, Any]]
) -> str:
    section, *inside = part.path
    if section == "amend" and inside[0] in limits:
        told = _of_limit_amended(old, new, part, limits[inside[0]])
        if told:
            return told
    if part.kind == "renamed":
        return f"Called {part.new} now; formerly {part.old}"
    if section == "header":
        return _of_field(part, inside)
    if len(inside) == 1:
        return f"{ONE_OF.get(section, section.capitalize())} {part.kind}: {_told(section, part.new or part.old)}"
    if section == "limits":
        return _of_limit(old, new, part)
    return _of_field(part, inside[1:])


def _told(section: str, data: Mapping[str, Any]) -> str:
    """A whole entry of a section in one line."""
    if section == "rules":
        return f"{data['title']} ({data['obligation']}; {'; '.join(map(_cited, data['citation']))})"
    if section == "limits":
        values = [_joined(_amount(data, entry), _holds(entry)) for entry in data.get("values", ())]
        return f"{data['title']}: {'; '.join(values) or 'left to the place'}"
    if section == "confirm":
        return f"{data['document']} by {data['read_by']} on {data['read_on']}, {data['printing']}"
    if section == "answers":
        return f"“{data['question']}” {data['in_words']} ({data['who']}, {data['office']})"
    sets = [f"{_label(field)}: {_line(value)}" for field, value in data.get("set", {}).items()]
    sets += [f"{_label(field)} besides: {_line(value)}" for field, value in data.get("add", {}).items()]
    return "; ".join([*sets, str(data.get("title") or data.get("reason") or _line(data))])


def _of_limit_amended(
    old: Mapping[str, Any], new: Mapping[str, Any], part: Difference, limit: Mapping[str, Any]
) -> str:
    """An amendment of a limit as the limit is told: its title, its values with their unit, and what they were."""
    _, name, *inside = part.path
    if not inside:
        data = part.new or part.old
        came, was = _values(limit, data.get("set", {}).get("values", ())), _values(limit, limit.get("values", ()))
        way = f", {data['direction']}" if data.get("direction", "different") != "different" else ""
        return f"Amendment {part.kind}: {limit['title']}: {came} in place of {was}{way}; {data['reason']}"
    if inside == ["set", "values"] and isinstance(part.old, list) and isinstance(part.new, list):
        return f"{limit['title']}: {_values(limit, part.old)} → {_values(limit, part.new)}"
    if inside[:2] != ["set", "values"] or len(inside) < 3:
        return ""
    before, after = ({"limits": {name: {**limit, **side["amend"][name]["set"]}}} for side in (old, new))
    return _of_limit(before, after, part._replace(path=("limits", name, *inside[1:])))


def _values(limit: Mapping[str, Any], values: Iterable[Mapping[str, Any]]) -> str:
    return "; ".join(_joined(_amount(limit, entry), _holds(entry)) for entry in values) or "what is left to the place"


# --- fields ----------------------------------------------------------------------------------------------------------


def _of_field(part: Difference, path: list[str]) -> str:
    """A field of a rule, a change, a fact or the header: or something inside it."""
    field, *inside = path
    if field in ("citation", "cases", "adopts", "written_for") and inside:
        return _of_entry(part, field, inside)
    label = (
        ": ".join([_label(field), *(map(_label, inside) if field == "set" else inside)])
        if field != "where"
        else _joined("Worked out:", *inside)
    )
    if path[-1] in CONDITIONS and isinstance(part.old, list) and isinstance(part.new, list):
        return f"{label}: {_conditions(part.old, part.new)}"
    if isinstance(part.old, list) and isinstance(part.new, list) and _sorted(part.old) == _sorted(part.new):
        return f"{label}: in a different order"
    return f"{label}: {_moved(part)}"


def _of_entry(part: Difference, field: str, inside: list[str]) -> str:
    entry, *rest = inside
    if rest:
        return f"{ONE_OF[field]} {entry}: {_label(rest[0], small=True)}: {_moved(part)}"
    if part.kind == "changed":
        return f"{ONE_OF[field]} changed: {entry}"
    data = part.new or part.old
    shown = {"citation": _cited, "adopts": _adopted, "cases": _case}.get(field, _line)(data)
    return f"{ONE_OF[field]} {part.kind}: {shown}"


def _moved(part: Difference) -> str:
    if part.kind == "added":
        return f"{_line(part.new)} (new)"
    return f"{_line(part.old)} (gone)" if part.kind == "gone" else f"{_line(part.old)} → {_line(part.new)}"


def _conditions(old: list[Any], new: list[Any]) -> str:
    """Conditions that came and went; one that took the place of another as such."""
    gone, came = [one for one in old if one not in new], [one for one in new if one not in old]
    if len(gone) == len(came) == 1:
        return f"{_line(gone[0])} → {_line(came[0])}"
    moves = [f"no longer {_line(one)}" for one in gone] + [f"now also {_line(one)}" for one in came]
    return "; ".join(moves) or "in a different order"


def _cited(entry: Mapping[str, Any]) -> str:
    return _joined(entry["document"], entry["section"], f"[{entry['editions']}]" if entry.get("editions") else "")


def _adopted(entry: Mapping[str, Any]) -> str:
    until = f"until {entry['until']}" if entry.get("until") else ""
    return _joined(entry["code"], entry["edition"], f"from {entry['from']}", until, f"({entry['citation']})")


def _case(entry: Mapping[str, Any]) -> str:
    return f"{entry['name']} ({entry['expect'].replace('_', ' ')})"


# --- limits ----------------------------------------------------------------------------------------------------------


def _of_limit(old: Mapping[str, Any], new: Mapping[str, Any], part: Difference) -> str:
    _, name, field, *inside = part.path
    before, after = old["limits"][name], new["limits"][name]
    if field != "values" or not inside:
        return f"{after['title']}: {_small(_of_field(part, [field, *inside]))}"
    if len(inside) == 1:
        return f"{after['title']}: {_of_value(before, after, part)}"
    entry, was = _entry(after, inside[0]), _entry(before, inside[0])
    holds = _comma(_holds(entry))
    if inside[1] == "value" and isinstance(part.old, list) and isinstance(part.new, list):
        return f"{after['title']}: {_conditions(part.old, part.new)}{holds}"
    if inside[1] == "value":
        return f"{after['title']}: {_amount(before, was)} → {_amount(after, entry)}{holds}"
    if inside[1] == "until":
        return f"{after['title']}: {_amount(after, entry)} holds until {part.new or 'further notice'}{_before(part)}"
    if inside[1] == "rows" and len(inside) > 2:
        moved = _moved(part) if len(inside) > 3 else f"row {part.kind}, {(part.new or part.old)['value']}"
        return f"{after['title']}{holds}, {_spaced(inside[2])}: {moved}"
    return f"{after['title']}: {_amount(after, entry)}: {_label(inside[1], small=True)}: {_moved(part)}"


def _of_value(before: Mapping[str, Any], after: Mapping[str, Any], part: Difference) -> str:
    """A value that came or went; one that begins on the day another ends takes its place."""
    entry = part.new or part.old
    holds = _comma(_holds(entry))
    if part.kind == "gone":
        return f"{_amount(before, entry)} gone{holds}"
    for other in after["values"]:
        follows = other.get("until") and other["until"] == entry.get("from")
        if follows and other.get("editions") == entry.get("editions"):
            return f"{_amount(after, other)} → {_amount(after, entry)}{holds}"
    return f"{_amount(after, entry)} added{holds}"


def _before(part: Difference) -> str:
    return f", until {part.old} before" if part.old else ""


def _entry(limit: Mapping[str, Any], name: str) -> dict[str, Any]:
    entry: dict[str, Any] = named(("limits", "", "values"), limit["values"])[name]
    return entry


def _amount(limit: Mapping[str, Any], entry: Mapping[str, Any]) -> str:
    return amount(Limit.of(limit), LimitValue.of(entry))


def _holds(entry: Mapping[str, Any]) -> str:
    """Under which editions and in which time a value holds; nothing where it always does."""
    editions = edition_words(entry.get("editions", ""))
    parts = [f"edition {editions}" if " " not in editions else f"editions {editions}"] if editions else []
    parts += [f"from {entry['from']}"] if "from" in entry else []
    parts += [f"until {entry['until']}"] if "until" in entry else []
    return ", ".join(parts)


# --- values as a reader sees them ---


def _label(field: str, small: bool = False) -> str:
    label = LABELS.get(field, _spaced(field[:1].upper() + field[1:]) if "-" not in field else field)
    return _small(label) if small else label


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _line(value: Any) -> str:
    """Any value in one line, without the marks of the file."""
    if isinstance(value, Mapping):
        return ", ".join(f"{_spaced(str(key))}: {_inside(child)}" for key, child in value.items())
    if isinstance(value, list):
        return "; ".join(map(_inside, value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return SURE.get(str(value), str(value))


def _inside(value: Any) -> str:
    return f"({_line(value)})" if isinstance(value, Mapping | list) else _line(value)


def _sorted(values: list[Any]) -> list[str]:
    return sorted(map(_line, values))


def _spaced(text: str) -> str:
    return text.replace("_", " ")


def _joined(*parts: str) -> str:
    return " ".join(part for part in parts if part)


def _comma(text: str) -> str:
    return f", {text}" if text else ""
