"""`changeout rules amend`."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click

from checker.commands import options
from checker.commands.prompts import Asking, Option, a_day, refuse
from checker.commands.ruleset_edits import Edit, EditSession, edits_a_ruleset
from checker.problems.problem import refused

if TYPE_CHECKING:
    from checker.authoring.editing.amend import Amendable, Ground
    from checker.authoring.editing.boundary_cases import Movable
    from checker.authoring.editing.file_edits import OneLine
    from checker.authoring.editing.layer_context import Layers

HOW_SURE = {"read in print": "checked", "from memory": "from_memory", "doubtful": "doubtful"}
ANOTHER = "another document"


@options.command()
@click.argument("rule")
@click.option("--limit", help="The limit to move.")
@click.option("--to", "value", help="The new value of the limit.")
@click.option("--withdraw", is_flag=True, help="Withdraw the rule.")
@click.option("--add", "added", metavar="LINE", help="A line more that it requires.")
@click.option("--reason", help="Why this place asks something else.")
@click.option("--document", help="The document that says so: title or key.")
@click.option("--section", help="The section of that document.")
@click.option("--sure", help="checked, from_memory or doubtful.")
@click.option("--from", "starts", help="The first day it holds, or 'always'.")
@edits_a_ruleset
def amend(
    rule: str,
    limit: str | None,
    value: str | None,
    withdraw: bool,
    added: str | None,
    reason: str | None,
    document: str | None,
    section: str | None,
    sure: str | None,
    starts: str | None,
    session: EditSession,
) -> None:
    """Change what RULE, of a ruleset below, asks at the place of a ruleset.

    A limit is moved, a line is changed or added, or the rule is withdrawn. The meaning that the
    change is bound to is written for every edition in force there. Asks for
    the rest; shows the edit first. Exit code: 0 written; 1 written, and the ruleset has mistakes; 2 it cannot be done.
    """
    from checker.authoring.editing import amend as amending
    from checker.authoring.editing.layer_context import rule_below

    ask, layers = session.ask, session.layers
    rule_below(layers, rule)
    day = _first_day(ask, starts)
    at = amending.amendable(layers, rule, day)
    _tell(layers, rule, at)
    what = _what(ask, at, limit, withdraw, added)
    change = _change_of(ask, layers, rule, at, what, value, added)
    ground, edits = _ground(session, day, reason, document, section, sure)
    operation, name, data = change(ground)
    _say_of_days(day, data)
    session.write([*edits, session.new_entry(operation, name, data)])
    _say_of_words(layers, rule, what, at)
    _say_of_cases(what, data)
    session.finish()


def _first_day(ask: Asking, starts: str | None) -> str:
    def day(text: str) -> str:
        return "" if text == "always" else a_day(text)

    return ask.text("From which day on? (year-month-day, or always)", Option("--from", starts), day)


def _tell(layers: Layers, rule_id: str, at: Amendable) -> None:
    """The rule as the layers below leave it: what it requires, and the edition it is read in."""
    from checker.authoring.explain import nested

    home = layers.home("rules", rule_id)
    edition = f", edition {at.edition}" if home.header.editions else ""
    click.echo(f"{rule_id} ({home.id}{edition}): {at.rule.title}")
    for line in nested(at.rule.require, 2):
        click.echo(line)


# --- what is changed -------------------------------------------------------------------------------------------------


def _what(ask: Asking, at: Amendable, limit: str | None, withdraw: bool, added: str | None) -> str | Movable:
    """A limit to move, or one of `change`, `add` and `withdraw`."""
    from checker.authoring.editing.boundary_cases import shown

    choices: dict[str, str | Movable] = {
        f"move the limit {one.name}: {one.limit.title}; now {shown(one)}": one for one in at.limits
    }
    if at.may_change and any(isinstance(line, str) for line in at.rule.require):
        choices["change a line that it requires"] = "change"
    choices["add a line that it requires"] = "add"
    if at.may_withdraw:
        choices["withdraw it here"] = "withdraw"
    if limit is not None:
        if limit in at.unused:
            _refuse_unused(at, limit)
        return ask.choice("Which limit?", {one.name: one for one in at.limits}, Option("--limit", limit))
    if withdraw or added is not None:
        word = "withdraw" if withdraw else "add"
        if word in choices.values():
            return word
        refuse_withdrawal(at)
    return ask.choice("What is to change?", choices)


def _refuse_unused(at: Amendable, limit: str) -> None:
    """Say that an amendment below took a limit out of the rule, and which stand there instead."""
    from checker.authoring.editing.boundary_cases import shown
    from checker.rulesets.layering import NO_EDITION

    edition = "Here" if at.edition == NO_EDITION else f"In edition {at.edition}"
    used = " and ".join(f"{one.name} ({shown(one)})" for one in at.limits)
    what = f"{edition} this rule does not use {limit}" + (f"; it uses {used}." if used else ".")
    hint = "Move that one." if len(at.limits) == 1 else "Move one that it uses." if used else "Add a line instead."
    raise refused("--limit", what, hint)


def refuse_withdrawal(at: Amendable) -> None:
    """Say that this ruleset cannot withdraw the rule."""

    what = f"'{at.rule.title}' is a 'shall': only code, state and local rulesets withdraw it."
    raise refused("--withdraw", what, "It can be asked more of: add a line.")


def _change_of(
    ask: Asking, layers: Layers, rule_id: str, at: Amendable, what: str | Movable, value: str | None, added: str | None
) -> Any:
    """Ask what the change is. Returns a function that takes its ground and gives the section, the name and the data to write."""
    from checker.authoring.editing import amend as amending

    if not isinstance(what, str):
        new = _new_value(ask, layers, rule_id, what, value)
        return lambda ground: ("amend", what.name, amending.limit_moved(layers, rule_id, at, what, new, ground))
    if what == "withdraw":
        return lambda ground: ("withdraw", rule_id, amending.withdrawn(layers, rule_id, at, ground))
    require, line = _lines(ask, layers, rule_id, at, what, added)
    going = ["stricter", "looser", "different"]
    direction = "stricter" if what == "add" else ask.choice("Does it ask", {word: word for word in going})
    facts = _facts(ask, layers, at, line)

    def change(ground: Ground) -> tuple[str, str, dict[str, Any]]:
        cases = _cases(layers, rule_id, at, ground, facts)
        return "amend", rule_id, amending.lines_set(layers, rule_id, at, require, direction, ground, cases)

    return change


def _new_value(ask: Asking, layers: Layers, rule_id: str, moved: Movable, value: str | None) -> str:
    from checker.authoring.editing import boundary_cases as moving
    from checker.rulesets.limits import LimitError

    def read(text: str) -> str:
        try:
            return moving.checked_value(moved, text)
        except LimitError as error:
            refuse(error.what, error.hint)

    others = moving.also_named_by(layers, rule_id, moved.name)
    if others:
        named = ", ".join(others[:4]) + (f" and {len(others) - 4} more" if len(others) > 4 else "")
        click.echo(f"\n   Note: {moved.name} is also named by {named}, which change with it.")
    unit = f" ({moved.limit.unit})" if moved.limit.unit else ""
    return ask.text(
        f"{moved.limit.title}{unit}, now {moving.shown(moved)}. The new value?", Option("--to", value), read
    )


def _lines(
    ask: Asking, layers: Layers, rule_id: str, at: Amendable, what: str, added: str | None
) -> tuple[list[Any], str]:
    """All that the rule is to require, and the line that is new."""
    from checker.authoring.editing import amend as amending

    require = amending.lines_below(layers, rule_id, at)
    place = len(require)
    if what == "change":
        lines = {line: index for index, line in enumerate(require) if isinstance(line, str)}
        place = ask.choice("Which line?", lines)

    def read(text: str) -> str:
        whole = [*require[:place], text, *require[place + 1 :]]
        for problem in amending.line_problems(layers, rule_id, at, whole)[:1]:
            refuse(problem.what, problem.hint)
        return text

    new = ask.text(
        "The new line? (one comparison of a fact with a limit, or a yes-or-no fact)", Option("--add", added), read
    )
    return [*require[:place], new, *require[place + 1 :]], new


def _facts(ask: Asking, layers: Layers, at: Amendable, line: str) -> list[tuple[str, str, str, str]]:
    """For each fact of a new line: its path as cases write it and in a job, its value in a case that passes and in one
    that fails."""
    from checker.authoring.editing import amend as amending

    facts = []
    for path, in_job in amending.facts_in(layers, at.rule, line):
        leaf = layers.checker.vocabulary.leaf(in_job)
        assert leaf is not None
        asked = leaf.ask or leaf.title
        passing = _value(ask, leaf, f"For a case that passes. {asked}")
        facts.append((path, in_job, passing, _value(ask, leaf, f"For a case that fails. {asked}")))
    return facts


def _value(ask: Asking, leaf: Any, question: str) -> str:
    """A value of a fact as cases write it."""
    from checker.fieldwork.prompts import shown_unit, value_of, words_of

    words = words_of(leaf)
    if words:
        word = ask.choice(question, words)
        return {"yes": "true", "no": "false"}.get(word, word) if leaf.form == "flag" else word
    return ask.text(f"{question}{shown_unit(leaf)}", read=lambda text: str(value_of(leaf, text)))


def _cases(
    layers: Layers, rule_id: str, at: Amendable, ground: Ground, facts: list[tuple[str, str, str, str]]
) -> list[OneLine]:
    """A case that passes, one that fails, and one in which the first fact of the new line is not recorded."""
    from checker.authoring.editing.amend import case_like

    passing, failing = ({fact[0]: fact[index] for fact in facts} for index in (2, 3))
    cases = [
        case_like(layers, rule_id, at, ground, "as this place asks", passing, "pass"),
        case_like(layers, rule_id, at, ground, "not as this place asks", failing, "fail"),
    ]
    if facts:
        missing = case_like(layers, rule_id, at, ground, "not recorded", passing, "verify_locally")
        if missing:
            missing["given"] = {path: value for path, value in missing["given"].items() if path != facts[0][0]}
            missing["needs"] = [facts[0][1]]
        cases.append(missing)
    return [case for case in cases if case]


# --- on what ground --------------------------------------------------------------------------------------------------


def _ground(
    session: EditSession,
    day: str,
    reason: str | None,
    document: str | None,
    section: str | None,
    sure: str | None,
) -> tuple[Ground, list[Edit]]:
    """Why and on what ground; and the edit of `ruleset.yaml` where its document is new."""
    from checker.authoring.editing.amend import Ground
    from checker.rulesets.ruleset import TO_FILL_IN

    ask = session.ask
    click.echo(f"\n   {session.layers.ruleset.header.owner} decides this.")
    why = ask.text("Why does this place ask something else?", Option("--reason", reason), later=True)
    key, edits = _document(session, document)
    where = ask.text("Which section of it?", Option("--section", section), later=True)
    words = {word: word for word in HOW_SURE.values()} if sure is not None else HOW_SURE
    open_still = sure is None and where == TO_FILL_IN
    how = (
        "from_memory"
        if open_still
        else ask.choice("How sure is that section, and what it asks?", words, Option("--sure", sure))
    )
    return Ground(why, key, where, how, day), edits


def _document(session: EditSession, document: str | None) -> tuple[str, list[Edit]]:
    """The key of the document that says so; a new one is written into `ruleset.yaml`."""
    from checker.authoring.editing.file_edits import with_name

    ask, known = session.ask, session.layers.ruleset.header.documents
    keys = {title: key for key, title in known.items()}
    if document is not None and document in known:
        return document, []
    if document is None and known:
        picked = ask.choice("Which document says so?", {**keys, ANOTHER: ""})
        if picked:
            return picked, []
    title = ask.text("What is the document called?", Option("--document", document))
    if title in keys:
        return keys[title], []
    key = re.sub(r"[^a-z0-9]+", "_", title.lower()).strip("_")[:24] or "document"
    return key, [session.edit("ruleset.yaml", with_name, ("documents",), key, title)]


def _say_of_days(day: str, data: dict[str, Any]) -> None:
    """Say where a change begins later than it was asked for, and which editions it is bound to."""
    starts = data.get("from", "")
    if starts != day:
        click.echo(f"\n   A ruleset below changes it on {starts} itself: this change begins then.")
    editions = ", ".join(data["meaning"])
    click.echo(f"\n   It holds under: {'every edition' if editions == 'any' else editions}.")


def _say_of_words(layers: Layers, rule_id: str, what: str | Movable, at: Amendable) -> None:
    """Say where the rule's own words still tell the old value."""
    from checker.authoring.editing.boundary_cases import shown
    from checker.rulesets.remedy_words import spoken

    if not isinstance(what, str) and shown(what) in " ".join(
        (at.rule.on_fail, *spoken(at.rule.failed), *spoken(at.rule.remedy))
    ):
        click.echo(
            f"The words of '{rule_id}' still say {shown(what)}: amend what it says on failing and its remedy too."
        )


def _say_of_cases(what: str | Movable, data: dict[str, Any]) -> None:
    """Say which cases the keeper has still to write."""
    names = {case["name"] for case in data.get("cases", ())}
    wanted = ("at the limit of this place", "just past it", "not recorded") if not isinstance(what, str) else ()
    missing = [name for name in wanted if name not in names]
    if missing:
        click.echo(f"No case could be made: {', '.join(missing)}. Write it under 'cases:' by hand.")
