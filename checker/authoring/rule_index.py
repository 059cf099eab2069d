"""`rulesets/RULES.md`: every rule with the editions it holds in, its sections there, and how sure they are.

`changeout rules index` writes it; a test holds it current.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from checker.rulesets.layering import NO_EDITION
from checker.rulesets.library import Library
from checker.rulesets.models import Citation, Rule
from checker.rulesets.ruleset import Ruleset, edition_within

KINDS = ("code", "federal", "manufacturer", "state", "local", "practice", "group")
MARKS = {"checked": "", "second_hand": " (s)", "from_memory": " (m)", "doubtful": " (?)"}
MARK_OF = {"core": "C", "usual": "", "rare": "R"}  # the weights
HEAD = """\
# The rules

Made by `changeout rules index`; do not edit. A rule's sections by edition; what follows says how sure they are: (s) the section
was read in a public text that explains or reprints it, (m) it was written down from memory, (?) it is in doubt; no mark: it was
read in the text itself. The last column says the same of what is required. L marks life safety, C the core: what inspectors
write up most; R is rare. Rules of practice are in *italics*.
"""


def text(library: Library) -> str:
    """The index of every ruleset of a library, by ruleset and subject."""
    return (
        "\n".join(
            [
                HEAD,
                *(
                    line
                    for ruleset in in_order(library.rulesets.values())
                    if ruleset.rules
                    for line in _ruleset(ruleset)
                ),
            ]
        )
        + "\n"
    )


def in_order(rulesets: Iterable[Ruleset]) -> list[Ruleset]:
    """Rulesets by whose they are, codes first, and by id."""
    return sorted(rulesets, key=lambda ruleset: (KINDS.index(ruleset.header.owner_kind), ruleset.id))


def _ruleset(ruleset: Ruleset) -> Iterator[str]:
    editions = ruleset.header.editions
    span = f", editions {', '.join(editions)}" if editions else ""
    yield f"## {ruleset.id}: {_cell(ruleset.header.title)}\n"
    yield f"{len(ruleset.rules)} rules{span}.\n"
    for name, laws in ruleset.header.made_law_by.items():
        sections = "; ".join(
            f"{_document(one)} {one.section}{MARKS[one.section_sure]}{_within(one.editions)}" for one in laws
        )
        yield f"Made law ({name.replace('_', ' ')}), where the code is adopted, by {_cell(sections)}.\n"
    by_topic: dict[str, list[tuple[str, Rule]]] = {}
    for rule_id, rule in ruleset.rules.items():
        by_topic.setdefault(rule.topic.replace("_", " "), []).append((rule_id, rule))
    for topic, rules in by_topic.items():
        yield f"### {topic}\n"
        yield "| rule | what is true when it passes | sections | requirement |"
        yield "|---|---|---|---|"
        yield from (_row(rule_id, rule, editions) for rule_id, rule in rules)
        yield ""


def _row(rule_id: str, rule: Rule, editions: list[str]) -> str:
    letters = ("L" if rule.life_safety else "") + MARK_OF[rule.weight]
    mark = f" **{letters}**" if letters else ""
    name = f"`{rule_id}`{mark}" if rule.obligation == "shall" else f"*`{rule_id}`*{mark}"
    sure = dict.fromkeys(cited.requirement_sure.replace("_", " ") for cited in rule.citation)
    law = [f"made law ({rule.made_law_by.replace('_', ' ')})"] if rule.made_law_by else []
    sections = _cell("; ".join([*_sections(rule, editions), *law]))
    return f"| {name} | {_cell(rule.title)} | {sections} | {', '.join(sure)} |"


def _within(editions: str) -> str:
    return f" [{editions}]" if editions else ""


def _sections(rule: Rule, editions: list[str]) -> Iterator[str]:
    for cited in rule.citation:
        held = [e for e in editions if edition_within(rule.editions, e) and edition_within(cited.editions, e)]
        spans = f" [{', '.join(_spans(held, editions))}]" if editions and held != editions else ""
        yield f"{_document(cited)} {cited.section}{MARKS[cited.section_sure]}{spans}"


def _document(cited: Citation) -> str:
    return cited.document.upper() if len(cited.document) <= 4 else cited.document


def _spans(held: list[str], editions: list[str]) -> Iterator[str]:
    """Editions written as spans: 2014-2020, 2026."""
    run: list[str] = []
    for edition in [*editions, NO_EDITION]:
        if edition in held:
            run.append(edition)
        elif run:
            yield run[0] if len(run) == 1 else f"{run[0]}-{run[-1]}"
            run = []


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")
