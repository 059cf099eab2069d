"""The program that a release froze: what its jobs are judged by, as on the day of the release."""

from __future__ import annotations

from collections.abc import Iterable

from checker.ir.codec import CodecError
from checker.ir.program import Program, loaded
from checker.ir.references import patterns_read
from checker.problems.problem import refused
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.chain import Chain
from checker.rulesets.release import GET_IT_AGAIN, Frozen
from checker.trade import functions


def frozen_program(place: Chain, releases: Iterable[Frozen], vocabulary: Vocabulary) -> Program | None:
    """The program of a place out of the releases in use.

    Returns:
        None where no release froze one for just the rulesets of this place: its rules are bound from the texts that it froze.

    Raises:
        ProblemsFound: It is no whole program, or this version of the program would judge by it otherwise than on its day.
    """
    sources = [(one.id, one.digest) for one in place.rulesets]
    for frozen in releases:
        data = frozen.programs.get(place.place)
        if data is None:
            continue
        program = _loaded(frozen, data)
        if [(one.id, one.digest) for one in program.sources] == sources:
            _refuse_what_changed(frozen, program, vocabulary)
            return program
    return None


def _loaded(frozen: Frozen, data: object) -> Program:
    try:
        return loaded(data)
    except CodecError as error:
        raise refused(frozen.shown, f"Its program cannot be read. {error}", GET_IT_AGAIN) from None


def _refuse_what_changed(frozen: Frozen, program: Program, vocabulary: Vocabulary) -> None:
    """Refuse a release that calls a function which works otherwise now, or reads a fact that jobs no longer have."""
    hint = f"Judge with version {frozen.made_by} of this program, which wrote the release, or release the ruleset anew."
    known = functions()
    for name, used in program.functions.items():
        if name not in known or known[name].version != used.version:
            now = f"version {known[name].version}" if name in known else "none"
            what = f"{frozen.name} was released with version {used.version} of the function '{name}'; here is {now}."
            raise refused(frozen.shown, what, hint)
    for path in sorted(_changed(program, vocabulary)):
        raise refused(frozen.shown, f"{frozen.name} reads '{path}', which jobs no longer record that way.", hint)


def _changed(program: Program, vocabulary: Vocabulary) -> set[str]:
    """The facts that rules read and that jobs hold otherwise now, or not at all."""
    leaves = vocabulary.leaves
    others = {
        path
        for path, domain in program.facts.items()
        if path not in leaves or (leaves[path].form, leaves[path].kind) != (domain.form, domain.kind)
    }
    if not others:
        return others
    rules = {id(one.rule): one.rule for several in program.rules.values() for one in several if one.rule}
    read = {
        path
        for rule in rules.values()
        for node in rule.conditions
        for path in patterns_read(node, rule.where, rule.for_each)
    }
    return others & read
