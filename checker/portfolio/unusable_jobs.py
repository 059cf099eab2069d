"""The jobs of an archive that could not be used."""

from __future__ import annotations

from checker.problems.problem import Problem, ProblemsFound


class Unusable:
    """The jobs that could not be used: how many, and each problem once, though many jobs may meet it."""

    def __init__(self) -> None:
        self.count = 0
        self._said: set[Problem] = set()

    def add(self, found: ProblemsFound) -> ProblemsFound:
        """Count one job; what is handed back is what was not said before."""
        fresh = [problem for problem in found.problems if problem not in self._said]
        self.count += 1
        self._said.update(fresh)
        return ProblemsFound(fresh)
