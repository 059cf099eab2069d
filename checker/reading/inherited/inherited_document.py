"""What jobs inherit as plain data for JSON, for a reader that has no files: readings in base units, sheets with their sources."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checker.ir.kleene import Nothing, Range
from checker.reading.fact_reader import Reading
from checker.reading.inherited.inheritance import Inherited
from checker.reading.inherited.manufacturer_sheet import Sheet


def document(inherited: Inherited) -> dict[str, Any]:
    """What the jobs of one run inherit, as plain data."""
    profile = inherited.profile and {
        "readings": readings(inherited.profile.facts.readings),
        "lists": {path: list(keys) for path, keys in inherited.profile.facts.lists.items()},
    }
    return {
        "profile": profile,
        "sheets": [_sheet(one) for one in inherited.sheets],
        "place": inherited.place,
        "settings": inherited.settings,
    }


def readings(found: Mapping[str, Reading]) -> dict[str, Any]:
    """Readings by their paths: null for a known none, two ends for a day between two."""
    return {
        path: {
            "value": _value(one.value),
            "written": one.written,
            "unit": one.unit,
            "digits": one.digits,
            "instrument": one.instrument,
            "origin": one.origin,
            "addedFrom": list(one.added_from),
        }
        for path, one in found.items()
    }


def _sheet(sheet: Sheet) -> dict[str, Any]:
    return {
        "id": sheet.id,
        "maker": sheet.maker,
        "part": sheet.part,
        "models": list(sheet.models),
        "doubtful": sheet.sure == "doubtful",
        "mark": sheet.mark,
        "origin": sheet.origin,
        "source": sheet.source,
        "place": sheet.place,
        "facts": readings(sheet.facts),
    }


def _value(value: Any) -> Any:
    if isinstance(value, Range):
        return {"low": value.low, "high": value.high}
    return None if isinstance(value, Nothing) else value
