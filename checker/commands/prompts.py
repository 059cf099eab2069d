"""What commands that write a ruleset ask on the terminal for what their options do not give."""

from __future__ import annotations

import datetime
import functools
import sys
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple, NoReturn, TypeVar

import click

from checker.commands.asking import show, typed
from checker.commands.errors import stopping
from checker.problems.problem import refused

if TYPE_CHECKING:
    from checker.fieldwork.prompts import Question

Answer = TypeVar("Answer")
LATER = " (nothing: to be filled in later)"


class Option(NamedTuple):
    """An option of the command line that answers a question: its name, and what it gave (None: it was not used)."""

    name: str = ""
    given: str | None = None


NO_OPTION = Option()


class Asking:
    """Questions one after another; a question that an option answers is not asked."""

    def __init__(self) -> None:
        self.number = 0

    def text(
        self,
        question: str,
        option: Option = NO_OPTION,
        read: Callable[[str], str] = str,
        default: str | None = None,
        later: bool = False,
    ) -> str:
        """One line of text.

        Args:
            option: Where it was used, nothing is asked.
            read: Turns what was typed into what is kept, or raises NotAnAnswer.
            default: What an empty answer stands for.
            later: Whether an empty answer leaves the place to be filled in.
        """
        from checker.rulesets.ruleset import TO_FILL_IN

        if option.given is not None:
            return self._of_option(option, read)
        shown = question + (LATER if later else f" [{default}]" if default else "")
        empty = TO_FILL_IN if later else default
        return self._asked(shown, (), lambda answer: read(answer) if answer else _or_again(empty))

    def choice(
        self,
        question: str,
        choices: Mapping[str, Answer],
        option: Option = NO_OPTION,
        default: str = "",
        said: Mapping[str, tuple[str, ...]] = MappingProxyType({}),
    ) -> Answer:
        """One out of a list, by its number or its words; an option gives the words.

        Args:
            option: Where it was used, nothing is asked.
            default: What an empty answer stands for.
            said: Other words for the choices, each with those that it may mean.

        Raises:
            ProblemsFound: The option gives none of the words.
        """
        from checker.fieldwork.prompts import NotAnAnswer, Question, chosen

        asked = Question(question, tuple(choices), (), lambda _: {}, said=said)

        def read(answer: str) -> Answer:
            if not answer:
                return choices[_or_again(default or None)]
            try:
                return choices[_part_of(asked, answer) or chosen(asked, answer)]
            except NotAnAnswer as error:
                leave = "" if default else ", or press Enter to skip it"
                raise NotAnAnswer(str(error).replace(leave, "")) from None

        if option.given is not None:
            return choices[_word_given(option, asked)]
        return self._asked(question + (f" [{default}]" if default else ""), tuple(choices), read)

    def yes(self, question: str, default: bool = True) -> bool:
        """Yes or no; an empty answer is the default."""
        from checker.reading.typed_input import YES_NO_SAID

        words = {"yes": True, "no": False}
        return self.choice(question, words, default="yes" if default else "no", said=YES_NO_SAID)

    def _of_option(self, option: Option, read: Callable[[str], Answer]) -> Answer:
        from checker.fieldwork.prompts import NotAnAnswer

        try:
            return read((option.given or "").strip())
        except NotAnAnswer as error:
            raise refused(option.name, str(error)) from None

    def _asked(self, text: str, choices: tuple[str, ...], read: Callable[[str], Answer]) -> Answer:
        from checker.fieldwork.prompts import NotAnAnswer, Question, clean

        self.number += 1
        show(self.number, Question(text, choices, (), lambda _: {}))
        while True:
            try:
                return read(clean(typed()))
            except NotAnAnswer as error:
                click.echo(f"   {error}")


def _word_given(option: Option, asked: Question) -> str:
    """The choice that the words of an option name; one that they are only a part of is told.

    Raises:
        ProblemsFound: They name none, or may mean several.
    """
    from checker.reading.fact_reader import LeafError
    from checker.reading.typed_input import Unclear, meant

    given = (option.given or "").strip()
    try:
        return _part_of(asked, given) or meant(given, asked.choices, asked.said)
    except Unclear as unclear:
        raise refused(option.name, unclear.what, unclear.hint) from None
    except LeafError:
        known = ", ".join(asked.choices) or "there is nothing to choose from"
        raise refused(option.name, f"'{given}' is none of: {known}.") from None


def _part_of(asked: Question, given: str) -> str:
    """The only choice that some words are a part of, said back; nothing where they are a whole one, or several's.

    The choices here are sentences about a ruleset, of which nobody types all. What a job records is never taken so.
    """
    from checker.reading.fact_reader import LeafError
    from checker.reading.typed_input import Unclear, meant

    try:
        meant(given, asked.choices, asked.said)
    except Unclear as unclear:
        if len(unclear.candidates) == 1:
            click.echo(f"   '{given}' is read as: {unclear.candidates[0]}.")
            return unclear.candidates[0]
    except LeafError:
        pass
    return ""


def _or_again(default: str | None) -> str:
    from checker.fieldwork.prompts import NotAnAnswer

    if default is None:
        raise NotAnAnswer("This needs an answer. Ctrl-C ends, and nothing is written.")
    return default


def a_day(text: str) -> str:
    """A day, as an American or a calendar writes it, as year-month-day.

    Raises:
        NotAnAnswer: It is none, or may be several.
    """
    from checker.fieldwork.prompts import NotAnAnswer
    from checker.reading.fact_reader import LeafError
    from checker.reading.typed_dates import day

    try:
        return datetime.date.fromisoformat(day(text)).isoformat()
    except LeafError as error:
        raise NotAnAnswer(f"{error.what} {error.hint}") from None
    except (TypeError, ValueError):
        raise NotAnAnswer(f"'{text}' is not a date: write year-month-day, such as 2027-01-01.") from None


def refuse(what: str, hint: str = "") -> NoReturn:
    """Say that an answer cannot be used, and why."""
    from checker.fieldwork.prompts import NotAnAnswer

    raise NotAnAnswer(f"{what} {hint}".strip())


def stoppable(command: Callable[..., Any]) -> Callable[..., Any]:
    """A command that asks: Ctrl-C and the end of input leave everything as it was; problems are told."""

    @functools.wraps(command)
    def asked(*args: Any, **kwargs: Any) -> None:
        try:
            with stopping():
                command(*args, **kwargs)
        except (click.Abort, KeyboardInterrupt, EOFError):
            click.echo("\nStopped. Nothing was written.")
            sys.exit(130)

    return asked
