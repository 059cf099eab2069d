"""One rule by itself: whether it can apply, fail and pass, which options decide, and which facts and questions matter."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from checker.authoring.proofs.encoding import Formula, Undecided, both, denied, either
from checker.authoring.proofs.found import Findings
from checker.authoring.proofs.standing import Form, Forms, NotShown, Witness, outcomes_differ, reason_of, shown
from checker.binding import authority_answers
from checker.ir import tree
from checker.ir.outcomes import FAIL, PASS
from checker.ir.visitor import walk
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.rulesets.ruleset import Part


class Looked(NamedTuple):
    """One rule in all its forms, where it stands, and for which outcomes its author says why no case can try them."""

    forms: Forms
    found: Findings
    rule_id: str
    every: Sequence[Form]
    part: Part
    explained: frozenset[str]


def prove(at: Looked) -> None:
    """Prove what there is to prove of one rule."""
    if _never(at, "never-applies", DOES_NOT_APPLY, "", at.every):
        return
    firm = [form for form in at.every if form.settled]
    if firm:
        never_passes = _never(at, "never-passes", FAIL, PASS, firm)
        if _never(at, "never-fails", PASS, FAIL, firm) or never_passes:
            return
        if _options(at, firm):  # what a shadowed option reads does not matter either
            return
    _facts(at)
    _questions(at)


CANNOT = {
    "never-applies": ("applies to no job", "Correct 'applies_when', or take the rule out."),
    "never-fails": ("fails on no job", "Correct 'require', or say under 'untried: fail' why it is so."),
    "never-passes": ("is passed by no job", "Correct 'require', or say under 'untried: pass' why it is so."),
}


def _never(at: Looked, sort: str, instead: str, outcome: str, forms: Sequence[Form]) -> bool:
    """Tell where a rule comes to an outcome on no job, in none of its forms. Whether it is so."""
    answered = {reply.means for form in forms for reply in form.rule.replies}
    if (outcome or DOES_NOT_APPLY) in at.explained or {FAIL: "not_met", PASS: "met"}.get(outcome, "") in answered:
        return False
    shows: Witness | None = None
    for form in forms:
        claim = {"": form.applies, PASS: form.passes, FAIL: form.fails}[outcome]
        may = {"": both(form.scope, either(form.own, denied(form.own))), PASS: form.fails, FAIL: form.passes}[outcome]
        try:
            if at.forms.encoding.job(claim) is not None:
                if claim.free:  # the walk has to say so too
                    if not outcome:
                        raise NotShown
                    shown(at.forms, (claim,), {at.rule_id: (form, outcome)})
                at.found.decided.append(f"{at.rule_id} {sort}")
                return False
            shows = shows or shown(at.forms, (may,), {at.rule_id: (form, instead)})
        except (Undecided, NotShown) as error:
            at.found.undecided.append((sort, at.rule_id, reason_of(error, claim)))
            return False
    if shows:
        what, hint = CANNOT[sort]
        at.found.tell(sort, at.rule_id, at.part.problem(("=",), f"'{at.rule_id}' {what}.", hint), shows)
    return shows is not None


# --- options ---------------------------------------------------------------------------------------------------------


def _options(at: Looked, forms: Sequence[Form]) -> bool:
    """Tell of a branch of `any_of` that is met only where another one is met too, in every form in which it can be met.

    Returns:
        Whether there is one.
    """
    shadows: dict[tuple[int, int], list[tuple[set[int], Form, Formula]]] = {}
    names: dict[tuple[int, int], str] = {}
    for form in forms:
        for number, node in enumerate(one for one in walk(form.rule.require) if isinstance(one, tree.AnyOf)):
            branches = [at.forms.encoding.of(branch.condition, form.rule) for branch in node.branches]
            for index, branch in enumerate(branches):
                names[number, index] = node.branches[index].option or _text(node.branches[index].condition)
                try:
                    if at.forms.encoding.job(form.firm, branch) is not None:
                        over = set(_shadowing(at, form, branches, index))
                        shadows.setdefault((number, index), []).append((over, form, branch))
                except Undecided as error:
                    at.found.undecided.append(("shadowed", at.rule_id, reason_of(error)))
    gone: set[tuple[int, int]] = set()
    for (number, index), found in sorted(shadows.items(), reverse=True):
        over = {one for one in set.intersection(*(one[0] for one in found)) if (number, one) not in gone}
        if over:
            form, branch = found[0][1:]
            other = names[number, min(over)]
            try:
                shows = shown(at.forms, (form.passes, branch), {at.rule_id: (form, PASS)})
            except (Undecided, NotShown) as error:
                at.found.undecided.append(("shadowed", at.rule_id, reason_of(error, branch)))
                continue
            if shows:
                gone.add((number, index))
                what = f"Whoever meets the option '{names[number, index]}' of '{at.rule_id}' meets '{other}' too."
                hint = "Take it out, or correct the one that is too wide."
                name = f"{at.rule_id}: {names[number, index]}"
                at.found.tell("shadowed", name, at.part.problem(("require",), what, hint), shows)
    return bool(gone)


def _shadowing(at: Looked, form: Form, branches: Sequence[Formula], index: int) -> Iterator[int]:
    for other, wider in enumerate(branches):
        if other != index and at.forms.encoding.job(form.firm, branches[index], denied(wider)) is None:
            yield other


def _text(node: tree.Condition) -> str:
    """The text of a condition, or of the single ones inside a group."""
    return getattr(node, "text", "") or ", ".join(one.text for one in walk(node) if hasattr(one, "text"))


# --- facts and questions ---------------------------------------------------------------------------------------------


def _facts(at: Looked) -> None:
    """Tell of a fact of which no value changes what a rule says, in no form that reads it."""
    reading: dict[str, list[Form]] = {}
    for form in at.every:
        for path in form.own.facts | form.require.facts:  # `verify_when` has a proof of its own
            reading.setdefault(path, []).append(form)
    for path, forms in sorted(reading.items()):
        if any(path in one.behind for form in forms for one in (form.own, form.asked, form.require)):
            continue
        try:
            if all(_idle(at, form, path) for form in forms):
                form = forms[0]
                parts = (form.passes,) if at.forms.encoding.job(form.passes) else (form.fails,)
                outcome = PASS if parts == (form.passes,) else FAIL
                shows = shown(at.forms, parts, {at.rule_id: (form, outcome)}) if form.settled else None
                if shows:
                    what = f"No value of '{path}' changes what '{at.rule_id}' says of a job."
                    hint = "Take it out of the conditions: people would be asked for what does not matter."
                    at.found.tell("idle-fact", f"{at.rule_id}: {path}", at.part.problem(("=",), what, hint), shows)
        except (Undecided, NotShown) as error:
            at.found.undecided.append(("idle-fact", f"{at.rule_id}: {path}", reason_of(error, forms[0].require)))


def _idle(at: Looked, form: Form, path: str) -> bool:
    (own, asked, require), possible = at.forms.encoding.with_other(path, (form.own, form.asked, form.require))
    other = form._replace(own=own, asked=asked, require=require)
    return at.forms.encoding.job(form.scope, possible, outcomes_differ(form, other)) is None


def _questions(at: Looked) -> None:
    """Tell of a question under `verify_when` that no job raises, and of a rule's own that nothing leaves open."""
    never: dict[str, bool] = {}
    for form in at.every:
        for ask in form.rule.verify:
            key = _text(ask.condition)
            try:
                none = at.forms.encoding.job(both(form.applies, at.forms.encoding.of(ask.condition, form.rule))) is None
            except Undecided as error:
                at.found.undecided.append(("idle-question", at.rule_id, reason_of(error)))
                none = False
            never[key] = never.get(key, True) and none
    for text in (text for text, none in never.items() if none):
        what = f"The question of '{at.rule_id}' under '{text}' never comes up."
        hint = "Correct the line, or take it out."
        at.found.tell("idle-question", f"{at.rule_id}: {text}", at.part.problem(("verify_when",), what, hint))
    rules = [form.rule for form in at.every]
    own = [r for r in rules if r.ask and not r.replies]
    left = any(r.doubtful or r.verify or r.settled or r.stale or any(authority_answers.open_limits(r)) for r in rules)
    if own and not left and not any(isinstance(one, tree.Unsettled) for r in rules for one in walk(r)):
        what = f"'{at.rule_id}' has an 'ask', and nothing in it is left to the authority."
        at.found.tell("idle-question", at.rule_id, at.part.problem(("ask",), what, "Take the 'ask' out."))
