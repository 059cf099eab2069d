"""The conditions on the jobs that a ruleset is written for, bound before any job."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from checker.binding import parser
from checker.binding.names import Context
from checker.binding.parser import ExpressionError
from checker.binding.resolver import Resolver
from checker.ir import tree
from checker.problems.problem import ProblemsFound
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.chain import Chain
from checker.rulesets.ruleset import Ruleset


def lines_of(chain: Chain, vocabulary: Vocabulary, day: int) -> Mapping[str, tuple[tree.Line, ...]]:
    """What each ruleset of a chain is written for.

    Raises:
        ProblemsFound: A condition has a mistake.
    """
    context = Context(chain, vocabulary, {}, day)
    return {ruleset.id: tuple(_bound(ruleset, context)) for ruleset in chain.rulesets}


def _bound(ruleset: Ruleset, context: Context) -> Iterator[tree.Line]:
    for index, line in enumerate(ruleset.header.written_for):
        try:
            condition = Resolver(context).condition(parser.parse_condition(line.when), line.when)
        except ExpressionError as error:
            part = ruleset.parts["header", ""]
            problem = part.problem(("written_for", index, "when"), error.what, error.hint, error.column)
            raise ProblemsFound([problem]) from None
        yield tree.Line(condition, line.otherwise, tuple(line.hold_beyond), tuple(line.only))
