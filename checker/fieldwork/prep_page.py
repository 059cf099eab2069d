"""The plan of a visit as a page to tick off on a phone or on paper."""

from __future__ import annotations

from checker.fieldwork.prep import Prep
from checker.fieldwork.prep_text import head, heading, unchecked
from checker.findings.report import DEFERRAL
from checker.reporting.html import environment


def render(prep: Prep) -> str:
    """One HTML file that needs no network and no script."""
    said = {"heading": heading(prep), "head": list(head(prep)), "unchecked": unchecked(prep)}
    template = environment().get_template("prep.html")
    return template.render(prep=prep, **said, caution=prep.report.caution, deferral=DEFERRAL)
