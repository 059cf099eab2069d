"""What the reader in JavaScript gets: the program of a place, the vocabulary that its jobs are read by, and what they inherit."""

from __future__ import annotations

import json
from typing import Any

from checker.engine.compiler import Compiler
from checker.ir import packed, program
from checker.judging.javascript import reader
from checker.problems.problem import refused
from checker.reading import vocabulary_document
from checker.reading.inherited import inherited_document
from checker.reading.inherited.inheritance import Inherited
from checker.rulesets.chain import Chain

NOTHING = Inherited()


def handed_over(compiler: Compiler, place: Chain, inherited: Inherited = NOTHING) -> str:
    """The program, the vocabulary and what jobs inherit, as one packed text.

    Raises:
        ProblemsFound: The rulesets use what the reader does not know; each such thing is named.
    """
    data = document(compiler, place, inherited)
    unknown = reader.not_known(data["program"])
    if unknown:
        what = f"The page cannot judge by these rulesets: it does not know {', '.join(unknown)}."
        raise refused(place.place or "here", what, "Use changeout check.")
    return packed.packed(data)


def document(compiler: Compiler, place: Chain, inherited: Inherited = NOTHING) -> dict[str, Any]:
    """The same as plain data, as it comes out of JSON."""
    told = {
        "program": program.document(compiler.whole_program(place)),
        "vocabulary": vocabulary_document.document(compiler.vocabulary),
        "inherited": inherited_document.document(inherited),
    }
    found: dict[str, Any] = json.loads(json.dumps(told, allow_nan=False))
    return found
