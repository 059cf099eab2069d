"""Which edition of each code a job is judged by, and by whose word: for the title block of what is handed over."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from checker.findings.report import Edition
from checker.ir.kleene import Evaluated, Range
from checker.problems.sanitize import low
from checker.reading.job import Job
from checker.rulesets import limits
from checker.rulesets.applicability import Versions
from checker.rulesets.headers import Adoption
from checker.rulesets.layering import Chain


def in_force(job: Job, chain: Chain, versions: Versions) -> Iterator[Edition]:
    """Each code of the place that does not give way to another, with its edition."""
    for code in sorted(chain.codes - versions.passed_over):
        title = _title(code, chain)
        if chain.adoptions(code):
            yield _adopted(code, chain, job)
        elif code in versions.told:
            edition, told_by = versions.told[code]
            yield Edition(title, (edition,), f"told by {told_by}")
        else:
            yield Edition(title, (), "")


def _adopted(code: str, chain: Chain, job: Job) -> Edition:
    """The editions that the place adopts and that may hold for the date that counts; all of them where it is not known."""
    adoptions = chain.adoptions(code)
    counts = adoptions[-1].counts
    held = [one for one in adoptions if _may_hold(one, job.value(counts), chain.edition_on)]
    editions = tuple(dict.fromkeys(one.edition for one in held))
    unsure = "" if len(editions) == 1 else f"{low(job.vocabulary.title(counts))} not recorded as one day"
    return Edition(_title(code, chain), editions, unsure or held[-1].citation)


def _may_hold(one: Adoption, counts: Evaluated | None, edition_on: Callable[[str, int], str | None]) -> bool:
    """Whether an adoption may be the one that holds, by what is recorded of the date that counts."""
    if isinstance(counts, int):
        return one.edition == edition_on(one.code, counts)
    if not isinstance(counts, Range):
        return True
    began = limits.day_number(one.starts)
    return began <= counts.high and (began >= counts.low or one.edition == edition_on(one.code, int(counts.low)))


def _title(code: str, chain: Chain) -> str:
    return chain.by_id[code].header.title.partition(",")[0]
