"""`changeout accept`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands import options
from checker.commands.inputs import Inputs
from checker.commands.interview_told import say
from checker.commands.job_file import JobFile, with_facts
from checker.commands.prompts import Asking, Option, a_day, refuse, stoppable
from checker.problems.problem import refused

if TYPE_CHECKING:
    from checker.fieldwork.accepting import Given
    from checker.findings.finding import Finding
    from checker.findings.report import Report
    from checker.reading.job import Job


@options.command()
@click.argument("job", type=click.Path(dir_okay=False, path_type=Path))
@click.argument("finding", nargs=-1)
@click.option("--who", help="Who at the office OK'd it, and which office.")
@click.option("--reference", help="Where it is in writing: letter, e-mail, permit note.")
@click.option("--given", "first", metavar="DAY", help="The day it was OK'd; it counts from that day on.")
@click.option("--until", "last", metavar="DAY", help="The last day it holds; that day counts.")
@click.option("--office", type=click.Choice(["local", "state"]), help="Which office, where only the state's may.")
@options.with_inputs()
@stoppable
def accept(
    job: Path,
    finding: tuple[str, ...],
    who: str | None,
    reference: str | None,
    first: str | None,
    last: str | None,
    office: str | None,
    given: Inputs,
) -> None:
    """Record in JOB that the office accepts a failure in writing.

    FINDING is its id, its rule's id, or words of its headline. Asks for what is not given. The failure stays one; it no
    longer counts for the exit code of check, until its last day or until what was recorded of it changes.

    Exit code: 0 recorded; 1 recorded, and it does not count; 2 it cannot be accepted; 130 stopped, nothing written.
    """
    from checker.fieldwork import accepting
    from checker.findings.finding import STANDS
    from checker.reading.files import read_file

    file, loaded = JobFile(job), given.load(read_file(job))
    if not loaded.at("acceptances.finding_id"):
        raise refused(job, "The job schema has no acceptances.")
    ask = Asking()
    failure = _failure(ask, given.checker.check_job(loaded, given.day), " ".join(finding))
    say(f"{accepting.called(failure)} [{failure.rule}]")
    words = {"--who": who, "--reference": reference, "--given": first, "--until": last, "--office": office}
    said = _given(ask, failure, given.day, tuple(Option(*one) for one in words.items()))
    after = _record(file, given, loaded, accepting.facts(loaded, failure, said))
    stands = accepting.recorded(given.checker.check_job(after, given.day), after, given.day).standing
    for line in accepting.told(failure, said):
        say(line)
    if stands != STANDS:
        say(f"It does not count: {stands}.")
        sys.exit(1)


def _record(file: JobFile, given: Inputs, job: Job, facts: dict[str, object]) -> Job:
    """Write facts into the file of a job, which is read before it is written.

    Raises:
        ProblemsFound: It would be no job any more.
    """
    document = with_facts(job, facts, job.folder)
    after = given.load(document)
    file.save(document.text)
    return after


def _failure(ask: Asking, report: Report, words: str) -> Finding:
    """The failure that is meant; asked for where none is named, or where the words mean several.

    Raises:
        ProblemsFound: It cannot be accepted.
    """
    from checker.fieldwork import accepting

    try:
        found = accepting.meant(report, words) if words else accepting.failures(report)
    except accepting.NotAccepted as why:
        raise refused("FINDING", why.what, why.hint) from None
    if not found:
        raise refused(
            "FINDING", "Nothing failed that an office could accept.", "Run changeout check to see what fails."
        )
    if len(found) == 1:
        return found[0]
    return ask.choice("Which failure?", {accepting.called(one): one for one in found})


def _given(ask: Asking, failure: Finding, on: datetime.date, given: tuple[Option, ...]) -> Given:
    """What the office gave: out of the options, or asked."""
    from checker.fieldwork import accepting

    who, reference, first, last, office = given
    level = {"local": False, "state": True}
    by_state = ask.choice("Is it a local or a state office?", level, office) if _asks_level(failure, office) else False
    if accepting.needs_the_state(failure) and not by_state:
        raise refused("--office", "Only a state office can accept this one.", "Ask the state office.")
    named = ask.text("Who at the office OK'd it, and which office?", who, _not_empty)
    written = ask.text("Where is it in writing?", reference, _not_empty)
    began = ask.text("What day did they OK it?", first, lambda day: _day(day, None, on))
    start = datetime.date.fromisoformat(began)
    ends = ask.text("What is the last day it holds? That day counts.", last, lambda day: _day(day, start, on))
    return accepting.Given(named, written, start, datetime.date.fromisoformat(ends), by_state)


def _asks_level(failure: Finding, office: Option) -> bool:
    from checker.fieldwork import accepting

    return office.given is not None or accepting.needs_the_state(failure)


def _not_empty(text: str) -> str:
    if not text:
        refuse("The acceptance doesn't count without it.", "Ctrl-C ends, and nothing is written.")
    return text


def _day(typed: str, start: datetime.date | None, on: datetime.date) -> str:
    """A day of the acceptance, the first or, behind a start, the last."""
    from checker.fieldwork import accepting

    day = datetime.date.fromisoformat(a_day(typed))
    try:
        accepting.refuse_days(start or day, day, on)
    except accepting.NotAccepted as why:
        refuse(why.what, why.hint)
    return day.isoformat()
