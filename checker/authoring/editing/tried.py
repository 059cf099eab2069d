"""A change of a rule or a limit that is not written yet, tried by cases."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checker.authoring.cases import Stated, run
from checker.authoring.editing.layer_context import Layers
from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.rulesets.models import Amendment


class Tried:
    """The layers of a ruleset as if an amendment stood in it. Rules are bound once for all the cases."""

    def __init__(self, layers: Layers, name: str, data: Mapping[str, Any], documents: Mapping[str, str]) -> None:
        """
        Args:
            documents: The documents that the ruleset will cite, by key.
        """
        ruleset = layers.ruleset
        self.name, self.data, self.part = name, data, ruleset.parts["header", ""]
        self.changed = ruleset._replace(
            header=ruleset.header.replaced(documents={**ruleset.header.documents, **documents}),
            amend={**ruleset.amend, name: Amendment.of(data)},
            parts={**ruleset.parts, ("amend", name): self.part},
        )
        library = layers.checker.library.with_one(self.changed)
        self.checker = Checker(library, library.vocabulary)

    def comes_out(self, case: Mapping[str, Any]) -> bool:
        """Whether a case comes out as it says once the amendment is made."""
        (read,) = Amendment.of({**self.data, "cases": [case]}).cases
        stated = Stated(str(case.get("rule", self.name)), read, self.changed, self.part)
        try:
            return run(self.checker, stated)[0] is None
        except ProblemsFound:
            return False
