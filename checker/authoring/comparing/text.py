"""A comparison as text, Markdown and JSON, and the entry that it begins in a changelog."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from checker.authoring.comparing.comparison import Compared
from checker.authoring.comparing.differences import Difference
from checker.authoring.comparing.version_steps import CASES, MEANING, WORDING, largest
from checker.findings.report import DEFERRAL
from checker.problems import json_out
from checker.reporting.markdown import plain
from checker.reporting.paragraphs import counted, paragraphs

FORMAT = 1
MOST_FIRST = 10  # changes that stand above the fold
HEADINGS = {
    "header": "Header", "rules": "Rules", "limits": "Limits", "amend": "Changes to rules of other rulesets",
    "withdraw": "Withdrawals", "restore": "Restorations", "confirm": "Sections read in the book", "facts": "Facts",
    "answers": "Answers of the authority",
}  # fmt: skip

Group = tuple[str, str, list[Difference]]


def text(compared: list[Compared], width: int) -> str:
    """For a terminal of so many columns: by ruleset and by rule, each part with what it changes and the step it needs."""
    sentences = [sentence for one in compared for sentence in (*_sentences(one), ("", 0))]
    return paragraphs([*sentences, (_summary(compared), 0), (DEFERRAL, 0)], width)


def _sentences(compared: Compared) -> Iterator[tuple[str, int]]:
    yield _title(compared), 0
    section = ""
    for kind, name, parts in _groups(compared.parts):
        if kind != section:
            yield _heading(kind), 2
            section = kind
        if name:
            yield _named(compared, kind, name), 4
        yield from ((f"- {part.words} [{_weight(part)}]", 6) for part in parts)


def markdown(compared: list[Compared]) -> str:
    """For a page or a pull request: the same, in Markdown."""
    lines = ["# What changed", "", plain(_summary(compared)), ""]
    lines += [*_short(compared), "<details><summary>All of it</summary>", ""]
    for one in compared:
        lines += [f"## {plain(_title(one))}", "", *_bullets(one, one.parts, "###"), ""]
    return "\n".join([*lines, "</details>", "", DEFERRAL]) + "\n"


def _short(compared: list[Compared]) -> Iterator[str]:
    """The first changes of what is asked, one a line: what a reviewer looks at before all else."""
    asked = [(one, part) for one in compared for part in one.parts if part.effect == MEANING]
    for one, part in asked[:MOST_FIRST]:
        name = part.path[1] if part.path[0] != "header" else one.id
        yield f"- **{plain(name)}**: {plain(part.words)}"
    if len(asked) > MOST_FIRST:
        yield f"- and {len(asked) - MOST_FIRST} more changes of meaning, below"
    yield ""


def _bullets(compared: Compared, parts: Iterable[Difference], mark: str) -> Iterator[str]:
    section = ""
    for kind, name, group in _groups(parts):
        if kind != section:
            yield from ((f"{mark} {_heading(kind)}", "") if not section else ("", f"{mark} {_heading(kind)}", ""))
            section = kind
        if name:
            yield f"- **{plain(_named(compared, kind, name))}**"
        for part in group:
            yield f"{'  ' if name else ''}- {plain(part.words)} *({_weight(part)})*"


def as_json(compared: list[Compared]) -> str:
    """Everything, each part with its path and its old and new value."""
    document = {
        "compare_format": FORMAT,
        "deferral": DEFERRAL,
        "step": largest(one.step for one in compared),
        "rulesets": [_data(one) for one in compared],
    }
    return json_out.document(document)


def _data(compared: Compared) -> dict[str, Any]:
    parts = [{**part._asdict(), "path": list(part.path)} for part in compared.parts]
    return {
        "id": compared.id,
        "old": compared.old,
        "new": compared.new,
        "below": compared.below,
        "step": compared.step,
        "parts": parts,
    }


# --- the changelog ---------------------------------------------------------------------------------------------------

CHANGELOG = "CHANGELOG.md"
CHANGELOG_HEAD = "# What changed, by version\n"


def entry(compared: list[Compared], version: str, day: str) -> str:
    """An entry of a changelog, begun: what changed in meaning in full, how much else did, and a line for the keeper.

    Without a comparison it is the first release.
    """
    lines = [f"## {version}, {day}", "", "Why: to be written by whoever releases it."]
    if not compared:
        lines += ["", "First release."]
    for one in compared:
        asked = [part for part in one.parts if part.effect == MEANING]
        rest = [part for part in one.parts if part.effect == WORDING and part.path != ("header", "version")]
        cases = [part for part in one.parts if part.effect == CASES]
        lines += ["", f"Stands on {plain(_title(one))}:" if one.below else f"Since {one.old}:", ""]
        lines += [*_bullets(one, asked, "###"), *([""] if asked else [])]
        lines += [f"{counted(len(asked), 'change')} of meaning, {len(rest)} of wording, "
                  f"{len(cases)} of cases."]  # fmt: skip
    return "\n".join(lines) + "\n"


def with_entry(changelog: str, begun: str) -> str:
    """A changelog with an entry above the newest one."""
    first = re.search(r"^## ", changelog, re.MULTILINE)
    at = first.start() if first else len(changelog)
    above = changelog[:at] or CHANGELOG_HEAD
    return above.rstrip("\n") + "\n\n" + begun + ("\n" + changelog[at:] if first else "")


# --- words -----------------------------------------------------------------------------------------------------------


def _groups(parts: Iterable[Difference]) -> Iterator[Group]:
    """The parts of one rule, limit or change together; those of the header are one group."""
    groups: dict[tuple[str, str], list[Difference]] = {}
    for part in parts:
        if part.path == ("header", "version"):
            continue
        name = "" if part.path[0] == "header" else part.path[1]
        groups.setdefault((part.path[0], name), []).append(part)
    order = [*HEADINGS, *(kind for kind, _ in groups if kind not in HEADINGS)]
    for kind, name in sorted(groups, key=lambda key: (order.index(key[0]), key[1])):
        yield kind, name, groups[kind, name]


def _heading(kind: str) -> str:
    return HEADINGS.get(kind, kind.capitalize())


def _named(compared: Compared, kind: str, name: str) -> str:
    title = compared.titles.get((kind, name), "") if kind != "limits" else ""  # its parts begin with its title
    return f"{name}: {title}" if title else name


def _title(compared: Compared) -> str:
    count = len([part for part in compared.parts if part.path != ("header", "version")])
    versions = f"{compared.id} {compared.old or '(not there)'} → {compared.new or '(not there)'}"
    changes = counted(count, "change") if count else "no change, or only in layout"
    return f"{versions}: {changes}" + (", in what it stands on" if compared.below else "")


def _summary(compared: list[Compared]) -> str:
    counts = [part.effect for one in compared for part in one.parts if part.path != ("header", "version")]
    if not counts:
        return "Nothing changed in what the rulesets say."
    by_effect = ", ".join(f"{counts.count(effect)} of {effect}" for effect in (MEANING, WORDING, CASES))
    step = largest(one.step for one in compared)
    return f"{counted(len(counts), 'change')}: {by_effect}. The next version is at least a {step} step."


def _weight(part: Difference) -> str:
    return f"{part.effect}, {part.step}"
