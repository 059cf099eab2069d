"""A run of `changeout check`: the jobs go through, their texts go out, the totals are told; and it can be stopped and go on."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Iterator
from contextlib import closing
from itertools import chain, islice
from pathlib import Path
from typing import BinaryIO, NamedTuple

import click

from checker.batch import baseline
from checker.batch.many import judged
from checker.batch.progress import (
    ItemsDigest,
    Progress,
    forget,
    keep,
    note_of,
    part_of,
    passed_over,
    run_digest,
    same_run,
    unchanged,
)
from checker.batch.running import Done, Judge, unreadable
from checker.batch.sources import Item, items
from checker.batch.stop import Stop
from checker.commands.errors import complain
from checker.commands.holding import Hold
from checker.commands.many_jobs import bar
from checker.commands.partial_file import Growing
from checker.problems.problem import Problem, ProblemsFound, Where
from checker.problems.sanitize import inert
from checker.reporting.totals import Totals

STOPPED = 130  # the exit code of what Ctrl-C stopped, as shells have it
KEEP_EVERY = 200  # jobs after which it is noted how far a run came


class Plan(NamedTuple):
    """What is to be done: the jobs, the form, the places for the report, a new baseline and the totals."""

    paths: tuple[str, ...]
    form: str
    output: Path | None
    workers: int = 1
    resumable: bool = False
    new_baseline: Path | None = None
    totals: Path | None = None


class Run:
    """One run. A signal to stop is looked at between two jobs, so that what is out is whole jobs and the totals are theirs."""

    def __init__(self, judge: Judge, plan: Plan, begun: Progress | None) -> None:
        self.judge, self.plan, self.form = judge, plan, judge.setup.form
        self.totals = Totals.read(begun.totals) if begun else Totals()
        self.claimed = set(begun.claimed) if begun else set()
        self.digest = ItemsDigest()
        self.written = hashlib.sha256()
        self.run = run_digest(judge, plan.form) if plan.resumable else ""
        self.entries = Growing(plan.new_baseline) if plan.new_baseline else None
        self.file = Growing(plan.output, part_of(plan.output) if plan.resumable else None) if plan.output else None
        self.hold: Hold | None = None
        self.first = True

    def begin(self, begun: Progress | None) -> None:
        """Open what is written to, and write what stands before the jobs."""
        if self.plan.resumable and self.plan.output:
            self.hold = Hold(part_of(self.plan.output))
        if self.entries:
            self.entries.open()
            self.entries.write(baseline.head())
        if self.file:
            self.file.open(begun.bytes if begun else 0)
        if begun and self.plan.output:
            with part_of(self.plan.output).open("rb") as lines:
                self.form.resume(lines)
        if not begun:
            self.out(self.form.begin())

    def write(self, item: Item, done: Done) -> None:
        done = self.told_apart(done)
        if done.share:
            self.totals.add(done.share)
        else:
            complain(ProblemsFound(done.problems))
            self.totals.add_unreadable(done.name)
            self.form.gather(done.name, done.problems)
        self.out(self.form.tell(done.once) + self.form.add(done.text, self.first))
        self.first = self.first and not done.text
        if self.entries:
            self.entries.write(done.entries)
        if self.plan.resumable:
            self.digest.add(item)
            if self.totals.seen % KEEP_EVERY == 0:
                self.keep()

    def told_apart(self, done: Done) -> Done:
        """A second job of one name is refused where a baseline would excuse it too: it was made for one of them."""
        if not done.share or not done.share.known:
            return done
        if done.share.job_id not in self.claimed:
            self.claimed.add(done.share.job_id)
            return done
        what = f"Another job of this run is called '{done.share.job_id}' too."
        hint = "Give each job a job_id of its own: the baseline cannot tell which of the two it speaks of."
        found = ProblemsFound([Problem(Where(done.name), what, hint)])
        return unreadable(done.name, found, self.form)._replace(once=done.once)

    def end(self, whole: bool) -> None:
        """Write what stands behind the jobs, and put the files in their places, or keep what is needed to go on."""
        if self.plan.resumable and not whole:
            self.keep()
            self.close()
            return
        if whole or not self.file:
            self.out(self.form.end(self.totals, self.judge.checker, whole))
        if whole:
            for file in filter(None, (self.file, self.entries)):
                file.finish()
            if self.plan.resumable and self.plan.output:
                forget(self.plan.output)
        self.close()

    def keep(self) -> None:
        """Note how far this came."""
        assert self.plan.output
        assert self.file
        done, day = self.totals, self.judge.setup.on.isoformat()
        at = self.file.flushed()
        keep(
            self.plan.output,
            Progress(
                self.run,
                day,
                done.seen,
                at,
                self.digest.text(),
                self.written.hexdigest(),
                done.data(),
                sorted(self.claimed),
            ),
        )

    def close(self) -> None:
        for file in filter(None, (self.file, self.entries)):
            file.close()
        if self.hold:
            self.hold.release()
            self.hold = None

    def out(self, text: str) -> None:
        if self.file:
            content = self.file.write(text)
            if self.plan.resumable:
                self.written.update(content)
        elif text:
            # Text goes to a terminal in its own letters; all other forms are UTF-8 by their standards.
            click.echo(
                printable(text) if self.plan.form == "text" else text.encode("utf-8", "backslashreplace"), nl=False
            )


def run(judge: Judge, plan: Plan, begun: Progress | None) -> int:
    """Go through the jobs.

    Args:
        begun: How far an earlier run came that this one goes on with.

    Returns:
        The exit code.
    """
    note = note_of(plan.output) if plan.output else None
    own = (plan.output, note, plan.new_baseline, plan.totals, judge.setup.baseline)
    found = items(plan.paths, standard_input(), tuple(filter(None, own)))
    whole, broken = False, False
    with Stop() as stop:
        ahead = _first_two(stop.waiting(found), stop) if plan.form == "text" else []
        judge.setup = judge.setup._replace(form=judge.setup.form.for_jobs(len(ahead) > 1))
        one = Run(judge, plan, begun)
        try:
            if begun and plan.output:
                same_run(begun, one.run, plan.output)
                passed_over(found, begun, one.digest, plan.output)
                one.written = unchanged(begun, plan.output)
            one.begin(begun)
        except ProblemsFound as wrong:
            complain(wrong)
            return 2
        try:
            whole = _through(one, chain(ahead, () if stop.asked else stop.waiting(found)), stop)
        except KeyboardInterrupt:
            pass
        except ProblemsFound as wrong:
            complain(wrong)
            broken = True
        except BaseException:
            one.close()
            raise
        one.end(whole)
    return 2 if broken else _told(one, whole)


def _first_two(found: Iterator[Item], stop: Stop) -> list[Item]:
    """The first job and the second: one alone is told otherwise than several."""
    ahead: list[Item] = []
    try:
        ahead.extend(islice(found, 2))
    except KeyboardInterrupt:
        stop.asked = True
    return ahead


def standard_input() -> BinaryIO | None:
    """None where it is closed."""
    return sys.stdin.buffer if sys.stdin else None


def printable(text: str) -> str:
    """A text that any stream of UTF-8 takes: what of a file's name is not UTF-8 is written out."""
    return text.encode("utf-8", "backslashreplace").decode()


def _through(one: Run, found: Iterator[Item], stop: Stop) -> bool:
    """Whether the run came to its end."""
    elsewhere = one.plan.output is not None or not (sys.stdout and sys.stdout.isatty())
    with (
        bar(one.plan.paths, "Checking", elsewhere) as gone,
        closing(judged(found, one.judge, one.plan.workers)) as all_done,
    ):
        for item, done in all_done:
            one.write(item, done)
            gone(item.weight)
            if stop.asked:
                break
    return not stop.asked


def _told(one: Run, whole: bool) -> int:
    """The totals told, where there is more than one job; and the exit code."""
    totals, plan = one.totals, one.plan
    if not whole:
        kept_in = (
            f" What was judged is in {part_of(plan.output)}; go on with --resume."
            if plan.resumable and plan.output
            else ""
        )
        click.echo(f"Stopped after {totals.seen} jobs.{kept_in}", err=True)
        return STOPPED
    if not totals.seen:
        complain(
            ProblemsFound([Problem(Where(", ".join(plan.paths)), "There is no job here.", "Check what was named.")])
        )
        return 2
    if totals.seen > 1 and (plan.form != "text" or not totals.jobs):
        click.echo("\n".join(inert(line) for line in totals.lines()), err=True)
    if plan.totals:
        _write_totals(totals, plan.totals)
    return totals.code


def _write_totals(totals: Totals, file: Path) -> None:
    from checker.commands.output import write
    from checker.reporting.sarif_frame import text

    write(text(totals.told()) + "\n", file)
