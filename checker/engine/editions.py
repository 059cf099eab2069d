"""Which edition of each code a job is judged by, and by whose word: for the title block of what is handed over."""

from __future__ import annotations

from collections.abc import Iterator

from checker.findings.report import Edition
from checker.problems.sanitize import low
from checker.rulesets.applicability import THE_JOB, Versions
from checker.rulesets.chain import Chain


def in_force(chain: Chain, versions: Versions) -> Iterator[Edition]:
    """Each code of the place that does not give way to another, with its edition."""
    for code in sorted(chain.codes - versions.passed_over):
        header = chain.by_id[code].header
        dated = (name for key, name in header.documents.items() if key not in header.undated)
        beside = tuple(dated)[1:]  # the code's own book stands first
        yield Edition(header.title.partition(",")[0], *_edition(code, chain, versions), beside)


def _edition(code: str, chain: Chain, versions: Versions) -> tuple[tuple[str, ...], str]:
    """The editions of a code that may hold, with by whose word."""
    if not versions.told_alone(code):
        return _adopted(code, chain, versions)
    edition, told_by = versions.told[code]
    unnamed = "recorded by the crew; who at the office said so is not recorded"
    return (edition,), unnamed if told_by == THE_JOB else f"told by {told_by}"


def _adopted(code: str, chain: Chain, versions: Versions) -> tuple[tuple[str, ...], str]:
    """The editions that may hold for the date that counts, with what puts the one in force or leaves it open.

    Nothing where no edition is adopted, or none for that date.
    """
    days = versions.days_of_code(code)
    held = [adoption for day in days if (adoption := chain.adoption_on(code, day))]
    if not held:
        return (), ""
    editions = tuple(dict.fromkeys(edition for day in days for edition in versions.possible_editions(code, day)))
    if len(editions) == 1:
        state = (
            f"as published for {chain.state.state.name}, ask the office: " if chain.state and held[-1].by_report else ""
        )
        return editions, f"{state}{held[-1].citation}"
    return editions, f"{low(versions.job.vocabulary.title(held[-1].counts))} not recorded as one day"
