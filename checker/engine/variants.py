"""A rule under the editions and days that could hold: each version of it once."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from checker.engine.program_of import Bound
from checker.ir import tree
from checker.rulesets.applicability import Setting


class Variant(NamedTuple):
    setting: Setting
    rule: tree.BoundRule | None


class RuleVersions(NamedTuple):
    """A rule under each edition and day that could hold for a job."""

    rule: str
    variants: tuple[Variant, ...]

    @property
    def only(self) -> tree.BoundRule | None:
        """The rule, where only one version of it could hold, or None where it is not in force."""
        return self.variants[0].rule if len(self.variants) == 1 else None


def merged(each: Iterable[Bound]) -> list[Variant]:
    """Each different rule once, labelled with all it stands for."""
    found: list[Variant] = []
    for setting, rule in each:
        same = next((i for i, one in enumerate(found) if one.rule is rule or one.rule == rule), -1)
        if same < 0:
            found.append(Variant(setting, rule))
        else:
            label = ", ".join(filter(None, (found[same].setting.label, setting.label)))
            found[same] = Variant(found[same].setting._replace(label=label), rule)
    return found
