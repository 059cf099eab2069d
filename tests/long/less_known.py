"""Random jobs with facts removed one at a time: less known, never more claimed. On the shipped rulesets.

    python -m tests.long.less_known --jobs 10000 [--removals 4] [--seed 1] [--workers 2] [--keep FOLDER]

Prints how often each outcome became which, and every violation with the smallest job that still shows it; exit code 1
where there is one. Ten thousand jobs take about a quarter of an hour with two workers.

What is held (design of the program, section 3.3 to 3.5), of each rule and item, when a fact is left out:

    before           after, one of
    pass             pass, verify_locally
    fail             fail, verify_locally
    verify_locally   verify_locally
    does not apply   does not apply, verify_locally, pass

The last line has a pass since what is required may hold whether or not the rule applies; it never has a failure. Where
a list is left out, its one finding stands for each item it had; a key is the name of an item and no fact, and an item
of a recorded list is never taken out, since such a list says that there are no others. Leaving out which instrument took
a reading changes no outcome. Adding back the last fact, and then all of them, gives the reports of before.

Which rule is asked is settled before that: each version of a rule that held before is among those that could hold after.
Five kinds of removal are outside of this, because the report says what it then judges by; how often they
change what is asked is counted, and where they do not, everything above is held of them too:

    site.jurisdiction   without a place, every shipped edition and no county: what a county changes is not looked at
    site.adopted        what a job tells of a code makes that the code of the house, and the code it stands in for not;
                        the code of the house is also what makes a manufacturer's rule law; without the office's word
                        on an edition, the one that its state publishes counts
    a date that counts  before the first day on which its place adopted a code, no edition is known; with no date at
                        all such days are no help and are left out
    what a ruleset is   where a job does not say of which kind it is (`written_for`), it is judged as the kind that the
    written for         ruleset is written for, and the report says so: see `_judged_as_usual`
    a contradiction     of readings that cannot all be right each is doubted; without one of them the others are not

A rule that is not judged, because its ruleset is not written for the job, counts as one that does not apply.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.engine.variants import RuleVersions
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.problems.problem import ProblemsFound
from checker.reading.job_schema import job_vocabulary
from checker.reading.second_look import doubts, second_look
from checker.reporting import json as as_json
from checker.rulesets.applicability import Versions
from checker.rulesets.library import SHIPPED, open_library
from tests.long.random_jobs import Facts, Spot, at, file_of, groups, leaves, random_job, read, without, worked, written
from tests.support.rulesets import ON

ALLOWED = {
    PASS: {PASS, VERIFY},
    FAIL: {FAIL, VERIFY},
    VERIFY: {VERIFY},
    DOES_NOT_APPLY: {DOES_NOT_APPLY, VERIFY, PASS},
}
SAME_OUTCOME = {outcome: {outcome} for outcome in ALLOWED}
ANOTHER_QUESTION = "another question is asked"
DOUBTED_NO_MORE = "a reading is doubted no more"
JUDGED_AS_USUAL = "judged as the kind that its ruleset is written for"
DEFAULT_REMOVALS = 4


class Looked(NamedTuple):
    """A job that was judged: its facts, which editions and days could hold for it, every rule under each of them, and the
    paths of its readings that are doubted."""

    facts: Facts
    report: Report
    versions: Versions
    asked: tuple[RuleVersions, ...]
    doubted: frozenset[str]


class Violation(NamedTuple):
    """What must not be: where a fact was left out, a rule and item, and what was said before and after."""

    facts: Facts
    removed: Spot
    rule: str
    item: str
    before: str
    after: str

    def __str__(self) -> str:
        named = f"{self.rule} {self.item}".rstrip()
        return f"{named}: {self.before} became {self.after} without {written(self.removed)}"


def looked(facts: Facts, checker: Checker) -> Looked:
    """A job judged.

    Raises:
        ProblemsFound: The facts are no job.
    """
    job = read(facts, checker)
    report = checker.check_job(job, ON)
    place = checker.chain_of(job)
    versions = Versions(job, place)
    doubted = frozenset(doubts(second_look(job, ON)))
    return Looked(facts, report, versions, checker.program(place, versions), doubted)


# --- one fact less ---------------------------------------------------------------------------------------------------


def violations(before: Looked, after: Looked, removed: Spot, counts: Counter[str]) -> Iterator[Violation]:
    """Every rule and item of which more is claimed after a fact was left out than before."""
    asked_anew = set(other_questions(before, after))
    for rule in asked_anew:
        if not _may_ask_anew(before, after, removed, rule):
            yield Violation(before.facts, removed, rule, "", "a version that held", "one that could not hold")
    allowed = SAME_OUTCOME if removed[-1] == "instrument" else ALLOWED
    trusted = set(_naming(before.report, before.doubted - after.doubted))
    for rule, item, was, now in changes(before.report, after.report):
        if rule in asked_anew:
            counts[ANOTHER_QUESTION] += 1
            continue
        if rule in before.report.left_out and _judged_as_usual(after.report):
            counts[JUDGED_AS_USUAL] += 1
            continue
        if (rule, item) in trusted:
            counts[DOUBTED_NO_MORE] += 1
            continue
        counts[f"{was} → {now}"] += 1
        if now not in allowed[was]:
            yield Violation(before.facts, removed, rule, item, was, now)


def _naming(report: Report, paths: frozenset[str]) -> Iterator[tuple[str, str]]:
    """The findings that name one of these readings."""
    for finding in report.findings if paths else ():
        if any(fact.fact in paths for fact in finding.evidence):
            yield finding.rule, finding.item


def _judged_as_usual(after: Report) -> bool:
    """Whether a report says that it is not known of which kind the job is, and that the rules were judged all the same."""
    return any(note.startswith("Not recorded: ") for note in after.deciding)


def changes(before: Report, after: Report) -> Iterator[tuple[str, str, str, str]]:
    """Each rule and item with its outcome before and after; what neither speaks of is left out."""
    was, now = _outcomes(before), _outcomes(after)
    for rule, item in dict.fromkeys([*was, *now]):
        if (rule, item) in was:
            yield rule, item, was[rule, item], now.get(_stands_for(rule, item, now), DOES_NOT_APPLY)
        elif not any(_inside(other, item) for of, other in was if of == rule):
            yield rule, item, DOES_NOT_APPLY, now[rule, item]


def _outcomes(report: Report) -> dict[tuple[str, str], str]:
    return {(finding.rule, finding.item): finding.outcome for finding in report.findings}


def _stands_for(rule: str, item: str, now: dict[tuple[str, str], str]) -> tuple[str, str]:
    """The finding that speaks of an item: its own, or that of the list it was in, which is left out."""
    lists = [item, item.rpartition("/")[0], ""]
    return rule, next((name for name in lists if (rule, name) in now), item)


def _inside(item: str, of: str) -> bool:
    return item != of and (not of or item.startswith(f"{of}/"))


def other_questions(before: Looked, after: Looked) -> Iterator[str]:
    """The rules of which a version that could hold before is not among those that could hold after."""
    if before.asked is after.asked:
        return
    now = {asked.rule: [variant.rule for variant in asked.variants] for asked in after.asked}
    for asked in before.asked:
        versions = now.get(asked.rule, [])
        if versions and asked.variants and all(variant.rule in versions for variant in asked.variants):
            continue
        if any(variant.rule for variant in asked.variants) or any(versions):
            yield asked.rule
    yield from set(now) - {asked.rule for asked in before.asked}


def _codes_told(versions: Versions, rule: str) -> tuple[set[str], set[str]]:
    """The codes that a rule hangs on: those that make it law and are in force, and those whose edition the job alone tells."""
    hangs, _ = versions.calendar.hangs_on(rule)
    home = versions.chain.homes["rules", rule]
    laws = {law.code for law in versions.chain.laws(home.rules[rule], home) if versions._makes_law(law.code)}
    return laws, {code for code in {home.id, *hangs.codes, *hangs.laws} if versions.told_alone(code)}


def _may_ask_anew(before: Looked, after: Looked, removed: Spot, rule: str) -> bool:
    """Whether something else may be judged by after a removal, as is said at the top."""
    if _covers(removed, "site.jurisdiction"):
        return True
    home = before.versions.chain.homes["rules", rule].id
    if _covers(removed, "site.adopted") or removed[:2] == ("site", "adopted"):
        sides = before.versions, after.versions
        said = [(one.in_use(home), _codes_told(one, rule)) for one in sides]
        return said[0] != said[1]
    if not _covers(removed, before.versions.calendar.that_count[rule]):
        return False
    return any(
        variant.setting.doubt == "not_adopted"
        for asked in before.asked
        if asked.rule == rule
        for variant in asked.variants
    )


def _covers(removed: Spot, path: str) -> bool:
    return f"{path}.".startswith(f"{written(removed)}.")


# --- many jobs -------------------------------------------------------------------------------------------------------


def removals(facts: Facts, rng: random.Random, checker: Checker, times: int) -> Iterator[tuple[Spot, Facts]]:
    """Facts left out one at a time, each of what the one before left: mostly one fact, now and then a group or a list."""
    for _ in range(times):
        ways = [leaves(facts, checker), groups(facts, checker), _instruments(facts, checker)]
        spots = [spot for spot in rng.choices(ways, [80, 14, 6])[0] if spot != ("instruments",)]  # readings name them
        if spots:
            spot = rng.choice(spots)
            facts = without(facts, spot)
            yield spot, facts


def _instruments(facts: Facts, checker: Checker) -> Iterator[Spot]:
    """Where it is said which instrument took a reading."""
    for spot in leaves(facts, checker):
        value = at(facts, spot)
        if isinstance(value, dict) and "instrument" in value:
            yield (*spot, "instrument")


def of_one_job(
    rng: random.Random, bases: list[Facts], checker: Checker, times: int, counts: Counter[str]
) -> Iterator[Violation]:
    """Facts taken from one random job and given back."""
    way = [_judgeable(rng, bases, checker)]
    for spot, facts in removals(way[0].facts, rng, checker, times):
        try:
            after = looked(facts, checker)
        except ProblemsFound:
            yield Violation(way[-1].facts, spot, "", "", "a job", "none")
            return
        counts["removals"] += 1
        yield from violations(way[-1], after, spot, counts)
        way.append(after)
    for one in dict.fromkeys([-2, 0][: len(way) - 1]):
        again, before = (as_json.render([side.report]) for side in (looked(way[one].facts, checker), way[one]))
        if again != before:
            yield Violation(way[one].facts, (), "", "", "a report", "another once the facts were back")


def _judgeable(rng: random.Random, bases: list[Facts], checker: Checker) -> Looked:
    while True:
        try:
            return looked(random_job(rng, bases, checker).facts, checker)
        except ProblemsFound:
            continue


def smaller(one: Violation, checker: Checker) -> Violation:
    """The same violation in a job from which all was taken that it does not need."""
    left = True
    while left:
        left = False
        for spot in [*sorted(groups(one.facts, checker), key=len), *leaves(one.facts, checker)]:
            found = _still(one, spot, checker)
            if found:
                one, left = found, True
                break
    return one


def _still(one: Violation, spot: Spot, checker: Checker) -> Violation | None:
    if _covers(spot, written(one.removed)):
        return None
    facts = without(one.facts, spot)
    try:
        before, after = (looked(each, checker) for each in (facts, without(facts, one.removed)))
    except (ProblemsFound, LookupError):
        return None
    found = violations(before, after, one.removed, Counter())
    return next((each for each in found if each[2:] == one[2:]), None)


class Share(NamedTuple):
    """The jobs of one worker: every `workers`-th from `first` on."""

    seed: int
    first: int
    jobs: int
    workers: int
    removals: int


def run_share(share: Share) -> tuple[Counter[str], list[Violation]]:
    """Go through the jobs of one worker, each from a seed of its own, so that any one of them can be made again."""
    checker = shipped_checker()
    bases, counts, found = worked(), Counter[str](), list[Violation]()
    for number in range(share.first, share.jobs, share.workers):
        rng = random.Random(f"{share.seed} {number}")
        found += of_one_job(rng, bases, checker, share.removals, counts)
        counts["jobs"] += 1
        if counts["jobs"] % 250 == 0:
            print(
                f"{counts['jobs']} jobs of worker {share.first}, {len(found)} violations", file=sys.stderr, flush=True
            )
    return counts, found


def shipped_checker() -> Checker:
    return Checker(open_library([SHIPPED], {SHIPPED: "rulesets"}), job_vocabulary())


def main() -> int:
    options = _options()
    shares = [
        Share(options.seed, first, options.jobs, options.workers, options.removals) for first in range(options.workers)
    ]
    counts, found = Counter[str](), list[Violation]()
    with ProcessPoolExecutor(options.workers, get_context("spawn")) as pool:
        for added, violated in pool.map(run_share, shares):
            counts += added
            found += violated
    for name, count in sorted(counts.items()):
        print(f"{count:10}  {name}")
    _tell(found, options.keep)
    return 1 if found else 0


def _tell(found: list[Violation], folder: Path | None) -> None:
    """Each kind of violation once, with the smallest job that shows it."""
    print(f"{len(found):10}  violations")
    if folder:
        folder.mkdir(parents=True, exist_ok=True)
    checker, kinds = shipped_checker(), {(one.rule, one.before, one.after): one for one in found}
    for number, one in enumerate(kinds.values()):
        small = smaller(one, checker) if one.rule else one
        kept = file_of(small.facts, folder or Path(tempfile.mkdtemp(prefix="less-known-")), f"violation-{number}")
        print(f"{small}\n    {kept}")


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Less known, never more claimed: random jobs with facts removed.")
    parser.add_argument("--jobs", type=int, default=10_000)
    parser.add_argument("--removals", type=int, default=DEFAULT_REMOVALS)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--keep", type=Path, help="A folder for the jobs that show violations.")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
