"""What the reader in JavaScript gets of a place: its program, and the vocabulary that its jobs are read by."""

from __future__ import annotations

import json
from typing import Any

from checker.engine.compiler import Compiler
from checker.ir import packed, program
from checker.judging.javascript import reader
from checker.problems.problem import refused
from checker.reading import vocabulary_document
from checker.rulesets.chain import Chain


def handed_over(compiler: Compiler, place: Chain) -> str:
    """The program and the vocabulary of a place as one packed text.

    Raises:
        ProblemsFound: The rulesets use what the reader does not know; each such thing is named.
    """
    data = document(compiler, place)
    unknown = reader.not_known(data["program"])
    if unknown:
        what = f"The page cannot judge by these rulesets: it does not know {', '.join(unknown)}."
        raise refused(place.place or "here", what, "Use changeout check.")
    return packed.packed(data)


def document(compiler: Compiler, place: Chain) -> dict[str, Any]:
    """The same as plain data, as it comes out of JSON."""
    told = {
        "program": program.document(compiler.whole_program(place)),
        "vocabulary": vocabulary_document.document(compiler.vocabulary),
    }
    found: dict[str, Any] = json.loads(json.dumps(told, allow_nan=False))
    return found
