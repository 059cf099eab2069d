"""The shape of each file of a ruleset: `ruleset.yaml`, a topic file, a release and a record."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from checker.rulesets.models import (
    Amendment,
    Answer,
    Change,
    Confirmation,
    Day,
    Digest,
    Law,
    Limit,
    LocalFact,
    Name,
    Rule,
    RuleId,
    Text,
)
from checker.rulesets.shape import Field, Form, Shape


class Adoption(Shape):
    """An edition of a code put in force from a date. `counts` is the date of a job that decides which edition holds."""

    code: Text = Field(description="The ruleset of the code.")
    edition: Text = Field(description="The edition, in quotes.")
    starts: Day = Field(alias="from", description="First day it is in force, year-month-day.")
    counts: Text = Field(description="The date of a job that decides which edition it is judged by.")
    citation: Text = Field(description="Where the adoption is written: ordinance, rule of the board.")
    until: Day | None = Field(None, description="First day it is no longer in force, if no other edition follows.")
    by_report: bool = Field(
        False, description="Known from published texts and not from the office: what the office says goes before it."
    )


class WrittenFor(Shape):
    """A condition on the jobs that a ruleset can speak of, and what to say to the others."""

    when: Text = Field(description="A condition that a job has to meet.")
    otherwise: Text = Field(description="What to say to a job that does not.")
    hold_beyond: list[RuleId] = Field(
        default_factory=list, description="Rules of the ruleset that apply to those jobs anyway."
    )
    only: list[RuleId] = Field(
        default_factory=list,
        description="The line is for these rules only. They don't apply to a job that doesn't meet it.",
    )


class Header(Shape):
    """`ruleset.yaml`: who keeps it, what it stands on and where it is in force.

    `undated` are documents without editions, cited beside a code. `instead_of` names the codes whose place this code takes
    where it is adopted: nobody is judged by both. `made_law_by` are the sections by which codes make its rules law: they are
    cited beside its own where the code is adopted. `retired` are ids of rules that were released and are gone with nothing
    in their place; an id is never used again.
    """

    id: Annotated[str, Form(r"^[a-z0-9]+(-[a-z0-9]+)*$")] = Field(
        description="The ruleset's name: small letters, digits and hyphens."
    )
    version: Annotated[str, Form(r"^\d+\.\d+\.\d+$")] = Field(description="Three numbers: 1.0.0.")
    title: Text = Field(description="What it is.")
    owner: Text = Field(description="Who keeps it.")
    owner_kind: Literal["code", "federal", "manufacturer", "state", "local", "practice", "group"] = Field(
        description="Who owns it. What it may change depends on this."
    )
    documents: dict[Text, Text] = Field(default_factory=dict, description="Documents that it cites: key and title.")
    editions: list[Text] = Field(default_factory=list, description="The editions of a code, oldest first.")
    undated: list[Text] = Field(default_factory=list, description="Documents without editions, cited beside a code.")
    instead_of: list[Text] = Field(
        default_factory=list, description="Codes that this one replaces where it is adopted."
    )
    made_law_by: dict[Name, list[Law]] = Field(
        default_factory=dict,
        description="Sections by which adopted codes make its rules law, by a name that the rules use.",
    )
    retired: list[RuleId] = Field(
        default_factory=list, description="Ids of rules that were released and are gone; never used again."
    )
    uses: dict[Text, Text] = Field(
        default_factory=dict, description='Rulesets that it stands on, with a range of versions: ">=1.0, <2".'
    )
    covers: list[Text] = Field(default_factory=list, description="Jurisdiction codes of its place.")
    adopts: list[Adoption] = Field(default_factory=list, description="Editions put in force by date.")
    written_for: list[WrittenFor] = Field(default_factory=list, description="The jobs that it covers.")
    reviewed_through: Day = Field(description="The day of its last review.")
    cautions: dict[Name, Text] = Field(default_factory=dict, description="The cautions that rules name.")
    asked_of: str = Field("", description="Who to ask when its rules leave something open: the name of the office.")
    possible: dict[Text, Annotated[list[Text], Field(min_length=2, max_length=2)]] = Field(
        default_factory=dict, description="Lowest and highest value of a fact at this place."
    )


class FrozenRuleset(Shape):
    """A ruleset inside a release: its version, the digest of its files as they were, and their data by name."""

    version: Text = Field(description="Its version.")
    digest: Digest = Field(description="The digest of its files as they were.")
    files: dict[Text, Any] = Field(description="Its files as data, by name.")


class ConfirmedChange(Shape):
    """A change that asks less or says it more firmly than the release before, and why that is intended."""

    name: Text = Field(description="The rule, limit or change of a rule it is about; ruleset.yaml for the header.")
    weight: Text = Field(description="How serious it is.")
    what: Text = Field(description="What got looser.")
    why: Text = Field(description="Why that is intended.")


class Release(Shape):
    """A release file: the ruleset it was made for, the program that wrote it, and every ruleset in it by id."""

    format: int = Field(description="The form of this file.")
    id: Text = Field(description="The ruleset that it was made for.")
    version: Text = Field(description="Its version.")
    program: Text = Field(description="The program that wrote it.")
    rulesets: dict[Text, FrozenRuleset] = Field(description="Every ruleset in it, by id.")
    programs: dict[Text, dict[str, Any]] = Field(
        description="What judging needs at each place that it covers, as schemas/program.schema.json has it, by place."
    )
    published: dict[Text, dict[Text, Any]] = Field(
        default_factory=dict,
        description="What is published of the states, by state, and what their files have in common.",
    )
    digest: Text = Field(description="The digest over all of it.")
    confirmed: list[ConfirmedChange] = Field(
        default_factory=list, description="What got looser since the release before, and why that is intended."
    )


class Topic(Shape):
    """One file of a ruleset beside `ruleset.yaml`."""

    rules: dict[RuleId, Rule] = Field(
        default_factory=dict,
        description="Rules of this ruleset, by id: two words at least, such as door-closes.",
    )
    limits: dict[Name, Limit] = Field(
        default_factory=dict, description="Numbers, dates, words and tables that rules name."
    )
    amend: dict[Text, Amendment] = Field(
        default_factory=dict, description="Changes of rules and limits of the rulesets that it uses."
    )
    withdraw: dict[Text, Change] = Field(
        default_factory=dict, description="Rules of the rulesets that it uses which do not hold here."
    )
    restore: dict[Text, Change] = Field(default_factory=dict, description="Withdrawn rules put back in force.")
    confirm: dict[RuleId, Confirmation] = Field(default_factory=dict, description="Who read which section in the book.")
    answers: dict[RuleId, Answer] = Field(
        default_factory=dict, description="What the authority answered to questions that rules ask."
    )
    facts: dict[Name, LocalFact] = Field(
        default_factory=dict, description="Facts of its own, written local.<ruleset>.<name> in a job and in a rule."
    )


class Record(Topic):
    """A record's file: a ruleset's header and sections, and what was confirmed when it was released."""

    record: int = Field(description="The form of this file.")
    digest: Text = Field(description="The digest over all of it.")
    confirmed: list[ConfirmedChange] = Field(description="What got looser, and why that is intended.")
    header: Header = Field(description="The header of the ruleset.")
