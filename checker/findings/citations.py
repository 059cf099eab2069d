"""Citations in words, and those of several editions as one."""

from __future__ import annotations

from checker.ir import tree
from checker.ir.node import replace


def section(citation: tree.Citation, aside: str = "") -> str:
    """Document, edition, what is said of the edition, and section: `NEC 2020, 440.22(A)`."""
    edition = f" {citation.edition}" if citation.edition else ""
    return f"{citation.document}{edition}{aside}, {citation.section}"


def merged_citations(each: list[tuple[tree.Citation, ...]]) -> tuple[tree.Citation, ...]:
    """The citations of several editions that say the same, each section once with the editions it holds in."""
    found: dict[tree.Citation, list[str]] = {}
    for citations in each:
        for citation in citations:
            found.setdefault(replace(citation, edition=""), []).append(citation.edition)
    return tuple(replace(c, edition=_span(list(dict.fromkeys(editions)))) for c, editions in found.items())


def _span(editions: list[str]) -> str:
    return editions[0] if len(editions) == 1 else f"{editions[0]} to {editions[-1]}"
