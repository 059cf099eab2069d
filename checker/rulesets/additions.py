"""What an amendment adds to a rule and leaves all else of it as it is: lines, and a way more to meet one of them.

    add:
      require: [item.disconnect.labeled]
      any_of: {of: in sight, option: {option: locked open, when: item.disconnect.lockable}}

`of` is the name of an option that stands beside the new one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.problems.document import Path_
from checker.rulesets.models import Addition

LISTS = ("applies_when", "require")


class Grown(NamedTuple):
    """A list of a rule that an amendment made longer: where the list is, its first new place, and the path of the new text.

    `single`: the text is the one new item, not a list of them.
    """

    at: Path_
    first: int
    text: Path_
    single: bool = False

    def inside(self, at: Path_) -> Path_ | None:
        """Where a path of the rule stands in the text of the amendment; None where it is not of what was added."""
        *around, place = at[: len(self.at) + 1]
        if tuple(around) != self.at or not isinstance(place, int) or place < self.first:
            return None
        rest = at[len(self.at) + 1 :]
        return (*self.text, *rest) if self.single else (*self.text, place - self.first, *rest)


def added(lists: Mapping[str, list[Any]], addition: Addition) -> tuple[dict[str, Any], list[Grown]]:
    """The lists of a rule that are longer by what is added, and where the new parts stand.

    Args:
        lists: What the rule has under the names in `LISTS`.
    """
    fields: dict[str, Any] = {}
    grown = []
    for field in LISTS:
        if new := getattr(addition, field):
            fields[field] = [*lists[field], *new]
            grown.append(Grown((field,), len(lists[field]), (field,)))
    if addition.any_of:
        lines = fields.get("require", lists["require"])
        at = next(options_beside(lines, addition.any_of.beside, ("require",)), None)
        if at is not None:
            fields["require"], count = _with_option(lines, at[1:], addition.any_of.option)
            grown.append(Grown(at, count, ("any_of", "option"), single=True))
    return fields, grown


def options_beside(lines: Any, name: str, at: Path_) -> Iterator[Path_]:
    """The paths of the lists of options in which one has a name."""
    if isinstance(lines, dict):
        for key, inside in lines.items():
            yield from options_beside(inside, name, (*at, key))
    elif isinstance(lines, list):
        if at[-1:] == ("any_of",) and any(isinstance(line, dict) and line.get("option") == name for line in lines):
            yield at
        for index, line in enumerate(lines):
            yield from options_beside(line, name, (*at, index))


def option_names(lines: Any) -> Iterator[str]:
    """The names of the options in what a rule requires."""
    if isinstance(lines, dict):
        if "option" in lines:
            yield str(lines["option"])
        for inside in lines.values():
            yield from option_names(inside)
    elif isinstance(lines, list):
        for line in lines:
            yield from option_names(line)


def _with_option(lines: Any, at: Path_, option: Any) -> tuple[Any, int]:
    """The same lines with an option more in the list at a path, and how many stood there before."""
    if not at:
        return [*lines, option], len(lines)
    inside, count = _with_option(lines[at[0]], at[1:], option)
    if isinstance(lines, dict):
        return {**lines, at[0]: inside}, count
    return [*lines[: at[0]], inside, *lines[int(at[0]) + 1 :]], count
