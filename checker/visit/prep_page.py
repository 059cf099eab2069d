"""The plan of a visit as a page to tick off on a phone or on paper."""

from __future__ import annotations

from checker.report.html import environment
from checker.report.model import DEFERRAL
from checker.visit.prep import Prep
from checker.visit.prep_text import head, heading, unchecked


def render(prep: Prep) -> str:
    """One HTML file that needs no network and no script."""
    said = {"heading": heading(prep), "head": list(head(prep)), "unchecked": unchecked(prep)}
    template = environment().get_template("prep.html")
    return template.render(prep=prep, **said, caution=prep.report.caution, deferral=DEFERRAL)
