"""Everything that is proved of the rulesets of a library.

The proofs speak of known jobs, in which nothing is left open. What no known job fails, no other job fails: a rule says
'fail' of a job with gaps only where it says so of it however the gaps are filled. The same goes for passing.
"""

from __future__ import annotations

from collections.abc import Collection

from checker.authoring.lint.linter import chains
from checker.authoring.lint.unused import read_by_name
from checker.authoring.proofs import scopes, single, texts
from checker.authoring.proofs.found import Findings
from checker.authoring.proofs.pairs import Pairs
from checker.authoring.proofs.standing import Form, Forms
from checker.engine.checker import Checker
from checker.rulesets.chain import Chain


def prove(checker: Checker, about: Collection[str] = ()) -> Findings:
    """Prove what there is to prove of the rulesets named, or of all.

    Raises:
        ProblemsFound: A rule or layer is wrong itself: `lint` comes first.
    """
    forms, found = Forms(checker), Findings([], [], [])
    every: dict[str, list[Form]] = {}
    named = {name: one for name, one in checker.library.rulesets.items() if not about or name in about}
    mine = frozenset(rule for one in named.values() for rule in (*one.rules, *one.amend)) if about else frozenset()
    pairs, changed = Pairs(forms, found), set[int]()
    there = [chain for chain in chains(checker, about) if isinstance(chain, Chain)]
    for chain in sorted(there, key=lambda one: not one.place):  # a job at a place shows more than one at none
        by_rule = {rule: here for rule in chain.rule_ids if (here := list(forms.of(chain, rule)))}
        for rule, here in by_rule.items():
            seen = {id(form.rule) for form in every.get(rule, ())}
            every.setdefault(rule, []).extend(form for form in here if id(form.rule) not in seen)
        pairs.look(by_rule, mine)
        scopes.idle_changes(forms, found, chain, changed)
        scopes.gaps(forms, found, chain, by_rule)
    pairs.same()
    rules = [form.rule for here in every.values() for form in here]
    lists = {name: one.for_each for each in checker.library.rulesets.values() for name, one in each.rules.items()}
    for ruleset in named.values():
        for rule_id, asked in ruleset.rules.items():
            part, standing = ruleset.parts["rules", rule_id], every.get(rule_id, [])
            if standing:
                single.prove(single.Looked(forms, found, rule_id, standing, part, frozenset(asked.untried)))
                texts.title_figures(found, rule_id, asked.title, part, standing)
        scopes.idle_limits(found, ruleset, rules, read_by_name(checker))
        texts.untried_changes(found, ruleset)
        texts.given_twice(found, ruleset, lists, checker.vocabulary)
    return found
