"""What differs between two versions of a ruleset, as parts. The parts applied to the old version give the new one.

A version is compared as plain data without its layout: comments, spacing, the order of names, which file a part stands
in and fields that say what would hold without them are no difference.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Literal, NamedTuple

Path_ = tuple[str, ...]
Kind = Literal["added", "gone", "changed", "renamed"]


class Difference(NamedTuple):
    """One part of what differs.

    `path` names it: section, name, field, and the name of an entry in a list. `at` is the place of an added entry in its
    list; a renamed rule has its ids in `old` and `new`. `effect` (meaning, wording or cases) and `step`
    (patch, minor or major) are filled in by `version_steps`, `words` by `words`.
    """

    path: Path_
    kind: Kind
    old: Any
    new: Any
    at: int = 0
    words: str = ""
    effect: str = ""
    step: str = ""


# --- finding ---------------------------------------------------------------------------------------------------------


def differences(old: Mapping[str, Any], new: Mapping[str, Any]) -> list[Difference]:
    """The parts in which two versions as plain data differ, those of one name together."""
    renamed = _renamed(old, new)
    parts = [Difference(("rules", after), "renamed", before, after) for before, after in renamed.items()]
    parts += _of((), with_renamed(old, renamed), new)
    return parts


def _renamed(old: Mapping[str, Any], new: Mapping[str, Any]) -> dict[str, str]:
    """The rules that have another id now, as they say themselves under `formerly`."""
    before, after = old.get("rules", {}), new.get("rules", {})
    new_ids: dict[str, str] = {}
    for rule_id, rule in after.items():
        for former in rule.get("formerly", ()):
            if rule_id not in before and former in before and former not in after and former not in new_ids:
                new_ids[former] = rule_id
                break
    return new_ids


def with_renamed(data: Mapping[str, Any], renamed: Mapping[str, str]) -> dict[str, Any]:
    """A version with its rules under their new ids."""
    return {**data, "rules": {renamed.get(name, name): rule for name, rule in data.get("rules", {}).items()}}


def _of(path: Path_, old: Any, new: Any) -> Iterator[Difference]:
    if old == new:
        return
    if isinstance(old, dict) and isinstance(new, dict) and _opens(path):
        yield from _of_mappings(path, old, new)
    elif isinstance(old, list) and isinstance(new, list) and _entry_name(path) and _same_order(path, old, new):
        yield from _of_mappings(path, named(path, old), named(path, new))
    else:
        yield Difference(path, "changed", old, new)


def _of_mappings(path: Path_, old: dict[str, Any], new: dict[str, Any]) -> Iterator[Difference]:
    places = {name: at for at, name in enumerate(new)}
    for name in [*old, *(name for name in new if name not in old)]:
        inside = (*path, name)
        if name not in new:
            yield Difference(inside, "gone", old[name], None)
        elif name not in old:
            yield Difference(inside, "added", None, new[name], places[name] if _entry_name(path) else 0)
        else:
            yield from _of(inside, old[name], new[name])


def _opens(path: Path_) -> bool:
    """Whether the mapping at a path is compared field by field; a case, a row or an amended field is compared as a whole."""
    return len(path) <= 3 or path[2:3] == ("values",) or path[2:3] == ("citation",) or path[:2] == ("header", "adopts")


# --- the entries of lists, by name ---


def _citation(entry: Mapping[str, Any]) -> str:
    return _joined(entry.get("document"), entry.get("editions"))


def _value(entry: Mapping[str, Any]) -> str:
    return _joined(entry.get("editions"), entry.get("from")) or "always"


def _row(entry: Mapping[str, Any]) -> str:
    return ", ".join(f"{key} {_range(entry[key])}" for key in sorted(entry) if key != "value")


def _range(key: Any) -> str:
    return (
        " ".join(f"{end} {key[end]}" for end in ("from", "below") if end in key) if isinstance(key, dict) else str(key)
    )


def _joined(*parts: Any) -> str:
    return " ".join(str(part) for part in parts if part)


ENTRIES: dict[str, Callable[[Mapping[str, Any]], str]] = {
    "citation": _citation,
    "cases": lambda entry: str(entry["name"]),
    "values": _value,
    "rows": _row,
    "adopts": lambda entry: _joined(entry["code"], entry["edition"]),
    "written_for": lambda entry: str(entry["when"]),
}


def _entry_name(path: Path_) -> Callable[[Mapping[str, Any]], str] | None:
    """The function that names the entries of the list at a path; None for a list that is compared as a whole."""
    fields = {("adopts",), ("written_for",)} if path[:1] == ("header",) else {("citation",), ("cases",), ("values",)}
    inside = path[1:] if path[:1] == ("header",) else path[2:]
    known = inside in fields or (len(inside) == 3 and inside[0] == "values" and inside[2] == "rows")
    return ENTRIES[inside[-1]] if known else None


def named(path: Path_, entries: list[Any]) -> dict[str, Any]:
    """The entries of a list by name; a second of one name gets a number."""
    name_of = _entry_name(path)
    assert name_of is not None
    by_name: dict[str, Any] = {}
    for entry in entries:
        name, count = name_of(entry), 1
        while (numbered := f"{name} ({count})" if count > 1 else name) in by_name:
            count += 1
        by_name[numbered] = entry
    return by_name


def _same_order(path: Path_, old: list[Any], new: list[Any]) -> bool:
    before, after = named(path, old), named(path, new)
    return [name for name in before if name in after] == [name for name in after if name in before]


# --- applying --------------------------------------------------------------------------------------------------------


def applied(old: Mapping[str, Any], parts: Iterable[Difference]) -> dict[str, Any]:
    """An old version with the parts of a comparison applied to it."""
    parts = list(parts)
    renamed = {part.old: part.new for part in parts if part.kind == "renamed"}
    rest = [part for part in parts if part.kind != "renamed"]
    built: dict[str, Any] = _built((), with_renamed(old, renamed), rest)
    return built


def _built(path: Path_, data: Any, parts: list[Difference]) -> Any:
    """The data at a path with the parts at and below it applied."""
    for part in parts:
        if part.path == path:
            return part.new
    if not parts:
        return data
    entries = named(path, data) if isinstance(data, list) else data
    inside: dict[str, list[Difference]] = {}
    for part in parts:
        inside.setdefault(part.path[len(path)], []).append(part)
    gone = {part.path[-1] for part in parts if part.kind == "gone" and len(part.path) == len(path) + 1}
    kept = {name: _built((*path, name), one, inside.get(name, [])) for name, one in entries.items() if name not in gone}
    new = [part for part in parts if part.kind == "added" and len(part.path) == len(path) + 1]
    if isinstance(data, list):
        listed = list(kept.values())
        for part in sorted(new, key=lambda part: part.at):
            listed.insert(part.at, part.new)
        return listed
    return {**kept, **{part.path[-1]: part.new for part in new}}
