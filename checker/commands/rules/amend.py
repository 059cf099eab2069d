"""`changeout rules amend`."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from checker.commands import options
from checker.commands.prompts import Asking, Option, a_day, refuse
from checker.commands.rules.amend_ground import Change, ground_of, say_of_cases, say_of_days, say_of_words
from checker.commands.ruleset_edits import EditSession, edits_a_ruleset
from checker.problems.problem import refused

if TYPE_CHECKING:
    from checker.authoring.editing.amend import Amendable, Ground
    from checker.authoring.editing.amend_values import Several
    from checker.authoring.editing.boundary_cases import Movable
    from checker.authoring.editing.layer_context import Layers

    What = str | Movable | Several
TEXTS = {"title": "its title", "failed": "its headline where it fails"}
LINES = {"add": "require", "when": "applies_when"}
GOING = ("stricter", "looser", "different")


class Said(NamedTuple):
    """What the options of the command say of the change."""

    limit: str | None
    row: str | None
    value: str | None
    withdraw: bool
    added: str | None
    when: str | None
    title: str | None
    failed: str | None
    direction: str | None

    @property
    def wanted(self) -> str:
        """Which of the changes that need no limit is asked for; empty where none is."""
        given = {"add": self.added, "when": self.when, "title": self.title, "failed": self.failed}
        named = [name for name, text in given.items() if text is not None]
        return "withdraw" if self.withdraw else named[0] if named else ""

    def text(self, name: str) -> str | None:
        return {"add": self.added, "when": self.when, "title": self.title, "failed": self.failed}.get(name)


@options.command()
@click.argument("rule")
@click.option("--limit", help="The limit to move: a value, a table or a list.")
@click.option("--to", "value", help="Its new value; of a list all, with commas.")
@click.option("--row", metavar="ROW", help="The row of a table, by its keys.")
@click.option("--add", "added", metavar="LINE", help="One more line that it requires.")
@click.option("--when", metavar="LINE", help="One more line of when it applies.")
@click.option("--title", help="Another title.")
@click.option("--failed", help="Another headline where it fails.")
@click.option("--withdraw", is_flag=True, help="Withdraw the rule.")
@click.option("--direction", type=click.Choice(GOING), metavar="WORD", cls=options.OnGround, help="which way")
@click.option("--reason", cls=options.OnGround, help="why")
@click.option("--document", cls=options.OnGround, help="title or key")
@click.option("--section", cls=options.OnGround, help="of it")
@click.option("--sure", cls=options.OnGround, help="checked, from_memory or doubtful")
@click.option("--from", "starts", cls=options.OnGround, help="first day, or 'always'")
@edits_a_ruleset
def amend(
    rule: str,
    reason: str | None,
    document: str | None,
    section: str | None,
    sure: str | None,
    starts: str | None,
    session: EditSession,
    **words: Any,
) -> None:
    """Change what RULE, of a ruleset below, asks where a ruleset holds.

    Exit code: 0 written; 1 written, with mistakes; 2 it cannot be done.
    """
    from checker.authoring.editing.boundary_cases import Movable

    ask, said = session.ask, Said(**words)
    day = _first_day(ask, starts)
    layers, at = _found(session.layers, rule, day, said.limit)
    _tell(layers, rule, at)
    what = _what(ask, layers, rule, at, said)
    change = _change_of(ask, layers, rule, at, what, said)
    ground, edits = ground_of(session, day, reason, document, section, sure)
    made = change(ground)
    say_of_days(day, made.data)
    entry = session.new_entry(made.section, made.name, made.data)
    session.write([*edits, entry, *session.given_too(rule, made.passing)])
    if isinstance(what, Movable):
        say_of_words(rule, what, at)
    say_of_cases(made)
    session.finish()


def _found(layers: Layers, rule_id: str, day: str, limit: str | None) -> tuple[Layers, Amendable]:
    """A rule below a ruleset, and what may be done to it: at the first of its places where it uses the limit, if one is named.

    Raises:
        ProblemsFound: There is no such rule, or it cannot be amended.
    """
    from checker.authoring.editing.amend import amendable
    from checker.authoring.editing.layer_context import layers_with, rule_below

    rule_below(layers_with(layers, rule_id)[0], rule_id)
    found = [(one, amendable(one, rule_id, day)) for one in layers_with(layers, rule_id)]
    return next((pair for pair in found if limit not in pair[1].unused), found[0])


def _first_day(ask: Asking, starts: str | None) -> str:
    def day(text: str) -> str:
        return "" if text == "always" else a_day(text)

    return ask.text("From which day on? (year-month-day, or always)", Option("--from", starts), day)


def _tell(layers: Layers, rule_id: str, at: Amendable) -> None:
    """The rule as the layers below leave it: when it applies, what it requires, and the edition it is read in."""
    from checker.authoring.explain import nested

    home = layers.home("rules", rule_id)
    edition = f", edition {at.edition}" if home.header.editions else ""
    click.echo(f"{rule_id} ({home.id}{edition}): {at.rule.title}")
    for line in nested(at.rule.require, 2):
        click.echo(line)


# --- what is changed -------------------------------------------------------------------------------------------------


def _what(ask: Asking, layers: Layers, rule_id: str, at: Amendable, said: Said) -> What:
    """A limit to move, a table or a list, or a word for what else is done."""
    from checker.authoring.editing.amend_values import several

    tables = list(several(layers, rule_id, at))
    if said.limit is not None:
        if said.limit in at.unused:
            _refuse_unused(at, said.limit)
        named: dict[str, What] = {one.name: one for one in at.limits}
        named |= {one.name: one for one in tables}
        return ask.choice("Which limit?", named, Option("--limit", said.limit))
    choices = _choices(at, tables)
    if said.wanted:
        if said.wanted not in choices.values():
            _refuse_change(at, said.wanted)
        return said.wanted
    return ask.choice("What is to change?", choices)


def _choices(at: Amendable, tables: list[Several]) -> dict[str, What]:
    """All that can be changed of a rule, in words."""
    from checker.authoring.editing.boundary_cases import shown

    choices: dict[str, What] = {
        f"move the limit {one.name}: {one.limit.title}; now {shown(one)}": one for one in at.limits
    }
    for one in tables:
        part = f"a row of the table {one.name}" if one.now.rows else f"the list {one.name}"
        choices[f"change {part}: {one.limit.title}"] = one
    if at.may_change and any(isinstance(line, str) for line in at.rule.require):
        choices["change a line that it requires"] = "change"
    choices["add a line that it requires"] = "add"
    if at.may_change:
        choices["apply it less often: a line more of when it applies"] = "when"
    choices |= {f"change {words}": name for name, words in TEXTS.items()}
    if at.may_withdraw:
        choices["withdraw it here"] = "withdraw"
    return choices


def _refuse_unused(at: Amendable, limit: str) -> None:
    """Say that an amendment below took a limit out of the rule, and which stand there instead."""
    from checker.authoring.editing.boundary_cases import shown
    from checker.rulesets.layering import NO_EDITION

    edition = "Here" if at.edition == NO_EDITION else f"In edition {at.edition}"
    used = " and ".join(f"{one.name} ({shown(one)})" for one in at.limits)
    what = f"{edition} this rule does not use {limit}" + (f"; it uses {used}." if used else ".")
    hint = "Move that one." if len(at.limits) == 1 else "Move one that it uses." if used else "Add a line instead."
    raise refused("--limit", what, hint)


def _refuse_change(at: Amendable, wanted: str) -> None:
    """Say that this ruleset cannot withdraw the rule or narrow it."""
    done = {"withdraw": "withdraw it", "when": "say that it applies less often"}.get(wanted, "change that")
    what = f"'{at.rule.title}' is a 'shall': only code, state and local rulesets {done}."
    raise refused(f"--{wanted}", what, "It can be made stricter: add a line.")


def _change_of(
    ask: Asking, layers: Layers, rule_id: str, at: Amendable, what: What, said: Said
) -> Callable[[Ground], Change]:
    """Ask what the change is. Returns a function that takes its ground and gives what is to be written."""
    from checker.authoring.editing import amend as amending
    from checker.authoring.editing.boundary_cases import Movable
    from checker.commands.rules.amend_lines import line_changed, text_changed
    from checker.commands.rules.amend_values import value_changed

    if isinstance(what, Movable):
        new = _new_value(ask, layers, rule_id, what, said.value)
        return lambda ground: Change("amend", what.name, amending.limit_moved(layers, rule_id, at, what, new, ground))
    if not isinstance(what, str):
        return value_changed(ask, layers, at, what, said.row, said.value, said.direction)
    if what == "withdraw":
        return lambda ground: Change("withdraw", rule_id, amending.withdrawn(layers, rule_id, at, ground))
    if what in TEXTS:
        return text_changed(ask, layers, rule_id, at, what, said.text(what))
    return line_changed(ask, layers, rule_id, at, what, said.text(what), said.direction)


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
