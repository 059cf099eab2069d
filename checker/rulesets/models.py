"""What a rule, a limit, an amendment and a case may say: their shape at the border, before any word is resolved.

Everything in a ruleset is text until binding; these models only hold its shape. Lists of conditions stay as written.
`border` holds files to the annotations here.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from checker.rulesets.shape import Field, Form, Shape

Text = Annotated[str, Form(min_length=1)]
Sure = Literal["checked", "second_hand", "from_memory", "doubtful"]
PLACES = "Jurisdiction codes of the places where it holds. Left out: wherever its ruleset is in use."
READ = "The text it was read in and the day; needed where it is marked second_hand."
Obligation = Literal["shall", "should"]
Weight = Literal["core", "usual", "rare"]
RuleId = Annotated[str, Form(r"^[a-z0-9]+(-[a-z0-9]+)+$")]
Name = Annotated[str, Form(r"^[a-z][a-z0-9_]*$")]
Day = Annotated[str, Form(r"^\d{4}-\d{2}-\d{2}$", calendar=True)]
Digest = Annotated[str, Form(r"^[0-9a-f]{16}$")]
Means = Literal["as_written", "not_asked", "met", "not_met"]
Outcome = Literal["pass", "fail", "verify_locally", "does_not_apply"]
Bring = (
    str | dict[str, Any] | list[Any]
)  # as `Words`, or a part or several: `part`, `size`, `at_least`, `at_most`, `note`
Words = str | list[Any]  # a text, or alternatives: `when`, `if`, `say`, in the order in which they are tried


class Citation(Shape):
    """Where a requirement stands, and how sure we are of the section and of what it asks."""

    marks = ("section_sure", "requirement_sure")

    document: Text = Field(description="Key of a document under 'documents:' in ruleset.yaml.")
    section: Text = Field(description="Section, table or page.")
    section_sure: Sure = Field(description="How sure the section number is.")
    requirement_sure: Sure = Field(description="How sure we are of what it requires. Doubtful gives no firm outcome.")
    editions: str = Field("", description="Editions it is in: 2014-2020, 2020-, -2017. Left out: all.")
    note: str = Field("", description="A note printed with the citation.")
    read: str = Field("", description=READ)


class Law(Citation):
    """A section of a code that makes a whole subject of a ruleset law wherever that code is in force."""

    code: Text = Field(
        description="The ruleset of the code; `document` is a key of its documents, `editions` are its own."
    )


class Case(Shape):
    """A worked example: facts (by path; `item.` for the item judged), and what the rule says of them.

    `rule` names the rule that is tried, where the case stands with the change of a limit.
    """

    name: Text = Field(description="What it tests, in a few words.")
    rule: str = Field("", description="The rule that it tests, if the case is under the change of a limit.")
    place: str = Field("", description="The jurisdiction code that it is judged in.")
    editions: dict[Text, Text] = Field(
        default_factory=dict, description="The edition of each code that it is judged under."
    )
    given: dict[str, Any] = Field(
        description='Facts by path; item. is the one item judged. Amounts carry a unit, yes and no are "true" and "false".'
    )
    expect: Outcome = Field(description="The outcome.")
    reason: str = Field("", description="Why it is verify_locally.")
    needs: list[Text] | None = Field(None, description="The facts that are missing, by their full paths.")


class Rule(Shape):
    """One requirement with its citation, its conditions and its own worked cases."""

    title: Text = Field(description="What is true when the rule passes.")
    topic: Text = Field(description="The subject that the report groups it under.")
    obligation: Obligation = Field(description="shall: the code or the listing says so; should: recognised practice.")
    weight: Weight = Field(
        "usual",
        description="core: life safety, and what inspectors write up most; usual; rare. Core comes first wherever a crew goes "
        "through the rules.",
    )
    life_safety: bool = Field(False, description="For what can kill: it comes first in the report, even if unknown.")
    intent: Text = Field(description="Why, in our own words.")
    citation: Annotated[list[Citation], Field(min_length=1)] = Field(description="Where it stands.")
    made_law_by: str = Field(
        "",
        description="A name under 'made_law_by:' in ruleset.yaml: the sections by which an adopted code makes it law.",
    )
    editions: str = Field("", description="Editions it holds in: 2014-2020, 2020-. Left out: all.")
    date: str = Field("", description="The date of the job that decides, if not the one of the adoption.")
    for_each: str = Field(
        "", description="A list of the job: judged once an item; `item` is the item, `outer` the one around it."
    )
    applies_when: Annotated[list[Any], Field(min_length=1)] | None = Field(
        None, description="Conditions, all of them. Left out: always."
    )
    verify_when: Annotated[list[Any], Field(min_length=1)] | None = Field(
        None, description="Any of these makes it the authority's to say; reads place, dates and editions only."
    )
    where: dict[Name, Text] = Field(
        default_factory=dict, description="Names for what is worked out; arithmetic and functions live here."
    )
    require: Annotated[list[Any], Field(min_length=1)] = Field(
        description="Conditions, all of them: one comparison a line."
    )
    failed: Words = Field(
        "",
        description="What is wrong where it fails, in about 70 characters: 'Too long: {reading}, max {limit}'; or a list: "
        "the first that the facts allow.",
    )
    on_fail: str = Field("", description="What the report says when it fails; values between braces.")
    remedy: Words = Field("", description="What to do about it; or a list: the first that the facts allow.")
    remedy_after: list[RuleId] = Field(default_factory=list, description="Rules whose remedy comes first.")
    bring: Bring = Field(
        "",
        description="What to bring along to be able to do it: a part of the job schema with its size, or a list of parts; or a "
        "text, or a list as a remedy.",
    )
    mend: dict[Text, Text] = Field(
        default_factory=dict,
        description="Fact and value that the remedy would set, for the test that no remedy breaks another rule.",
    )
    photograph: str = Field("", description="The photo that would prove it.")
    picture: Literal["", "decay_curve", "size_ladder", "target_band", "expected_against_read"] = Field(
        "", description="How a report draws it."
    )
    ask: str = Field("", description="The question to the authority where something is left to it or in doubt.")
    asked_of: str = Field("", description="Who to ask, if not the one its ruleset asks.")
    answers: dict[Text, Means | dict[Name, Text]] = Field(
        default_factory=dict,
        description="The answers to `ask`, such as yes and no, and what each means: as_written (it holds as it is), not_asked "
        "(not asked here), met (in writing, it meets the rule), not_met, or values of limits that are left open.",
    )
    caution: str | list[Text] = Field(
        "", description="Key, or list of keys, of cautions under 'cautions:' in a ruleset.yaml in use."
    )
    judged: Literal["reading", "guarded"] = Field(
        "reading", description="guarded: a reading nearer its limit than the meter can tell is measured again."
    )
    acceptable_by: Literal["local", "state", "none"] = Field(
        "local", description="Which authority may accept it as it stands when it fails."
    )
    places: list[Text] = Field(default_factory=list, description=PLACES)
    formerly: list[RuleId] = Field(default_factory=list, description="The rule's earlier ids.")
    untried: dict[Text, Text] = Field(
        default_factory=dict, description="An outcome or comparison that no case can test, and why."
    )
    cases: Annotated[list[Case], Field(min_length=1)] = Field(
        description="Worked examples: pass, fail, not recorded, exactly at each limit and on its other side."
    )

    @property
    def cautions(self) -> list[str]:
        """The keys of its cautions."""
        return [self.caution] if isinstance(self.caution, str) and self.caution else list(self.caution)


class TableRow(Shape):
    """A row of a table: a word, or `from`/`below`, for each key, and the value."""

    open_ended = True

    value: Text = Field(description="The value for these keys; none where there is none.")


class LimitValue(Shape):
    """What a limit is in one period and under some editions, and where that stands."""

    marks = ("sure",)

    value: Text | list[Text] | None = Field(None, description="The number, date or word, or a list of them.")
    starts: Day | None = Field(default=None, alias="from", description="First day it holds, year-month-day.")
    until: Day | None = Field(None, description="First day it no longer holds.")
    editions: str = Field("", description="Editions it holds in: 2014-2020, 2020-. Left out: all.")
    document: str = Field(
        "", description="Key of a document under 'documents:'; then the source is the section, table or page of it."
    )
    source: Text = Field(description="Where this value comes from, or 'common practice, no source'.")
    sure: Sure = Field(description="How sure the value is. Doubtful gives no firm outcome.")
    read: str = Field("", description=READ)
    rows: list[TableRow] | None = Field(None, description="The rows of a table.")


class Limit(Shape):
    """A named number, date, word or small table with a source. A new value is added; nothing is forgotten.

    `kind` is a kind of `units.txt`, `date`, `word`, or left out where the unit tells it. `keys` makes it a table: for
    each key its closed list of words, or a unit for ranges. `open: jurisdiction` leaves it to the place.
    """

    title: Text = Field(description="What it limits.")
    unit: str = Field("", description="The unit of a bare number here.")
    kind: str = Field("", description="A kind of amount, date or word, where the unit does not tell it.")
    keys: dict[Name, list[Text] | Text] = Field(
        default_factory=dict, description="Makes it a table: for each key its words, or a unit for ranges."
    )
    open: Literal["", "jurisdiction"] = Field("", description="Left to the place until a layer gives it a value.")
    values: list[LimitValue] = Field(default_factory=list, description="Its values. Add new ones and keep the old.")


class Change(Shape):
    """What a ruleset does to a rule or limit of a ruleset below it: why, on what ground, and to which meaning of it."""

    reason: Text = Field(description="Why this ruleset changes it.")
    citation: Annotated[list[Citation], Field(min_length=1)] = Field(description="On what ground.")
    meaning: Annotated[dict[Text, Digest], Field(min_length=1)] = Field(
        description="By edition (or any), the digest of what is changed. `changeout rules amend` writes it."
    )
    starts: Day | None = Field(default=None, alias="from", description="First day it holds, year-month-day.")
    until: Day | None = Field(None, description="First day it no longer holds.")
    places: list[Text] = Field(default_factory=list, description=PLACES)
    cases: list[Case] = Field(
        default_factory=list,
        description="Worked examples of the rule as changed; of a limit's change, with the rule that each one tests.",
    )


class AddedOption(Shape):
    """A way more to meet one of the lines that a rule requires."""

    beside: Text = Field(alias="of", description="The name of an option that is there.")
    option: dict[Text, Any] = Field(description="The new option: its name under 'option', and its condition.")


class Addition(Shape):
    """What a rule requires besides; its texts and all other lines stay as they are."""

    require: list[Any] = Field(default_factory=list, description="More lines that it requires.")
    applies_when: list[Any] = Field(default_factory=list, description="More lines of when it applies.")
    any_of: AddedOption | None = Field(None, description="One more option, beside those that are there.")


class Amendment(Change):
    """Whole fields put in the place of what they were, or something added to them."""

    direction: Literal["stricter", "looser", "different"] = Field(
        "different", description="Whether it requires more, less, or something else."
    )
    set: dict[Text, Any] = Field(default_factory=dict, description="Whole fields that replace what was there.")
    add: Addition | None = Field(
        None, description="What a rule requires in addition; its texts, cases and other lines stay as they are."
    )

    @property
    def only_weighs(self) -> bool:
        """Whether it says only how much the rule weighs here, and leaves what it asks alone."""
        return set(self.set) == {"weight"} and not self.add

    @property
    def fields_changed(self) -> frozenset[str]:
        """The fields of the rule or limit that it changes."""
        add = self.add or Addition()
        grown = {"require": [*add.require, *([add.any_of] if add.any_of else [])], "applies_when": add.applies_when}
        return frozenset(self.set) | {field for field, more in grown.items() if more}

    @property
    def said(self) -> dict[str, Any]:
        """All that it says of the rule or limit, as data."""
        return {**self.set, **({"add": self.add.as_data()} if self.add else {})}


class Confirmation(Shape):
    """That somebody read a rule's section in the book: who, in which printing, when, and to which meaning of the rule."""

    rule: RuleId = Field(description="The rule whose section was read.")
    document: Text = Field(description="The document, by its key.")
    printing: Text = Field(description="Publisher, year, printing or errata.")
    read_by: Text = Field(description="Who read it.")
    read_on: Day = Field(description="When, year-month-day.")
    meaning: Annotated[dict[Text, Digest], Field(min_length=1)] = Field(
        description="By edition, the digest of the rule then. `changeout rules confirm` writes it."
    )


class Answer(Shape):
    """What the authority answered to a question that a rule asks: its words, who said so, where it is written, and when.

    `question` is the rule's `ask`, word for word; `meaning` what the rule meant then. It counts from `from`, or else from
    the day it was given. `values` are what it says of limits that the rule leaves to the place.
    """

    rule: RuleId = Field(description="The rule that asks.")
    question: Text = Field(description="Its question, word for word.")
    answer: Literal["as_written", "not_asked"] = Field(
        description="as_written: the rule holds as it is; not_asked: it is not required here."
    )
    in_words: Text = Field(description="What was said, in a sentence or two.")
    who: Text = Field(description="Who said so.")
    office: Text = Field(description="Of which office.")
    on: Day = Field(description="The day it was said, year-month-day.")
    reference: Text = Field(description="Where it is written: letter, e-mail, bulletin.")
    meaning: Annotated[dict[Text, Digest], Field(min_length=1)] = Field(
        description="By edition, the digest of the rule then. `changeout rules answer` writes it."
    )
    values: dict[Name, Text] = Field(
        default_factory=dict, description="What it says of limits that the rule leaves to the place."
    )
    starts: Day | None = Field(
        default=None, alias="from", description="First day it counts, where that is not the day it was said."
    )
    until: Day | None = Field(None, description="First day it no longer counts.")
    cases: list[Case] = Field(default_factory=list, description="Worked examples of the rule as answered.")

    @property
    def first_day(self) -> str:
        """The first day on which it counts."""
        return self.starts or self.on


class LocalFact(Shape):
    """A fact that a ruleset adds under `local.<ruleset>`: the keywords of the job schema."""

    form: Literal["quantity", "flag", "text", "date", "count", "choice"] = Field(
        description="What can be recorded: an amount, yes or no, text, a date, a number of things, one of some words."
    )
    title: Text = Field(description="What it is, in a few words.")
    description: Text = Field(description="What exactly is recorded.")
    ask: Text = Field(description="The question to the contractor.")
    known: Name = Field(
        description="The last stage of the work at which it can still be seen, as the job schema names it."
    )
    station: str = Field("", description="Where you stand when you see it, as the job schema names its stations.")
    unit: str = Field("", description="The unit of an amount.")
    kind: str = Field("", description="The kind of an amount, where the unit does not tell it.")
    possible: list[Text] = Field(default_factory=list, description="The words of a choice.")
    word_of: Literal["", "authority"] = Field(
        "",
        description="authority: the fact only tells what somebody who decides wants or said; no 'shall' may rest on it.",
    )
    alarming: list[Text] = Field(
        default_factory=list,
        description="The values, words or true or false, that would worry whoever inspects the work.",
    )
