"""When the last review of a ruleset is too long ago: after a year, or once an edition that it stands on took effect since."""

from __future__ import annotations

import datetime

from checker.rulesets.chain import Chain
from checker.rulesets.limits import over_a_year_old
from checker.rulesets.ruleset import Ruleset


def outdated(ruleset: Ruleset, chain: Chain, on: datetime.date) -> str:
    """That somebody should look over a ruleset again, in a sentence; empty while its review is good."""
    header = ruleset.header
    said = f"The rules of {ruleset.id} were last reviewed on {header.reviewed_through}"
    newer = [
        adopted
        for code in (ruleset.id, *header.uses)
        for adopted in chain.adoptions(code)
        if header.reviewed_through < adopted.starts <= on.isoformat()
    ]
    if newer:
        return f"{said}, before {newer[0].code} {newer[0].edition} took effect here on {newer[0].starts}."
    return f"{said}, more than a year ago." if over_a_year_old(header.reviewed_through, on.toordinal()) else ""
