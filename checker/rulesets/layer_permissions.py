"""What a layer may not do: change what is not there or not its own, weaken a `shall`, or clash with another layer."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Any

from checker.problems.problem import Problem, did_you_mean
from checker.rulesets.additions import option_names, options_beside
from checker.rulesets.chain import Chain
from checker.rulesets.limits import periods_meet
from checker.rulesets.models import Amendment, Answer, Change, Limit, Rule
from checker.rulesets.ruleset import Part, Ruleset, edition_within

GUESTS = ("group", "manufacturer", "practice")  # whose word takes nothing from a `shall`
MAY_LOOSEN = ("code", "federal", "state", "local")


def chain_problems(chain: Chain) -> Iterator[Problem]:
    """Changes of what does not exist, that their owner may not make, or that two unrelated rulesets both make."""
    yield from _twice(chain)
    touched: dict[str, list[tuple[Ruleset, Part, Change]]] = {}
    for ruleset in chain.rulesets:
        yield from _adoption_problems(ruleset)
        yield from _law_problems(chain, ruleset)
        for operation in ("amend", "withdraw", "restore"):
            for name, change in getattr(ruleset, operation).items():
                part = ruleset.parts[operation, name]
                yield from _change_problems(chain, ruleset, operation, name, change, part)
                touched.setdefault(name, []).append((ruleset, part, change))
        for name, answer in ruleset.answers.items():
            yield from _answer_problems(chain, ruleset, answer, ruleset.parts["answers", name])
        yield from _federal_accepted(ruleset)
    for name, changes in touched.items():
        yield from _conflicts(chain, name, changes)
    for given in chain.answers.values():
        yield from _answers_clash(chain, given)


def _twice(chain: Chain) -> Iterator[Problem]:
    """Rules and limits of one name in two rulesets, which would hide each other."""
    for section in ("rules", "limits"):
        seen: dict[str, Ruleset] = {}
        for ruleset in chain.rulesets:
            for name in getattr(ruleset, section):
                if name in seen:
                    what = f"'{name}' is also in {seen[name].id}, at {seen[name].parts[section, name].place}."
                    yield ruleset.parts[section, name].problem(
                        ("=",), what, "Give one another name, or amend the other."
                    )
                seen[name] = ruleset


def _adoption_problems(ruleset: Ruleset) -> Iterator[Problem]:
    seen: dict[tuple[str, str], str] = {}
    kind = ruleset.header.owner_kind
    if ruleset.header.adopts and kind in GUESTS:
        what = f"A {kind} ruleset cannot put an edition of a code in force."
        hint = "Only those of a state or a place can; ask the office which edition it goes by."
        yield ruleset.parts["header", ""].problem(("adopts", "="), what, hint)
    for index, adoption in enumerate(ruleset.header.adopts):
        key = (adoption.code, adoption.starts)
        if key in seen:
            both = f"{seen[key]} and {adoption.edition}"
            what = f"Two editions of {adoption.code} are adopted from {adoption.starts}: {both}."
            yield ruleset.parts["header", ""].problem(
                ("adopts", index), what, "One edition of a code is in force on a day: correct a date or an edition."
            )
        seen[key] = adoption.edition


def _law_problems(chain: Chain, ruleset: Ruleset) -> Iterator[Problem]:
    """Sections that make its rules law of which a code here does not have the document or the edition."""
    part = ruleset.parts["header", ""]
    for name, laws in ruleset.header.made_law_by.items():
        for index, law in enumerate(laws):
            code = chain.by_id.get(law.code)
            if code is None:
                continue
            at = ("made_law_by", name, index)
            if law.document not in code.header.documents:
                what = f"'{law.document}' is not a document that {law.code} names."
                yield part.problem((*at, "document"), what, did_you_mean(law.document, code.header.documents))
            elif not any(edition_within(law.editions, edition) for edition in code.header.editions):
                what = f"'{law.editions}' takes in no edition of {law.code}."
                yield part.problem((*at, "editions"), what, f"Editions: {', '.join(code.header.editions)}.")


def _change_problems(
    chain: Chain, ruleset: Ruleset, operation: str, name: str, change: Change, part: Part
) -> Iterator[Problem]:
    section = "rules" if ("rules", name) in chain.homes else "limits"
    home = chain.homes.get((section, name))
    if home is None and not chain.elsewhere.isdisjoint({("rules", name), ("limits", name)}):
        return
    if home is None or home is ruleset or not chain.uses(ruleset.id, home.id):
        known = [known for (_, known), owner in chain.homes.items() if owner is not ruleset]
        yield part.problem(
            ("=",),
            f"There is no rule or limit '{name}' below {ruleset.id} to {operation}.",
            _not_used(home, ruleset) or did_you_mean(name, known) or "Add its ruleset under 'uses'.",
        )
        return
    kind, obligation = ruleset.header.owner_kind, getattr(home.rules.get(name), "obligation", "")
    only_weighs = isinstance(change, Amendment) and change.only_weighs
    if home.header.owner_kind == "federal" and kind != "federal" and not only_weighs:
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
    known_fields = (Rule if section == "rules" else Limit).fields
    for field in getattr(change, "set", {}):
        if field not in known_fields or field in ("cases", "formerly"):
            yield part.problem(
                ("set", field, "="),
                f"'{field}' is not a field that can be amended.",
                did_you_mean(field, known_fields) or "Withdraw the rule and add one of your own.",
            )
    if kind not in ("code", "federal", "state") and section == "rules" and _let_off_lower(home.rules[name], change):
        yield part.problem(
            ("set", "acceptable_by"),
            f"Who may accept a failure of '{name}' is settled above; a {kind} ruleset cannot let lower offices do it.",
            "Leave 'acceptable_by' as it is, or make it stricter.",
        )
    if kind in GUESTS and obligation == "shall" and isinstance(change, Amendment):
        yield from _weakened(_asked_below(chain, ruleset, name, change), change, kind, part)
    if kind in GUESTS and section == "limits":
        yield from _limit_eased(chain, name, operation, change, kind, part)
    if isinstance(change, Amendment):
        yield from _addition_problems(chain, ruleset, section, name, change, part)
    from checker.rulesets.misfits import misfits  # pydantic, where layers are looked at for the first time

    changed = (home.rules if section == "rules" else home.limits)[name]
    yield from misfits(part.document, part.path, changed, getattr(change, "set", {}))


def _addition_problems(
    chain: Chain, ruleset: Ruleset, section: str, name: str, change: Amendment, part: Part
) -> Iterator[Problem]:
    """An amendment that says nothing, adds to what it replaces or to a limit, or adds an option beside one that is not there."""
    if not change.fields_changed:
        hint = "Write 'add:' with a line more, or 'set:' with a whole field."
        yield part.problem(("=",), f"This changes nothing of '{name}'.", hint)
    if change.add is None:
        return
    if section == "limits":
        yield part.problem(("add", "="), f"'{name}' is a limit: it has no lines.", "Write its values under 'set:'.")
        return
    for field in sorted({"require", "applies_when"} & set(change.set) & change.fields_changed):
        if getattr(change.add, field):
            what = f"This both replaces '{field}' and adds to it."
            yield part.problem(("add", field, "="), what, "Write the line in one place only.")
    if change.add.any_of:
        lines = _asked_below(chain, ruleset, name, change)
        wanted = change.add.any_of.beside
        if next(options_beside(lines, wanted, ()), None) is None:
            known = list(option_names(lines))
            hint = did_you_mean(wanted, known) or f"Options: {', '.join(known) or 'it has none'}."
            yield part.problem(("add", "any_of", "of"), f"'{name}' has no option '{wanted}'.", hint)


def _not_used(home: Ruleset | None, ruleset: Ruleset) -> str:
    """What to do where a rule or a limit is of another ruleset that this one does not stand on."""
    return f"It is of {home.id}: add that under 'uses'." if home and home is not ruleset else ""


NOT_A_GROUPS = (
    "obligation", "applies_when", "verify_when", "where", "for_each", "life_safety", "date", "editions", "acceptable_by",
    "made_law_by",
)  # fmt: skip


OFFICES = ("local", "state", "none")  # who may let a rule off, from the nearest office to nobody


def _let_off_lower(rule: Rule, change: Change) -> bool:
    """Whether an amendment lets an office accept a failure that could not accept it before."""
    by = change.set.get("acceptable_by") if isinstance(change, Amendment) else None
    return by in OFFICES and OFFICES.index(by) < OFFICES.index(rule.acceptable_by)


def _federal_accepted(ruleset: Ruleset) -> Iterator[Problem]:
    for name, rule in ruleset.rules.items() if ruleset.header.owner_kind == "federal" else ():
        if "acceptable_by" in rule.written and rule.acceptable_by != "none":
            what = f"'{name}' is federal; no local or state office can waive it."
            yield ruleset.parts["rules", name].problem(("acceptable_by",), what, "Write 'none', or leave it out.")


# --- answers of the authority ----------------------------------------------------------------------------------------


def _answer_problems(chain: Chain, ruleset: Ruleset, answer: Answer, part: Part) -> Iterator[Problem]:
    """An answer to what is not there, or that its owner may not record.

    That a `shall` is not asked, or what it leaves to the place, is for code, state and local rulesets to record; a group
    can pass on that it is asked as written, which takes nothing from it.
    """
    home, kind = chain.homes.get(("rules", answer.rule)), ruleset.header.owner_kind
    if home is None and ("rules", answer.rule) in chain.elsewhere:
        return
    if home is None or not chain.uses(ruleset.id, home.id):
        now = next((id for r in chain.rulesets for id, rule in r.rules.items() if answer.rule in rule.formerly), "")
        hint = (
            f"It is now called '{now}'."
            if now
            else _not_used(home, ruleset) or did_you_mean(answer.rule, chain.rule_ids)
        )
        what = f"There is no rule '{answer.rule}' at or below {ruleset.id} to answer."
        yield part.problem(("rule",), what, hint or "Add its ruleset under 'uses'.")
        return
    if home.header.owner_kind == "federal" and kind != "federal":
        what = f"'{answer.rule}' is federal; no {kind} ruleset can record an answer to it."
        yield part.problem(("rule",), what, "What it asks, only a federal ruleset settles.")
    shall = home.rules[answer.rule].obligation == "shall"
    if shall and kind not in MAY_LOOSEN and (answer.values or answer.answer == "not_asked"):
        said = "that it is not asked" if answer.answer == "not_asked" else "what it leaves to the place"
        what = f"'{answer.rule}' is a 'shall'; a {kind} ruleset cannot record {said}."
        hint = "Record it in a ruleset of the place; a group can record that it is asked as written."
        yield part.problem(("answer",) if answer.answer == "not_asked" else ("values", "="), what, hint)


def _answers_clash(chain: Chain, given: list[tuple[str, str]]) -> Iterator[Problem]:
    """Two answers to one question that hold on one day under one edition, neither of which stands above the other."""
    for (owner, name), (other, second) in combinations(given, 2):
        one, two = chain.by_id[owner].answers[name], chain.by_id[other].answers[second]
        same = " ".join(one.question.split()) == " ".join(two.question.split())
        related = owner != other and (chain.uses(owner, other) or chain.uses(other, owner))
        periods = [(answer.first_day, answer.until) for answer in (one, two)]
        if same and not related and set(one.meaning) & set(two.meaning) and periods_meet(*periods):
            first = chain.by_id[owner].parts["answers", name].place
            what = f"Two answers to one question of '{one.rule}' hold on one day; the other is at {first}."
            yield chain.by_id[other].parts["answers", second].problem(("=",), what, "End one of them with 'until'.")


def _asked_below(chain: Chain, ruleset: Ruleset, name: str, change: Amendment) -> list[Any]:
    """Every line that a rule requires while a change of it holds, as the layers below this ruleset leave it."""
    below = [other.amend[name] for other in chain.below(ruleset).rulesets if name in other.amend]
    meeting = [
        other
        for other in below
        if "require" in other.fields_changed
        and set(other.meaning) & set(change.meaning)
        and periods_meet((other.starts, other.until), (change.starts, change.until))
    ]
    replaced = any(
        "require" in other.set
        and set(other.meaning) >= set(change.meaning)
        and (other.starts or "") <= (change.starts or "")
        and (not other.until or other.until >= (change.until or "9999"))
        for other in meeting
    )
    own = [] if replaced else list(chain.homes["rules", name].rules[name].require)
    more = [line for other in meeting if other.add for line in other.add.require]
    return own + [line for other in meeting for line in _list(other.set.get("require"))] + more


def _list(written: Any) -> list[Any]:
    """A list as it is; nothing, or what another mistake is told of, as an empty one."""
    return written if isinstance(written, list) else []


def _weakened(asked_below: list[Any], change: Amendment, kind: str, part: Part) -> Iterator[Problem]:
    """A group adds to what a `shall` asks, line by line; it takes nothing from it and does not say where it applies."""
    for field in change.set:
        if field in NOT_A_GROUPS:
            what = f"A {kind} ruleset cannot change '{field}' of a 'shall'."
            yield part.problem(("set", field, "="), what, "It can add lines under 'require', or a rule of its own.")
    for field in ("applies_when", "any_of") if change.add else ():
        if getattr(change.add, field):
            what = f"A {kind} ruleset cannot add '{field}' to a 'shall': it would ask less."
            yield part.problem(("add", field, "="), what, "It can add lines under 'require', or a rule of its own.")
    asked = change.set.get("require")
    if isinstance(asked, list) and (missing := [line for line in asked_below if line not in asked]):
        what = f"A {kind} ruleset cannot leave out what a 'shall' requires: {missing[0]}"
        hint = "Write only your line, under 'add: {require: [...]}': the others stay as they are."
        yield part.problem(("set", "require", "="), what, hint)


def _limit_eased(chain: Chain, name: str, operation: str, change: Change, kind: str, part: Part) -> Iterator[Problem]:
    """A group's change of a limit that a `shall` stands on, which does not say that it is stricter."""
    shalls = [
        rule_id for rule_id in chain.rule_ids if chain.homes["rules", rule_id].rules[rule_id].obligation == "shall"
    ]
    standing = next((rule_id for rule_id in shalls if name in chain.limits_named(rule_id)), "")
    if standing and (operation == "withdraw" or getattr(change, "direction", "") != "stricter"):
        what = f"'{standing}' is a 'shall' and stands on '{name}'; a {kind} ruleset can only make it stricter."
        hint = "Write 'direction: stricter' where it is; 'changeout rules lint' tries it on jobs."
        at = ("direction",) if "direction" in change.written else ("=",)
        yield part.problem(at, what, hint if operation != "withdraw" else "Leave the limit as it is.")


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
