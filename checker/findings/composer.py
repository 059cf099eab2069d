"""A verdict made a finding: its words, evidence, workings and the names it is known by, each worked out when it is asked for."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from checker.findings import answer_notes, brought, limits_used, named_facts, wording, workings
from checker.findings.citations import merged_citations
from checker.findings.finding import OF_ONE_JOB, Alternative, Finding, Need, Published
from checker.findings.questions import Asker, Put, Version, dated
from checker.ir import tree
from checker.ir.digests import canonical, digest_of_text
from checker.ir.kleene import Cause, Scope
from checker.ir.outcomes import FAIL, PASS, REASONS, VERIFY
from checker.ir.references import reads
from checker.judging import instruments
from checker.judging.conditions import truth
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import Judged, Verdict, agreed
from checker.judging.uncertainty import AccuracyOf
from checker.judging.values import OPEN
from checker.problems.sanitize import low
from checker.reading.job import Job
from checker.rulesets.applicability import Versions
from checker.rulesets.chain import Chain

BLANK = "____"  # what a list of things to bring does not know yet is filled in by hand
ORDER = (FAIL, VERIFY, PASS, DOES_NOT_APPLY)
THE_WORDS = r" \([^()]*\)$"  # at the end of a limit's title: the words that it may be


class Before(NamedTuple):
    """What was said of versions of a rule at a place, on a job that is the same in all that this hangs on.

    `verdicts` are those of the versions, `told` the number of the one that is told, `known` the fields of the finding that are
    known from the start, and `kept` what was put in words so far: `seen` of every such job shares it.
    """

    rule: tree.BoundRule
    verdicts: tuple[Verdict | None, ...]
    told: int
    same: bool
    known: dict[str, Any]
    kept: dict[Any, Any]


class Seen:
    """What judging saw of one rule at one place: under every edition and day that could hold, and the one that is told.

    Args:
        look: Gives the versions, the number of the one that is told among them.
        kept: What is put in words so far, but for what is each job's own.
    """

    def __init__(self, look: Callable[[], Sequence[Version]], told: int, same: bool, kept: dict[Any, Any]) -> None:
        self._look, self._told, self.same, self.kept = look, told, same, kept

    @functools.cached_property
    def versions(self) -> Sequence[Version]:
        return self._look()

    @functools.cached_property
    def told(self) -> Version:
        return self.versions[self._told]

    @functools.cached_property
    def judged(self) -> Judged:
        found = self.told.judged
        assert found is not None
        return found

    @property
    def said(self) -> list[tuple[tree.BoundRule, Version]]:
        """The versions that apply."""
        return said_of(self.versions)


def said_of(versions: Sequence[Version]) -> list[tuple[tree.BoundRule, Version]]:
    """Those of some versions of a rule that apply."""
    return [
        (one.rule, one) for one in versions if one.rule and one.judged and one.judged.verdict.outcome != DOES_NOT_APPLY
    ]


class Composer:
    """Composes the findings of one job.

    Args:
        versions: The editions and days that could hold for the job.
        doubts: The readings that are doubted, by full path, with why.
    """

    def __init__(self, job: Job, chain: Chain, versions: Versions, doubts: Mapping[str, str]) -> None:
        self.job, self.chain, self.versions, self.doubts = job, chain, versions, doubts
        self.that_count = versions.calendar.that_count
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

    def finding(self, before: Before, look: Callable[[], Sequence[Version]]) -> Finding:
        """The finding of what was said; `look` as in `Seen`."""
        return Finding(self, before.rule, Seen(look, before.told, before.same, before.kept), before.known)

    def told(self, finding: Finding, name: str) -> Mapping[str, Any]:
        """The value of a field of a finding, and of those that are worked out along with it."""
        rule, seen = finding._bound, finding._seen
        if name in seen.kept:
            return {name: seen.kept[name]}
        found: dict[str, Any]
        if name in FAILED:
            found = dict(zip(FAILED, self.failed(rule, seen), strict=True))
        elif name in ASKED:
            found = dict(zip(ASKED, self.asked(rule, seen, finding), strict=True))
        else:
            found = {name: TOLD[name](self, rule, seen, finding)}
        seen.kept.update((field, value) for field, value in found.items() if field not in OF_ONE_JOB)
        return found

    def failing(self, finding: Finding) -> tuple[str, ...]:
        """The facts in the conditions that do not hold, in the order in which these read them; of every version that fails."""
        said = [(rule, one.judged) for rule, one in finding._seen.said if one.judged]
        scopes = [(rule, judged.scope) for rule, judged in said if judged.verdict.outcome == FAIL]
        parts = [(part, scope) for rule, scope in scopes for part in rule.require.conditions]
        found = (fact for part, scope in parts if truth(part, scope) is False for fact in reads(part, scope))
        return tuple(dict.fromkeys(found))

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
        found: Put | None = seen.kept.get(PUT)
        if found is None:
            codes = () if seen.same else self.in_doubt(seen.versions)
            put = self.asker.put(finding, seen.judged, seen.versions, lambda: _merged(seen), codes)
            found = seen.kept[PUT] = put
        ask = dated(found[0], self.when(rule.id)) if found[0] else ""
        return ask, *found[1:]

    def notes(self, rule: tree.BoundRule, seen: Seen, finding: Finding) -> tuple[str, ...]:
        verdict, scope = seen.judged.verdict, seen.judged.scope
        details = [_in_words(cause, rule) for cause in sorted(verdict.causes) if cause.detail and not cause.fact]
        found = [
            *answer_notes.notes(rule, scope, verdict.outcome),
            *details,
            *named_facts.inherited(self.paths(rule, seen), self.job),
            *(named_facts.doubted(self.paths(rule, seen), self.doubts) if verdict.outcome == FAIL else ()),
            *workings.remarks(rule, scope),
            *(workings.measurement_notes(finding.workings) if verdict.outcome != VERIFY else ()),
            *(workings.too_close_notes(finding.workings) if verdict.reason == "too_close" else ()),
        ]
        return tuple(dict.fromkeys(found))

    def needs(self, _: tree.BoundRule, seen: Seen, __: Finding) -> tuple[Need, ...]:
        return named_facts.needs(seen.judged.verdict, self.job)

    def finding_id(self, rule: tree.BoundRule, seen: Seen, _: Finding) -> str:
        """The digest of job, rule and item."""
        item, own = canonical(seen.judged.place.key), canonical(rule.id)
        return digest_of_text(f'{{"item":{item},"job":{self.job_id},"rule":{own}}}')

    def evidence_digest(self, rule: tree.BoundRule, seen: Seen, _: Finding) -> str:
        """The digest of the date that counts, the facts that the rule names and what it asks."""
        facts = seen.kept.get(FACTS)
        if facts is None:
            facts = seen.kept[FACTS] = canonical(named_facts.canonical(self.paths(rule, seen), self.job, self.doubts))
        date, meaning = self.date_of(rule.id), canonical(rule.meaning)
        return digest_of_text(f'{{"date":{date},"facts":{facts},"meaning":{meaning}}}')

    def published(self, _: tree.BoundRule, seen: Seen, finding: Finding) -> tuple[Published, ...]:
        """The documents it cites in the edition that is published for the state, under every version that is told."""
        state = self.chain.state
        if state is None:
            return ()
        told = [one for _, one in seen.said] if seen.same else [seen.told]
        codes = frozenset.intersection(*(self.versions.published(one.setting) for one in told))
        documents = {title for code in codes for title in self.chain.by_id[code].header.documents.values()}
        cited = {one.document for one in finding.citations if one.edition}
        return tuple(Published(document, state.state.name) for document in sorted(cited & documents))

    # --- what several of them need ---

    def paths(self, rule: tree.BoundRule, seen: Seen) -> list[str]:
        """Every fact that the rule names."""
        found: list[str] | None = seen.kept.get(PATHS)
        if found is None:
            found = seen.kept[PATHS] = named_facts.facts_named(rule, seen.judged.scope)
        return found

    def required(self, rule: tree.BoundRule, seen: Seen, _: Finding) -> tuple[str, ...]:
        """The recorded facts in what the rule requires, in the order in which it reads them; of alternatives, those that hold."""
        scope = seen.judged.scope
        facts = dict.fromkeys(
            fact for part in _deciding(rule.require, scope) for fact in named_facts.rests_on(part, scope)
        )
        return tuple(fact for fact in facts if fact in self.job.readings)

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
            self._dates[path] = canonical(repr(self.job.value(path)))
        return self._dates[path]


# What is kept beside the fields of a finding: the question without the date that counts, the facts that the rule names, and
# these as evidence is bound by them.
PUT, PATHS, FACTS = "a question", "its facts", "its evidence"

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
    "station": lambda own, rule, seen, _: named_facts.station(own.paths(rule, seen), own.job),
    "photograph": lambda own, rule, seen, _: wording.filled(rule.photograph, seen.judged.scope, own.job),
    "citations": lambda _, rule, seen, __: _merged(seen) if seen.same else rule.citations,
    "evidence": lambda own, rule, seen, _: named_facts.evidence(own.paths(rule, seen), own.job),
    "workings": lambda own, rule, seen, _: workings.workings(rule, seen.judged.scope, own.job, own.accuracy),
    "needs": Composer.needs,
    "required": Composer.required,
    "published": Composer.published,
    "needs_exact": lambda _, __, seen, ___: seen.judged.verdict.exact,
    "notes": Composer.notes,
    "finding_id": Composer.finding_id,
    "evidence_digest": Composer.evidence_digest,
    "limits": lambda _, rule, seen, __: limits_used.of_rule(rule, seen.judged.scope),
}


def said_at(versions: Sequence[Version]) -> Before | None:
    """What versions of a rule say at one place, under every edition and day that could hold; None where it does not apply.

    Where they differ, it is what the worst of them says, with what each of them says.
    """
    applying = said_of(versions)
    if not applying:
        return None
    same, alternatives = True, tuple[Alternative, ...]()
    if len(versions) == 1:
        rule, version = applying[0]
    else:
        same = bool(agreed({_outcome(one) for one in versions}))
        worst = min(applying, key=lambda pair: (ORDER.index(_outcome(pair[1])), -len(pair[1].setting.label)))
        rule, version = applying[-1] if same else worst
        told = () if same else (Alternative(one.setting.label, _outcome(one)) for one in versions)
        alternatives = tuple(sorted(told, key=lambda one: (ORDER.index(one.outcome), one.label)))
    assert version.judged is not None
    outcome = version.judged.verdict.outcome if same else VERIFY
    item = version.judged.place.key
    known = {"item": item, "outcome": outcome, "alternatives": alternatives, "acceptance": None}
    verdicts = tuple([one.judged and one.judged.verdict._replace(trace=None) for one in versions])
    at = next(index for index, one in enumerate(versions) if one is version)
    return Before(rule, verdicts, at, same, known, {})


def _outcome(version: Version) -> str:
    return version.judged.verdict.outcome if version.judged else DOES_NOT_APPLY


def _merged(seen: Seen) -> tuple[tree.Citation, ...]:
    """The citations of all versions that apply."""
    return merged_citations([rule.citations for rule, _ in seen.said])


def _deciding(node: tree.Condition, scope: Scope) -> Iterator[tree.Condition]:
    """The parts of a condition that decide it: of alternatives those that hold, all of them where none does."""
    if isinstance(node, tree.All):
        for part in node.conditions:
            yield from _deciding(part, scope)
    elif isinstance(node, tree.AnyOf):
        branches = [branch.condition for branch in node.branches]
        for part in [one for one in branches if truth(one, scope) is True] or branches:
            yield from _deciding(part, scope)
    else:
        yield node


def _in_words(cause: Cause, rule: tree.BoundRule) -> str:
    """Why something is not known, where no fact is missing."""
    if not cause.detail.startswith(OPEN):
        return cause.detail
    name = cause.detail.removeprefix(OPEN)
    title = {held.name: held.title for held in rule.limits}.get(name, name)
    return f"Nothing here settles this: {low(re.sub(THE_WORDS, '', title))}."
