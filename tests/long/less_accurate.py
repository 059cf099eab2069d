"""Random jobs with their instruments made less accurate step by step: less sure, never more claimed.

    python -m tests.long.less_accurate --jobs 2000 [--seed 1]

Every rule that reads a measured fact is judged `guarded` here. What is held of each rule
and item when an accuracy is widened (design of the program, section 3.7):

    before           after, one of
    pass             pass, verify_locally
    fail             fail, verify_locally
    verify_locally   verify_locally
    does not apply   does not apply, verify_locally, pass: a condition for applying may be too close as well

and where something firm became open, it is never the authority's to say. Prints how often each outcome became which, and every
violation; exit code 1 where there is one.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Iterator

from checker.engine.checker import Checker
from checker.ir.outcomes import VERIFY
from checker.problems.problem import ProblemsFound
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.fingerprint import names_of
from checker.rulesets.library import SHIPPED, Library, open_library
from checker.rulesets.models import Rule
from checker.rulesets.ruleset import Ruleset
from tests.long.less_known import ALLOWED, Looked, Violation, changes, looked
from tests.long.random_jobs import Facts, random_job, worked

# A thousandth of what common instruments have (common practice, no source), in the declared units, and the steps from there.
FINEST = {
    "accuracy_of_reading": 0.001,
    "accuracy_pressure": 0.001,
    "accuracy_temperature": 0.0005,
    "accuracy_vacuum": 0.005,
}
WIDER = (30, 10, 3, 3, 10)
AUTHORITY = "authority_decides"  # no accuracy makes it the authority's


def guarded_checker() -> Checker:
    """The shipped rulesets with every rule that names a measured fact judged guarded, but for those that layers change."""
    library = open_library([SHIPPED], {SHIPPED: "rulesets"})
    vocabulary, rulesets = job_vocabulary(), library.rulesets.values()
    measured = {leaf.path.rsplit(".", 1)[-1] for leaf in vocabulary.leaves.values() if leaf.measured}
    changed = {name for one in rulesets for section in (one.amend, one.withdraw, one.restore) for name in section}
    return Checker(Library([_guarded(one, measured, changed) for one in rulesets]), vocabulary)


def _guarded(ruleset: Ruleset, measured: set[str], changed: set[str]) -> Ruleset:
    rules = {
        name: rule.replaced(judged="guarded") if name not in changed and _names(rule, measured) else rule
        for name, rule in ruleset.rules.items()
    }
    return ruleset._replace(rules=rules)


def _names(rule: Rule, measured: set[str]) -> bool:
    return any(word.rsplit(".", 1)[-1] in measured for word in names_of(rule))


# --- instruments -----------------------------------------------------------------------------------------------------


def with_instruments(facts: Facts, checker: Checker) -> Facts:
    """A job with an instrument for every kind of reading, each as accurate as there is none."""
    kinds = checker.vocabulary.leaves["instruments.kind"].possible
    there = [{"key": item["key"], "kind": item.get("kind")} for item in facts.get("instruments", [])]
    there += [{"key": f"the {kind}", "kind": kind} for kind in kinds if kind not in [item["kind"] for item in there]]
    listed = [{name: value for name, value in item.items() if isinstance(value, str)} | FINEST for item in there]
    return {**facts, "instruments": listed}


def wider(facts: Facts, factor: float, index: int) -> Facts:
    """The same job with the accuracies of one of its instruments so many times as wide."""
    listed = [dict(item) for item in facts["instruments"]]
    listed[index] |= {name: listed[index][name] * factor for name in FINEST}
    return {**facts, "instruments": listed}


def widened(facts: Facts, rng: random.Random) -> Iterator[Facts]:
    """A job again and again, one or another of its instruments less accurate than before."""
    steps = [(index, factor) for index in range(len(facts["instruments"])) for factor in WIDER]
    in_order = sorted(steps, key=lambda step: (WIDER.index(step[1]), rng.random()))
    for at_once in range(0, len(in_order), 4):
        for index, factor in in_order[at_once : at_once + 4]:
            facts = wider(facts, factor, index)
        yield facts


# --- many jobs -------------------------------------------------------------------------------------------------------


def violations(before: Looked, after: Looked, guarded: set[str], counts: Counter[str]) -> Iterator[Violation]:
    """Every rule and item of which more is claimed by less accurate instruments."""
    reasons = {(finding.rule, finding.item): finding.reason for finding in after.report.findings}
    for rule, item, was, now in changes(before.report, after.report):
        if rule not in guarded:
            if now != was:
                yield Violation(after.facts, ("instruments",), rule, item, was, now)
            continue
        counts[f"{was} → {now}"] += 1
        opened = was != VERIFY and now == VERIFY
        if now not in ALLOWED[was] or (opened and reasons[rule, item] == AUTHORITY):
            yield Violation(after.facts, ("instruments",), rule, item, was, f"{now} {reasons.get((rule, item), '')}")


def guarded_rules(checker: Checker) -> set[str]:
    return {
        name
        for one in checker.library.rulesets.values()
        for name, rule in one.rules.items()
        if rule.judged == "guarded"
    }


def of_one_job(rng: random.Random, bases: list[Facts], checker: Checker, counts: Counter[str]) -> Iterator[Violation]:
    """One random job with its instruments made less accurate step by step."""
    guarded = guarded_rules(checker)
    while True:
        facts = with_instruments(random_job(rng, bases, checker).facts, checker)
        try:
            before = looked(facts, checker)
            break
        except ProblemsFound:
            continue
    for less in widened(facts, rng):
        after = looked(less, checker)
        yield from violations(before, after, guarded, counts)
        before = after


def main() -> int:
    parser = argparse.ArgumentParser(description="Less accurate, never more claimed: random jobs, instruments widened.")
    parser.add_argument("--jobs", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    checker, bases, counts = guarded_checker(), worked(), Counter[str]()
    found = [
        violation
        for number in range(options.jobs)
        for violation in of_one_job(random.Random(f"{options.seed} {number}"), bases, checker, counts)
    ]
    for name, count in sorted(counts.items()):
        print(f"{count:10}  {name}")
    print(f"{len(found):10}  violations")
    for one in {(one.rule, one.before, one.after): one for one in found}.values():
        print(one)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
