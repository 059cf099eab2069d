"""A rule after layering → a bound rule: its lines and messages, its citations and cautions, and what answers settle.

Every mistake in a rule is a problem with its file, line and column; a rule with one is never judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checker.binding import authority_answers, other_rules, parser
from checker.binding.names import Context
from checker.binding.parser import ExpressionError
from checker.binding.rule_text import RuleText
from checker.ir import tree
from checker.ir.digests import digest
from checker.ir.node import replace
from checker.problems.problem import Problem, ProblemsFound, did_you_mean, tell
from checker.rulesets import provenance
from checker.rulesets.amounts_in_words import with_limits_of_here
from checker.rulesets.layering import NO_EDITION, Effective, meaning_of
from checker.rulesets.limits import LimitError
from checker.rulesets.models import Citation, Rule
from checker.rulesets.remedy_words import parts_of
from checker.rulesets.ruleset import caution_of, edition_within, stands_on

COMPARES = {"require", "where"}
ASKED = {*COMPARES, "applies_when"}
ASKED_OF = {  # who is asked where a ruleset does not say
    "code": "the authority having jurisdiction",
    "federal": "the federal agency whose rule it is",
    "manufacturer": "the manufacturer, by the manual",
    "state": "the state office",
    "local": "the office of the place",
    "practice": "the manufacturer, by the manual",
    "group": "the group",
}


def bind(found: Effective, context: Context) -> tuple[tree.BoundRule | None, list[Problem]]:
    """Bind one rule for a place, day and editions.

    Returns:
        The rule, or None where it is not in force there; and its author's mistakes, a hundred of them at the most.
    """
    edition = context.editions.get(found.home.id)
    rule = found.data
    assert isinstance(rule, Rule)
    if found.withdrawn or (edition is not None and not edition_within(rule.editions, edition)):
        return None, []
    try:
        binder = _Binder(found, context)
        bound = binder.rule(rule, edition)
    except ProblemsFound as many:
        return None, many.problems
    return (None if binder.problems else bound), binder.problems


class _Binder(RuleText):
    """Makes the bound rule of one rule. `asked` are the questions of the rules that it asks for by `met:`."""

    def __init__(self, found: Effective, context: Context) -> None:
        super().__init__(found, context)
        self.asked: list[tree.Ask] = []

    def met(self, name: Any, field: str) -> tree.Condition:
        text = f"met: {name}"
        other = other_rules.found(name, self.found, self.data, field, self.context)
        bound, problems = bind(other, self.context._replace(answered={}))
        for problem in problems:
            tell(self.problems, problem)
        if bound is None:
            return tree.Constantly(value=False, text=text)
        bound = other_rules.under_its_name(bound)
        self.resolver.where |= bound.where
        self.resolver.limits |= {one.name: one for one in bound.limits}
        self.resolver.doubtful += [f"{why} of '{name}'" for why in bound.doubtful]
        self.resolver.stale += [bound.stale] if bound.stale else []
        self.asked += [ask for ask in bound.verify if ask not in self.asked]
        return tree.All((*bound.applies.conditions, *bound.require.conditions))

    def rule(self, rule: Rule, edition: str | None) -> tree.BoundRule | None:
        if rule.for_each and not self.for_each:
            return None
        for name, text in rule.where.items():
            value = self.tried(("where", name), text, lambda text: self.resolver.value(parser.parse_value(text)))
            if value is not None:
                self.resolver.where[name] = value
        if self.problems:
            return None
        applies = self.lines("applies_when", rule.applies_when or [])
        require = self.lines("require", rule.require)
        asks = [self.ask(index, line) for index, line in enumerate(rule.verify_when or [])]
        for at, editions in [
            (("editions",), rule.editions),
            *((("citation", i, "editions"), c.editions) for i, c in enumerate(rule.citation)),
        ]:
            self.check_editions(at, editions)
        held = [(i, c) for i, c in enumerate(rule.citation) if edition is None or edition_within(c.editions, edition)]
        citations = tuple(filter(None, (self.citation(index, c, edition) for index, c in held)))
        if not held:
            self.note(
                ("citation", "="),
                ExpressionError(
                    f"No citation holds under edition {edition}.", 1, "Add one, or narrow the editions of the rule."
                ),
            )
        doubtful = tuple(dict.fromkeys([*self.resolver.doubtful, *self.doubts(citations)]))
        stands = authority_answers.settle(
            rule,
            self.found.answers,
            applies,
            require,
            asks,
            authority_answers.Doubts(doubtful, tuple(self.resolver.filled)),
        )
        if doubtful and not stands.doubtful:
            citations = tuple(self._lifted(citation) for citation in citations)
        chain = self.context.chain
        asked = repr(
            (stands.applies, (*stands.verify, *self.asked), stands.require, sorted(self.resolver.where.items()))
        )
        bound = tree.BoundRule(
            id=self.found.id,
            ruleset=self.found.home.id,
            title=rule.title,
            topic=rule.topic,
            obligation=rule.obligation,
            life_safety=rule.life_safety,
            judged=rule.judged,
            for_each=self.for_each,
            applies=tree.All(stands.applies),
            verify=(*stands.verify, *self.asked),
            require=tree.All(stands.require),
            where=self.resolver.where,
            units={name: self.resolver.unit_of(value) for name, value in self.resolver.where.items()},
            on_fail=self.text("on_fail"),
            remedy=self.ways(("remedy",), rule.remedy),
            bring=() if isinstance(rule.bring, dict) or parts_of(rule.bring) else self.ways(("bring",), rule.bring),
            photograph=self.text("photograph"),
            picture=rule.picture,
            ask=self.text("ask"),
            remedy_after=tuple(rule.remedy_after),
            mend=self.mend(rule.mend),
            cautions=self.cautions(rule),
            citations=tuple(dict.fromkeys((*citations, *self.laws(), *self.grounds()))),
            meaning=digest([meaning_of(chain, self.found, edition or NO_EDITION), asked]),
            doubtful=stands.doubtful,
            stale=self.found.stale or next(iter(self.resolver.stale), ""),
            acceptable_by="none" if self.found.home.header.owner_kind == "federal" else rule.acceptable_by,
            formerly=tuple(rule.formerly),
            settled=stands.settled,
            replies=self.replies(rule.answers),
            asked_of=rule.asked_of or self.found.home.header.asked_of or ASKED_OF[self.found.home.header.owner_kind],
            limits=tuple(self.resolver.limits.values()),
            weight=rule.weight,
            failed=self.headlines(rule.failed),
            parts=self.parts(rule.bring),
        )
        below = self.below()
        stand = provenance.replaced(bound, below) if below else bound.limits
        return replace(bound, title=with_limits_of_here(bound.title, stand), limits=stand)

    def below(self) -> tree.BoundRule | None:
        """The rule below the last amendment of what it requires; None where there is none, or it cannot be bound."""
        amended = self.found.amended
        last = max((at for at, one in enumerate(amended) if COMPARES & set(one.change.set)), default=-1)
        if last < 0:
            return None
        found = self.found._replace(data=amended[last].below, amended=amended[:last], answers=())
        return bind(found, self.context)[0]

    def laws(self) -> Iterator[tree.Citation]:
        """The sections by which the codes in force make the rule law, in the edition that is in force."""
        name, home, at = self.data.made_law_by, self.found.home, self.context.at
        if name and name not in home.header.made_law_by:
            hint = did_you_mean(name, home.header.made_law_by) or "Write it under 'made_law_by:' in ruleset.yaml."
            self.note(("made_law_by",), ExpressionError(f"'{name}' is not under 'made_law_by:' of {home.id}.", 1, hint))
            return
        for law in at.chain.laws(self.data, home):
            edition = at.editions.get(law.code)
            if edition and edition_within(law.editions, edition):
                yield provenance.cited(law, law.code, at)

    def grounds(self) -> Iterator[tree.Citation]:
        """The sections by which layers above its own changed the rule."""
        for one in self.found.amended:
            for index, ground in enumerate(one.change.citation):
                try:
                    yield provenance.cited(ground, one.ruleset.id, self.context.at)
                except LimitError as error:
                    part = one.ruleset.parts["amend", self.found.id]
                    tell(self.problems, part.problem(("citation", index, "document"), error.what, error.hint))

    def check_editions(self, at: tuple[str | int, ...], editions: str) -> None:
        """Editions that its own ruleset has, in their form: `2020`, `2014-2020`, `2020-`."""
        shipped = self.found.home.header.editions
        if editions and not shipped:
            self.note(
                at,
                ExpressionError(
                    f"{self.found.home.id} has no editions.", 1, "Ask for a code's edition by edition(CODE) >= EDITION."
                ),
            )
            return
        for part in editions.split(",") if editions else []:
            for end in part.split("-"):
                if end.strip() and end.strip() not in shipped:
                    what = f"'{end.strip()}' is not an edition of {self.found.home.id}."
                    self.note(
                        at,
                        ExpressionError(
                            what, 1, f"Editions: {', '.join(shipped)}; a span is written 2014-2020 or 2020-."
                        ),
                    )

    def citation(self, index: int, cited: Citation, edition: str | None) -> tree.Citation | None:
        """A citation as it stands under an edition, checked where somebody has confirmed what the rule means there."""
        try:
            found = provenance.cited(cited, self.found.set_by("citation"), self.context.at)
        except LimitError as error:
            self.note(("citation", index, "document"), ExpressionError(error.what, 1, error.hint))
            return None
        for one in self.context.chain.confirmations(self.found.id):
            meant = one.meaning.get(edition or NO_EDITION)
            if one.document == cited.document and meant == meaning_of(
                self.context.chain, self.found, edition or NO_EDITION
            ):
                return replace(found, section_sure="checked", requirement_sure="checked")
        return found

    def cautions(self, rule: Rule) -> tuple[tree.Caution, ...]:
        """The cautions of a rule, each out of the ruleset that names it or of one that this stands on."""
        chain, found = self.context.chain, []
        ruleset = self.found.set_by("caution")
        for index, key in enumerate(rule.cautions):
            caution = caution_of(chain.by_id, ruleset, key)
            at = ("caution", index) if isinstance(rule.caution, list) else ("caution",)
            if caution is None:
                known = [key for one in stands_on(chain.by_id, ruleset) for key in one.header.cautions]
                hint = did_you_mean(key, known) or "Write it under 'cautions:' in ruleset.yaml."
                self.note(at, ExpressionError(f"'{key}' is not a caution.", 1, hint))
            else:
                found.append(tree.Caution(*caution))
        return tuple(found)

    def doubts(self, citations: tuple[tree.Citation, ...]) -> list[str]:
        """Whether what is asked is doubtful: by the rule's own sections, or by those of a layer that changed what is asked."""
        changed = [one.change.citation for one in self.found.amended if ASKED & one.change.fields_changed]
        sure = [{one.requirement_sure for one in citations}, *({one.requirement_sure for one in c} for c in changed)]
        return ["the requirement"] if {"doubtful"} in sure else []

    @staticmethod
    def _lifted(citation: tree.Citation) -> tree.Citation:
        """A citation of which the authority has said what it asks here; the section stays as sure as it was."""
        asked = "checked" if citation.requirement_sure == "doubtful" else citation.requirement_sure
        return replace(citation, requirement_sure=asked)
