"""The command line. The door of click: everything it does is done elsewhere."""

from __future__ import annotations

import datetime
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from checker.problems import Problem, ProblemsFound, Where

if TYPE_CHECKING:
    from checker.check import Checker
    from checker.compute.quantity import Quantity
    from checker.report.text import Paint
    from checker.visit.start import Question

STYLES: dict[str, dict[str, Any]] = {
    "heading": {"bold": True},
    "fail": {"fg": "red", "bold": True},
    "verify": {"fg": "yellow"},
    "pass": {"fg": "green"},
}


class _Day(click.ParamType[datetime.date]):
    name = "date"

    def convert(
        self, value: str | datetime.date, param: click.Parameter | None, ctx: click.Context | None
    ) -> datetime.date:
        if isinstance(value, datetime.date):
            return value
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            self.fail(f"'{value}' is not a date: write year-month-day.", param, ctx)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="changeout-checker")
def main() -> None:
    """Check a replacement of an air conditioner or heat pump against rules kept as data.

    A self-check: the authority having jurisdiction decides.
    """


def _with_rulesets(command: click.decorators.FC) -> click.decorators.FC:
    """The options that say which rulesets."""
    command = click.option(
        "--rules", "folders", multiple=True, type=click.Path(path_type=Path), help="A folder of more rulesets."
    )(command)
    command = click.option(
        "--ruleset",
        "wanted",
        multiple=True,
        metavar="ID[@VERSION]",
        help="A ruleset to use besides those of the place.",
    )(command)
    return click.option(
        "--on",
        type=_Day(),
        default=None,
        metavar="DATE",
        help="The day to look at acceptances and reviews. Default: today.",
    )(command)


@main.command()
@click.argument("paths", nargs=-1, required=True, metavar="JOB…")
@_with_rulesets
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--output", type=click.Path(dir_okay=False, path_type=Path), help="Write to a file, whole or not at all.")
@click.option("--strict", is_flag=True, help="Exit 1 also for open questions and for practice that is not followed.")
def check(
    paths: tuple[str, ...],
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    form: str,
    output: Path | None,
    strict: bool,
) -> None:
    """Check jobs: files, folders of them, or - for standard input.

    \b
    Exit code, the worst of the run:
      0  nothing was found wrong in what the rules read
      1  a requirement failed without the authority's acceptance, or a question of life safety is open
      2  wrong usage, a job or ruleset that cannot be read or judged, or nothing to check
    """
    from checker.report import json as as_json
    from checker.report import text as as_text
    from checker.source import read_file, read_text

    checker = _checker(folders, wanted)
    day = on or datetime.date.today()
    reports, code = [], 0
    for name, path in _jobs(paths):
        try:
            document = read_text(sys.stdin.buffer.read(), name) if path is None else read_file(path, name)
            reports.append(checker.check(document, day))
        except ProblemsFound as found:
            _complain(found)
            code = 2
    code = max([code, *(report.exit_code(strict) for report in reports)])
    if form == "json":
        _write(as_json.render(reports), output)
    else:
        rendered = [as_text.render(report, _width(), _paint(output)) for report in reports]
        closing = [as_text.counts(reports) + "\n"] if len(reports) > 1 else []
        _write("\n".join(rendered + closing), output)
    sys.exit(code)


@main.command()
@click.argument("rule")
@click.argument("job", required=False, type=click.Path(path_type=Path))
@_with_rulesets
@click.option("--place", default="", help="A jurisdiction code, where no job gives one.")
def explain(
    rule: str,
    job: Path | None,
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    place: str,
) -> None:
    """Show a rule as it stands after layering and, with a job, its working."""
    from checker import explain as explaining
    from checker import job as jobs
    from checker.source import read_file

    checker = _checker(folders, wanted)
    day = on or datetime.date.today()
    try:
        loaded = jobs.load(read_file(job), checker.vocabulary) if job else None
        place = loaded.text("site.jurisdiction") if loaded and not place else place
        click.echo(explaining.rule_text(checker, place, rule, day.toordinal()), nl=False)
        if loaded:
            click.echo()
            click.echo(explaining.working_text(checker, loaded, rule, day), nl=False)
    except ProblemsFound as found:
        _complain(found)
        sys.exit(2)


@main.command()
@click.argument("file", default="job.json", type=click.Path(dir_okay=False, path_type=Path))
@_with_rulesets
def start(file: Path, folders: tuple[Path, ...], wanted: tuple[str, ...], on: datetime.date | None) -> None:
    """Ask a dozen questions, write the job to FILE (job.json) and check it. Leave an answer empty to skip it."""
    import json

    from checker.report import text as as_text
    from checker.source import read_file
    from checker.visit import start as starting

    if file.exists():
        _complain(ProblemsFound([Problem(Where(str(file)), "There is such a file already.", "Name another one.")]))
        sys.exit(2)
    checker = _checker(folders, wanted)
    places = tuple(sorted(place for r in checker.library.rulesets.values() for place in r.header.covers))
    facts: dict[str, Any] = {}
    stopped = False
    try:
        for number, question in enumerate(starting.questions(checker.vocabulary, places), 1):
            facts |= _answer(number, question)
    except click.Abort:
        stopped = True
    _write(json.dumps(starting.job_of(file.stem, starting.settled(facts)), indent=2, ensure_ascii=False) + "\n", file)
    click.echo(f"\nStopped. What was answered is in {file}." if stopped else f"\nWritten to {file}.\n")
    if stopped:
        sys.exit(2)
    report = checker.check(read_file(file), on or datetime.date.today())
    _write(as_text.render(report, _width(), _paint(None)), None)
    sys.exit(report.exit_code(strict=False))


def _answer(number: int, question: Question) -> dict[str, Any]:
    """Ask until the answer can be used or is left empty."""
    from checker.visit.start import NotAnAnswer, chosen

    click.echo(f"\n{number}. {question.text}")
    for index, choice in enumerate(question.choices, 1):
        click.echo(f"   {index}  {choice}")
    while True:
        answer = click.prompt("  ", default="", show_default=False, prompt_suffix="").strip()
        try:
            return question.facts(chosen(question, answer)) if answer else {}
        except NotAnAnswer as error:
            click.echo(f"   {error}")


@main.group()
def rules() -> None:
    """For those who keep a ruleset."""


@rules.command()
@click.argument("folders", nargs=-1, type=click.Path(exists=True, file_okay=False, path_type=Path))
def cases(folders: tuple[Path, ...]) -> None:
    """Run the worked cases inside the rules. Without folders: those of the shipped rulesets."""
    from checker import cases as running

    checker = _checker(folders, ())
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
        _complain(found)
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

    checker = _checker(folders, ())
    problems = linting.problems(checker)
    if problems:
        _complain(ProblemsFound(problems))
        sys.exit(2)
    click.echo(f"{len(checker.library.rulesets)} rulesets, nothing wrong with them.")


@rules.command("list")
@_with_rulesets
@click.option("--place", default="", help="A jurisdiction code. Without one: every shipped rule.")
def list_rules(folders: tuple[Path, ...], wanted: tuple[str, ...], on: datetime.date | None, place: str) -> None:
    """Name the rules of a place."""
    checker = _checker(folders, wanted)
    try:
        chain = checker.chain(place)
    except ProblemsFound as found:
        _complain(found)
        sys.exit(2)
    for ruleset in chain.rulesets:
        for rule_id, rule in ruleset.rules.items():
            click.echo(f"{rule_id}  ({ruleset.id}, {rule.topic}, {rule.obligation})  {rule.title}")


class _Quantities(click.Group):
    """A command for each quantity; the list is read only when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        from checker.compute import QUANTITIES

        return list(QUANTITIES)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        from checker.compute import QUANTITIES

        return _quantity_command(QUANTITIES[cmd_name]) if cmd_name in QUANTITIES else None


@main.group(cls=_Quantities)
def compute() -> None:
    """Work out one quantity from readings, the working shown. Write units: "340 psig", "42.5 °C"."""


def _quantity_command(quantity: Quantity) -> click.Command:
    from checker.compute import help_of

    parameters: list[click.Parameter] = [
        click.Argument([wanted.name], nargs=-1, metavar="MIN:LEVEL…")
        if wanted.shows == "readings"
        else click.Option([wanted.option], metavar="", help=help_of(wanted))
        for wanted in quantity.inputs
    ]
    units = click.Option(["--units"], type=click.Choice(["us", "si"]), default="us", help="Units to answer in.")

    def work(units: str, **texts: str | tuple[str, ...] | None) -> None:
        from checker.compute import compute as computed

        try:
            click.echo(computed(quantity.name, texts, units == "si"), nl=False)
        except ProblemsFound as found:
            _complain(found)
            sys.exit(2)

    return click.Command(quantity.name, params=[*parameters, units], help=quantity.meaning, callback=work)


# --- shared ----------------------------------------------------------------------------------------------------------


def _checker(folders: tuple[Path, ...], wanted: tuple[str, ...]) -> Checker:
    from checker.check import Checker
    from checker.library import SHIPPED, job_vocabulary, open_library

    missing = [folder for folder in folders if not folder.is_dir()]
    try:
        if missing:
            raise ProblemsFound(
                Problem(Where(str(folder)), "There is no such folder of rulesets.", "Check its name.")
                for folder in missing
            )
        shown = {SHIPPED: "rulesets", **{folder: str(folder) for folder in folders}}
        return Checker(open_library([SHIPPED, *folders], shown), job_vocabulary(), wanted)
    except ProblemsFound as found:
        _complain(found)
        sys.exit(2)


def _width() -> int:
    return shutil.get_terminal_size((80, 24)).columns


def _paint(output: Path | None) -> Paint:
    """Colour on a terminal, unless NO_COLOR says otherwise; never in a file or a pipe."""
    from checker.report.text import plain

    if output is not None or not sys.stdout.isatty() or "NO_COLOR" in os.environ:
        return plain
    return lambda text, style: click.style(text, **STYLES[style])


def _jobs(paths: tuple[str, ...]) -> Iterator[tuple[str, Path | None]]:
    """Each job's name and file, folders opened in the order of their names; None for standard input."""
    for written in paths:
        path = Path(written)
        if written == "-":
            yield "standard input", None
        elif path.is_dir():
            found = sorted(path.rglob("*.json"))
            if not found:
                _complain(
                    ProblemsFound(
                        [
                            Problem(
                                Where(written), "The folder holds no jobs.", "A job is a file whose name ends in .json."
                            )
                        ]
                    )
                )
                sys.exit(2)
            yield from ((str(file), file) for file in found)
        else:
            yield written, path


def _complain(found: ProblemsFound) -> None:
    for problem in found.problems:
        click.echo(f"{problem}\n", err=True)


def _write(text: str, output: Path | None) -> None:
    """To standard output, or to a file that is the old one or the new one and never half."""
    if output is None:
        click.echo(text, nl=False)
        return
    try:
        with tempfile.NamedTemporaryFile("w", encoding="utf-8", dir=output.parent, delete=False) as file:
            file.write(text)
        os.replace(file.name, output)
    except OSError as error:
        _complain(
            ProblemsFound(
                [
                    Problem(
                        Where(str(output)),
                        f"The file cannot be written: {error.strerror}.",
                        "Check the folder and its permissions.",
                    )
                ]
            )
        )
        sys.exit(2)
