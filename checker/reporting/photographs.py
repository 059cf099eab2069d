"""The photographs that a job names, ready to stand in a page: small copies of the files, or in words why there is none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS
from checker.reading.fact_shapes import pattern, under
from checker.reading.job import Job, noted_photographs
from checker.reading.photographs import Noted, subject_title
from checker.reading.pictures import Unshown, picture
from checker.reporting.thumbnails import thumbnails

SHOWN_OF_SHA256 = 8  # signs in a caption; the whole of it is in the job and in the list of the packet
MOST_PROVED = 2  # titles in the caption of a photograph


class Photograph(NamedTuple):
    """One photograph of a job: its name, the fact it shows, its day and SHA-256, and a small copy, or why there is none.

    `proves` says in short which findings rest on it.
    """

    anchor: str
    key: str
    file: str
    shows: str
    title: str
    taken: str = ""
    sha256: str = ""
    data: str = ""
    missing: str = ""
    proves: str = ""

    @property
    def alt(self) -> str:
        return f"Photograph “{self.key}”" + (f": {self.title}" if self.title else "")

    @property
    def caption(self) -> str:
        """What stands under it: what it shows, when it was taken, its SHA-256, and what rests on it."""
        parts = [f"shows: {self.title}" if self.title else "", f"taken {self.taken}" if self.taken else ""]
        parts += [f"SHA-256 begins {self.sha256[:SHOWN_OF_SHA256]}" if self.sha256 else ""]
        why = f" Not shown here: {self.missing}." if self.missing else ""
        return f"{', '.join(filter(None, (f'Photograph “{self.key}”', *parts)))}.{self.proves}{why}"


def photographs(job: Job, folder: Path | None) -> Iterator[Photograph]:
    """Every photograph that a job names, in its order.

    Args:
        folder: The folder of the job file; None where the job came without one.
    """
    noted = list(noted_photographs(job))
    copies = thumbnails((_opened(folder, one) for one in noted), len(noted))
    for number, (one, copy) in enumerate(zip(noted, copies, strict=True), 1):
        shows = job.text(one.shows)
        taken, sha256 = (_written(job, job.at(f"photographs.{role}", number - 1)) for role in ("taken", "sha256"))
        named = Photograph(f"photograph-{number}", one.key, one.file, shows, title_of(job, shows), taken, sha256)
        yield named._replace(missing=str(copy)) if isinstance(copy, Unshown) else named._replace(data=copy)


def _written(job: Job, path: str) -> str:
    reading = job.readings.get(path)
    return reading.written if reading else ""


def _opened(folder: Path | None, one: Noted) -> tuple[str, bytes] | Unshown:
    try:
        return picture(folder, one.file, one.digests)
    except Unshown as why:
        return why


def title_of(job: Job, shows: str) -> str:
    """What a photograph shows, in words: the title of the fact or list, or the words of the group's name."""
    title = subject_title(job.vocabulary, shows)
    return title if title != shows else pattern(shows).replace(".", ", ").replace("_", " ")


def with_what_they_prove(found: Iterable[Photograph], report: Report) -> Iterator[Photograph]:
    """The photographs, each with the findings that rest on it."""
    titles: dict[str, dict[str, None]] = {}
    for finding in report.findings:
        for key in report.known.pictures(finding):
            titles.setdefault(key, {})[finding.title] = None
    for one in found:
        told = list(titles.get(one.key, ()))
        more = f"; and {len(told) - MOST_PROVED} more" if len(told) > MOST_PROVED else ""
        yield one._replace(proves=f" Goes with: {'; '.join(told[:MOST_PROVED])}{more}." if told else "")


def by_finding(found: Iterable[Photograph], findings: Iterable[Finding]) -> dict[str, list[Photograph]]:
    """Each photograph at one finding that did not pass: the first that names most of what it shows. The others are left out."""
    findings = [one for one in findings if one.outcome != PASS]
    placed: dict[str, list[Photograph]] = {}
    for photograph in found:
        if not photograph.shows:
            continue
        best = max(findings, key=lambda finding: _rank(photograph.shows, finding), default=None)
        if best and _named(photograph.shows, best):
            placed.setdefault(best.finding_id, []).append(photograph)
    return placed


def _rank(shows: str, finding: Finding) -> tuple[bool, int]:
    """A failing finding before an open one; then the one that names most of what is shown."""
    named = _named(shows, finding)
    return bool(named) and finding.outcome == FAIL, named


def _named(shows: str, finding: Finding) -> int:
    """How many facts of a finding's evidence are shown: the fact itself, or what stands under a group, list or item."""
    facts = [evidence.fact for evidence in finding.evidence]
    return sum(under(fact, shows) or under(pattern(fact), shows) for fact in facts)
