"""The page as one HTML file: the reader, the page's own script, its style, and the rules of one place, deflated.

Its content policy names each script by its digest: nothing else runs, and nothing is fetched.
"""

from __future__ import annotations

import base64
import datetime
import hashlib
import html
import re
import zlib
from collections.abc import Mapping
from importlib import resources
from typing import Any, NamedTuple

from checker.engine.checker import Checker
from checker.engine.for_browser import NOTHING, handed_over
from checker.fieldwork.phone.icons import icon
from checker.findings.report import DEFERRAL
from checker.judging.javascript import reader
from checker.problems import json_out
from checker.reading.inherited.inheritance import Inherited
from checker.reading.job import Job

FOLDER = resources.files("checker.fieldwork.phone")
SMALL_ICON = 32
MANIFEST = "manifest.webmanifest"


class Made(NamedTuple):
    """What a page is made of.

    `rules` are the packed rules of the place, `begins` what every new job says from the start, by path.
    """

    rules: str
    place: str
    begins: Mapping[str, Any]
    made: datetime.date

    @property
    def key(self) -> str:
        """Under which name the page keeps its jobs on a phone: another place keeps others."""
        return json_out.compact(dict(self.begins))


def made(
    checker: Checker, job: Job, begins: Mapping[str, Any], day: datetime.date, inherited: Inherited = NOTHING
) -> Made:
    """The page for the place of a job.

    Args:
        begins: What every new job says from the start, by path.
        inherited: The manufacturers' sheets and the profile that jobs take facts from.

    Raises:
        ProblemsFound: The rulesets of the place use what the page cannot do.
    """
    chain = checker.chain_of(job)
    named = ", ".join(str(value) for value in [*begins.values()][::-1])
    return Made(handed_over(checker, chain, inherited), named, begins, day)


def render(page: Made, worker: str = "") -> str:
    """The page as HTML.

    Args:
        worker: The name of the service worker beside it; empty for a page that stands alone.
    """
    facts = {"made": page.made.isoformat(), "key": page.key, "begins": dict(page.begins), "deferral": DEFERRAL}
    facts |= {"worker": worker} if worker else {}
    scripts = [_fit(reader.script()), _fit(_text("built", "page.js"))]
    style = re.sub(r"\s+", " ", _text("style.css"))
    picture = base64.b64encode(icon(SMALL_ICON)).decode()
    beside = f'<link rel="manifest" href="{MANIFEST}">\n' if worker else ""
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_policy(scripts, style, bool(worker))}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n'
        f"<title>Change-out check: {html.escape(page.place)}</title>\n"
        f'<link rel="icon" href="data:image/png;base64,{picture}">\n{beside}'
        f"<style>{style}</style>\n</head>\n<body>\n<noscript><p>This page needs scripts.</p></noscript>\n"
        f'<script type="application/json" id="page">{_as_data(facts)}</script>\n'
        f'<script type="application/octet-stream" id="rules">{deflated(page.rules)}</script>\n'
        + "".join(f"<script>{script}</script>\n" for script in scripts)
        + "</body>\n</html>\n"
    )


def deflated(text: str) -> str:
    """A text deflated and in base 64: no sign of it can end the element that it stands in."""
    return base64.b64encode(zlib.compress(text.encode(), 9)).decode()


def _policy(scripts: list[str], style: str, beside: bool) -> str:
    """The content policy; a page with files beside it may read those, and no other."""
    own = " 'self'" if beside else ""
    said = {
        "default-src": "'none'",
        "script-src": " ".join(map(_digest, scripts)),
        "style-src": _digest(style),
        "img-src": f"blob: data:{own}",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    if beside:
        said |= {"manifest-src": "'self'", "worker-src": "'self'"}
    return "; ".join(f"{name} {value}" for name, value in said.items())


def _digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _text(*name: str) -> str:
    return FOLDER.joinpath(*name).read_text(encoding="utf-8")


def _fit(script: str) -> str:
    """A script as it may stand inside its element."""
    assert not re.search(r"</script|<!--", script, re.IGNORECASE), "a script would end its own element"
    return script


def _as_data(facts: Mapping[str, Any]) -> str:
    """Facts as JSON of which no sign can end the element that it stands in."""
    return json_out.compact(facts).replace("<", "\\u003c")
