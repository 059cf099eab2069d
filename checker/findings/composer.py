"""A verdict made a finding: its words, evidence, workings and the names it is known by, each worked out when it is asked for."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from checker.findings import answer_notes, brought, limits_used, wording
from checker.findings.finding import Alternative, Finding, Need
from checker.findings.questions import Asker, Put, Version, dated
from checker.ir import tree
from checker.ir.digests import canonical, digest_of_text
from checker.ir.kleene import Cause
from checker.ir.outcomes import FAIL, PASS, REASONS, VERIFY
from checker.judging import instruments
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import Judged, agreed
from checker.judging.uncertainty import AccuracyOf
from checker.judging.values import OPEN
from checker.problems.sanitize import low
from checker.reading.job import Job
from checker.rulesets.layering import Chain

BLANK = "____"  # what a list of things to bring does not know yet is filled in by hand
ORDER = (FAIL, VERIFY, PASS, DOES_NOT_APPLY)
THE_WORDS = r" \([^()]*\)$"  # at the end of a limit's title: the words that it may be


class Seen:
    """What judging saw of one rule at one place: under every edition and day that could hold, and the one that is told."""

    __slots__ = ("judged", "paths", "same", "versions")

    def __init__(self, versions: Sequence[Version], told: Judged, same: bool) -> None:
        self.versions, self.judged, self.same = versions, told, same
        self.paths: list[str] | None = None

    @property
    def said(self) -> list[tuple[tree.BoundRule, Version]]:
        """The versions that apply."""
        return [
            (one.rule, one)
            for one in self.versions
            if one.rule and one.judged and one.judged.verdict.outcome != DOES_NOT_APPLY
        ]


class Composer:
    """Composes the findings of one job.

    Args:
        that_count: The path of the date that counts, by rule.
    """

    def __init__(self, job: Job, chain: Chain, that_count: Mapping[str, str]) -> None:
        self.job, self.chain, self.that_count = job, chain, that_count
        self._dates: dict[str, str] = {}

    @functools.cached_property
    def accuracy(self) -> AccuracyOf:
        """How accurate each reading of the job is."""
        return instruments.of(self.job, self.chain)

    @functools.cached_property
    def asker(self) -> Asker:
        """What puts the questions of the job."""
        return Asker(self.job, self.accuracy)

    @functools.cached_property
    def job_id(self) -> str:
        """The name of the job as findings are bound by it."""
        return canonical(self.job.id)

    def finding(self, versions: Sequence[Version]) -> Finding | None:
        """What a rule says at one place, under every edition and day that could hold; None where it does not apply."""
        if len(versions) == 1:
            (one,) = versions
            if one.rule is None or one.judged is None or one.judged.verdict.outcome == DOES_NOT_APPLY:
                return None
            outcome, seen, rule = one.judged.verdict.outcome, Seen(versions, one.judged, True), one.rule
            return Finding(self, rule, seen, _known(one.judged, outcome, ()))
        said = Seen(versions, None, True).said  # type: ignore[arg-type]
        return self._of_several(versions, said) if said else None

    def _of_several(self, versions: Sequence[Version], said: list[tuple[tree.BoundRule, Version]]) -> Finding:
        """One finding of several versions: where they differ, of the worst, with what each of them says."""
        outcomes = {_outcome(one) for one in versions}
        same = bool(agreed(outcomes))
        worst = min(said, key=lambda pair: (ORDER.index(_outcome(pair[1])), -len(pair[1].setting.label)))
        rule, version = said[-1] if same else worst
        assert version.judged is not None
        told = () if same else (Alternative(one.setting.label, _outcome(one)) for one in versions)
        alternatives = tuple(sorted(told, key=lambda one: (ORDER.index(one.outcome), one.label)))
        outcome = version.judged.verdict.outcome if same else VERIFY
        seen = Seen(versions, version.judged, same)
        return Finding(self, rule, seen, _known(version.judged, outcome, alternatives))

    def told(self, finding: Finding, name: str) -> Mapping[str, Any]:
        """The value of a field of a finding, and of those that are worked out along with it."""
        rule, seen = finding._bound, finding._seen
        if name in FAILED:
            return dict(zip(FAILED, self.failed(rule, seen), strict=True))
        if name in ASKED:
            return dict(zip(ASKED, self.asked(rule, seen, finding), strict=True))
        return {name: TOLD[name](self, rule, seen, finding)}

    # --- the fields ---

    def reason(self, _: tree.BoundRule, seen: Seen, __: Finding) -> str:
        if seen.same:
            return seen.judged.verdict.reason
        doubt = seen.versions[0].setting.doubt or "not_adopted"
        present = {doubt, *(cause.reason for cause in seen.judged.verdict.causes)}
        return next(reason for reason in REASONS if reason in present)

    def failed(self, rule: tree.BoundRule, seen: Seen) -> tuple[str, str, str]:
        """The headline, the message and the remedy: all empty of what does not fail."""
        if seen.judged.verdict.outcome != FAIL:
            return "", "", ""
        return wording.what_failed(rule, seen.judged.scope, self.job)

    def asked(self, rule: tree.BoundRule, seen: Seen, finding: Finding) -> Put:
        """The question, its last part alone, who is asked, and the answers with what follows from each."""
        codes = () if seen.same else self.in_doubt(seen.versions)
        found = self.asker.put(finding, seen.judged, seen.versions, lambda: _merged(seen), codes)
        ask = dated(found[0], self.when(rule.id)) if found[0] else ""
        return ask, *found[1:]

    def notes(self, rule: tree.BoundRule, seen: Seen, finding: Finding) -> tuple[str, ...]:
        verdict, scope = seen.judged.verdict, seen.judged.scope
        details = [_in_words(cause, rule) for cause in sorted(verdict.causes) if cause.detail and not cause.fact]
        found = [
            *answer_notes.notes(rule, scope, verdict.outcome),
            *details,
            *wording.inherited(self.paths(rule, seen), self.job),
            *wording.remarks(rule, scope),
            *(wording.measurement_notes(finding.workings) if verdict.outcome != VERIFY else ()),
            *(wording.too_close_notes(finding.workings) if verdict.reason == "too_close" else ()),
        ]
        return tuple(dict.fromkeys(found))

    def needs(self, _: tree.BoundRule, seen: Seen, __: Finding) -> tuple[Need, ...]:
        return wording.needs(seen.judged.verdict, self.job)

    def finding_id(self, rule: tree.BoundRule, seen: Seen, _: Finding) -> str:
        """The digest of job, rule and item."""
        item, own = canonical(seen.judged.place.key), canonical(rule.id)
        return digest_of_text(f'{{"item":{item},"job":{self.job_id},"rule":{own}}}')

    def evidence_digest(self, rule: tree.BoundRule, seen: Seen, _: Finding) -> str:
        """The digest of the date that counts, the facts that the rule names and what it asks."""
        facts = canonical(wording.canonical(self.paths(rule, seen), self.job))
        date, meaning = self.date_of(rule.id), canonical(rule.meaning)
        return digest_of_text(f'{{"date":{date},"facts":{facts},"meaning":{meaning}}}')

    # --- what several of them need ---

    def paths(self, rule: tree.BoundRule, seen: Seen) -> list[str]:
        """Every fact that the rule names."""
        if seen.paths is None:
            seen.paths = wording.facts_named(rule, seen.judged.scope)
        return seen.paths

    def in_doubt(self, versions: Sequence[Version]) -> tuple[str, ...]:
        """The codes of which more than one edition could hold, by their owner's title."""
        editions: dict[str, set[str | None]] = {}
        for version in versions:
            for code, edition in version.setting.editions:
                editions.setdefault(code, set()).add(edition)
        return tuple(
            self.chain.by_id[code].header.title.partition(",")[0] for code, ones in editions.items() if len(ones) > 1
        )

    def when(self, rule_id: str) -> str:
        """The date that counts for a rule, in words: where no ruleset names one, the one that editions are adopted by."""
        path = self.that_count[rule_id] or self.job.at("adoption_date")
        if not path:
            return ""
        reading = self.job.readings.get(path)
        return f"{low(self.job.vocabulary.title(path))} {reading.written if reading else 'not recorded'}"

    def date_of(self, rule_id: str) -> str:
        """The date that counts for a rule, as evidence is bound by it."""
        path = self.that_count[rule_id]
        if path not in self._dates:
            self._dates[path] = canonical(repr(self.job.worth(path)))
        return self._dates[path]


FAILED = ("headline", "message", "remedy")
ASKED = ("ask", "question", "asked_of", "answers")
Telling = Callable[[Composer, tree.BoundRule, Seen, Finding], Any]
TOLD: Mapping[str, Telling] = {
    "reason": Composer.reason,
    "parts": lambda own, rule, seen, _: brought.wanted(rule, seen.judged.scope, own.job),
    "bring": lambda own, rule, seen, finding: (
        "; ".join(one.said for one in finding.parts)
        or wording.chosen(rule.bring, seen.judged.scope, seen.judged.scope, own.job, BLANK)
    ),
    "station": lambda own, rule, seen, _: wording.station(own.paths(rule, seen), own.job),
    "photograph": lambda own, rule, seen, _: wording.filled(rule.photograph, seen.judged.scope, own.job),
    "citations": lambda _, rule, seen, __: _merged(seen) if seen.same else rule.citations,
    "evidence": lambda own, rule, seen, _: wording.evidence(own.paths(rule, seen), own.job),
    "workings": lambda own, rule, seen, _: wording.workings(rule, seen.judged.scope, own.job, own.accuracy),
    "needs": Composer.needs,
    "needs_exact": lambda _, __, seen, ___: seen.judged.verdict.exact,
    "notes": Composer.notes,
    "finding_id": Composer.finding_id,
    "evidence_digest": Composer.evidence_digest,
    "limits": lambda _, rule, seen, __: limits_used.of_rule(rule, seen.judged.scope),
}


def _known(judged: Judged, outcome: str, alternatives: tuple[Alternative, ...]) -> dict[str, Any]:
    return {"item": judged.place.key, "outcome": outcome, "alternatives": alternatives, "acceptance": None}


def _outcome(version: Version) -> str:
    return version.judged.verdict.outcome if version.judged else DOES_NOT_APPLY


def _merged(seen: Seen) -> tuple[tree.Citation, ...]:
    """The citations of all versions that apply."""
    return wording.merged_citations([rule.citations for rule, _ in seen.said])


def _in_words(cause: Cause, rule: tree.BoundRule) -> str:
    """Why something is not known, where no fact is missing."""
    if not cause.detail.startswith(OPEN):
        return cause.detail
    name = cause.detail.removeprefix(OPEN)
    title = {held.name: held.title for held in rule.limits}.get(name, name)
    return f"Nothing here settles this: {low(re.sub(THE_WORDS, '', title))}."
