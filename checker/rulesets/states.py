"""What a state's file says: which editions are in force there, who decides, since when, by which sources, and how sure.

`codes.yaml` beside the files of a country says which of our rulesets a state's codes are. Both are only shapes here;
`state_rulesets` makes a ruleset of them that joins the chain of a place.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from checker.rulesets.models import Day, Digest, Name, RuleId, Sure, Text
from checker.rulesets.shape import Field, Form, Shape

UNKNOWN = "unknown"
FIRM = ("checked", "second_hand")  # how sure an entry has to be to count

DayOrUnknown = Annotated[str, Form(r"^(\d{4}-\d{2}-\d{2}|unknown)$")]
Dated = Annotated[str, Form(r"^(\d{4}(-\d{2}){0,2}|unknown)$")]
Said = Literal["yes", "no", "unknown"]


class Source(Shape):
    """A text that was read: what it is, and of which day."""

    what: Text = Field(description="What it is, in a few words: the state's own rule, a trade association's table.")
    title: str = Field("", description="Its title.")
    url: str = Field("", description="Where it stands.")
    dated: Dated = Field(description="Of which year, month or day it is; or unknown.")
    seen: Day = Field(description="The day somebody read it.")


class OtherReading(Shape):
    """What a source that disagrees says."""

    edition: Text = Field(description="The edition that it names.")
    sources: list[Text] = Field(description="The sources that say so, by their keys.")


class InForce(Shape):
    """An edition in force from a day until the next one begins."""

    edition: Text = Field(description="The year of the edition, in quotes.")
    code: Text = Field(description="The model code by its short name in codes.yaml; own where the state wrote its own.")
    starts: DayOrUnknown = Field(alias="from", description="First day, year-month-day, or unknown.")
    choice_until: Day | None = Field(
        None,
        description="First day on which the edition before can no longer be chosen, where the applicant may choose.",
    )
    amended: Said = Field(description="Whether the state changes it.")
    named: str = Field("", description="What the state calls it, where it has a name of its own.")
    sure: Sure = Field(description="checked only from the state's own text; second_hand where two sources agree.")
    sources: Annotated[list[Text], Field(min_length=1)] = Field(description="Where it was read, by their keys.")
    other: list[OtherReading] = Field(default_factory=list, description="What the sources that disagree say.")


class StateCode(Shape):
    """One code of a state: who decides on its edition, and the editions, oldest first."""

    decided_by: Literal["state", "locality", "unknown"] = Field(
        description="Who decides which edition applies to a house."
    )
    localities_may_amend: Literal["no", "stricter", "yes", "unknown"] = Field(
        description="Whether a city or county may change it."
    )
    in_houses: Said = Field(
        "unknown",
        description="Whether it, and not the residential code, governs its work in one- and two-family houses.",
    )
    sure: Sure = Field("from_memory", description="How sure we are who decides.")
    sources: Annotated[list[Text], Field(min_length=1)] = Field(description="Where it says who decides.")
    known_through: Day | None = Field(None, description="The last day that what was read covers.")
    in_force: list[InForce] = Field(default_factory=list, description="The editions in force, oldest first.")


class StateAct(Shape):
    """An act of the state that changes what a code asks, in the way that codes.yaml says for it."""

    by: Text = Field(description="The act or rule, cited.")
    starts: DayOrUnknown = Field(alias="from", description="First day, year-month-day, or unknown.")
    sure: Sure = Field(description="How sure it is.")
    sources: Annotated[list[Text], Field(min_length=1)] = Field(description="Where it was read, by their keys.")


class StateLicense(Shape):
    """The license that the state asks of the contractor."""

    required: Literal["yes", "no", "in part", "unknown"] = Field(description="Whether the state requires one.")
    kind: Text = Field(alias="of", description="Which license.")
    by: Text = Field(description="Which board issues it.")
    citation: str = Field("", description="Where that stands.")
    sure: Sure = Field(description="How sure it is.")
    sources: Annotated[list[Text], Field(min_length=1)] = Field(description="Where it was read, by their keys.")


class StateChange(Shape):
    """What an amendment or an act changes in a rule or a limit of ours, as an amendment of a ruleset says it."""

    meaning: Annotated[dict[Text, Digest], Field(min_length=1)] = Field(
        description="By edition, the digest of what is changed, as `changeout explain` shows it."
    )
    direction: Literal["stricter", "looser", "different"] = Field(
        "different", description="Whether it requires more, less, or something else."
    )
    set: Annotated[dict[Text, Any], Field(min_length=1)] = Field(
        description="Whole fields that replace what was there."
    )


class StateAmendment(Shape):
    """What the state changes in a code.

    Where it deletes or delays a section, the rules that codes.yaml names for the section do not hold meanwhile. What else it
    comes to in our rules stands under `amend`.
    """

    code: Text = Field(description="The model code, by its short name in codes.yaml.")
    editions: Text = Field(description="Editions that it changes: 2020, 2020-2023.")
    section: Text = Field(description="The section of the code that it changes.")
    does: Literal["deletes", "delays", "narrows", "widens", "changes"] = Field(
        description="What it does to the section."
    )
    starts: Day | None = Field(default=None, alias="from", description="First day it holds.")
    until: Day | None = Field(None, description="First day it no longer holds.")
    words: Text = Field(description="What it means, in our own words.")
    citation: Text = Field(description="Where the change stands.")
    sure: Sure = Field(description="How sure it is.")
    sources: Annotated[list[Text], Field(min_length=1)] = Field(description="Where it was read, by their keys.")
    amend: dict[Text, StateChange] = Field(default_factory=dict, description="Rules and limits that it changes.")


class LookedUp(Shape):
    """That somebody asked, or read the state's own page: which edition of which code, who, where and when."""

    code: Text = Field(description="The code, as under 'codes': electrical, residential.")
    edition: Text = Field(description="The edition in force.")
    by: Text = Field(description="Who looked.")
    where: Text = Field(description="Where it stands, or who said so.")
    on: Day = Field(description="The day.")


class State(Shape):
    """One state."""

    state: Text = Field(description="The state, as the job schema writes it.")
    name: Text = Field(description="What people call it.")
    reviewed_through: Day = Field(description="The day somebody last looked.")
    codes: dict[Name, StateCode] = Field(description="By kind of code, as codes.yaml names them.")
    acts: dict[Name, StateAct] = Field(default_factory=dict, description="Acts of the state, as codes.yaml names them.")
    license: StateLicense | None = Field(None, description="The license that the state asks of the contractor.")
    amendments: list[StateAmendment] = Field(default_factory=list, description="What the state changes in the codes.")
    confirmed: list[LookedUp] = Field(default_factory=list, description="Who looked where and when.")
    sources: dict[Name, Source] = Field(description="What was read, by short names.")


class Counties(Shape):
    """`counties.yaml`: the counties of each state and their like, so that a misspelled one is noticed."""

    counties: dict[Text, Text] = Field(description="By state, the names with commas between.")


class KindOfCode(Shape):
    """A kind of code: what people call it, and which of our rulesets are its model codes."""

    title: Text = Field(description="What people call it: electrical code.")
    rulesets: dict[Text, Text] = Field(
        default_factory=dict, description="The ruleset for each model code. Leave it out where there are no rules here."
    )
    part_of: str = Field(
        "", description="The kind of code among whose rules its own stand here, and go by that one's edition."
    )
    instead_of: str = Field("", description="The kind of code whose place it takes where it governs in houses.")


class ActKind(Shape):
    """What an act of a state changes: as amendments of a ruleset, without reason, citation and days."""

    title: Text = Field(description="What it does, in a few words.")
    reason: Text = Field(description="Why it changes the rules.")
    not_by: list[Text] = Field(description="What is written under 'by' where the code itself, and no act, does it.")
    amend: dict[Text, StateChange] = Field(description="The rules and limits that it changes.")


class Codes(Shape):
    """`codes.yaml`: what the files of the states of a country have in common."""

    title: Text = Field(description="What the list is called.")
    counts: Text = Field(description="The date of a job that decides which edition it is judged by.")
    uses: dict[Text, Text] = Field(description="Rulesets that a state's changes are about, with a range of versions.")
    names: dict[Text, str] = Field(description="What people call the model codes: NEC.")
    codes: dict[Name, KindOfCode] = Field(description="The kinds of codes, in the order in which they are told.")
    sections: dict[Text, dict[Text, dict[RuleId, dict[Text, Digest]]]] = Field(
        default_factory=dict,
        description="By model code and section: the rules that drop out if a state deletes it, and what each means by edition.",
    )
    acts: dict[Name, ActKind] = Field(default_factory=dict, description="What acts of states change.")
