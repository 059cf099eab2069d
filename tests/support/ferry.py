"""An invented ruleset of ferries, with all that a keeper could make looser in it."""

from __future__ import annotations

from typing import Any

from checker.reading.files import read_text
from checker.rulesets.plain_data import lean, plain
from checker.rulesets.ruleset import assembled

HEADER = """id: ferry
version: 1.0.0
title: Ferries (invented)
owner: The ferry office (invented)
owner_kind: code
editions: ["1", "2", "3"]
reviewed_through: 2030-01-01
documents: {book: Ferry book}
covers: [xx-ferry, xx-pier]
uses: {river: ">=1.0, <2"}
cautions: {water: Cold water kills., ropes: A rope under load cuts.}
written_for: [{when: ferry.sails, otherwise: Not for rowing boats.}]
"""
RULES = """rules:
  rail-high-enough:
    title: The rail is high enough
    topic: rails
    obligation: shall
    life_safety: true
    intent: People lean on it.
    caution: [water, ropes]
    acceptable_by: none
    judged: guarded
    editions: "1-3"
    citation: [{document: book, section: "2", section_sure: from_memory, requirement_sure: doubtful, editions: "2-"}]
    applies_when: [ferry.sails]
    where: {height: rail.top - rail.foot}
    require: [height >= least_rail, rail.firm]
    failed: "Too low: {height}, least {least_rail}"
    on_fail: "The rail is {height} high; {least_rail} is the least."
    remedy: Raise the rail.
    cases:
      - {name: high, given: {rail.top: 4 ft}, expect: pass}
      - {name: low, given: {rail.top: 2 ft}, expect: fail}
  gap-small:
    title: The gap at the ramp is small
    topic: rails
    obligation: shall
    intent: Feet.
    acceptable_by: state
    citation: [{document: book, section: "4", section_sure: checked, requirement_sure: checked}]
    require: [ramp.gap <= widest_gap, is_size(ramp.bolt), "wire_for[deck: deck.kind] <= ramp.load"]
    cases: [{name: small, given: {ramp.gap: 1 in}, expect: pass}]
limits:
  least_rail:
    title: Least height of a rail
    unit: ft
    values: [{value: "3", source: Book 3, sure: from_memory}]
  widest_gap:
    title: Widest gap
    unit: in
    values: [{value: "2", source: Book 4, sure: checked}]
  sizes:
    title: Sizes of bolts
    kind: word
    values: [{value: [small, middle, large], source: Book 5, sure: checked}]
  wire_for:
    title: Wire for a deck
    unit: A
    keys: {deck: [upper, lower]}
    values:
      - source: Book 7
        sure: checked
        rows: [{deck: upper, value: "10"}, {deck: lower, value: "20"}]
"""
CHANGES = """amend:
  oars-stowed:
    reason: Ours are longer.
    citation: [{document: book, section: "12", section_sure: checked, requirement_sure: checked}]
    meaning: {any: 0123456789abcdef}
    set: {require: [oars.stowed, oars.lashed], obligation: shall}
"""
OARS = """rules:
  oars-stowed:
    title: The oars are stowed
    topic: oars
    obligation: should
    intent: Shins.
    citation: [{document: book, section: "12", section_sure: checked, requirement_sure: checked}]
    require: [oars.stowed]
    cases: [{name: stowed, given: {oars.stowed: "true"}, expect: pass}]
"""
WITHDRAWN = """withdraw:
  oars-stowed:
    reason: Nobody rows.
    citation: [{document: book, section: "13", section_sure: checked, requirement_sure: checked}]
    meaning: {any: 0123456789abcdef}
amend:"""


def data(*texts: str, header: str = HEADER) -> dict[str, Any]:
    files = {"ruleset.yaml": header} | {f"topic{index}.yaml": text for index, text in enumerate(texts)}
    documents = {name: read_text(text.encode(), name) for name, text in files.items()}
    return lean(plain(assembled(documents, "ferry", "0")))


BELOW = {section: data(OARS)[section] for section in ("rules", "limits")}
