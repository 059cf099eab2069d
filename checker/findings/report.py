"""A report: one job's findings, with what was judged, when and by which rulesets."""

from __future__ import annotations

from typing import NamedTuple

from checker.findings.finding import Finding
from checker.findings.known import Knowledge
from checker.findings.rulebook import Rulebook
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.reading.fact_shapes import Station

DEFERRAL = (
    "This is a self-check of what was recorded. It is not an inspection. The authority having jurisdiction decides; "
    "codes are cited here, not quoted, and the adopted book and the manufacturer's instructions govern."
)
DEFERRAL_IN_SHORT = "A self-check, not an inspection. The authority having jurisdiction decides."

NEVER_GONE = 1000  # behind every stage


class RulesetUsed(NamedTuple):
    id: str
    version: str
    digest: str
    title: str


class NotJudged(NamedTuple):
    """A ruleset that is not written for the job: why, in words, and those of its rules that were not judged."""

    ruleset: str
    title: str
    why: tuple[str, ...]
    rules: tuple[str, ...]


class Unread(NamedTuple):
    """A recorded fact that no rule that applied looked at: its path, what it is called, the list item and what is written.

    `alarming` where the value would worry whoever inspects the work.
    """

    fact: str
    title: str
    item: str
    written: str
    alarming: bool


class Edition(NamedTuple):
    """A code that a job is judged by: its editions that may hold, and by whose word; none where nobody has said.

    `beside` are other documents that its rules cite in the same editions.
    """

    code: str
    editions: tuple[str, ...]
    by: str
    beside: tuple[str, ...] = ()


class Report(NamedTuple):
    """`not_judged` holds the rulesets of the place that are not written for this job.

    `unread` holds the recorded facts that no rule that applied looked at, those that would worry an inspector first;
    `left_as_found` counts the rules that do not apply because the work they look at was not touched. `rulebook` holds what
    is the same in every finding of a rule. `deciding` are the notes without which the outcomes would be read wrong, in short.
    `open_codes` are the titles of the codes of which nobody has said the edition; `ask_first` asks the office about those that
    something is published of for the state. `stations` are those of the job schema. `known` tells how each fact is known,
    `editions` which edition of each code it was judged by. `authority` is who inspects at the place, by name.
    """

    job_id: str
    file: str
    title: str
    place: str
    on: str
    dates: tuple[tuple[str, str], ...]
    rulesets: tuple[RulesetUsed, ...]
    notes: tuple[str, ...]
    not_judged: tuple[NotJudged, ...]
    findings: tuple[Finding, ...]
    not_applying: int
    unread: tuple[Unread, ...] = ()
    left_as_found: int = 0
    caution: str = ""
    rulebook: Rulebook = Rulebook({})
    deciding: tuple[str, ...] = ()
    open_codes: tuple[str, ...] = ()
    ask_first: tuple[str, ...] = ()
    stations: tuple[Station, ...] = ()
    known: Knowledge = Knowledge()
    editions: tuple[Edition, ...] = ()
    authority: str = ""

    def with_outcome(self, outcome: str) -> list[Finding]:
        return [finding for finding in self.findings if finding.outcome == outcome]

    @property
    def failed(self) -> list[Finding]:
        """Failures that the authority has not accepted: what is to fix, then practice that was not followed."""
        return [*self.to_fix, *self.practice]

    @property
    def to_fix(self) -> list[Finding]:
        """Failures of the code, and of practice where life hangs on it; life safety first."""
        found = (f for f in self.with_outcome(FAIL) if not f.accepted and (f.life_safety or not f.practice))
        return sorted(found, key=lambda f: (not f.life_safety, f.practice))

    @property
    def practice(self) -> list[Finding]:
        """Recognized practice that was not followed, and no life hangs on it."""
        return [f for f in self.with_outcome(FAIL) if f.practice and not f.life_safety and not f.accepted]

    @property
    def accepted(self) -> list[Finding]:
        """Failures that the authority accepted in writing."""
        return [finding for finding in self.with_outcome(FAIL) if finding.accepted]

    @property
    def before_running(self) -> list[Finding]:
        """Questions of life safety that are open: to be settled before the equipment runs."""
        return [finding for finding in self.with_outcome(VERIFY) if finding.life_safety]

    @property
    def in_the_way(self) -> list[Finding]:
        """What makes the exit code 1: what is to fix, and the open questions of life safety."""
        return [*self.to_fix, *self.before_running]

    @property
    def to_verify(self) -> list[Finding]:
        """The other open questions, those that are gone first in the order of the visit leading."""
        return sorted((f for f in self.with_outcome(VERIFY) if not f.life_safety), key=_first_gone)

    @property
    def passed(self) -> list[Finding]:
        return self.with_outcome(PASS)

    @property
    def left_out(self) -> frozenset[str]:
        """The rules that were not judged because their rulesets are not written for this job."""
        return frozenset(rule for one in self.not_judged for rule in one.rules)

    @property
    def nothing_judged(self) -> bool:
        """Whether no ruleset of the place had anything to say of this job because none is written for it."""
        return bool(self.not_judged) and not self.findings

    @property
    def headline(self) -> str:
        """What was answered, what was not, and what was not judged, counted, and nothing claimed beyond it."""
        return " ".join(filter(None, (self._answered(), self.not_judged_in_short)))

    @property
    def not_judged_in_short(self) -> str:
        """How many rules of which rulesets were not judged, in a sentence; nothing where all were."""
        if not self.not_judged:
            return ""
        said = [f"{len(one.rules)} rule{'s' if len(one.rules) > 1 else ''} of {one.ruleset}" for one in self.not_judged]
        return f"Not judged here: {', '.join(said)}; not written for a job like this."

    def _answered(self) -> str:
        if not self.findings:
            return "Nothing was judged."
        total, open_ones = len(self.findings), len(self.with_outcome(VERIFY))
        practice, accepted = len(self.practice), len(self.accepted)
        unrecorded = sum(finding.reason == "not_recorded" for finding in self.with_outcome(VERIFY))
        parts = [f"{len(self.to_fix)} failed"]
        parts += [f"{accepted} accepted by the authority in writing"] if accepted else []
        parts += [f"{practice} good practice not followed"] if practice else []
        parts += [f"{unrecorded} not recorded"] if unrecorded else []
        parts += [f"{open_ones - unrecorded} to verify locally"] if open_ones - unrecorded else []
        return f"{total - open_ones} of {total} requirements answered: {', '.join(parts)}."

    def exit_code(self, strict: bool) -> int:
        """0 nothing failed, 1 something did or a question of life safety is open, 2 a ruleset could not judge it."""
        if self.not_judged or not self.findings:
            return 2
        if self.in_the_way:
            return 1
        return 1 if strict and (self.practice or self.to_verify) else 0


def _first_gone(finding: Finding) -> int:
    """The earliest stage after which something that is needed can no longer be seen."""
    return min((need.stage for need in finding.needs if need.known), default=NEVER_GONE)
