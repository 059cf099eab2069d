"""One rule → its page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from checker.authoring.docs.cases import Example, example
from checker.authoring.docs.history import Changed, changes, releases
from checker.authoring.docs.model import Cited, FactShown, History, Name, Page, PutToAuthority, UnderEdition
from checker.authoring.docs.words import Sentence, Words
from checker.authoring.limit_words import edition_words, limit_shown
from checker.reading import units
from checker.reading.sureness import SURE
from checker.rulesets.chain import Chain
from checker.rulesets.layering import NO_EDITION, Effective
from checker.rulesets.models import Case, Change, Citation, Rule
from checker.rulesets.ruleset import Ruleset, caution_of, edition_within
from checker.rulesets.shape import Shape

if TYPE_CHECKING:
    from checker.authoring.docs.desk import Desk

OBLIGATIONS = {"shall": "required", "should": "recognised practice"}
ACCEPTS = {
    "local": "The local authority may accept a failure in writing.",
    "state": "Only the state's authority may accept a failure, in writing.",
    "none": "No authority may accept a failure.",
}
CONDITIONS = ("applies_when", "verify_when", "require")
FIELDS = {
    "require": "What is asked", "applies_when": "When it applies", "verify_when": "When it is left to the authority",
    "where": "What is worked out", "intent": "Why", "failed": "What a failure is called",
    "on_fail": "What the report says where it fails", "remedy": "What to do",
    "bring": "To bring", "citation": "Sections", "ask": "What to ask the authority", "values": "Values",
}  # fmt: skip
FOR_TESTS = ("mend", "cases", "untried")


def page(desk: Desk, home: Ruleset, rule_id: str) -> Page:
    """The page of a rule, as it is shown at the desk."""
    chain = desk.chain_of(home)
    layered = desk.standing("rules", rule_id, chain)
    rule = layered.data
    assert isinstance(rule, Rule)
    words = desk.words(rule, home)
    documents = chain.documents(layered.set_by("citation"))
    limits = sorted(chain.limits_named(rule_id))
    done = tuple(changes(desk.layers, rule_id, limits, desk.day))
    return Page(
        id=rule_id,
        ruleset=home.id,
        title=_squeezed(rule.title),
        marks=tuple(_marks(rule, layered, done, desk.edition(home))),
        topic=rule.topic.replace("_", " ").capitalize(),
        stage=_stage(words),
        once_for=desk.vocabulary.title(rule.for_each) if rule.for_each else "",
        asked=words.lines(rule.require),
        names=tuple(Name(n.replace("_", " "), words.value(t), f"{n} = {_squeezed(t)}") for n, t in rule.where.items()),
        guarded=rule.judged == "guarded",
        on_fail=words.filled(rule.on_fail),
        when=words.lines(rule.applies_when or []),
        put=tuple(_put(line, words) for line in rule.verify_when or []),
        deciding_date=words.fact(rule.date) if rule.date else "",
        why=_squeezed(rule.intent),
        limits=tuple(limit_shown(name, words.limits[name]) for name in limits),
        looked=tuple(_looked(words)),
        stands=tuple(_stands(rule, home, documents, desk.edition(home), tuple(_laws(chain, rule, home)))),
        remedy=words.spoken(rule.remedy),
        first=tuple(rule.remedy_after),
        accepts=ACCEPTS[rule.acceptable_by],
        ask=words.filled(rule.ask),
        bring=words.spoken(rule.bring),
        photograph=words.filled(rule.photograph),
        cautions=tuple(_cautions(chain, layered, rule)),
        examples=tuple(_examples(desk, rule, rule_id, words)),
        added=home.parts["rules", rule_id].place,
        formerly=tuple(rule.formerly),
        releases=tuple(releases(desk.changelog(home), rule_id)),
        history=tuple(_history(change, desk.words(rule, _by(desk, change))) for change in done),
        sure=(*_cited(rule, documents), *_unsure_limits(words, limits), *_confirmed(desk, rule_id)),
    )


def _cautions(chain: Chain, layered: Effective, rule: Rule) -> Iterator[str]:
    """The texts of a rule's cautions; a key that there is no text for as it is written, `rules lint` says why."""
    for key in rule.cautions:
        caution = caution_of(chain.by_id, layered.set_by("caution"), key)
        yield caution[1] if caution else key


def _marks(rule: Rule, layered: Effective, done: tuple[Changed, ...], edition: str | None) -> Iterator[str]:
    yield OBLIGATIONS[rule.obligation]
    if rule.life_safety:
        yield "life safety"
    if rule.weight != "usual":
        yield rule.weight
    if layered.withdrawn:
        yield "withdrawn here"
    elif edition and not edition_within(rule.editions, edition):
        yield f"not in force here: not in the edition {edition}"
    for what in dict.fromkeys(change.what for change in done):
        yield f"{what} by {', '.join(dict.fromkeys(change.ruleset for change in done if change.what == what))}"
    if layered.stale:
        yield "its amendment is out of date"


def _stage(words: Words) -> str:
    """The last moment at which every fact of the requirement can be seen: the earliest of their last moments."""
    paths = words.paths([words.rule.require, list(words.rule.where.values())])
    stages = [leaf.stage for path in paths if (leaf := words.vocabulary.leaf(path))]
    return words.vocabulary.stages[min(stages, default=-1)].last_seen


def _looked(words: Words) -> Iterator[FactShown]:
    rule = words.rule
    lines = [rule.require, rule.applies_when or [], rule.verify_when or [], list(rule.where.values())]
    for path in words.paths(lines):
        leaf = words.vocabulary.leaf(path)
        if leaf is None:
            entry = words.vocabulary.lists[path]
            yield FactShown(entry.title, entry.ask, "", "a list", path)
            continue
        possible = ", ".join(word.replace("_", " ") for word in leaf.possible)
        unit = units.shown(leaf.unit)
        written = possible or {"flag": "yes or no", "date": "a date", "text": "words"}.get(
            leaf.form, unit or "a number"
        )
        yield FactShown(leaf.title, leaf.ask, words.vocabulary.stages[leaf.stage].last_seen, written, path)


def _laws(chain: Chain, rule: Rule, home: Ruleset) -> Iterator[Cited]:
    """The sections by which codes make a rule law where they are adopted."""
    for law in chain.laws(rule, home):
        cited = _section(law, chain.documents(law.code))
        span = f", {edition_words(law.editions)}" if law.editions else ""
        yield Cited(f"{cited.section}{span}, where it is adopted", cited.sure)


def _stands(
    rule: Rule, home: Ruleset, documents: Mapping[str, str], in_force: str | None, laws: tuple[Cited, ...]
) -> Iterator[UnderEdition]:
    for edition in home.header.editions or [NO_EDITION]:
        any_edition = edition == NO_EDITION
        held = any_edition or edition_within(rule.editions, edition)
        cited = [one for one in rule.citation if held and (any_edition or edition_within(one.editions, edition))]
        sections = (*(_section(one, documents) for one in cited), *laws)
        yield UnderEdition("" if any_edition else edition, held, sections, edition == in_force)


def _section(cited: Citation, documents: Mapping[str, str]) -> Cited:
    document, note = documents.get(cited.document, cited.document), f" ({_squeezed(cited.note)})" if cited.note else ""
    between = ", " if " " in document else " "
    return Cited(f"{document}{between}{_squeezed(cited.section)}", f"{SURE[cited.section_sure]}{note}")


def _examples(desk: Desk, rule: Rule, rule_id: str, words: Words) -> Iterator[Example]:
    yield from (example(case, words, "") for case in rule.cases)
    for layer in desk.layers:
        ruleset = layer.ruleset
        stated: list[tuple[str, list[Case]]] = [(one.rule, one.cases) for one in ruleset.answers.values()]
        for operation in ("amend", "withdraw", "restore"):
            done: dict[str, Change] = getattr(ruleset, operation)
            stated += [(name, change.cases) for name, change in done.items()]
        yield from (
            example(c, words, ruleset.id) for name, cases in stated for c in cases if (c.rule or name) == rule_id
        )


def _put(line: Any, words: Words) -> PutToAuthority:
    ask = words.filled(str(line["ask"])) if isinstance(line, dict) and line.get("ask") else ""
    return PutToAuthority(words.line(line), ask)


# --- who changed it, and how sure it is ---


def _by(desk: Desk, done: Changed) -> Ruleset:
    """The ruleset that changed something: the limits that it names may be its own."""
    return next(ruleset for ruleset in desk.rulesets if ruleset.id == done.ruleset)


def _history(done: Changed, words: Words) -> History:
    subject = _squeezed(words.limits[done.limit].limit.title) if done.limit else ""
    fields = tuple(
        (_called(one.field), _written(one.field, one.old, words), _written(one.field, one.new, words))
        for one in done.fields
        if one.field not in FOR_TESTS
    )
    return History(done, subject, fields)


def _called(field: str) -> str:
    return FIELDS.get(field, field.replace("_", " ").capitalize())


def _written(field: str, value: Any, words: Words) -> tuple[Sentence, ...]:
    """A field of an amendment: conditions as sentences, messages with titles, anything else as plain text."""
    if value in (None, "", [], {}):
        return (Sentence("nothing", ""),)
    if field in CONDITIONS and isinstance(value, list):
        return words.lines(value)
    if field == "where" and isinstance(value, dict):
        return tuple(Sentence(f"{n.replace('_', ' ')}: {words.value(t)}", f"{n} = {t}") for n, t in value.items())
    if field in ("failed", "remedy", "bring"):
        return tuple(Sentence(one, "") for one in words.spoken(value))
    if isinstance(value, list):
        return tuple(Sentence(_plain(one), "") for one in value)
    return (Sentence(words.filled(value) if isinstance(value, str) else _plain(value), ""),)


def _plain(value: Any) -> str:
    if isinstance(value, Shape):
        value = value.as_data()
    if isinstance(value, dict):
        return "; ".join(f"{str(key).replace('_', ' ')}: {_plain(part)}" for key, part in value.items())
    return ", ".join(map(_plain, value)) if isinstance(value, list) else _squeezed(str(value))


def _cited(rule: Rule, documents: Mapping[str, str]) -> Iterator[str]:
    for cited in rule.citation:
        span = f" ({edition_words(cited.editions)})" if cited.editions else ""
        sure = f"section {SURE[cited.section_sure]}, requirement {SURE[cited.requirement_sure]}"
        yield f"{documents.get(cited.document, cited.document)}{span}, {cited.section}: {sure}."


def _unsure_limits(words: Words, limits: list[str]) -> Iterator[str]:
    for name in limits:
        limit = words.limits[name].limit
        unsure = dict.fromkeys(SURE[value.sure] for value in limit.values if value.sure != "checked")
        if unsure:
            yield f"Limit “{_squeezed(limit.title)}”: {' and '.join(unsure)}, in part or as a whole."


def _confirmed(desk: Desk, rule_id: str) -> Iterator[str]:
    for ruleset in desk.rulesets:
        for one in ruleset.confirm.values():
            if one.rule == rule_id:
                lapsed = desk.lapsed(rule_id, one.meaning)
                state = f"lapsed, the rule has changed since ({', '.join(lapsed)})" if lapsed else "holds"
                yield f"Read by {one.read_by} on {one.read_on} in {one.printing}: {state}."


def _squeezed(text: str) -> str:
    return " ".join(text.split())
