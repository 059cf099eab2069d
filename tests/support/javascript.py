"""The reader in JavaScript, run in V8 without a browser."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from py_mini_racer import MiniRacer

from checker.judging.javascript import reader

AT_ONCE = 200  # vectors handed over in one text


class InJavaScript:
    """Calls what the built file exports, with arguments and results as JSON."""

    def __init__(self) -> None:
        self.engine = MiniRacer()
        self.engine.eval(reader.script())
        self.engine.eval("const programs = [], opened = []")

    def call(self, name: str, *arguments: Any) -> Any:
        """The result of one of its functions."""
        return json.loads(self.engine.eval(f"JSON.stringify(changeout.{name}(...{_handed(arguments)}) ?? null)"))

    def load(self, program: Any) -> int:
        """Read a program. Returns the number by which it is known."""
        return int(self.engine.eval(f"programs.push(changeout.loaded({_handed(program)})) - 1"))

    def open(self, packed: str) -> int:
        """Open a packed program. Returns the number by which it is known."""
        return int(self.engine.eval(f"opened.push(changeout.open({json.dumps(packed)})) - 1"))

    def of_opened(self, name: str, *arguments: Any, opened: int = 0) -> Any:
        """The result of a function that takes what was opened first."""
        call = f"changeout.{name}(opened[{opened}], ...{_handed(arguments)})"
        return json.loads(self.engine.eval(f"JSON.stringify({call} ?? null)"))

    def by_program(self, name: str, program: int, *arguments: Any) -> Any:
        """The result of a function that takes a program first."""
        return json.loads(
            self.engine.eval(f"JSON.stringify(changeout.{name}(programs[{program}], ...{_handed(arguments)}) ?? null)")
        )

    def told(self, programs: Sequence[int], vectors: Sequence[dict[str, Any]]) -> list[Any]:
        """What each vector comes to.

        Args:
            programs: The number of each program that the vectors name by its place.
        """
        found = []
        for at in range(0, len(vectors), AT_ONCE):
            some = [
                {**{name: one[name] for name in HANDED}, "program": programs[one["program"]]}
                for one in vectors[at : at + AT_ONCE]
            ]
            said = f"{_handed(some)}.map((one) => changeout.told(programs[one.program], one))"
            found += json.loads(self.engine.eval(f"JSON.stringify({said})"))
        return found


HANDED = ("rule", "versions", "values", "lists", "accuracies", "doubts")  # and nothing of what a vector expects


def _handed(data: Any) -> str:
    return f"JSON.parse({json.dumps(json.dumps(data))})"
