"""The content of a rule's page as frozen data; the forms of the page only lay it out.

Without a place a page shows a rule as its own ruleset writes it, under every edition, and what any ruleset changes about
it; at a place, or with a ruleset that is asked for, the rule as it is in force there on a day.
"""

from __future__ import annotations

from typing import NamedTuple

from checker.authoring.docs.cases import Example
from checker.authoring.docs.history import Changed, Released
from checker.authoring.docs.review import Review
from checker.authoring.docs.words import Sentence
from checker.authoring.limit_words import LimitShown

HEADINGS = (
    "What is asked", "When", "Why", "Limits", "What is looked at", "Where it stands, by edition", "What to do", "To bring",
    "Photograph", "Caution", "Examples", "Who changed it and why", "How sure",
)  # fmt: skip


class PutToAuthority(NamedTuple):
    """A condition under which the authority decides, and what to ask it."""

    said: Sentence
    ask: str


class Name(NamedTuple):
    """A name under `where`: in words, what it stands for, and as it is written."""

    name: str
    words: str
    text: str


class FactShown(NamedTuple):
    """A fact that a rule looks at: title, question, until when it can be seen, in what it is written, and its path."""

    title: str
    ask: str
    seen: str
    written: str
    path: str


class Cited(NamedTuple):
    """A section with its document, and how sure it is."""

    section: str
    sure: str

    @property
    def said(self) -> str:
        return f"{self.section}, {self.sure}"


class UnderEdition(NamedTuple):
    """A rule under one edition: whether it holds there, its sections, and whether that edition is in force."""

    edition: str
    holds: bool
    sections: tuple[Cited, ...]
    in_force: bool


class History(NamedTuple):
    """A change, with each field in words before and after where it is a condition, else as it is written."""

    changed: Changed
    subject: str
    fields: tuple[tuple[str, tuple[Sentence, ...], tuple[Sentence, ...]], ...]


class Page(NamedTuple):
    """A rule's page, each part under its heading in `HEADINGS`."""

    id: str
    ruleset: str
    title: str
    marks: tuple[str, ...]
    topic: str
    stage: str
    once_for: str
    asked: tuple[Sentence, ...]
    names: tuple[Name, ...]
    guarded: bool
    on_fail: str
    when: tuple[Sentence, ...]
    put: tuple[PutToAuthority, ...]
    deciding_date: str
    why: str
    limits: tuple[LimitShown, ...]
    looked: tuple[FactShown, ...]
    stands: tuple[UnderEdition, ...]
    remedy: tuple[str, ...]
    first: tuple[str, ...]
    accepts: str
    ask: str
    bring: tuple[str, ...]
    photograph: str
    cautions: tuple[str, ...]
    examples: tuple[Example, ...]
    added: str
    formerly: tuple[str, ...]
    releases: tuple[Released, ...]
    history: tuple[History, ...]
    sure: tuple[str, ...]

    @property
    def file(self) -> str:
        """The page's path in the folder, without an ending."""
        return f"rules/{self.ruleset}/{self.id}"

    @property
    def life_safety(self) -> bool:
        return "life safety" in self.marks


class RulesetShown(NamedTuple):
    """A ruleset that the pages were made from."""

    id: str
    version: str
    title: str
    owner: str
    digest: str
    rules: int


class Docs(NamedTuple):
    """Every page, the rulesets behind them, the place and day they are for, and the list of what to look at again."""

    place: str
    wanted: tuple[str, ...]
    on: str
    rulesets: tuple[RulesetShown, ...]
    pages: tuple[Page, ...]
    review: Review
    digest: str
    stages: tuple[str, ...]
    caution: str

    def by_topic(self) -> list[tuple[str, list[Page]]]:
        """The pages by subject, in the order of the alphabet."""
        topics = sorted({page.topic for page in self.pages})
        return [(topic, [page for page in self.pages if page.topic == topic]) for topic in topics]

    def by_stage(self) -> list[tuple[str, list[Page]]]:
        """The pages by stage of the visit: the last one in which everything that the rule rests on can be seen."""
        groups = [(stage, [page for page in self.pages if page.stage == stage]) for stage in self.stages]
        return [(stage, pages) for stage, pages in groups if pages]

    def kept(self, page: Page) -> RulesetShown:
        return next(one for one in self.rulesets if one.id == page.ruleset)
