"""What to bring, by part: each rule says the part and the size that it needs, so that the same part is brought once.

`together` makes one line of several: the one size that satisfies every rule.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from checker.reading import units


class PartWanted(NamedTuple):
    """A part that a rule wants brought: its name and title in the job schema, and what it has to be.

    `least` and `most` are amounts of `kind` in its base unit, None where there is no such end or it is not known yet (then
    `unknown` is true). `size` is one in words, `note` what else it has to be, `doubt` the condition that is not known yet.
    """

    part: str
    title: str
    size: str = ""
    least: float | None = None
    most: float | None = None
    kind: str = ""
    unit: str = ""
    digits: int | None = None
    note: str = ""
    doubt: str = ""
    unknown: bool = False

    @property
    def said(self) -> str:
        """It in one line: `Rope, 20 ft to 25 ft, of hemp`."""
        words = ", ".join(filter(None, (self.title, self.size, self._ends(), self.note)))
        return f"{words} (if {self.doubt})" if self.doubt else words

    @property
    def conflict(self) -> bool:
        """Whether no size satisfies every rule."""
        return self.least is not None and self.most is not None and self.least > self.most

    def _ends(self) -> str:
        low, high = (
            None if end is None else units.write_amount(end, self.kind, self.unit, self.digits)
            for end in (self.least, self.most)
        )
        if low and high:
            return low if low == high else f"{low} to {high}"
        return f"{low} or more" if low else f"{high} at most" if high else ""


def together(several: Iterable[PartWanted]) -> PartWanted:
    """One part out of several of one name: the size that satisfies every rule, and each note once."""
    found = list(several)
    first = next((one for one in found if one.kind), found[0])
    leasts = [one.least for one in found if one.least is not None]
    mosts = [one.most for one in found if one.most is not None]
    return first._replace(
        size="; ".join(dict.fromkeys(one.size for one in found if one.size)),
        least=max(leasts, default=None),
        most=min(mosts, default=None),
        note=", ".join(dict.fromkeys(one.note for one in found if one.note)),
        doubt="" if any(not one.doubt for one in found) else first.doubt,
        unknown=any(one.unknown for one in found),
    )
