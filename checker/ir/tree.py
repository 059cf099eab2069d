"""Bound rules as plain nodes: every word resolved, every kind checked. What all backends read, and nothing else.

A node holds text, numbers and other nodes only. Amounts are in the base unit of their kind and days are day numbers.
`frame` says where a fact's path starts: at the job, at the list item that is judged (`item`), or at the item around it
(`outer`).
"""

from __future__ import annotations

from checker.ir.node import Node, node

Plain = float | str | bool | int


@node
class Fact(Node):
    path: str
    frame: str
    kind: str


@node
class Constant(Node):
    """A limit as it stands on the day and under the edition, or a word. `value` None: the limit is open here."""

    name: str
    value: Plain | tuple[Plain, ...] | None
    kind: str
    unit: str = ""
    doubtful: bool = False


@node
class Named(Node):
    """A name under `where`."""

    name: str
    kind: str


@node
class Arithmetic(Node):
    """`+`, `-`, `*` and `/`; `larger_of` and `smaller_of`, the larger and the smaller of both sides."""

    operator: str
    left: Value
    right: Value
    kind: str


@node
class Call(Node):
    function: str
    arguments: tuple[Value, ...]
    tables: tuple[Constant, ...]
    kind: str


@node
class FirstGiven(Node):
    """The first value; the second only where the first is known to be none."""

    first: Value
    second: Value
    kind: str


@node
class Choice(Node):
    """A value where a condition holds, and another where it does not."""

    condition: Condition
    value: Value
    otherwise: Value
    kind: str


@node
class Row(Node):
    """A row of a table: a word or a half-open range (low, high) for each key, and the value (None: there is none)."""

    keys: tuple[str | tuple[float, float], ...]
    value: Plain | None


@node
class Lookup(Node):
    table: str
    rows: tuple[Row, ...]
    keys: tuple[Value, ...]
    kind: str


@node
class Narrowed(Node):
    """A field of a list's items that is a value, is not (`negated`), or stands to it as `operator` says, within `grain`."""

    field: str
    value: Value
    negated: bool
    operator: str = ""
    grain: float = 0.0


@node
class Fold(Node):
    """A list taken together: `count`, `count_so_far`, `first`, `last`, `lowest`, `highest`, `average`, `total`, `at`,
    `highest_until`.

    `field` is the field of each item ("" for a count of items); each `Narrowed` of `where` narrows the list to items whose
    field is the value, is not, or stands so to it; `clock` and `until` serve `at` and `highest_until`.
    """

    name: str
    items: Fact
    field: str
    kind: str
    where: tuple[Narrowed, ...] = ()
    clock: str = ""
    until: Value | None = None


Value = Fact | Constant | Named | Arithmetic | Call | FirstGiven | Choice | Lookup | Fold


MIRRORED = {"<=": ">=", "<": ">", ">=": "<=", ">": "<", "==": "==", "!=": "!="}  # an operator with its sides exchanged


@node
class Compare(Node):
    operands: tuple[Value, ...]
    operators: tuple[str, ...]
    kind: str
    grain: float
    text: str


@node
class Member(Node):
    value: Value
    words: tuple[str, ...]
    negated: bool
    text: str


@node
class Truth(Node):
    """A yes-or-no value standing alone."""

    value: Value
    text: str


@node
class Given(Node):
    """True for a value, false for a known none; with `none`, the other way round."""

    fact: Fact
    none: bool
    text: str


@node
class Not(Node):
    condition: Condition
    text: str


@node
class All(Node):
    conditions: tuple[Condition, ...]


@node
class Branch(Node):
    """One way to meet an `any_of`, with its own words."""

    option: str
    condition: Condition
    on_fail: tuple[Sentence, ...]
    remedy: tuple[Way, ...]


@node
class AnyOf(Node):
    branches: tuple[Branch, ...]


@node
class NoneOf(Node):
    conditions: tuple[Condition, ...]


@node
class Constantly(Node):
    """A condition that binding could settle: an edition asked for, say."""

    value: bool
    text: str


@node
class Unsettled(Node):
    """A condition on an edition that nobody has put in force here."""

    code: str
    text: str


Condition = Compare | Member | Truth | Given | Not | All | AnyOf | NoneOf | Constantly | Unsettled

# A sentence of a message: text and values in turn. It is left out where a value in it is unknown.
Sentence = tuple["str | Hole", ...]


@node
class Hole(Node):
    """A value inside a message, the unit and the digits to print it with."""

    value: Value
    unit: str
    digits: int | None


@node
class Way(Node):
    """One alternative of a remedy: when it is said, that condition in words ("" where it has none), and what is said.

    Of a headline `say` holds what stands before its colon, and what stands behind it.
    """

    condition: Condition
    words: str
    say: tuple[Sentence, ...]


@node
class Bring(Node):
    """A part to bring: its name in the job schema, when it is wanted, that condition in words, and what it has to be.

    `least` and `most` are the ends of its size, `size` is one in words.
    """

    part: str
    condition: Condition
    words: str
    size: tuple[Sentence, ...]
    least: Hole | None
    most: Hole | None
    note: str


@node
class Caution(Node):
    """A caution that a rule carries: `ruleset/key` of the ruleset whose text it is, and the text."""

    key: str
    text: str


@node
class Ask(Node):
    """A question that only the authority can answer, and when it arises."""

    condition: Condition
    question: tuple[Sentence, ...]


@node
class Reply(Node):
    """An answer to a rule's own question: what it means, and the values it gives of limits that are left open."""

    label: str
    means: str
    values: tuple[tuple[str, Plain | tuple[Plain, ...]], ...]


@node
class Settled(Node):
    """A question that the authority answered, and when it arises (`All(())`: always).

    `answer` is `as_written`, `not_asked`, or nothing where the answer no longer counts; `words` say whose it is, `limits`
    which limits left to the place it gave a value.
    """

    condition: Condition
    answer: str
    words: str
    limits: tuple[str, ...] = ()


@node
class Citation(Node):
    document: str
    edition: str
    section: str
    section_sure: str
    requirement_sure: str
    note: str = ""
    read: str = ""


@node
class SetBy(Node):
    """Who set a limit: the ruleset and its title, where it says so, the source of the value and how sure that is."""

    ruleset: str
    title: str
    citations: tuple[Citation, ...]
    source: str
    sure: str


@node
class Held(Node):
    """A limit or table as it stands for a rule, who set it, and the limit whose place it took (None: it took none).

    `value` is None for a table, and for a limit that is open here; `rows` are those of a table.
    """

    name: str
    title: str
    kind: str
    unit: str
    value: Plain | tuple[Plain, ...] | None
    rows: tuple[Row, ...]
    set_by: SetBy
    below: Held | None = None


@node
class Line(Node):
    """A condition on the jobs that a ruleset is written for, what to say to the others, and the rules that hold for them too.

    Where `only` names rules, the line is about these alone.
    """

    condition: Condition
    otherwise: str
    hold_beyond: tuple[str, ...]
    only: tuple[str, ...] = ()


@node
class BoundRule(Node):
    """A rule as it stands for one place, day and set of editions.

    `meaning` is the digest of what it asks there, the limits as they stand included: evidence is bound by it. `limits` tell
    who set each limit that it names; that is no part of its meaning.
    """

    id: str
    ruleset: str
    title: str
    topic: str
    obligation: str
    life_safety: bool
    judged: str
    for_each: tuple[str, ...]
    applies: All
    verify: tuple[Ask, ...]
    require: All
    where: dict[str, Value]
    units: dict[str, tuple[str, int | None]]
    on_fail: tuple[Sentence, ...]
    remedy: tuple[Way, ...]
    bring: tuple[Way, ...]
    photograph: tuple[Sentence, ...]
    picture: str
    ask: tuple[Sentence, ...]
    remedy_after: tuple[str, ...]
    mend: tuple[tuple[Fact, Value], ...]
    cautions: tuple[Caution, ...]
    citations: tuple[Citation, ...]
    meaning: str
    doubtful: tuple[str, ...] = ()
    stale: str = ""
    acceptable_by: str = "local"
    formerly: tuple[str, ...] = ()
    settled: tuple[Settled, ...] = ()
    replies: tuple[Reply, ...] = ()
    asked_of: str = ""
    limits: tuple[Held, ...] = ()
    weight: str = "usual"
    failed: tuple[Way, ...] = ()
    parts: tuple[Bring, ...] = ()

    @property
    def conditions(self) -> tuple[Condition, ...]:
        """All that its outcome hangs on: whether it applies, what it requires, and when the authority is asked."""
        return (self.applies, self.require, *(ask.condition for ask in self.verify))
