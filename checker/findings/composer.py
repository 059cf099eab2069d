"""A verdict made a finding: filled in with words, evidence, workings and the names it is known by."""

from __future__ import annotations

import re
from typing import NamedTuple

from checker.findings import answer_notes, brought, limits_used, wording
from checker.findings.finding import Finding, Working
from checker.ir import tree
from checker.ir.digests import canonical, digest_of_text
from checker.ir.kleene import Cause, Scope
from checker.ir.outcomes import FAIL, VERIFY
from checker.judging.conditions import combinations, open_choices
from checker.judging.judge import Judged
from checker.judging.values import OPEN
from checker.problems.sanitize import low
from checker.reading.job import Job

BLANK = "____"  # what a list of things to bring does not know yet is filled in by hand


class Said(NamedTuple):
    """A finding but for its two names, and the texts that they are digests of, without the job and the date that counts."""

    finding: Finding
    before_job: str
    after_job: str
    after_date: str

    def of(self, job: str, date: str) -> Finding:
        """The finding of a job: both names as canonical JSON writes them."""
        return self.finding.known_by(
            digest_of_text(f"{self.before_job}{job}{self.after_job}"),
            digest_of_text(f'{{"date":{date}{self.after_date}'),
        )


class Silent(NamedTuple):
    """A rule that does not apply; `left_as_found` where the work it looks at is not in the scope of the job."""

    left_as_found: bool


THE_WORDS = r" \([^()]*\)$"  # at the end of a limit's title: the words that it may be


class Composer:
    """Composes the findings of one job."""

    def __init__(self, job: Job) -> None:
        self.job = job

    def finding(self, rule: tree.BoundRule, judged: Judged, workings: tuple[Working, ...]) -> Said:
        scope, verdict, job = judged.scope, judged.verdict, self.job
        headline, message, remedy = self.what_failed(rule, scope) if verdict.outcome == FAIL else ("", "", "")
        details = [_in_words(cause, rule) for cause in sorted(verdict.causes) if cause.detail and not cause.fact]
        paths = wording.facts_named(rule, scope)
        notes = [
            *answer_notes.notes(rule, scope, verdict.outcome),
            *details,
            *wording.inherited(paths, job),
            *wording.remarks(rule, scope),
            *(wording.measurement_notes(workings) if verdict.outcome != VERIFY else ()),
            *(wording.too_close_notes(workings) if verdict.reason == "too_close" else ()),
        ]
        parts = brought.wanted(rule, scope, job)
        finding = Finding(
            rule=rule.id,
            ruleset=rule.ruleset,
            title=rule.title,
            topic=rule.topic,
            obligation=rule.obligation,
            life_safety=rule.life_safety,
            item=judged.place.key,
            outcome=verdict.outcome,
            reason=verdict.reason,
            message=message,
            ask="",
            remedy=remedy,
            bring="; ".join(one.said for one in parts) or wording.chosen(rule.bring, scope, scope, job, BLANK),
            photograph=wording.filled(rule.photograph, scope, job),
            picture=rule.picture,
            cautions=rule.cautions,
            citations=rule.citations,
            evidence=wording.evidence(paths, job),
            workings=workings,
            needs=wording.needs(verdict, job),
            needs_exact=verdict.exact,
            notes=tuple(dict.fromkeys(notes)),
            alternatives=(),
            finding_id="",
            evidence_digest="",
            remedy_after=rule.remedy_after,
            acceptable_by=rule.acceptable_by,
            formerly=rule.formerly,
            limits=limits_used.of_rule(rule, scope),
            weight=rule.weight,
            headline=headline,
            parts=parts,
            station=wording.station(paths, job),
        )
        return Said(
            finding,
            f'{{"item":{canonical(judged.place.key)},"job":',
            f',"rule":{canonical(rule.id)}}}',
            f',"facts":{canonical(wording.canonical(paths, job))},"meaning":{canonical(rule.meaning)}}}',
        )

    def what_failed(self, rule: tree.BoundRule, scope: Scope) -> tuple[str, str, str]:
        """The headline, what is wrong and what to do, with what the branches of an `any_of` say of themselves.

        A failure that holds however something unrecorded is filled in is told as the filling-in that says most.
        """
        choices = open_choices([rule.applies, rule.require], scope)
        scopes = [scope.assuming(world) for world in combinations(choices)] if choices else [scope]
        told = max(scopes, key=lambda one: wording.sayable(rule.on_fail, one))
        failed, remedies = wording.branch_words(rule, scope, told, self.job)
        message = " ".join(filter(None, (wording.filled(rule.on_fail, told, self.job), failed)))
        remedy = wording.chosen(rule.remedy, scope, told, self.job)
        return wording.headline(rule, told, self.job), message, " ".join(filter(None, (remedy, remedies)))


def _in_words(cause: Cause, rule: tree.BoundRule) -> str:
    """Why something is not known, where no fact is missing."""
    if not cause.detail.startswith(OPEN):
        return cause.detail
    name = cause.detail.removeprefix(OPEN)
    title = {held.name: held.title for held in rule.limits}.get(name, name)
    return f"Nothing here settles this: {low(re.sub(THE_WORDS, '', title))}."
