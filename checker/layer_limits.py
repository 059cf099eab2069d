"""What a layer may not do: change what is not there or not its own, weaken a `shall`, or clash with another layer."""

from __future__ import annotations

from collections.abc import Iterator

from checker.layers import Chain
from checker.limits import periods_meet
from checker.problems import Problem, did_you_mean
from checker.rule import Amendment, Change, Limit, Rule
from checker.ruleset import Part, Ruleset, misfits

MAY_LOOSEN = ("code", "federal", "state", "local")


def chain_problems(chain: Chain) -> Iterator[Problem]:
    """Changes of what does not exist, that their owner may not make, or that two unrelated rulesets both make."""
    yield from _twice(chain)
    touched: dict[str, list[tuple[Ruleset, Part, Change]]] = {}
    for ruleset in chain.rulesets:
        yield from _adoption_problems(ruleset)
        for operation in ("amend", "withdraw", "restore"):
            for name, change in getattr(ruleset, operation).items():
                part = ruleset.parts[operation, name]
                yield from _change_problems(chain, ruleset, operation, name, change, part)
                touched.setdefault(name, []).append((ruleset, part, change))
    for name, changes in touched.items():
        yield from _conflicts(chain, name, changes)


def _twice(chain: Chain) -> Iterator[Problem]:
    """Rules and limits of one name in two rulesets, which would hide each other."""
    for section in ("rules", "limits"):
        seen: dict[str, Ruleset] = {}
        for ruleset in chain.rulesets:
            for name in getattr(ruleset, section):
                if name in seen:
                    what = f"'{name}' also stands in {seen[name].id}, at {seen[name].parts[section, name].place}."
                    yield ruleset.parts[section, name].problem(
                        ("=",), what, "Give one another name, or amend the other."
                    )
                seen[name] = ruleset


def _adoption_problems(ruleset: Ruleset) -> Iterator[Problem]:
    seen: dict[tuple[str, str], str] = {}
    for index, adoption in enumerate(ruleset.header.adopts):
        key = (adoption.code, adoption.starts)
        if key in seen:
            both = f"{seen[key]} and {adoption.edition}"
            what = f"Two editions of {adoption.code} are adopted from {adoption.starts}: {both}."
            yield ruleset.parts["header", ""].problem(
                ("adopts", index), what, "One edition of a code is in force on a day: correct a date or an edition."
            )
        seen[key] = adoption.edition


def _change_problems(
    chain: Chain, ruleset: Ruleset, operation: str, name: str, change: Change, part: Part
) -> Iterator[Problem]:
    section = "rules" if ("rules", name) in chain.homes else "limits"
    home = chain.homes.get((section, name))
    if home is None or home is ruleset or not chain.uses(ruleset.id, home.id):
        known = [known for (_, known), owner in chain.homes.items() if owner is not ruleset]
        yield part.problem(
            ("=",),
            f"There is no rule or limit '{name}' below {ruleset.id} to {operation}.",
            did_you_mean(name, known) or "Add its ruleset under 'uses'.",
        )
        return
    kind, obligation = ruleset.header.owner_kind, getattr(home.rules.get(name), "obligation", "")
    if home.header.owner_kind == "federal" and kind != "federal":
        yield part.problem(
            ("=",),
            f"'{name}' is federal; only a federal ruleset can {operation} it.",
            "Add a rule of your own instead.",
        )
    loosens = operation == "withdraw" or getattr(change, "direction", "") == "looser"
    if loosens and obligation == "shall" and kind not in MAY_LOOSEN:
        yield part.problem(
            ("=",),
            f"'{name}' is a 'shall'; a {kind} ruleset cannot {operation if operation == 'withdraw' else 'loosen'} it.",
            "Only code, state and local rulesets can.",
        )
    known_fields = (Rule if section == "rules" else Limit).model_fields
    for field in getattr(change, "set", {}):
        if field not in known_fields or field in ("cases", "formerly"):
            yield part.problem(
                ("set", field, "="),
                f"'{field}' is not a field that can be amended.",
                did_you_mean(field, known_fields) or "Withdraw the rule and add one of your own.",
            )
    if kind in ("group", "practice") and obligation == "shall" and isinstance(change, Amendment):
        yield from _weakened(home.rules[name], change, kind, part)
    yield from misfits(part, (home.rules if section == "rules" else home.limits)[name], getattr(change, "set", {}))


NOT_A_GROUPS = ("obligation", "applies_when", "verify_when", "where", "for_each", "life_safety", "date", "editions")


def _weakened(rule: Rule, change: Amendment, kind: str, part: Part) -> Iterator[Problem]:
    """A group adds to what a `shall` asks, line by line; it takes nothing from it and does not say where it applies."""
    for field in change.set:
        if field in NOT_A_GROUPS:
            what = f"A {kind} ruleset cannot change '{field}' of a 'shall'."
            yield part.problem(("set", field, "="), what, "It can add lines under 'require', or a rule of its own.")
    asked = change.set.get("require")
    if isinstance(asked, list) and (missing := [line for line in rule.require if line not in asked]):
        what = f"A {kind} ruleset cannot leave out what a 'shall' requires: {missing[0]}"
        yield part.problem(("set", "require", "="), what, "Keep every line that stands there, and add yours.")


def _conflicts(chain: Chain, name: str, changes: list[tuple[Ruleset, Part, Change]]) -> Iterator[Problem]:
    for i, (first, first_part, first_change) in enumerate(changes):
        for second, part, change in changes[i + 1 :]:
            related = chain.uses(first.id, second.id) or chain.uses(second.id, first.id)
            periods = [(one.starts, one.until) for one in (first_change, change)]
            if not related and periods_meet(*periods):
                what = (
                    f"{second.id} and {first.id} both change '{name}' and neither uses the other; "
                    f"the other change is at {first_part.place}."
                )
                yield part.problem(("=",), what, "Let one use the other, or set the periods apart.")
