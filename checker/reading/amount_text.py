"""An amount as people write it, turned into one number and one unit: 12 lb 4 oz, 5'6", 1-1/8", 3-ton, 36k, 71 deg."""

from __future__ import annotations

import re
from collections.abc import Callable

FRACTION = re.compile(r"\s*(?:(\d+)[ -]\s*)?(\d+)/(\d+)(?=\D|$)")
OF_AN_INCH = ("2", "4", "8", "16", "32", "64")
IN_FRACTIONS = {"length": "inch", "slope": "in_per_ft"}  # the one unit of each kind whose number may be a fraction

QUOTES = str.maketrans("’′‘”″“", "'''\"\"\"")
HYPHEN = re.compile(r"(\d)\s*-\s*(?=[^\W\d])")  # 3-ton
DEGREES = re.compile(r"\s*(?:°|deg(?:rees?)?\.?)\s*", re.IGNORECASE)
DIFFERENCE = re.compile(r"^\s*(?:±|\+\s*/\s*-|\+-)\s*")
IN_DEGREES = ("temperature", "temperature_difference")

PLAIN = r"\d+(?:\.\d+)?"
LB_OZ = re.compile(rf"\s*(\d+)\s*(?:lbs?|pounds?|\#)\.?[\s,-]*({PLAIN})\s*(?:oz|ounces?)?\.?\s*", re.IGNORECASE)
FT_IN = re.compile(
    rf"\s*(-?\d+)\s*(?:'|ft|feet|foot)\.?[\s,-]*((?:\d+[ -])?\d+/\d+|{PLAIN})\s*(?:\"|''|in|inch|inches)?\.?\s*",
    re.IGNORECASE,
)
BY_THE_THOUSAND = ("Btu_per_h",)  # units counted by the thousand: 36k, and 036 as in a model number
THOUSANDS = re.compile(rf"\s*({PLAIN})\s*k\s*", re.IGNORECASE)
CODE = re.compile(r"\s*0(\d\d)\s*")


class NotOneNumber(ValueError):
    """A number with a slash that is no fraction of an inch."""


def plain(text: str, kind: str, declared: str) -> str:
    """A text as one number and one unit, wherever it is a way to write them; else as it is.

    Args:
        declared: The unit of a number without one.

    Raises:
        NotOneNumber: It holds a slash that is no fraction of an inch.
    """
    text = HYPHEN.sub(r"\1 ", text.translate(QUOTES))
    compound = _COMPOUND.get(kind)
    found = compound(text, declared) if compound else ""
    return found or _fraction(text, kind) or text


def without_degrees(text: str, kind: str) -> str:
    """A temperature without a degree sign that names no scale: 71 for 71°."""
    found = DEGREES.search(text) if kind in IN_DEGREES else None
    return text[: found.start()] if found and found.end() == len(text) else text


def few(number: str) -> bool:
    """Whether a number is too small for a unit that is counted by the thousand, and is no such code as 036."""
    return not CODE.fullmatch(number) and "/" not in number and 0 < abs(float(number.replace(",", ""))) < 1000


def is_fraction(text: str) -> bool:
    """Whether a text begins with a fraction."""
    return bool(FRACTION.match(text))


def _fraction(text: str, kind: str) -> str:
    """`1 1/8 in` as `1.125 in`, and nothing where no fraction begins the text.

    A slash parts an inch and nothing else: 45/5 on a capacitor and 208/230 on a plate are two values.
    """
    match = FRACTION.match(text)
    return f"{_inches(match, kind):.10g}{text[match.end() :]}" if match else ""


def _inches(match: re.Match[str], kind: str) -> float:
    whole, over, under = match.groups()
    if kind not in IN_FRACTIONS or under not in OF_AN_INCH or not 0 < int(over) < int(under):
        raise NotOneNumber
    return int(whole or 0) + int(over) / int(under)


def _mass(text: str, _: str) -> str:
    match = LB_OZ.fullmatch(text)
    return f"{int(match[1]) + float(match[2]) / 16:.10g} lb" if match and float(match[2]) < 16 else ""


def _length(text: str, declared: str) -> str:
    match = FT_IN.fullmatch(text)
    if not match:
        return ""
    part = FRACTION.fullmatch(match[2])
    inches = _inches(part, "length") if part else float(match[2])
    if inches >= 12:
        return ""
    total = 12 * abs(int(match[1])) + inches
    sign = "-" if match[1].startswith("-") else ""
    return f"{sign}{total / 12:.10g} ft" if declared == "ft" else f"{sign}{total:.10g} in"


def _power(text: str, declared: str) -> str:
    match = THOUSANDS.fullmatch(text) or CODE.fullmatch(text)
    return f"{float(match[1]) * 1000:.10g} {declared}" if match and declared in BY_THE_THOUSAND else ""


_COMPOUND: dict[str, Callable[[str, str], str]] = {"mass": _mass, "length": _length, "power": _power}
