"""The report of one job: what all rules found, and the notes on the job as a whole that stand beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from checker.binding import authority_answers
from checker.engine.editions import in_force
from checker.engine.job_run import OneJob
from checker.engine.reviews import outdated
from checker.engine.variants import Variant
from checker.findings import answer_notes
from checker.findings.acceptances import with_acceptance
from checker.findings.finding import Finding
from checker.findings.known import Knowledge
from checker.findings.report import NotJudged, Report, RulesetUsed, Unread
from checker.ir import tree
from checker.ir.kleene import Nothing
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging.judge import judge
from checker.problems.problem import did_you_mean
from checker.problems.sanitize import low
from checker.reading.fact_shapes import item_of
from checker.rulesets import state_words
from checker.rulesets.applicability import THE_JOB
from checker.rulesets.chain import Chain

SETTLE_FIRST = "Settle first:"


class JobReport:
    """The report of one job."""

    def __init__(self, one: OneJob) -> None:
        self.one = one
        self.compiler, self.job, self.chain, self.versions = one.compiler, one.job, one.chain, one.versions

    def made(self) -> Report:
        """The report, after every rule was judged."""
        self.one.begin()
        findings: list[Finding] = []
        not_asked: list[str] = []
        not_applying = left_as_found = 0
        for rule_id, variants in self.one.judged_by():
            found, silent = self.one.said_of(variants)
            findings += found
            not_applying += silent
            left_as_found += not found and self.one.left_as_found(variants)
            not_asked += (*self.not_asked(variants), *self.withdrawn(rule_id)) if not found else ()
        findings = [held_back(finding, findings) for finding in findings]
        findings, acceptance_notes = with_acceptance(findings, self.job, self.one.on)
        in_short = tuple(self.deciding(asking=False))
        return Report(
            job_id=self.job.id,
            file=self.job.file,
            title=self.job.text("title"),
            place=", ".join(filter(None, (self.chain.place, self.chain.state.state.name if self.chain.state else ""))),
            on=self.one.on.isoformat(),
            dates=self.dates(),
            rulesets=rulesets_used(self.chain),
            notes=(
                *self.deciding(),
                *self.standing(),
                *dict.fromkeys(self.unsure()),
                *dict.fromkeys(not_asked),
                *self.one.told.notes,
                *acceptance_notes,
            ),
            not_judged=tuple(self.not_judged()),
            findings=tuple(findings),
            not_applying=not_applying,
            unread=tuple(sorted(self.unread(findings), key=lambda one: not one.alarming)),
            left_as_found=left_as_found,
            caution=self.compiler.vocabulary.caution,
            rulebook=self.compiler.rulebook(self.one.program()),
            deciding=(*in_short, *self.unsure_in_short(), *self.one.told.notes, *acceptance_notes),
            open_codes=tuple(
                self.chain.by_id[code].header.title.partition(",")[0]
                for code in sorted(self.versions.undecided)
                if code in self.chain.by_id
            ),
            ask_first=tuple(state_words.asks(self.chain.state, self.versions, self.one.on)) if self.chain.state else (),
            stations=self.compiler.vocabulary.stations,
            known=Knowledge(self.job),
            editions=tuple(in_force(self.chain, self.versions)),
            authority=self.chain.authority,
        )

    def unread(self, findings: Iterable[Finding]) -> Iterator[Unread]:
        """The recorded facts that no rule that applied looked at: what is said of the job says nothing of them.

        Whoever is told that a rule does not apply may take it that what switched it off was looked at. A value that would
        worry an inspector was looked at only where a finding names it.
        """
        found = {fact.fact for finding in findings for fact in finding.evidence}
        found.update(*(self.job.readings[fact].added_from for fact in found & self.job.readings.keys()))
        of_rules = {finding.rule for finding in findings}
        switched, elsewhere = set[str](), set[str]()
        for asked in self.one.judged_by():
            named = [self.compiler.named(rule) for _, rule in asked.variants if rule]
            switched.update(*(one.switches for one in named))
            if len(named) > 1 and asked.rule in of_rules:  # a finding holds the evidence of one edition
                elsewhere.update(*(one.all for one in named))
        for path, reading in self.job.readings.items():
            leaf = None if path in found else self.compiler.of_the_work(path)
            if leaf is None or leaf.path in elsewhere or isinstance(self.job.value(path), Nothing):
                continue
            alarming = bool(leaf.alarming) and self.job.value(path) in leaf.alarming
            if alarming or leaf.path not in switched:
                yield Unread(path, leaf.title, item_of(path, self.job.lists), reading.written, alarming)

    def not_asked(self, variants: Sequence[Variant]) -> Iterator[str]:
        """What a rule would have asked of this job, had the authority not answered that it does not ask for it."""
        for rule in (variant.rule for variant in variants if variant.rule):
            asked = authority_answers.as_if_asked(rule)
            if asked and self.would_ask(asked):
                yield from answer_notes.not_asked(rule)

    def withdrawn(self, rule_id: str) -> Iterator[str]:
        """What a rule would have asked of this job, had no ruleset of the place withdrawn it, and on what ground."""
        for setting in self.versions.settings(rule_id) if self.chain.withdrawn(rule_id) else ():
            rule, why = self.compiler.withdrawn(self.chain, rule_id, setting)
            if rule and self.would_ask(rule):
                yield f"Not asked here: {rule.title}. {why}"

    def would_ask(self, rule: tree.BoundRule) -> bool:
        """Whether a rule, were it asked, would fail or stay open anywhere on this job."""
        return any(found.verdict.outcome in (FAIL, VERIFY) for found in judge(rule, self.one.facts, self.one.accuracy))

    def not_judged(self) -> Iterator[NotJudged]:
        """The rulesets that are not written for this job, with the rules in force that were left out."""
        program = self.compiler.program(self.chain, self.versions) if self.one.left_out else ()
        out = [
            asked.rule for asked in program if asked.rule in self.one.left_out and any(v.rule for v in asked.variants)
        ]
        for name in self.one.spoken.outside:
            ruleset = self.chain.by_id[name]
            rules = tuple(rule for rule in out if rule in ruleset.rules)
            if rules:
                yield NotJudged(name, ruleset.header.title, self.one.spoken.why(name), rules)

    def unsure(self) -> Iterator[str]:
        """What is not recorded of the job, so that nobody can tell whether the rulesets are written for it."""
        for otherwise, found in self.one.spoken.unknown:
            titles = ", ".join(sorted(low(self.job.vocabulary.title(cause.fact)) for cause in found.causes))
            yield f"Not recorded: {titles}. {otherwise}"

    def unsure_in_short(self) -> Iterator[str]:
        """What `unsure` tells, without what would hold otherwise."""
        causes = [cause for _, found in self.one.spoken.unknown for cause in found.causes]
        titles = sorted({low(self.job.vocabulary.title(cause.fact)) for cause in causes})
        if titles:
            yield f"Not recorded: {', '.join(titles)}. Some of these rules are not for every kind."

    def deciding(self, asking: bool = True) -> Iterator[str]:
        """Notes without which the outcomes would be read wrong: what was taken from elsewhere, and which editions hold.

        Args:
            asking: Whether what is published for a state ends with the question to the office.
        """
        yield from self.job.notes
        yield from (look.said for look in self.one.looks)
        if self.chain.state:
            yield from state_words.notes(self.chain.state, self.versions, self.one.on, asking)
        elif not self.chain.covered:
            known = [place for ruleset in self.compiler.library.rulesets.values() for place in ruleset.header.covers]
            place = self.chain.place
            named = f"No ruleset covers '{place}'" if place else "The job names no jurisdiction"
            hint = f" {did_you_mean(place, known)}" if place else ""
            codes = "each code the job doesn't name" if self.versions.told else "each code"
            yield f"{named}; judged under every shipped edition of {codes}, and where they differ, it says so.{hint}"
        for code in sorted(self.versions.undecided) if self.chain.covered else ():
            yield (
                f"No ruleset of this place adopts an edition of {code}; judged under every shipped one, and said so where "
                "they differ."
            )
        for code, (edition, told_by) in sorted(self.versions.told.items()):
            name = next(iter(self.chain.by_id[code].header.documents.values()), code)
            by = "as the job records; who said so is not in it" if told_by == THE_JOB else f"as told by {told_by}"
            used = "" if self.versions.told_alone(code) else " Not used: the ruleset of the place adopts by date."
            yield f"{edition} {name}, {by}.{used}"
        for path, (least, most) in self.one.facts.ranges.items():
            value = self.job.value(path)
            if isinstance(value, float) and not least <= value <= most:
                title = self.job.vocabulary.title(path)
                yield f"{title}, {self.job.readings[path].written}, is outside the range the rulesets give for this place."

    def standing(self) -> Iterator[str]:
        """Notes on the rulesets themselves: those that were left aside, and when they were last reviewed."""
        for ruleset in self.chain.rulesets if not self.chain.covered else ():
            if ruleset.id in self.versions.passed_over:
                yield f"{ruleset.header.title}: not checked. If it is adopted there, record it under {self.job.at('adopted')}."
        if self.chain.state and (license_asked := state_words.license_line(self.chain.state)):
            yield license_asked
        for ruleset in self.compiler.library.rulesets.values():
            here = set(ruleset.header.uses) <= set(self.chain.by_id)
            if ruleset.header.owner_kind == "group" and ruleset.id not in self.chain.by_id and here:
                yield f"The ruleset {ruleset.id} was read but is not used here. Add --ruleset {ruleset.id} to use it."
        published = self.chain.state.ruleset if self.chain.state else None
        reviewed = (ruleset for ruleset in self.chain.rulesets if ruleset is not published)
        yield from filter(None, (outdated(ruleset, self.chain, self.one.on) for ruleset in reviewed))

    def dates(self) -> tuple[tuple[str, str], ...]:
        return tuple(
            (self.job.vocabulary.title(path), reading.written)
            for path in self.versions.calendar.paths
            if (reading := self.job.readings.get(path))
        )


def held_back(finding: Finding, findings: list[Finding]) -> Finding:
    """Say before a remedy which rules on the same item to settle first: those it names that fail or are unknown."""
    if finding.outcome != FAIL or not finding.remedy_after:
        return finding
    open_ones = [
        other.title
        for other in findings
        if other.rule in finding.remedy_after and other.outcome != PASS and on_one_item(finding.item, other.item)
    ]
    if not open_ones:
        return finding
    first = f"{SETTLE_FIRST} {'; '.join(dict.fromkeys(open_ones))}."
    return finding._replace(remedy=f"{first} {finding.remedy}".strip())


def on_one_item(one: str, other: str) -> bool:
    """Whether two findings are of the same item, or of one and of an item inside it; the whole job holds every item."""
    return all(a == b for a, b in zip(one.split("/"), other.split("/"), strict=False)) or not (one and other)


def rulesets_used(place: Chain) -> tuple[RulesetUsed, ...]:
    """The rulesets of a chain as a report names them."""
    return tuple(RulesetUsed(r.id, r.header.version, r.digest, r.header.title) for r in place.rulesets)
