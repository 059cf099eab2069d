"""Everything that is wrong with rulesets and can be known without a job.

For each place that is covered, for a place that nobody covers, and for each ruleset that stands in none of these: the
chain, and every rule under every edition and in every period. For each ruleset: its header, limits and tables.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from checker.authoring.lint.adoptions import NeverAsked, covered_twice, older_after_newer
from checker.authoring.lint.answers import answers_problems
from checker.authoring.lint.case_gaps import gaps
from checker.authoring.lint.changes import NeverAdopted, change_problems, set_aside
from checker.authoring.lint.direction import direction_problems
from checker.authoring.lint.identity import identity_problems
from checker.authoring.lint.limit_values import limit_problems
from checker.authoring.lint.missing import missing_problems
from checker.authoring.lint.periods import backwards, edition_problems
from checker.authoring.lint.stale_words import left_over
from checker.authoring.lint.unreachable import Impossible, repeated
from checker.authoring.lint.unused import unused_problems
from checker.authoring.lint.word_of_mouth import hearsay_problems
from checker.authoring.lint.words import word_problems
from checker.binding import parser
from checker.binding.bound_once import bound_rule
from checker.binding.names import Context
from checker.binding.parser import ExpressionError
from checker.binding.resolver import Resolver
from checker.engine.checker import Checker
from checker.problems.problem import Problem, ProblemsFound, did_you_mean, first_of
from checker.reading import units
from checker.rulesets.chain import Chain, chain
from checker.rulesets.fingerprint import names_of
from checker.rulesets.layer_permissions import chain_problems
from checker.rulesets.layering import effective, meaning_of
from checker.rulesets.periods import FIRST_DAY, settings
from checker.rulesets.ruleset import Part, Ruleset
from checker.rulesets.stricter import On

MOST_MISTAKES = 1_000  # of all rulesets that are looked at together

# The sorts of mistakes, and what is wrong with those of a sort.
SORTS = {
    "shape": "A file is not of the form that rulesets have",
    "header": "The header of a ruleset names something that doesn't exist, or dates in the wrong order",
    "limit": "A limit cannot be read, has two values at once, or is a table with a gap or an overlap",
    "text": "A text quotes too much, promises what only the authority gives, or has a placeholder that stays one",
    "missing": "A fact does not say where it is seen, or a rule has no short headline",
    "identity": "The id of a rule is used again, or is gone with no record",
    "layer": "A layer changes something that doesn't exist or isn't its own, or weakens a 'shall'",
    "rule": "A rule names something that doesn't exist, mixes kinds, or can't be judged",
    "hearsay": "A binding rule rests on what the job says that the authority wants",
    "change": "A change is out of date, out of order, of no effect, or holds for nobody",
    "confirmation": "A confirmation no longer fits its rule",
    "answer": "An answer of the authority fits no question, is out of date, or doesn't say what it settles",
    "unused": "Nothing uses this name",
    "unreachable": "A condition is never true, or stands twice",
    "direction": "An amendment goes another direction than it says",
    "case": "No worked case tries an outcome, a side of a limit, an edition or a day",
}


def problems(checker: Checker, about: Collection[str] = ()) -> list[Problem]:
    """Every problem of the rulesets of a library, in the order of their texts.

    With `about`, layers are looked at only where one of these rulesets is among them, and only the rules of which one of
    these says something; texts, headers, limits and cases are looked at in these alone.

    A rule that stands on what is wrong would only say so again: rules are bound where headers and limits are sound, and
    looked at together and tried on jobs where all of them bind. What is left out is told where nothing else is wrong.
    """
    texts = first_of(_texts(checker, about), MOST_MISTAKES)
    wrong = (
        first_of(_singly(checker, about), MOST_MISTAKES)
        or first_of(_layered(checker, about), MOST_MISTAKES)
        or first_of(_together(checker, about), MOST_MISTAKES)
        or ([] if texts else first_of(_left_out(checker, about), MOST_MISTAKES))
    )
    return ProblemsFound([*texts, *wrong]).problems


def _of(sort: str, problems: Iterable[Problem]) -> Iterator[Problem]:
    return (problem._replace(sort=sort) for problem in problems)


def _looked_at(checker: Checker, about: Collection[str]) -> list[Ruleset]:
    return [one for name, one in checker.library.rulesets.items() if not about or name in about]


def _texts(checker: Checker, about: Collection[str]) -> Iterator[Problem]:
    for ruleset in _looked_at(checker, about):
        yield from _of("text", word_problems(ruleset))
    yield from _of("identity", identity_problems(checker.library, about))


def _singly(checker: Checker, about: Collection[str]) -> Iterator[Problem]:
    """What is wrong with headers and limits, each looked at by itself."""
    rulesets = checker.library.rulesets.values()
    amended = {name for ruleset in rulesets for name, change in ruleset.amend.items() if "editions" in change.set}
    for ruleset in _looked_at(checker, about):
        yield from _of("header", _header_problems(checker, ruleset))
        yield from _of("limit", (problem for name in ruleset.limits for problem in limit_problems(ruleset, name)))
        yield from _of("rule", edition_problems(ruleset, amended))


def _layered(checker: Checker, about: Collection[str]) -> Iterator[Problem]:
    """What is wrong with layers, and with rules under every edition and in every period."""
    impossible, never_adopted, never_asked = Impossible(), NeverAdopted(), NeverAsked()
    for one in chains(checker, about):
        if not isinstance(one, Chain):
            yield from _of("layer", one)
            continue
        wrong = first_of(_of("layer", chain_problems(one)))
        yield from wrong
        if wrong:  # layers that do what they may not leave nothing to bind
            continue
        for rule_id in one.rule_ids if not about else _rules_of(one, about):
            yield from _rule_problems(checker, one, rule_id, impossible)
        never_adopted.look(one)
        never_asked.look(one)
        yield from _of("header", older_after_newer(one))
        yield from _of("header", covered_twice(checker.library, one))
        yield from _of("change", change_problems(one))
        yield from _of("confirmation", _lapsed(one))
        yield from _of("answer", answers_problems(one, checker.vocabulary))
        yield from _of("header", _written_for_problems(checker, one))
    texts = {text.file for name in about for text in checker.library.rulesets[name].documents.values()}
    gathered = (("unreachable", impossible), ("change", never_adopted), ("unreachable", never_asked))
    for sort, wrong_there in ((sort, one.problems()) for sort, one in gathered):
        yield from _of(sort, (problem for problem in wrong_there if not about or problem.where.file in texts))


def _rules_of(one: Chain, about: Collection[str]) -> list[str]:
    """The rules of a chain of which some of its rulesets say something, or of a limit that they name."""
    said: set[str] = set()
    for ruleset in (one.by_id[name] for name in about if name in one.by_id):
        said.update(ruleset.rules, ruleset.limits, ruleset.amend, ruleset.withdraw, ruleset.restore)
        said.update(answer.rule for answer in ruleset.answers.values())
        said.update(confirmed.rule for confirmed in ruleset.confirm.values())
    return [rule for rule in one.rule_ids if rule in said or not said.isdisjoint(one.limits_named(rule))]


def _together(checker: Checker, about: Collection[str]) -> Iterator[Problem]:
    """What is wrong with rules that all bind: names that nothing uses, directions, and what no case tries."""
    seen: set[Part] = set()
    yield from _of("unused", unused_problems(checker))
    for one in chains(checker, about):
        if isinstance(one, Chain):
            yield from _of("direction", direction_problems(checker, one, seen, about))
    for ruleset in _looked_at(checker, about):
        yield from _of("unreachable", repeated(ruleset))
        yield from _of("case", gaps(checker, ruleset))


def _left_out(checker: Checker, about: Collection[str]) -> Iterator[Problem]:
    """What people go by and a ruleset does not say."""
    rulesets = checker.library.rulesets.values()
    for ruleset in rulesets:
        if not about or ruleset.id in about:
            around = [ruleset, *(one for one in rulesets if one.id in ruleset.header.uses)]
            headlines = any(rule.failed for one in around for rule in one.rules.values())
            yield from _of("missing", missing_problems(ruleset, checker.vocabulary, headlines))


def chains(checker: Checker, about: Collection[str]) -> Iterator[Chain | list[Problem]]:
    """The chain of every place, of none, and of each ruleset that is in none of these; or why it cannot be made.

    With `about`, only those that one of these rulesets is in.
    """
    library = checker.library
    places = sorted({place for ruleset in library.rulesets.values() for place in ruleset.header.covers})
    seen: set[str] = set()
    for place, wanted in [
        *((place, checker.wanted) for place in ("", *places)),
        *((place, (name,)) for name, one in library.rulesets.items() for place in (*library.worked_at(one), "")),
    ]:
        if not place and wanted and wanted != checker.wanted and wanted[0] in seen:
            continue
        try:
            layers = chain(library, place, wanted)
        except ProblemsFound as error:
            yield error.problems
            continue
        seen |= set(layers.by_id)
        if not about or not layers.by_id.keys().isdisjoint(about):
            yield layers


# --- headers ---------------------------------------------------------------------------------------------------------


def _header_problems(checker: Checker, ruleset: Ruleset) -> Iterator[Problem]:
    part, vocabulary, header = ruleset.parts["header", ""], checker.vocabulary, ruleset.header
    for index, adoption in enumerate(header.adopts):
        code = checker.library.rulesets.get(adoption.code)
        if code is None or adoption.edition not in code.header.editions:
            what = f"There is no edition {adoption.edition} of '{adoption.code}' here."
            hint = (
                f"Editions: {', '.join(code.header.editions)}."
                if code
                else did_you_mean(adoption.code, checker.library.rulesets)
            )
            yield part.problem(("adopts", index, "edition" if code else "code"), what, hint or "Name its ruleset.")
        yield from _not_a_date(checker, part, ("adopts", index, "counts"), adoption.counts)
        yield from backwards(part, ("adopts", index, "until"), adoption.starts, adoption.until)
    for name, laws in header.made_law_by.items():
        for index, law in enumerate(laws):
            codes = [one for one in checker.library.rulesets.values() if one.header.editions]
            if law.code not in {code.id for code in codes}:
                what = f"There is no code '{law.code}' here that could make it law."
                hint = did_you_mean(law.code, [code.id for code in codes]) or "Name the ruleset of a code."
                yield part.problem(("made_law_by", name, index, "code"), what, hint)
    for path, ends in header.possible.items():
        leaf = vocabulary.leaves.get(path)
        if leaf is None or leaf.kind not in units.kinds():
            hint = did_you_mean(path, vocabulary.leaves) or "Name a fact that is an amount."
            yield part.problem(("possible", path, "="), f"'{path}' is not a fact with an amount.", hint)
            continue
        for index, text in enumerate(ends):
            try:
                units.read_amount(text, leaf.kind, leaf.unit)
            except units.UnitError as error:
                yield part.problem(("possible", path, index), error.what, error.hint)


def _not_a_date(checker: Checker, part: Part, at: tuple[str | int, ...], path: str) -> Iterator[Problem]:
    dates = [leaf.path for leaf in checker.vocabulary.leaves.values() if leaf.kind == "date"]
    if path not in dates:
        yield part.problem(
            at, f"'{path}' is not a date of a job.", did_you_mean(path, dates) or f"One of: {', '.join(dates[:8])}."
        )


# --- rules -----------------------------------------------------------------------------------------------------------


def _rule_problems(checker: Checker, chain: Chain, rule_id: str, impossible: Impossible) -> Iterator[Problem]:
    """The mistakes of a rule under any edition and in any period; what is never true in it is gathered."""
    home = chain.homes["rules", rule_id]
    rule, part = home.rules[rule_id], home.parts["rules", rule_id]
    for index, other in enumerate(rule.remedy_after):
        if other not in chain.rule_ids:
            hint = did_you_mean(other, chain.rule_ids) or "Name a rule that is in force with this one."
            yield from _of("rule", [part.problem(("remedy_after", index), f"There is no rule '{other}'.", hint)])
    for name in sorted(names_of(rule) & chain.limit_names):
        owner = chain.homes["limits", name]
        if not chain.uses(home.id, owner.id):
            what = f"The limit '{name}' is of {owner.id}, which {home.id} does not use."
            yield from _of("rule", [part.problem(("=",), what, f"Add {owner.id} under 'uses' of {home.id}.")])
    if rule.date:
        yield from _of("rule", _not_a_date(checker, part, ("date",), rule.date))
    for in_force, day in settings(chain, rule_id):
        layered = effective(chain, "rules", rule_id, in_force, day)
        bound, wrong = bound_rule(chain, checker.vocabulary, rule_id, in_force, day)
        yield from _of("rule", wrong)
        if bound:
            impossible.look(layered, bound)
            yield from _of("hearsay", hearsay_problems(layered, bound, checker.vocabulary))
            yield from _of("change", left_over(chain, layered, bound))
            yield from _of("change", set_aside(chain, bound, On(in_force.get(home.id), day)))


# --- confirmations ----------------------------------------------------------------------------------------------------


def _lapsed(chain: Chain) -> Iterator[Problem]:
    """Confirmations of a rule that is not here, or that has since come to mean something else."""
    for ruleset in chain.rulesets:
        for name, confirmed in ruleset.confirm.items():
            part = ruleset.parts["confirm", name]
            home = chain.homes.get(("rules", confirmed.rule))
            if home is None:
                hint = did_you_mean(confirmed.rule, chain.rule_ids) or "'changeout rules overview' names the rules."
                yield part.problem(("rule",), f"There is no rule '{confirmed.rule}'.", hint)
                continue
            if confirmed.document not in {cited.document for cited in home.rules[confirmed.rule].citation}:
                what = f"'{confirmed.rule}' does not cite '{confirmed.document}'."
                yield part.problem(("document",), what, "Name a document that it cites.")
            for edition, meant in confirmed.meaning.items():
                layered = effective(chain, "rules", confirmed.rule, {home.id: edition}, FIRST_DAY)
                if meaning_of(chain, layered, edition) != meant:
                    what = f"'{confirmed.rule}' no longer means what was confirmed (edition {edition})."
                    hint = "Read the section again and confirm it anew, or take this out."
                    yield part.problem(("meaning", edition), what, hint)


# --- what a ruleset is written for -----------------------------------------------------------------------------------


def _written_for_problems(checker: Checker, chain: Chain) -> Iterator[Problem]:
    resolver = Resolver(Context(chain, checker.vocabulary, {}, FIRST_DAY))
    for ruleset in chain.rulesets:
        for index, line in enumerate(ruleset.header.written_for):
            try:
                resolver.condition(parser.parse_condition(line.when), line.when)
            except ExpressionError as error:
                part = ruleset.parts["header", ""]
                yield part.problem(("written_for", index, "when"), error.what, error.hint, error.column)
            named = [("hold_beyond", at, rule) for at, rule in enumerate(line.hold_beyond)]
            for field, at, rule in named + [("only", at, rule) for at, rule in enumerate(line.only)]:
                if rule not in ruleset.rules:
                    what = f"'{rule}' is not a rule of this ruleset."
                    hint = did_you_mean(rule, ruleset.rules) or "Name a rule of this ruleset, or take it out."
                    yield ruleset.parts["header", ""].problem(("written_for", index, field, at), what, hint)
