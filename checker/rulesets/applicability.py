"""Which editions and days could hold for a rule on a job, and are therefore judged.

A date that is known gives one day. One that is unknown, or between two days, gives every period that could hold, cut
where an edition, a limit or an amendment that the rule stands on changes. A code that nobody has put in force, and that
the job does not say is, gives every shipped edition.
"""

from __future__ import annotations

import bisect
import datetime
import functools
from collections.abc import Iterable, Iterator, Mapping
from itertools import product
from typing import Any, NamedTuple

from checker.ir.kleene import Range
from checker.ir.program import HangsOn
from checker.problems.problem import Problem, ProblemsFound, Where
from checker.reading.job import Job
from checker.rulesets import limits
from checker.rulesets.chain import Chain
from checker.rulesets.periods import first_days

THE_JOB = "the job"  # who told of an edition, where the job does not say who did


class Setting(NamedTuple):
    """One edition of each code a rule depends on, and a day, that could hold for a job."""

    editions: tuple[tuple[str, str | None], ...]
    day: int
    label: str
    doubt: str


NOT_IN_FORCE = "not in force"  # in place of an edition: the code may not hold here at all


class Days:
    """The days of a place: which date of a job counts for a rule, and when something that a rule stands on changes."""

    def __init__(self, chain: Chain) -> None:
        self.chain = chain
        self._changes: dict[tuple[str, tuple[str, ...]], frozenset[int]] = {}
        self._hangs_on: dict[str, tuple[HangsOn, str]] = {}
        self._of_editions: dict[str, tuple[int, ...]] = {}
        self._editions: dict[tuple[str, int], list[str]] = {}

    @functools.cached_property
    def that_count(self) -> Mapping[str, str]:
        """By rule, the path of the date that decides which version holds: its own, or its code's, or the place's."""
        return {rule_id: self._that_counts(rule_id) for rule_id in self.chain.rule_ids}

    def _that_counts(self, rule_id: str) -> str:
        home = self.chain.homes["rules", rule_id]
        own = home.rules[rule_id].date
        if own:
            return own
        adoptions = self.chain.adoptions(home.id) or [a for r in self.chain.rulesets for a in r.header.adopts]
        return adoptions[-1].counts if adoptions else ""

    @functools.cached_property
    def paths(self) -> tuple[str, ...]:
        """Every date that counts for some rule."""
        return tuple(sorted(set(self.that_count.values())))

    @functools.cached_property
    def cuts(self) -> list[int]:
        """Every day on which anything here starts or ends."""
        codes = tuple(sorted(self.chain.codes))
        return sorted({day for rule_id in self.chain.rule_ids for day in self.changes(rule_id, codes)})

    def recall(self, cuts: object) -> bool:
        """Take the days that an earlier run kept of the same chain; False where these are none."""
        if not isinstance(cuts, list) or not all(isinstance(day, int) for day in cuts):
            return False
        self.__dict__["cuts"] = cuts
        return True

    def changes(self, rule_id: str, codes: Iterable[str]) -> frozenset[int]:
        """Every day on which something that a rule stands on, or the edition of one of these codes, starts or ends."""
        key = rule_id, tuple(codes)
        if key not in self._changes:
            self._changes[key] = frozenset(self._found_changes(*key))
        return self._changes[key]

    def _found_changes(self, rule_id: str, codes: tuple[str, ...]) -> Iterator[int]:
        yield from first_days(self.chain, {*self.chain.leans_on(rule_id), *self.chain.limits_named(rule_id)})
        yield from self.of_editions(codes)

    def of_editions(self, codes: Iterable[str]) -> Iterator[int]:
        """Every day on which the edition of one of these codes starts or ends."""
        for code in codes:
            if code not in self._of_editions:
                adopted = self.chain.adoptions(code)
                days = (limits.day_number(day) for one in adopted for day in (one.starts, one.until) if day)
                self._of_editions[code] = tuple(days)
            yield from self._of_editions[code]

    def editions(self, code: str, day: int) -> list[str]:
        """The editions of a code that could hold on a day: every one of it where none is adopted then."""
        key = code, bisect.bisect_right(self.edition_cuts, day)
        if key not in self._editions:
            edition = self.chain.edition_on(code, day)
            self._editions[key] = [edition] if edition else list(self.chain.by_id[code].header.editions)
        return self._editions[key]

    @functools.cached_property
    def edition_cuts(self) -> list[int]:
        """Every day on which the edition of a code starts or ends."""
        return sorted(set(self.of_editions(self.chain.codes)))

    def hangs_on(self, rule_id: str) -> tuple[HangsOn, str]:
        """What decides which version of a rule holds, and the path of the date that counts. Few rules differ in it."""
        if rule_id not in self._hangs_on:
            home = self.chain.homes["rules", rule_id]
            laws = {law.code for law in self.chain.laws(home.rules[rule_id], home)}
            named = (self.chain.homes_of_rules(rule_id) | self.chain.homes_of_limits(rule_id)) & self.chain.codes
            codes = named | self.chain.codes_asked(rule_id)
            days = sorted(self.changes(rule_id, ()))
            hangs = HangsOn(home.id, tuple(sorted(codes)), tuple(sorted(laws - codes)), tuple(days))
            self._hangs_on[rule_id] = hangs, self.that_count[rule_id]
        return self._hangs_on[rule_id]


def days_of(chain: Chain) -> Days:
    """The days of a chain, found once."""
    found: Days = chain.worked_out.setdefault(Days, Days(chain))
    return found


class Versions:
    """The settings of one job's rules.

    `told` is what the job says is adopted, the edition of a code and who said so: it counts for codes that no ruleset of
    the place adopts. `stated` are the editions of a worked case; they count before everything.
    """

    def __init__(self, job: Job, chain: Chain, stated: Mapping[str, str] | None = None) -> None:
        self.job, self.chain, self.stated, self.case = job, chain, stated or {}, stated is not None
        self.calendar = days_of(chain)
        self.told = dict(_told(job, chain))
        self._settings: dict[tuple[HangsOn, str], tuple[Setting, ...]] = {}

    @functools.cached_property
    def key(self) -> tuple[Any, ...]:
        """All of the job that settings follow from: two jobs with one key have the same settings."""
        told = tuple(sorted((code, edition) for code, (edition, _) in self.told.items()))
        days = tuple(self._period(path) for path in self.calendar.paths)
        return told, tuple(sorted(self.stated.items())), self.case, days

    def _period(self, path: str) -> Any:
        """The period that a recorded day lies in, of those in which nothing changes; what is not a day as it is."""
        value = self.job.value(path) if path else None
        return bisect.bisect_right(self.calendar.cuts, value) if isinstance(value, int) else value

    def settings(self, rule_id: str) -> tuple[Setting, ...]:
        """The settings of a rule. All rules that hang on the same share one tuple."""
        hangs = self.calendar.hangs_on(rule_id)
        if hangs not in self._settings:
            self._settings[hangs] = tuple(self._settings_by(*hangs))
        return self._settings[hangs]

    def _settings_by(self, hangs: HangsOn, counts: str) -> Iterator[Setting]:
        home = hangs.home
        codes = sorted({*hangs.codes, *filter(self._makes_law, hangs.laws)})
        open_home = home in self.either
        if any(code == home and not self.in_use(code) for code in codes):
            return
        days, doubt = self.days(hangs.days, counts, codes)
        for day in days:
            possible = [self.possible_editions(code, day) for code in codes]
            for editions in product(*possible):
                several = open_home or any(len(options) > 1 for options in possible)
                label = ", ".join(f"{code} {edition}" for code, edition in zip(codes, editions, strict=True))
                when = f" from {datetime.date.fromordinal(day).isoformat()}" if len(days) > 1 and day > 1 else ""
                yield Setting(
                    tuple(zip(codes, editions, strict=True)), day, label + when, "not_adopted" if several else doubt
                )
        if open_home:
            yield Setting(((home, NOT_IN_FORCE),), 1, f"{home} {NOT_IN_FORCE}", "not_adopted")

    def _makes_law(self, code: str) -> bool:
        return code in self.stated or (self._chosen(code) and self.sole(code))

    def sole(self, code: str) -> bool:
        """Whether no other code may hold in a code's place."""
        return code not in self.either and code not in self.passed_over

    def in_use(self, code: str) -> bool:
        """Whether a code is judged by: adopted here, told of, or neither and no other takes its place."""
        return code in self.stated or code not in self.passed_over or (self.case and not self.chain.covered)

    def edition_day(self, otherwise: int) -> int:
        """The day by which editions hold for the job, the first where it lies between two; another where none is recorded."""
        value = self.job.value(self.chain.state.codes.counts) if self.chain.state else None
        return int(value.low) if isinstance(value, Range) else value if isinstance(value, int) else otherwise

    @functools.cached_property
    def undecided(self) -> frozenset[str]:
        """The codes that are judged by although nobody says which edition is in force."""
        return frozenset(code for code in self.chain.codes - self.passed_over if not self._chosen(code))

    def _chosen(self, code: str) -> bool:
        return code in self.told or bool(self.chain.adoptions(code))

    def _ruled(self, code: str) -> bool:
        """Whether the office says that a code holds: its word, or a ruleset of the place that is not a report."""
        return code in self.told or any(not one.by_report for one in self.chain.adoptions(code))

    @functools.cached_property
    def either(self) -> frozenset[str]:
        """The codes of which one holds, and neither the office nor what is published says which."""
        either = self.chain.state.either if self.chain.state and not self.stated else frozenset()
        return frozenset() if any(self._ruled(code) for code in either) else either

    @functools.cached_property
    def passed_over(self) -> frozenset[str]:
        """The codes that give way, since a house is not under two codes for one thing.

        A code that takes another's place is passed over unless it is adopted or the job tells of it; then the other is. What
        the office says goes before what is published.
        """
        pairs = [(ruleset.id, other) for ruleset in self.chain.rulesets for other in ruleset.header.instead_of]
        return frozenset(code for pair in pairs for code in pair if code not in self._in_use(pair) | self.either)

    def _in_use(self, pair: tuple[str, str]) -> set[str]:
        """Of a code and the one whose place it takes: those that are judged by."""
        ruled, chosen = ({code for code in pair if holds(code)} for holds in (self._ruled, self._chosen))
        left = {*pair} - (self.chain.state.set_aside if self.chain.state else frozenset())
        return ruled or (left if len(left) == 1 else chosen or {pair[1]})

    def settled(self, code: str, day: int) -> bool:
        known = code in self.stated or self.told_alone(code) or not self.chain.adoptions(code)
        return known or self.chain.edition_on(code, day) is not None

    def told_alone(self, code: str) -> bool:
        """Whether the job's word on the edition counts: no ruleset of the place says it, at most what is published."""
        return code in self.told and all(one.by_report for one in self.chain.adoptions(code))

    def published(self, setting: Setting) -> frozenset[str]:
        """The codes of a setting whose edition is the one published for the state: the office has not been heard on it."""
        return frozenset(
            code
            for code, edition in setting.editions
            if code not in self.told and code not in self.stated and self._as_published(code, edition, setting.day)
        )

    def _as_published(self, code: str, edition: str | None, day: int) -> bool:
        adoption = self.chain.adoption_on(code, day)
        return adoption is not None and adoption.by_report and adoption.edition == edition

    def possible_editions(self, code: str, day: int) -> list[str]:
        if code in self.stated:
            return [self.stated[code]]
        return [self.told[code][0]] if self.told_alone(code) else self.calendar.editions(code, day)

    def days(self, own: Iterable[int], counts: str, codes: list[str]) -> tuple[list[int], str]:
        """The first day of each period that could hold, cut where something that a rule stands on changes.

        Args:
            own: The days on which the rule or a limit of it changes.
            counts: The path of the date that counts.
        """
        dated = [code for code in codes if code not in self.stated and not self.told_alone(code)]
        return self._days(counts, {*own, *self.calendar.of_editions(dated)}, codes)

    def days_of_code(self, code: str) -> list[int]:
        """The first day of each period that could hold, in order, cut where the edition of a code changes; none where none is
        adopted."""
        adoptions = self.chain.adoptions(code)
        if not adoptions:
            return []
        return sorted(self._days(adoptions[-1].counts, self.calendar.of_editions([code]), [code])[0])

    def _days(self, counts: str, changes: Iterable[int], codes: list[str]) -> tuple[list[int], str]:
        """The first day of each period that could hold by a date of the job, cut at some days, and why there are several."""
        cuts = sorted({1, *changes})
        value = self.job.value(counts) if counts else None
        if isinstance(value, Range):
            return [cut for cut in cuts if value.low < cut <= value.high] + [
                max(c for c in cuts if c <= value.low)
            ], "date_unknown"
        if isinstance(value, int):
            return [max(cut for cut in cuts if cut <= value)], ""
        if value is None:  # with nothing known of the date, the days before anything was in force are no help
            cuts = [day for day in cuts if all(self.settled(code, day) for code in codes)] or cuts
        return cuts, "date_unknown"


def _told(job: Job, place: Chain) -> Iterator[tuple[str, tuple[str, str]]]:
    """Editions that the job says are in force, and who said so."""
    told: set[str] = set()
    for index in job.items("adopted"):
        at = job.at("adopted", index)
        code, edition, by = (job.text(job.at(f"adopted.{field}", index)) for field in ("code", "edition", "told_by"))
        code = code.lower()
        if not code or not edition:
            continue
        known = place.by_id.get(code)
        if known is None:
            raise _wrongly_told(
                job, at, f"'{code}' is not a code in use here.", [r.id for r in place.rulesets if r.header.editions]
            )
        if edition not in known.header.editions:
            raise _wrongly_told(
                job, at, f"'{code} {edition}' is not an edition that is shipped.", known.header.editions
            )
        if code in told:
            raise _wrongly_told(job, at, f"Two editions of '{code}' are given; one is in force at a time.", [])
        told.add(code)
        yield code, (edition, by or THE_JOB)


def _wrongly_told(job: Job, at: str, what: str, known: list[str]) -> ProblemsFound:
    hint = f"Known: {', '.join(known)}." if known else "Keep the one that the authority named."
    return ProblemsFound([Problem(Where(job.file, pointer="/" + at.replace(".", "/")), what, hint)])
