"""What a run over many jobs came to, counted as it goes: a job's share of it, and the sum, of bounded size."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.reporting.words import cited, closing, explained, limits_from_layers

OUTCOMES = (PASS, FAIL, VERIFY)
MOST_OFTEN = 10  # requirements that are named as failing most often
MOST_RULES = 20  # rules whose outcomes are printed; all of them stand in the file of --summary
MOST_LIMITS = 20  # limits of places and groups that are kept
MOST_NAMED = 20  # jobs that could not be read and are named again at the end


class Share(NamedTuple):
    """What one job adds to the totals.

    `rules` holds by rule how often each outcome came, `fix` the failing requirements that the authority has not accepted,
    with title and sections; `not_judged` the rulesets that are not written for it; `known` counts findings that stand in the
    baseline; `limits` are those of a place or group that decided something, with who set them.
    """

    job_id: str
    rules: tuple[tuple[str, tuple[int, int, int]], ...]
    fix: tuple[tuple[str, str, str], ...]
    to_fix: bool
    only_open: bool
    not_judged: tuple[str, ...]
    code: int
    known: int = 0
    limits: tuple[str, ...] = ()


def share(report: Report, code: int, known: int = 0) -> Share:
    """What one report adds to the totals."""
    rules: dict[str, list[int]] = {}
    for finding in report.findings:
        rules.setdefault(finding.rule, [0, 0, 0])[OUTCOMES.index(finding.outcome)] += 1
    failed = {finding.rule: finding for finding in report.failed}
    decided = [finding for finding in report.findings if finding.outcome != VERIFY]
    return Share(
        job_id=report.job_id,
        rules=tuple((rule, (found[0], found[1], found[2])) for rule, found in rules.items()),
        fix=tuple((rule, finding.title, cited(finding.citations)) for rule, finding in failed.items()),
        to_fix=bool(failed),
        only_open=any(f.outcome == VERIFY for f in report.findings) and not report.failed,
        not_judged=tuple(one.ruleset for one in report.not_judged),
        code=code,
        known=known,
        limits=tuple(dict.fromkeys(limit for finding in decided for limit in limits_from_layers(finding))),
    )


class Totals:
    """The sum of a run's jobs so far."""

    def __init__(self) -> None:
        self.jobs = self.to_fix = self.only_open = self.not_judged = self.known = self.code = self.unreadable = 0
        self.rules: dict[str, list[int]] = {}
        self.rulesets_not_judged: dict[str, int] = {}
        self.often: dict[str, list[Any]] = {}
        self.not_read: list[str] = []
        self.limits: list[str] = []

    def add(self, one: Share) -> None:
        self.jobs += 1
        self.to_fix += one.to_fix
        self.only_open += one.only_open
        self.not_judged += bool(one.not_judged)
        for ruleset in one.not_judged:
            self.rulesets_not_judged[ruleset] = self.rulesets_not_judged.get(ruleset, 0) + 1
        self.known += one.known
        self.code = max(self.code, one.code)
        for rule, outcomes in one.rules:
            found = self.rules.setdefault(rule, [0, 0, 0])
            for index, count in enumerate(outcomes):
                found[index] += count
        new = [limit for limit in one.limits if limit not in self.limits]
        self.limits += new[: MOST_LIMITS - len(self.limits)]
        for rule, title, sections in one.fix:
            self.often.setdefault(rule, [title, sections, 0])[2] += 1

    def add_unreadable(self, name: str) -> None:
        self.unreadable += 1
        self.code = 2
        if len(self.not_read) < MOST_NAMED:
            self.not_read.append(name)

    @property
    def seen(self) -> int:
        """Jobs judged and jobs that could not be."""
        return self.jobs + self.unreadable

    def outcomes(self) -> dict[str, int]:
        """How often each outcome came."""
        return {name: sum(found[index] for found in self.rules.values()) for index, name in enumerate(OUTCOMES)}

    def most_often(self) -> list[tuple[str, str, int]]:
        """The requirements that failed on most jobs: title, sections, jobs."""
        found = sorted(self.often.values(), key=lambda one: (-one[2], one[0]))
        return [(title, sections, jobs) for title, sections, jobs in found[:MOST_OFTEN]]

    def data(self) -> dict[str, Any]:
        """The totals as plain data; `read` makes it again."""
        return vars(self) | {"rules": dict(sorted(self.rules.items())), "often": dict(sorted(self.often.items()))}

    def told(self) -> dict[str, Any]:
        """The totals for programs: by rule how often each outcome came, and on how many jobs it is to fix."""
        return {
            "jobs": self.jobs,
            "to_fix": self.to_fix,
            "only_open": self.only_open,
            "not_judged": self.not_judged,
            "rulesets_not_judged": dict(sorted(self.rulesets_not_judged.items())),
            "unreadable": self.unreadable,
            "in_baseline": self.known,
            "outcomes": self.outcomes(),
            "rules": {
                rule: dict(zip(OUTCOMES, found, strict=True)) | {"jobs_to_fix": self.often.get(rule, ("", "", 0))[2]}
                for rule, found in sorted(self.rules.items())
            },
        }

    @classmethod
    def read(cls, data: dict[str, Any]) -> Totals:
        found = cls()
        vars(found).update(data)
        return found

    def lines(self) -> Iterator[str]:
        """The totals for people."""
        yield from self.counts()
        yield from self.fixed_most_often()
        yield from self._by_rule()

    def counts(self) -> Iterator[str]:
        """How many jobs there were, and what is to know of them as a whole."""
        yield closing(self.jobs, self.to_fix, self.only_open, self.not_judged)
        if self.rulesets_not_judged:
            told = [f"{ruleset} on {jobs}" for ruleset, jobs in sorted(self.rulesets_not_judged.items())]
            yield f"Not written for some of these jobs, and not judged there: {', '.join(told)}."
        if self.known:
            yield f"{self.known} findings are in the baseline and do not count for the exit code."
        if self.unreadable:
            more = f", and {self.unreadable - len(self.not_read)} more" if self.unreadable > len(self.not_read) else ""
            yield f"{self.unreadable} could not be read or judged: {', '.join(self.not_read)}{more}."

    def fixed_most_often(self) -> Iterator[str]:
        if self.often:
            yield "What to fix most often:"
        for title, sections, jobs in self.most_often():
            yield f"  {jobs:>6}  {title}. {sections}"
        yield from filter(None, [explained("".join(sections for _, sections, _ in self.most_often()))])

    def _by_rule(self) -> Iterator[str]:
        """The rules that did not pass everywhere, those that fail most first."""
        found = sorted(self.rules.items(), key=lambda one: (-one[1][1], -one[1][2], one[0]))
        told = [(rule, outcomes) for rule, outcomes in found if outcomes[1] or outcomes[2]]
        if told:
            yield "Outcomes by rule:"
            yield "    fail  verify    pass"
        for rule, (passed, failed, open_ones) in told[:MOST_RULES]:
            yield f"  {failed:>6}  {open_ones:>6}  {passed:>6}  {rule}"
        rest = len(found) - len(told[:MOST_RULES])
        if rest:
            yield f"  {rest} more rules; --summary FILE tells of all."
