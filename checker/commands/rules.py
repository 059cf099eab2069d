"""`changeout rules …`: for those who keep a ruleset."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.shared import checker_of, complain, jobs_in, with_rulesets, write
from checker.problems import Problem, ProblemsFound, Where


@click.group()
def rules() -> None:
    """For those who keep a ruleset."""


@rules.command()
@click.argument("folders", nargs=-1, type=click.Path(exists=True, file_okay=False, path_type=Path))
def cases(folders: tuple[Path, ...]) -> None:
    """Run the worked cases inside the rules. Without folders: those of the shipped rulesets."""
    from checker import cases as running

    checker = checker_of(folders, ())
    run = failed = 0
    try:
        for name, ruleset in sorted(checker.library.rulesets.items()):
            stated = list(running.stated(ruleset))
            problems = list(filter(None, (running.run(checker, one)[0] for one in stated)))
            for problem in problems:
                click.echo(f"{problem}\n", err=True)
            click.echo(f"{name}: {len(stated)} cases, {len(problems)} of them not as stated.")
            run, failed = run + len(stated), failed + len(problems)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
    click.echo(f"{run} cases, {failed} of them not as stated.")
    sys.exit(1 if failed else 2 if not run else 0)


@rules.command()
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path))
def lint(folders: tuple[Path, ...]) -> None:
    """Find what is wrong with rulesets without any job: the shipped ones, and those in FOLDERS.

    Exit code 0 where nothing is, 2 otherwise.
    """
    from checker import lint as linting

    checker = checker_of(folders, ())
    problems = linting.problems(checker)
    if problems:
        complain(ProblemsFound(problems))
        sys.exit(2)
    click.echo(f"{len(checker.library.rulesets)} rulesets, nothing wrong with them.")


@rules.command("list")
@with_rulesets
@click.option("--place", default="", help="A jurisdiction code. Without one: every shipped rule.")
def list_rules(folders: tuple[Path, ...], wanted: tuple[str, ...], on: datetime.date | None, place: str) -> None:
    """Name the rules of a place."""
    checker = checker_of(folders, wanted)
    try:
        chain = checker.chain(place)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
    for ruleset in chain.rulesets:
        for rule_id, rule in ruleset.rules.items():
            click.echo(f"{rule_id}  ({ruleset.id}, {rule.topic}, {rule.obligation})  {rule.title}")


@rules.command()
@click.option("--output", type=click.Path(dir_okay=False, path_type=Path), help="Write to a file, whole or not at all.")
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path))
def index(folders: tuple[Path, ...], output: Path | None) -> None:
    """Write the table of rules: which editions each holds in, with which section, and how sure that is (Markdown)."""
    from checker import rule_index

    write(rule_index.text(checker_of(folders, ()).library), output)


@rules.command()
@click.argument("jobs", nargs=-1, type=click.Path(path_type=Path))
@with_rulesets
def todo(jobs: tuple[Path, ...], folders: tuple[Path, ...], wanted: tuple[str, ...], on: datetime.date | None) -> None:
    """List what nobody has confirmed in the book, that which decided most of JOBS first."""
    from checker import confirm as confirming
    from checker.source import read_file

    checker, day = checker_of(folders, wanted), on or datetime.date.today()
    reports, code = [], 0
    for _, path in jobs_in(tuple(map(str, jobs))):
        try:
            reports.append(checker.check(read_file(path or Path("-")), day))
        except ProblemsFound as found:
            complain(found)
            code = 2
    found_open = confirming.todo(checker, confirming.decided(reports))
    for one in found_open:
        editions = f" [{one.editions}]" if one.editions else ""
        click.echo(f"{one.decided:5} jobs  {one.rule}: {one.document} {one.section}{editions}, {one.unsure}")
    click.echo(f"{len(found_open)} citations to confirm; {len(reports)} jobs looked at.")
    sys.exit(code)


@rules.command()
@click.argument("rule")
@click.option("--document", default="", help="The document that was read, where the rule cites several.")
@click.option("--edition", "editions", multiple=True, help="The edition that was read; may be given several times.")
@click.option("--printing", required=True, help="Which printing: publisher, year, printing or errata.")
@click.option("--by", "read_by", required=True, help="Who read it.")
@click.option("--place", default="", help="A jurisdiction code: the rule as it stands there.")
@click.option(
    "--into", required=True, type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="The ruleset's folder that keeps the record.",
)  # fmt: skip
@with_rulesets
def confirm(
    rule: str,
    document: str,
    editions: tuple[str, ...],
    printing: str,
    read_by: str,
    place: str,
    into: Path,
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
) -> None:
    """Record that the section of RULE was read in the book, and says what the rule says.

    From then on its citation counts as checked, until the rule comes to mean something else.
    """
    from checker import confirm as confirming

    file = into / confirming.FILE
    reader = confirming.Reader(printing, read_by, (on or datetime.date.today()).isoformat())
    try:
        if not (into / "ruleset.yaml").is_file():
            problem = Problem(Where(str(into)), "This is not a ruleset's folder.", "Name a folder with a ruleset.yaml.")
            raise ProblemsFound([problem])
        added = confirming.entry(checker_of(folders, wanted), place, rule, document, editions, reader)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
    before = file.read_text(encoding="utf-8") if file.exists() else confirming.HEAD
    write(before + added, file)
    click.echo(f"Recorded in {file}.")
