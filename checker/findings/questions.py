"""The question to put to whoever decides, where a rule leaves something open: a clerk can answer it.

It names the section, the date that counts and the readings that matter, and says for each answer what follows. What follows
is judged, not written: the rule is judged as it would stand with that answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from checker.binding.authority_answers import MET, NOT_MET, open_limits
from checker.findings import wording
from checker.findings.citations import section
from checker.findings.finding import Finding, Reply
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.node import Node, replace
from checker.ir.outcomes import FAIL, PASS, TO_DECIDE, VERIFY
from checker.ir.visitor import rewritten
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import Judged, judge_at
from checker.judging.uncertainty import AccuracyOf
from checker.problems.sanitize import low
from checker.reading.job import Job
from checker.rulesets.applicability import Setting

WHEN = "\x00"  # stands for the date that counts, which is each job's own
MOST_SECTIONS = 3
MOST_READINGS = 4
READINGS = ("quantity", "count", "choice")  # forms of facts that tell a size or a kind
IN_DOUBT = (("yes", "as_written"), ("no", "not_asked"))
ORDER = (FAIL, VERIFY, PASS, DOES_NOT_APPLY)
Citations = tuple[tree.Citation, ...]


class Version(NamedTuple):
    """A rule under one edition or day that could hold, and what it says; no rule where it is not in force."""

    setting: Setting
    rule: tree.BoundRule | None
    judged: Judged | None

    @property
    def label(self) -> str:
        """The editions and the day, in words."""
        return self.setting.label


Put = tuple[str, str, str, tuple[Reply, ...]]
NOTHING_ASKED: Put = ("", "", "", ())


class Asker:
    """Puts the questions of one job."""

    def __init__(self, job: Job, accuracy: AccuracyOf) -> None:
        self.job, self.accuracy = job, accuracy

    def put(
        self,
        finding: Finding,
        judged: Judged,
        versions: Sequence[Version],
        citations: Callable[[], Citations],
        codes: tuple[str, ...],
    ) -> Put:
        """The question of a finding, its last part alone, who is asked, and the answers; empty where nobody else decides.

        Args:
            judged: What the finding tells.
            citations: Gives those of every version that applies.
            codes: The codes of which more than one edition could hold.
        """
        if finding.outcome != VERIFY or finding.reason not in TO_DECIDE:
            return NOTHING_ASKED
        rule = next(version.rule for version in versions if version.judged is judged)
        assert rule is not None
        if finding.alternatives and codes:
            question = f"Which edition of {' and '.join(codes)} is in force for this job?"
            replies = tuple(self._by_edition(versions))
        else:
            question, replies = self._of_the_rule(rule, judged)
        about = f"About {_sections(citations())} ({'; '.join([WHEN, *_readings(finding, self.job)])}): {question}"
        return about, question, rule.asked_of, replies

    # --- which edition ---

    def _by_edition(self, versions: Sequence[Version]) -> Iterator[Reply]:
        """What follows from each edition, those that come to the same together."""
        led: dict[str, list[str]] = {}
        ordered = sorted(versions, key=_outcome_order)
        for version, names in zip(ordered, _short([version.label.split(", ") for version in ordered]), strict=True):
            led.setdefault(self._said(version), []).extend(names)
        yield from (Reply(_either(labels), leads) for leads, labels in led.items())

    def _said(self, version: Version) -> str:
        if version.rule is None or version.judged is None:
            return self._leads(None, None)
        verdict = version.judged.verdict
        if verdict.outcome == VERIFY and verdict.reason in TO_DECIDE:
            question, replies = self._of_the_rule(version.rule, version.judged)
            led = (f"{reply.answer}, {reply.leads_to.rstrip('.')}" for reply in replies)
            return f"then this too: {question} If {'; if '.join(led)}"
        return self._leads(version.rule, version.judged)

    # --- one version of a rule ---

    def _of_the_rule(self, rule: tree.BoundRule, judged: Judged) -> tuple[str, tuple[Reply, ...]]:
        """The question of a rule and its answers: its own, or one made of its title and what is open in it."""
        verdict, scope = judged.verdict, judged.scope
        if verdict.question >= 0:
            asked = wording.filled(rule.verify[verdict.question].question, scope, self.job)
            return asked or _as_titled(rule), self._replies(rule, judged, rule.replies or _bound(IN_DOUBT))
        if rule.stale:
            replies = (
                Reply("yes", self._with(rule, judged, "as_written")),
                Reply("no", "the book decides, by the sections above"),
            )
            return f"{rule.stale}. Does it still hold as it was written: {rule.title}?", replies
        asked = wording.filled(rule.ask, scope, self.job)
        if asked:
            return asked, self._replies(rule, judged, rule.replies or _bound(IN_DOUBT))
        if rule.doubtful:
            yes = Reply("yes", self._with(rule, judged, "as_written"))
            return _as_titled(rule), (yes, Reply("no", "what the book says there holds instead"))
        titles = {held.name: held.title for held in rule.limits}
        left = [titles.get(name, name) for name in dict.fromkeys(open_limits((rule.applies, rule.require, rule.where)))]
        what = "; ".join(left) or rule.title
        return f"What holds here for this: {what}?", (
            Reply("whatever it is", "the rule is judged by it, once it is recorded"),
        )

    def _replies(self, rule: tree.BoundRule, judged: Judged, replies: tuple[tree.Reply, ...]) -> tuple[Reply, ...]:
        return tuple(Reply(one.label, self._with(rule, judged, one.means, dict(one.values))) for one in replies)

    def _with(self, rule: tree.BoundRule, judged: Judged, means: str, values: dict[str, Any] | None = None) -> str:
        """What follows where an answer is given."""
        if means == "not_asked":
            return self._leads(None, None)
        if means == MET:
            return "it passes"
        if means == NOT_MET:
            return self._fails(rule, judged.scope)
        answered = replace(rule, doubtful=(), stale="", verify=())
        if values:

            def given(node: Node) -> Node:
                """A limit that is open, with the value that the answer gives it."""
                left_open = isinstance(node, tree.Constant) and node.value is None and node.name in values
                return replace(node, value=values[node.name]) if left_open else node  # type: ignore[attr-defined]

            parts = {name: rewritten(getattr(answered, name), given) for name in ("applies", "require", "where")}
            answered = replace(answered, **parts)
        return self._leads(answered, judge_at(answered, judged.scope.facts, judged.place, self.accuracy))

    def _leads(self, rule: tree.BoundRule | None, judged: Judged | None) -> str:
        """An outcome as what follows."""
        if rule is None or judged is None or judged.verdict.outcome == DOES_NOT_APPLY:
            return "nothing is asked here"
        if judged.verdict.outcome == PASS:
            return "it passes"
        if judged.verdict.outcome == FAIL:
            return self._fails(rule, judged.scope)
        needed = [self.job.vocabulary.title(path) for path in judged.verdict.needs]
        return f"it hangs on what is to be recorded: {', '.join(needed)}" if needed else "more is open in it"

    def _fails(self, rule: tree.BoundRule, scope: Scope) -> str:
        remedy = wording.what_failed(rule, scope, self.job)[2]
        return f"it fails. {remedy}".strip()


def dated(ask: str, when: str) -> str:
    """A question with the date that counts in its place; nothing of it where no date counts."""
    if when:
        return ask.replace(WHEN, when)
    return ask.replace(f" ({WHEN})", "").replace(f"{WHEN}; ", "")


def _short(labels: list[list[str]]) -> list[list[str]]:
    """The editions without the name of the code, where they are all of the one code that the question names."""
    one_code = len({name.partition(" ")[0] for names in labels for name in names}) == 1
    if one_code:
        return [[name.partition(" ")[2] for name in names] for names in labels]
    return [[", ".join(names)] for names in labels]


def _either(labels: list[str]) -> str:
    return " or ".join(filter(None, [", ".join(labels[:-1]), labels[-1]]))


def _outcome_order(version: Version) -> tuple[int, str]:
    outcome = version.judged.verdict.outcome if version.judged else DOES_NOT_APPLY
    return ORDER.index(outcome), version.label


def _bound(replies: tuple[tuple[str, str], ...]) -> tuple[tree.Reply, ...]:
    return tuple(tree.Reply(label, means, ()) for label, means in replies)


def _as_titled(rule: tree.BoundRule) -> str:
    return f"Does the book that is in force ask this there: {rule.title}?"


def _sections(citations: Citations) -> str:
    found = list(dict.fromkeys(section(one) for one in citations))
    more = f" and {len(found) - MOST_SECTIONS} more" if len(found) > MOST_SECTIONS else ""
    return "; ".join(found[:MOST_SECTIONS]) + more


def _readings(finding: Finding, job: Job) -> list[str]:
    """The recorded facts that tell a size or a kind, amounts first."""
    forms = [(one, leaf.form) for one in finding.evidence if (leaf := job.vocabulary.leaf(one.fact))]
    found = sorted((one for one in forms if one[1] in READINGS), key=lambda one: READINGS.index(one[1]))
    return [f"{low(one.title)} {one.written.replace('_', ' ')}" for one, _ in found[:MOST_READINGS]]
