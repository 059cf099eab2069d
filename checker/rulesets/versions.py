"""Ranges of versions, as `uses` writes them: `>=1.0, <2`.

A version is numbers between dots. Missing numbers count as 0, so 1.0 is 1.0.0. The signs mean what PEP 440 says they do.
"""

from __future__ import annotations

import operator
import re
from collections.abc import Callable

BOUND = re.compile(r"(==|!=|<=|>=|~=|<|>)\s*(\d+(?:\.\d+)*)(\.\*)?", re.ASCII)
COMPARES: dict[str, Callable[[list[int], list[int]], bool]] = {
    "<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge, "==": operator.eq, "!=": operator.ne,
}  # fmt: skip


def within(version: str, versions: str) -> bool:
    """Whether a version lies in a range.

    Raises:
        ValueError: The text is not a range of versions.
    """
    met = [_meets(version, bound.strip()) for bound in versions.split(",") if bound.strip()]  # all of them, to be read
    return all(met)


def _meets(version: str, bound: str) -> bool:
    found = BOUND.fullmatch(bound)
    if found is None:
        raise ValueError(f"'{bound}' is not a bound of versions")
    sign, limit, star = found[1], found[2].split("."), bool(found[3])
    if (star and sign not in ("==", "!=")) or (sign == "~=" and len(limit) < 2):
        raise ValueError(f"'{bound}' is not a bound of versions")
    if sign == "~=":  # at least this, and the same but for the last number
        return _meets(version, f">={found[2]}") and _meets(version, f"=={'.'.join(limit[:-1])}.*")
    ours, theirs = _numbers(version.split("."), len(limit)), _numbers(limit, version.count(".") + 1)
    return COMPARES[sign](ours[: len(limit)] if star else ours, theirs[: len(limit)] if star else theirs)


def _numbers(parts: list[str], least: int) -> list[int]:
    """The numbers of a version, at least so many of them."""
    return [*map(int, parts), *[0] * (least - len(parts))]
