"""Amounts for a picture: of a job's readings, of a finding's workings, and as they are written in it."""

from __future__ import annotations

from checker.findings.finding import Finding, Working
from checker.reading import units
from checker.reading.job import Job
from checker.reporting.figures import canvas


def reading(job: Job, path: str) -> float | None:
    """A recorded amount in the base unit of its kind; None where none is recorded."""
    value = job.value(path)
    return value if isinstance(value, float) else None


def compared(finding: Finding, kind: str, sides: int) -> Working | None:
    """The first comparison of so many amounts of a kind; None where the finding has none."""
    for working in finding.workings:
        if len(working.amounts) == sides and working.unit and units.find_unit(kind, working.unit):
            return working
    return None


def spread(working: Working) -> float | None:
    """The expanded uncertainty of a comparison in its own unit; None where it is not known, or told in another unit."""
    same = f" {units.shown(working.unit)} (" in working.uncertainty
    return working.spread if same else None


def look(working: Working) -> str:
    """How the reading of a comparison stands to its limit, as a dot's look says it."""
    if working.holds == "does not hold":
        return canvas.FAILS
    return canvas.CLOSE if working.near and spread(working) else canvas.PASSES


def near(working: Working) -> str:
    """A sentence where the bar of uncertainty reaches over the limit; nothing where it does not."""
    return canvas.NEAR if working.near and spread(working) else ""


def number(amount: float, kind: str, unit: str) -> float:
    """An amount held in the base unit, as a number in another unit of its kind."""
    return units.from_base(amount, units.find_unit(kind, unit) or units.base_unit(kind))


def written(amount: float, unit: str, digits: int = 1) -> str:
    """A number in a unit as a person reads it, without trailing zeros."""
    text = f"{amount:,.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{'0' if text == '-0' else text} {units.shown(unit)}".rstrip()
