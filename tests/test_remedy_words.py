"""What remedies say: nothing that the facts rule out, and no dangerous work without its caution.

The words and the cautions they need are common practice in the trade, no source.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any, NamedTuple

import pytest

from checker.authoring import cases
from checker.findings.finding import Finding
from checker.ir.outcomes import FAIL
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.shipped import ROOT
from checker.rulesets.models import Rule
from checker.rulesets.remedy_words import spoken
from checker.rulesets.ruleset import caution_of
from tests.support.jobs import JOBS, NAMES, set_everywhere, whole_job
from tests.support.rulesets import ON, shipped_rulesets, stated_cases

WHOLE_JOBS = {path.stem: json.loads(path.read_text("utf-8")) for path in (ROOT / "examples" / "jobs").glob("*.json")}
WHOLE_JOBS |= {name: whole_job(JOBS / f"{name}.json") for name in NAMES}


# --- what the facts rule out -----------------------------------------------------------------------------------------


class RuledOut(NamedTuple):
    """Facts that are so, and what no remedy and no list of things to bring may name then."""

    facts: dict[str, Any]
    never: str


RULED_OUT = {
    "fuse only": RuledOut(
        {
            "circuits.nameplate.device_words": "fuse_only",
            "circuits.nameplate.maximum_breaker": {"none": "the nameplate says fuse only"},
            "circuits.nameplate.maximum_fuse": "30 A",
        },
        r"smaller breaker|largest standard breaker|breaker listed for the panel, (?:\d|or fuses)",
    ),
    "breaker only": RuledOut(
        {
            "circuits.nameplate.device_words": "breaker_only",
            "circuits.nameplate.maximum_fuse": {"none": "the nameplate says breaker only"},
            "circuits.nameplate.maximum_breaker": "30 A",
        },
        r"fused disconnect with|time-delay fuses|largest standard fuse|the panel, or fuses",
    ),
    "no second port": RuledOut({"condensate.secondary_port": False}, r"(?:second|secondary) port"),
    "no room for a pan": RuledOut(
        {"condensate.pan_possible": False, "condensate.secondary_port": False}, r"set a pan|pan in the size of the unit"
    ),
    "no heat kit": RuledOut({"heating.heat_kit": {"fitted": False}}, r"smaller heat kit"),
    "a lock that is none": RuledOut({"circuits.disconnect.lockable": False}, r"padlock"),
    "air conditioner": RuledOut({"scope.system": "split_air_conditioner"}, r"auxiliary heat"),
    "tested with refrigerant": RuledOut({"pressure_test.gas": "refrigerant"}, r"slowly, outdoors"),
}


def looks_at(rule: Rule, facts: dict[str, Any]) -> bool:
    """Whether a rule is of the part of the job that the facts are of."""
    words = str([rule.for_each, rule.require, rule.applies_when, rule.remedy])
    return any(path.split(".")[0] in words for path in facts)


def failing(data: dict[str, Any], rule_id: str | None, editions: dict[str, str] | None = None) -> Iterator[Finding]:
    """The failures of a job, of one rule or of all."""
    checker = shipped_rulesets()
    job = load(read_text(json.dumps(data).encode(), "job.json"), checker.vocabulary)
    found = checker.rule_on(job, rule_id, editions or {}, ON) if rule_id else checker.check_job(job, ON).findings
    yield from (finding for finding in found if finding.outcome == FAIL)


def told(finding: Finding) -> str:
    """What a finding says to do and to bring, without the conditions that are open."""
    return re.sub(r"\bIf [^:.]*: ", "", f"{finding.remedy} {finding.bring}")


def with_facts(data: dict[str, Any], facts: dict[str, Any]) -> dict[str, Any]:
    data = json.loads(json.dumps(data))
    for path, value in facts.items():
        if path.split(".")[0] in data or not path.startswith("circuits."):
            set_everywhere(data, path.split("."), value)
    return data


@pytest.mark.long
@pytest.mark.parametrize("name", RULED_OUT)
def test_no_remedy_of_a_failing_case_names_what_the_facts_rule_out(name: str) -> None:
    facts, never = RULED_OUT[name]
    looked = 0
    for one in stated_cases():
        rule = one.ruleset.rules.get(one.rule)
        of_a_place = bool(one.case.place) or one.ruleset.header.owner_kind in ("state", "local", "group")
        if one.case.expect != FAIL or rule is None or of_a_place or not looks_at(rule, facts):
            continue
        data = cases.job_data(one.case.given, rule.for_each, shipped_rulesets().vocabulary)
        for finding in failing(with_facts(data, facts), one.rule, one.case.editions):
            looked += 1
            assert not re.search(never, told(finding), re.IGNORECASE), f"{one.rule}/{one.case.name}: {told(finding)}"
    assert looked, "some case fails with these facts"


@pytest.mark.long
def test_no_remedy_of_a_whole_job_names_what_the_facts_rule_out() -> None:
    """The worked cases tell of each rule by itself; here what else is recorded of a house stands beside it."""
    for job, data in WHOLE_JOBS.items():
        for ruled_out in RULED_OUT.values():
            for finding in failing(with_facts(data, ruled_out.facts), None):
                assert not re.search(ruled_out.never, told(finding), re.IGNORECASE), (
                    f"{job} {finding.rule}: {told(finding)}"
                )


# --- cautions --------------------------------------------------------------------------------------------------------

ELECTRICAL = ("electric_shock", "arc_flash", "hot_wire", "wet_wiring", "live_reading")

# Words of a remedy → the cautions of which a rule that says them has one at least.
NEEDS: dict[str, tuple[str, ...]] = {
    r"braz|solder|torch": ("brazing",),
    r"nitrogen|pressuri[sz]e|pressure test|hold again": ("nitrogen",),
    r"in the panel|at the panel|from the panel|larger service|breaker": ELECTRICAL,
    r"\b(?:disconnect|receptacle|wire (?:it|the|that)|wet-rated wire|larger wire|lugs?|terminals|fuses)\b": ELECTRICAL,
    r"smaller breaker|breakers? (?:in|listed for) the panel|spaces? in the panel|panel too": ("arc_flash",),
    r"speed tap|blower speed|door switch": ("blower",),
    r"\broof\b|ladder|edge of the": ("heights",),
    r"\battic\b|crawl": ("attic",),
    r"\b(?:move|turn|raise|set|replace|exchange) (?:the unit|a unit|the furnace|the coil)|move or turn": ("lifting",),
    r"it with (?:a listed one|one that is)": ("lifting",),
    r"capacitor|discharge it": ("capacitor",),
    r"gas valve|gas (?:off|ahead|input|stays)|leak (?:fluid|solution)|hard pipe|capped nipple|shutoff": ("gas_leak",),
    r"\bflue\b|\bvent (?:that|and|which)|roof vent|draft|combustion air|heat exchanger": ("carbon_monoxide",),
    r"\brecover(?! it)\b|weigh (?:in|liquid|refrigerant|the)": ("refrigerant", "flammable_refrigerant"),
    r"evacuate|the vacuum": ("vacuum",),
    r"\bdig deeper|out of the ground": ("digging",),
    r"measure at|read voltage": ("live_reading",),
}

# Remedies that say such a word and ask for no such work: what they say instead.
ONLY_SAYS = {
    "instructions-on-site: at the panel": "papers are left there",
    "panel-directory-names-the-circuit: breaker": "the card in its door is written",
    "group-photographs-taken: the vacuum": "a photograph is taken",
}


def all_remedies() -> Iterator[tuple[str, str, Rule]]:
    for ruleset in shipped_rulesets().library.rulesets.values():
        for rule_id, rule in ruleset.rules.items():
            yield ruleset.id, rule_id, rule


def texts_of(rule: Rule) -> str:
    """All that a rule says to do, with the remedies of its branches."""
    branches = [
        branch for line in rule.require if isinstance(line, dict) for branch in line.get("any_of", ()) if isinstance(branch, dict)
    ]  # fmt: skip
    return " ".join([*spoken(rule.remedy), *(text for branch in branches for text in spoken(branch.get("remedy", "")))])


def test_every_remedy_has_the_cautions_that_its_work_needs() -> None:
    missing = []
    for _, rule_id, rule in all_remedies():
        said = texts_of(rule)
        for words, cautions in NEEDS.items():
            found = re.search(words, said, re.IGNORECASE)
            if found and not set(cautions) & set(rule.cautions) and f"{rule_id}: {found[0].lower()}" not in ONLY_SAYS:
                missing.append(f"{rule_id}: {found[0].lower()} ({' or '.join(cautions)})")
    assert [] == missing


def test_what_is_said_to_be_no_work_is_still_said() -> None:
    said = {rule_id: texts_of(rule).lower() for _, rule_id, rule in all_remedies()}
    assert [] == [one for one in ONLY_SAYS if one.partition(": ")[2] not in said[one.partition(": ")[0]]]


def test_a_caution_of_one_name_says_the_same_in_every_ruleset() -> None:
    texts: dict[str, set[str]] = {}
    for ruleset in shipped_rulesets().library.rulesets.values():
        for key, text in ruleset.header.cautions.items():
            texts.setdefault(key, set()).add(" ".join(text.split()))
    assert [] == [key for key, found in texts.items() if len(found) > 1]


def test_every_caution_is_named_by_some_rule_of_its_ruleset_or_of_one_above() -> None:
    rulesets = shipped_rulesets().library.rulesets
    named = {caution_of(rulesets, of, key) for of, _, rule in all_remedies() for key in rule.cautions}
    there = {caution_of(rulesets, one.id, key) for one in rulesets.values() for key in one.header.cautions}
    assert set() == there - named
