"""What `amend` asks for a line that is added or changed, and for a text that is written anew."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from checker.commands.prompts import Asking, Option, refuse
from checker.commands.rules.amend_ground import Change

if TYPE_CHECKING:
    from checker.authoring.editing.amend import Amendable, Ground
    from checker.authoring.editing.file_edits import OneLine
    from checker.authoring.editing.layer_context import Layers
    from checker.authoring.editing.line_cases import NewFact

MOST = 70  # characters of a headline
GOING = {word: word for word in ("stricter", "looser", "different")}


def text_changed(
    ask: Asking, layers: Layers, rule_id: str, at: Amendable, field: str, text: str | None
) -> Callable[[Ground], Change]:
    """A title or a headline written anew."""
    from checker.authoring.editing.amend import text_set
    from checker.rulesets.remedy_words import spoken

    now = " / ".join(spoken(getattr(at.rule, field))) or "nothing yet"

    def read(typed: str) -> str:
        if field == "failed" and len(typed) > MOST:
            refuse(f"This headline has {len(typed)} characters; {MOST} fit.", "Say what is wrong, and no more.")
        return typed

    new = ask.text(f"It says: {now}. What is it to say?", Option(f"--{field}", text), read)
    return lambda ground: Change("amend", rule_id, text_set(layers, rule_id, field, new, ground))


def line_changed(
    ask: Asking, layers: Layers, rule_id: str, at: Amendable, what: str, text: str | None, direction: str | None
) -> Callable[[Ground], Change]:
    """A line that is added, `when` to when the rule applies; or one that takes the place of another."""
    from checker.authoring.editing import amend as amending
    from checker.authoring.editing import line_cases

    field = "applies_when" if what == "when" else "require"
    lines = list(getattr(at.rule, field) or []) if what != "change" else amending.lines_below(layers, rule_id, at)
    place = len(lines)
    if what == "change":
        place = ask.choice("Which line?", {line: i for i, line in enumerate(lines) if isinstance(line, str)})

    def read(typed: str) -> str:
        whole = [*lines[:place], typed, *lines[place + 1 :]]
        for problem in amending.line_problems(layers, rule_id, at, field, whole)[:1]:
            refuse(problem.what, problem.hint)
        return typed

    asked = "The new line? (one comparison of a fact with a limit, or a yes-or-no fact)"
    new = ask.text(asked, Option(f"--{what}", text), read)
    which = ask.choice("Does it ask", GOING, Option("--direction", direction)) if what == "change" else ""
    facts = _facts(ask, layers, at, new, "that fails" if field == "require" else "in which it does not apply")
    met = "fail" if field == "require" else "does_not_apply"

    def change(ground: Ground) -> Change:
        def data(cases: list[OneLine]) -> dict[str, Any]:
            if what != "change":
                return amending.line_added(layers, rule_id, field, new, ground, cases)
            whole = [*lines[:place], new, *lines[place + 1 :]]
            return amending.lines_set(layers, rule_id, at, whole, which, ground, cases)

        cases = line_cases.cases_of_line(layers, rule_id, at, ground, data([]), facts, met)
        passing = {fact.path: fact.passing for fact in facts}
        return Change("amend", rule_id, data(cases), passing)

    return change


def _facts(ask: Asking, layers: Layers, at: Amendable, line: str, other: str) -> list[NewFact]:
    """Each fact of a new line, with a value where the line is met and one where it is not."""
    from checker.authoring.editing import line_cases

    facts = []
    for path, in_job in line_cases.facts_in(layers, at.rule, line):
        leaf = layers.checker.vocabulary.leaf(in_job)
        assert leaf is not None
        asked = leaf.ask or leaf.title
        passing = _value(ask, leaf, f"For a case that passes. {asked}")
        failing = _value(ask, leaf, f"For a case {other}. {asked}")
        facts.append(line_cases.NewFact(path, in_job, passing, failing))
    return facts


def _value(ask: Asking, leaf: Any, question: str) -> str:
    """A value of a fact as cases write it."""
    from checker.fieldwork.prompts import shown_unit, value_of, words_of

    words = words_of(leaf)
    if words:
        word = ask.choice(question, words)
        return {"yes": "true", "no": "false"}.get(word, word) if leaf.form == "flag" else word
    return ask.text(f"{question}{shown_unit(leaf)}", read=lambda text: str(value_of(leaf, text)))
