"""The pages of rules as a site that is opened from disk: no network, every page whole in itself, a search on the index."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from typing import NamedTuple

from checker.authoring.docs.model import HEADINGS, Docs, Page
from checker.findings.report import DEFERRAL
from checker.reporting import words
from checker.reporting.html import environment

BY_SUBJECT = "Every rule, by subject. The title of a rule says what is true where it passes."
BY_STAGE = (
    "By the last moment at which everything that a rule rests on can still be seen. What is missed then is missed."
)


class Script(NamedTuple):
    """The script of the index, and the hash by which the page lets it and no other run."""

    text: str
    hash: str


def files(docs: Docs) -> dict[str, str]:
    """Every file of the site by its path in the folder."""
    of_what = made_for(docs)
    index = {"groups": docs.by_topic(), "heading": "The rules by subject", "explained": BY_SUBJECT, "script": _script()}
    stages = {"groups": docs.by_stage(), "heading": "The rules by stage of the visit", "explained": BY_STAGE}
    texts = {
        "index.html": _made("docs_index.html", docs, of_what, index),
        "stages.html": _made("docs_index.html", docs, of_what, stages),
        "review.html": _made("docs_review.html", docs, of_what, {"review": docs.review}),
    }
    links = {page.id: page for page in docs.pages}
    for page in docs.pages:
        own = {"page": page, "kept": docs.kept(page), "links": links, "up": "../../"}
        texts[f"{page.file}.html"] = _made("docs_rule.html", docs, of_what, own)
    return texts


def _made(template: str, docs: Docs, of_what: str, own: Mapping[str, object]) -> str:
    shared = {"docs": docs, "of_what": of_what, "words": words, "deferral": DEFERRAL, "headings": HEADINGS}
    called = {"search_words": search_words, "sections_of": sections_of, "counts": counts, "script": None, "up": ""}
    return environment().get_template(template).render({**called, **shared, **own})


def _script() -> Script:
    text = environment().get_template("docs.js").render()
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return Script(text, f"sha256-{digest}")


def made_for(docs: Docs) -> str:
    """What the pages show: the rules of a place on a day, or of rulesets as they are written."""
    used = ", ".join(docs.wanted)
    if not docs.place:
        return (
            f"The rules with {used} on {docs.on}" if used else "Rules as their rulesets write them, under every edition"
        )
    return f"The rules in force at {docs.place}{f' with {used}' if used else ''} on {docs.on}"


def sections_of(page: Page) -> str:
    """The sections of a page's rule, each once, without how sure they are."""
    sections = dict.fromkeys(one.section for stand in page.stands for one in stand.sections)
    return "; ".join(sections) or page.ruleset


def search_words(page: Page) -> str:
    """What the search looks through: title, id, subject, sections, why, what to do and the facts and limits by title."""
    titles = [fact.title for fact in page.looked] + [limit.title for limit in page.limits]
    sections = [one.section for stand in page.stands for one in stand.sections]
    parts = [page.title, page.id, page.topic, page.ruleset, page.why, *page.remedy, *page.bring, *sections, *titles]
    return " ".join(dict.fromkeys(" ".join(parts).lower().split()))


def counts(numbers: Mapping[str, int]) -> str:
    """`12 checked, 3 from memory, 1 in doubt`."""
    return ", ".join(f"{number} {word}" for word, number in numbers.items() if number) or "none"
