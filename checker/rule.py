"""What a rule, a limit, an amendment and a case may say: their shape at the border, before any word is resolved.

Everything in a ruleset is text until binding; these models only hold its shape. Lists of conditions stay as written.
"""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, StringConstraints


def _in_the_calendar(day: str) -> str:
    datetime.date.fromisoformat(day)
    return day


Text = Annotated[str, StringConstraints(min_length=1)]
Sure = Literal["checked", "from_memory", "doubtful"]
Obligation = Literal["shall", "should"]
RuleId = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)+$")]
Name = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]*$")]
Day = Annotated[str, StringConstraints(pattern=r"^\d{4}-\d{2}-\d{2}$"), AfterValidator(_in_the_calendar)]
Digest = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{16}$")]
Outcome = Literal["pass", "fail", "verify_locally", "does_not_apply"]


class Shape(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Citation(Shape):
    """Where a requirement stands, and how sure we are of the section and of what it asks."""

    document: Text
    section: Text
    section_sure: Sure
    requirement_sure: Sure
    editions: str = ""
    note: str = ""


class Case(Shape):
    """A worked example: facts (by path; `item.` for the item judged), and what the rule says of them."""

    name: Text
    given: dict[str, Any]
    expect: Outcome
    needs: list[Text] | None = None
    reason: str = ""
    editions: dict[Text, Text] = Field(default_factory=dict)
    place: str = ""


class Rule(Shape):
    """One requirement with its citation, its conditions and its own worked cases."""

    title: Text
    topic: Text
    obligation: Obligation
    intent: Text
    citation: Annotated[list[Citation], Field(min_length=1)]
    for_each: str = ""
    applies_when: Annotated[list[Any], Field(min_length=1)] | None = None
    verify_when: Annotated[list[Any], Field(min_length=1)] | None = None
    where: dict[Name, Text] = Field(default_factory=dict)
    require: Annotated[list[Any], Field(min_length=1)]
    on_fail: str = ""
    remedy: str = ""
    bring: str = ""
    photograph: str = ""
    picture: Literal["", "decay_curve", "size_ladder", "target_band", "expected_against_read"] = ""
    ask: str = ""
    caution: str = ""
    judged: Literal["reading", "guarded"] = "reading"
    life_safety: bool = False
    date: str = ""
    editions: str = ""
    remedy_after: list[RuleId] = Field(default_factory=list)
    mend: dict[Text, Text] = Field(default_factory=dict)
    formerly: list[RuleId] = Field(default_factory=list)
    acceptable_by: Literal["local", "state", "none"] = "local"
    untried: dict[Text, Text] = Field(default_factory=dict)
    cases: Annotated[list[Case], Field(min_length=1)]


class TableRow(Shape):
    """A row of a table: a word, or `from`/`below`, for each key, and the value."""

    model_config = ConfigDict(extra="allow", frozen=True)

    value: Text


class LimitValue(Shape):
    """What a limit is in one period and under some editions, and where that stands."""

    value: Text | list[Text] | None = None
    rows: list[TableRow] | None = None
    starts: Day | None = Field(default=None, alias="from")
    until: Day | None = None
    editions: str = ""
    source: Text
    sure: Sure


class Limit(Shape):
    """A named number, date, word or small table with a source. A new value is added; nothing is forgotten.

    `kind` is a kind of `units.txt`, `date`, `word`, or left out where the unit tells it. `keys` makes it a table: for
    each key its closed list of words, or a unit for ranges. `open: jurisdiction` leaves it to the place.
    """

    title: Text
    unit: str = ""
    kind: str = ""
    keys: dict[Name, list[Text] | Text] = Field(default_factory=dict)
    open: Literal["", "jurisdiction"] = ""
    values: list[LimitValue] = Field(default_factory=list)


class Change(Shape):
    """What a ruleset does to a rule or limit of a ruleset below it: why, on what ground, and to which meaning of it."""

    reason: Text
    citation: Annotated[list[Citation], Field(min_length=1)]
    meaning: Annotated[dict[Text, Digest], Field(min_length=1)]
    starts: Day | None = Field(default=None, alias="from")
    until: Day | None = None
    cases: list[Case] = Field(default_factory=list)


class Amendment(Change):
    """Whole fields put in the place of what they were."""

    set: Annotated[dict[Text, Any], Field(min_length=1)]
    direction: Literal["stricter", "looser", "different"] = "different"


class Confirmation(Shape):
    """That somebody read a rule's section in the book: who, in which printing, when, and to which meaning of the rule."""

    rule: RuleId
    document: Text
    printing: Text
    read_by: Text
    read_on: Day
    meaning: Annotated[dict[Text, Digest], Field(min_length=1)]


class LocalFact(Shape):
    """A fact that a ruleset adds under `local.<ruleset>`: the keywords of the job schema."""

    form: Literal["quantity", "flag", "text", "date", "count", "choice"]
    title: Text
    description: Text
    ask: Text
    known: Literal["quote", "before_removal", "before_cover", "before_charge_release", "before_leaving", "after"]
    unit: str = ""
    kind: str = ""
    possible: list[Text] = Field(default_factory=list)


class Topic(Shape):
    """One file of a ruleset beside `ruleset.yaml`."""

    rules: dict[RuleId, Rule] = Field(default_factory=dict)
    limits: dict[Name, Limit] = Field(default_factory=dict)
    amend: dict[Text, Amendment] = Field(default_factory=dict)
    withdraw: dict[Text, Change] = Field(default_factory=dict)
    restore: dict[Text, Change] = Field(default_factory=dict)
    confirm: dict[RuleId, Confirmation] = Field(default_factory=dict)
    facts: dict[Name, LocalFact] = Field(default_factory=dict)


class Adoption(Shape):
    """An edition of a code put in force from a date. `counts` is the date of a job that decides which edition holds."""

    code: Text
    edition: Text
    starts: Day = Field(alias="from")
    counts: Text
    citation: Text
    interim_changes: list[Text] = Field(default_factory=list)
    until: Day | None = None


class WrittenFor(Shape):
    """A condition on the jobs that a ruleset can speak of, and what to say to the others."""

    when: Text
    otherwise: Text


class Header(Shape):
    """`ruleset.yaml`: who keeps it, what it stands on and where it is in force.

    `undated` are documents without editions, cited beside a code. `instead_of` names the codes whose place this code takes
    where it is adopted: nobody is judged by both.
    """

    id: Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]
    version: Annotated[str, StringConstraints(pattern=r"^\d+\.\d+\.\d+$")]
    title: Text
    owner: Text
    owner_kind: Literal["code", "federal", "state", "local", "practice", "group"]
    documents: dict[Text, Text] = Field(default_factory=dict)
    editions: list[Text] = Field(default_factory=list)
    undated: list[Text] = Field(default_factory=list)
    instead_of: list[Text] = Field(default_factory=list)
    uses: dict[Text, Text] = Field(default_factory=dict)
    covers: list[Text] = Field(default_factory=list)
    adopts: list[Adoption] = Field(default_factory=list)
    written_for: list[WrittenFor] = Field(default_factory=list)
    reviewed_through: Day
    cautions: dict[Name, Text] = Field(default_factory=dict)
    possible: dict[Text, Annotated[list[Text], Field(min_length=2, max_length=2)]] = Field(default_factory=dict)
