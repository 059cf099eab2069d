"""What judging says: frozen findings, and the two names by which one is known again."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import Any, NamedTuple, Protocol

from checker.findings.parts import PartWanted
from checker.ir.digests import digest
from checker.ir.outcomes import FAIL
from checker.ir.tree import BoundRule, Caution, Citation, SetBy

WEIGHTS = ("core", "usual", "rare")
STANDS = "stands"  # how an acceptance stands that counts
UNSTATED = "accuracy unstated: "  # begins the note that names readings without an accuracy
NOT_RECORDED = "not recorded"  # what stands in the place of a value that is not known


class Evidence(NamedTuple):
    """A fact that the rule names, as it was written; `origin` says where an inherited one comes from."""

    fact: str
    title: str
    written: str
    origin: str = ""


class LimitBefore(NamedTuple):
    """The limit whose place another took, as it is shown, and who set it. `value` is empty where it was left to the place."""

    name: str
    title: str
    value: str
    set_by: SetBy


class LimitUsed(NamedTuple):
    """A limit or table that a rule uses: its value as it is shown, who set it, and what it was before.

    `value` is empty where the limit is open here, or it is not known which row of a table holds. `own` tells that the
    rule's own ruleset set it, so that the rule's citation covers it.
    """

    name: str
    title: str
    value: str
    own: bool
    set_by: SetBy
    instead_of: LimitBefore | None


class Working(NamedTuple):
    """One comparison as it was made: values with units, operators between them, and how sure a measured one is.

    `margin` is positive inside the limit, `uncertainty` is expanded (k = 2), `probability` that of conformity; all three
    are texts with their unit, empty where they have no meaning. `amounts` are the values as numbers in `unit` (None where
    one is not known), `spread` the expanded uncertainty as a number in the same unit or, for points, its difference.
    `limits` are those that it compares with.
    """

    text: str
    values: tuple[str, ...]
    operators: tuple[str, ...]
    holds: str
    margin: str = ""
    uncertainty: str = ""
    probability: str = ""
    note: str = ""
    amounts: tuple[float | None, ...] = ()
    unit: str = ""
    spread: float | None = None
    limits: tuple[LimitUsed, ...] = ()

    @property
    def near(self) -> bool:
        """Whether the reading is nearer its limit than the instruments can tell."""
        known = [amount for amount in self.amounts if amount is not None]
        if self.spread is None or len(known) != len(self.amounts):
            return False
        return any(abs(high - low) < self.spread for low, high in itertools.pairwise(known))


class Need(NamedTuple):
    """A fact that could still change the outcome: what to record, the question in trade words, until when it is seen (also
    as the place of that stage), whether the manufacturer's manual says it, and the place of its station."""

    fact: str
    title: str
    ask: str
    detail: str = ""
    known: str = ""
    by_manual: bool = False
    stage: int = 0
    station: int = 0


class Reply(NamedTuple):
    """One answer to a question, and what follows from it."""

    answer: str
    leads_to: str


class Published(NamedTuple):
    """A document that is cited in the edition that is published for a state: the office has not been heard on it."""

    document: str
    state: str


class Alternative(NamedTuple):
    """What would be said under one of several editions or days."""

    label: str
    outcome: str


class Acceptance(NamedTuple):
    """The authority's acceptance of a failing rule, as the job notes it, and how it stands."""

    key: str
    accepted_by: str
    reference: str
    until: str
    standing: str


class Teller(Protocol):
    """What works out the words of findings when they are first asked for: one for all findings of a job."""

    def told(self, finding: Finding, name: str) -> Mapping[str, Any]:
        """The value of one of `WORDS`, and of those that are worked out along with it."""

    def failing(self, finding: Finding) -> tuple[str, ...]:
        """The facts in the conditions that do not hold, in the order in which these read them."""


class Finding:
    """One rule judged on one job, and on one list item where the rule goes through a list. It cannot be changed.

    `headline` says what is wrong in a few words; empty where nothing failed. `weight` is that of the rule. `photograph` says
    what picture would prove it, `picture` in which form a report may draw it. `ask` is the whole question to whoever decides,
    `question` its last part alone. `station` is the place of the station that most of its facts have. `required` are
    the recorded facts in what the rule requires, without those that only say whether it applies. `published` are the documents
    in `citations` whose edition is only the one published for the state.

    The outcome is there from the start. All that is only read where a finding is printed is worked out when it is first
    asked for, from what judging saw, and kept.
    """

    rule: str
    ruleset: str
    title: str
    topic: str
    obligation: str
    life_safety: bool
    item: str
    outcome: str
    reason: str
    message: str
    ask: str
    remedy: str
    bring: str
    photograph: str
    picture: str
    cautions: tuple[Caution, ...]
    citations: tuple[Citation, ...]
    evidence: tuple[Evidence, ...]
    workings: tuple[Working, ...]
    needs: tuple[Need, ...]
    needs_exact: bool
    notes: tuple[str, ...]
    alternatives: tuple[Alternative, ...]
    finding_id: str
    evidence_digest: str
    remedy_after: tuple[str, ...]
    acceptance: Acceptance | None
    acceptable_by: str
    formerly: tuple[str, ...]
    asked_of: str
    answers: tuple[Reply, ...]
    limits: tuple[LimitUsed, ...]
    question: str
    station: int
    weight: str
    headline: str
    parts: tuple[PartWanted, ...]
    required: tuple[str, ...]
    published: tuple[Published, ...]

    def __init__(self, teller: Teller, bound: BoundRule, seen: Any, known: dict[str, Any]) -> None:
        """
        Args:
            bound: The rule as it was judged.
            seen: What judging saw, in the form that the teller reads.
            known: The fields that are known already.
        """
        own = self.__dict__
        own.update(known)
        own["_teller"], own["_bound"], own["_seen"] = teller, bound, seen

    def __getattr__(self, name: str) -> Any:
        """A field that nobody asked for before."""
        own = self.__dict__
        if name in OF_THE_RULE:
            own[name] = getattr(self._bound, OF_THE_RULE[name])
        elif name in WORDS:
            for field, value in self._teller.told(self, name).items():
                own.setdefault(field, value)
        else:
            raise AttributeError(name)
        return own[name]

    def __setattr__(self, name: str, value: Any) -> None:
        raise AttributeError(f"a finding cannot be changed: {name}")

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Finding) and (self is other or self._asdict() == other._asdict())

    def __hash__(self) -> int:
        return hash((self.rule, self.item, self.outcome))

    def __repr__(self) -> str:
        return f"Finding({', '.join(f'{name}={value!r}' for name, value in self._asdict().items())})"

    def _asdict(self) -> dict[str, Any]:
        """All fields by name, in order, as a named tuple gives them."""
        return {name: getattr(self, name) for name in FIELDS}

    def _replace(self, **changes: Any) -> Finding:
        """The same finding with other values in some fields, as a named tuple gives it."""
        return Finding(self._teller, self._bound, self._seen, {**self.__dict__, **changes, "_changed": True})

    @property
    def kept(self) -> dict[Any, Any] | None:
        """Where a form may keep what it made of all fields but those of `OF_ONE_JOB`: findings that say the same share it.

        None for a finding in which something was changed.
        """
        found: dict[Any, Any] | None = None if "_changed" in self.__dict__ else self._seen.kept
        return found

    @property
    def failing(self) -> tuple[str, ...]:
        """The facts that make it fail; nothing where it does not."""
        return self._teller.failing(self) if self.outcome == FAIL else ()

    @property
    def accepted(self) -> bool:
        """Whether the authority's acceptance of this failure stands."""
        return self.acceptance is not None and self.acceptance.standing == STANDS

    @property
    def practice(self) -> bool:
        """Whether it is recognized practice and no code."""
        return self.obligation != "shall"

    @property
    def by_weight(self) -> int:
        """The place of its weight: what gets written up most comes first."""
        return WEIGHTS.index(self.weight)

    @property
    def near(self) -> bool:
        """Whether a reading within a limit is nearer to it than the instruments can tell."""
        return any(working.near and working.holds == "holds" for working in self.workings)


FIELDS = tuple(Finding.__annotations__)
# What a finding says as its rule does, by the name of the rule's own field.
OF_THE_RULE = {"rule": "id"} | {
    name: name
    for name in (
        "ruleset", "title", "topic", "obligation", "life_safety", "picture", "cautions", "remedy_after", "acceptable_by",
        "formerly", "weight",
    )
}  # fmt: skip
WORDS = frozenset(FIELDS) - set(OF_THE_RULE) - {"item", "outcome", "alternatives"}

# What a finding of another job may say otherwise although all else is the same.
OF_ONE_JOB = ("ask", "finding_id", "evidence_digest", "published")


def finding_id(job: str, rule: str, item: str) -> str:
    """The name of a finding: job, rule and the list item's own key, and nothing that changes with layout or outcome."""
    return digest({"job": job, "rule": rule, "item": item})
