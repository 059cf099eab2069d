"""The photographs that a job names, ready to stand in a page: small copies of the files, or in words why there is none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from checker.findings.finding import Finding
from checker.reading.fact_shapes import pattern, under
from checker.reading.job import Job, noted_photographs
from checker.reading.photographs import Noted, subject_title
from checker.reading.pictures import Unshown, picture
from checker.reporting.thumbnails import thumbnails


class Photograph(NamedTuple):
    """One photograph of a job: its name, the fact it shows, and a small copy, or why there is none to show."""

    anchor: str
    key: str
    file: str
    shows: str
    title: str
    data: str = ""
    missing: str = ""

    @property
    def alt(self) -> str:
        return f"Photograph “{self.key}”" + (f": {self.title}" if self.title else "")


def photographs(job: Job, folder: Path | None) -> Iterator[Photograph]:
    """Every photograph that a job names, in its order.

    Args:
        folder: The folder of the job file; None where the job came without one.
    """
    noted = list(noted_photographs(job))
    copies = thumbnails((_opened(folder, one) for one in noted), len(noted))
    for number, (one, copy) in enumerate(zip(noted, copies, strict=True), 1):
        shows = job.text(one.shows)
        named = Photograph(f"photograph-{number}", one.key, one.file, shows, title_of(job, shows))
        yield named._replace(missing=str(copy)) if isinstance(copy, Unshown) else named._replace(data=copy)


def _opened(folder: Path | None, one: Noted) -> tuple[str, bytes] | Unshown:
    try:
        return picture(folder, one.file, one.digests)
    except Unshown as why:
        return why


def title_of(job: Job, shows: str) -> str:
    """What a photograph shows, in words: the title of the fact or list, or the words of the group's name."""
    title = subject_title(job.vocabulary, shows)
    return title if title != shows else pattern(shows).replace(".", ", ").replace("_", " ")


def by_finding(found: Iterable[Photograph], findings: Iterable[Finding]) -> dict[str, list[Photograph]]:
    """Each photograph at one finding: the first that names most of what it shows. Those that fit none are left out."""
    findings = list(findings)
    placed: dict[str, list[Photograph]] = {}
    for photograph in found:
        if not photograph.shows:
            continue
        best = max(findings, key=lambda finding: _rank(photograph.shows, finding), default=None)
        if best and _named(photograph.shows, best):
            placed.setdefault(best.finding_id, []).append(photograph)
    return placed


def _rank(shows: str, finding: Finding) -> tuple[bool, bool, int]:
    """A failing finding before an open one before one that passed; then the one that names most of what is shown."""
    named = _named(shows, finding)
    return bool(named) and finding.outcome == "fail", bool(named) and finding.outcome != "pass", named


def _named(shows: str, finding: Finding) -> int:
    """How many facts of a finding's evidence are shown: the fact itself, or what stands under a group, list or item."""
    facts = [evidence.fact for evidence in finding.evidence]
    return sum(under(fact, shows) or under(pattern(fact), shows) for fact in facts)
