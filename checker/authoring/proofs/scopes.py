"""Changes that change nothing, limits that nothing reads, and gaps: jobs that no rule of a topic looks at."""

from __future__ import annotations

from collections.abc import Iterator

from checker.authoring.lint.changes import Layered, layered
from checker.authoring.proofs.encoding import Undecided, both, denied, either
from checker.authoring.proofs.found import Findings
from checker.authoring.proofs.standing import Form, Forms, NotShown, outcomes_differ, reason_of, shown
from checker.ir import tree
from checker.ir.node import fields_holding
from checker.ir.outcomes import FAIL, PASS
from checker.ir.visitor import walk_through
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.rulesets.chain import Chain
from checker.rulesets.models import Amendment
from checker.rulesets.periods import settings
from checker.rulesets.ruleset import Ruleset

SAYS_ONLY = {"title", "weight", "intent", "citation", "on_fail", "failed", "remedy", "bring", "photograph", "note", "topic",
             "picture", "acceptable_by", "obligation", "life_safety", "caution", "ask", "asked_of", "answers"}  # fmt: skip


def idle_changes(forms: Forms, found: Findings, chain: Chain, seen: set[int]) -> None:
    """Tell of an amendment of a requirement or a limit under which no job comes to another outcome."""
    for change in layered(chain):
        asked = change.change
        if not isinstance(asked, Amendment) or id(asked) in seen or set(asked.fields_changed) <= SAYS_ONLY:
            continue
        seen.add(id(asked))
        pairs = list(_pairs(forms, change))
        try:
            if not pairs or any(_differs(forms, *pair) for pair in pairs):
                if any(f.own.free | f.require.free for pair in pairs for f in pair):
                    raise NotShown
                found.decided.append(f"{change.name} idle-change")
                continue
            here = pairs[0][1]
            shows = None
            for outcome, formula in ((FAIL, here.fails), (PASS, here.passes)):
                shows = shows or shown(forms, (formula,), {here.rule.id: (here, outcome)})
        except (Undecided, NotShown) as error:
            found.undecided.append(
                ("idle-change", change.name, reason_of(error, *(f.require for p in pairs for f in p)))
            )
            continue
        if shows:
            what = f"This changes the outcome of no job: '{change.name}' asks the same without it."
            hint = "Take the amendment out, or write what it should change."
            found.tell(
                "idle-change", f"{change.ruleset.id}: {change.name}", change.part.problem(("=",), what, hint), shows
            )


def _pairs(forms: Forms, change: Layered) -> Iterator[tuple[Form, Form]]:
    """The forms without and with a change of each rule that it is about, where it holds."""
    here = change.here
    rules = (
        [change.name]
        if change.section == "rules"
        else [r for r in here.rule_ids if change.name in here.limits_named(r)]
    )
    for rule in rules:
        for editions, day in settings(here, rule):
            if change.holds(editions.get(change.home.id, ""), day) and rule in change.below.rule_ids:
                pair = [forms.at(layers, rule, editions, day) for layers in (change.below, here)]
                if pair[0] and pair[1]:
                    yield pair[0], pair[1]


def _differs(forms: Forms, below: Form, here: Form) -> bool:
    if (below.rule.doubtful, below.rule.stale) != (here.rule.doubtful, here.rule.stale):
        return True
    return forms.encoding.job(outcomes_differ(below, here._replace(scope=below.scope))) is not None


# --- limits ----------------------------------------------------------------------------------------------------------


def idle_limits(found: Findings, ruleset: Ruleset, rules: list[tree.BoundRule], read_by_name: set[str]) -> None:
    """Tell of a limit that nothing in any bound rule reads."""
    read = set(read_by_name)
    for rule in rules:
        parts = [getattr(rule, field) for field in fields_holding(tree.BoundRule) if field not in ("where", "limits")]
        for one in (one for part in parts for one in walk_through(part, rule.where)):
            read.update(
                [one.name] if isinstance(one, tree.Constant) else [one.table] if isinstance(one, tree.Lookup) else []
            )
    for name in ruleset.limits:
        if name not in read:
            what = f"No rule reads the limit '{name}' under any edition or on any day."
            found.tell(
                "idle-limit",
                name,
                ruleset.parts["limits", name].problem(("=",), what, "Take it out, or name it in a rule."),
            )


# --- gaps ------------------------------------------------------------------------------------------------------------


def gaps(forms: Forms, found: Findings, chain: Chain, by_rule: dict[str, list[Form]]) -> None:
    """Tell of a value of a fact at which no rule of a topic applies, though each of them applies by the value of this fact.

    A topic of two rules and more counts; each has to hang on the fact, and some value has to be looked at.
    """
    topics: dict[tuple[str, str], list[Form]] = {}
    for rule, every in by_rule.items():
        if every:
            topics.setdefault((chain.homes["rules", rule].id, every[-1].rule.topic), []).append(every[-1])
    for (home, topic), rules in topics.items():
        hung = frozenset.intersection(*(form.own.facts for form in rules))
        for path in sorted(hung) if len(rules) > 1 else ():
            try:
                _gap(forms, found, rules, path, f"{home}: {topic}")
            except (Undecided, NotShown) as error:
                found.undecided.append(("gap", f"{home}: {topic}", reason_of(error, *(form.own for form in rules))))


def _gap(forms: Forms, found: Findings, rules: list[Form], path: str, name: str) -> None:
    leaf = forms.checker.vocabulary.leaves[path]
    if len(leaf.possible) < 3:
        return
    looked = either(*(both(form.own) for form in rules))
    each = {word: forms.encoding.is_word(path, word) for word in leaf.possible}
    seen = {word for word, formula in each.items() if forms.encoding.job(formula, looked) is not None}
    by_themselves = [{w for w, formula in each.items() if forms.encoding.job(formula, form.own)} for form in rules]
    if any(one == seen for one in by_themselves):  # the topic is about these values alone
        return
    anything = either(looked, denied(looked))  # every fact that the rules hang on
    for word in (word for word in leaf.possible if word not in seen):
        form = rules[0]
        shows = shown(forms, (each[word], form.scope, anything), {one.rule.id: (one, DOES_NOT_APPLY) for one in rules})
        if shows:
            topic = form.rule.topic
            part = form.chain.homes["rules", form.rule.id].parts["rules", form.rule.id]
            what = f"No rule on '{topic}' looks at a job where {path} is {word}."
            hint = "Add a rule, or widen one; each of the others looks at other values of this fact."
            found.tell("gap", f"{name}: {path} is {word}", part.problem(("applies_when",), what, hint), shows)
