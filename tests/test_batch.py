"""Many jobs: every source in its order, one bad among good, the same bytes for any number of processes, stopped and gone on."""

from __future__ import annotations

import gzip
import io
import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from checker.batch import running as batch
from checker.batch import sources as batch_sources
from checker.batch.many import judged
from checker.batch.processes import chunks
from checker.batch.running import Judge, Setup
from checker.batch.sources import Item, items
from checker.commands import check_run as checking
from checker.commands.holding import Hold
from checker.engine.checker import Checker
from checker.reading.files import MOST_BYTES
from checker.reading.inherited.inheritance import Inherited
from checker.reporting import forms
from tests.support.commands import changeout, on_day
from tests.support.forked import Forked
from tests.support.many_jobs import HOSTILE, bell, item, job_lines, on_bells, small, told
from tests.support.processes import children, command_of
from tests.support.rulesets import ON

CHANGEOUT = [sys.executable, "-c", "from checker.cli import main; main()"]


def lines_of(*jobs: Any) -> str:
    return "".join(json.dumps(job) + "\n" for job in jobs)


def foreign(job_id: str, **more: Any) -> dict[str, Any]:
    """A job for which these rulesets are not written: it is read and told of and no rule is judged, which is quick."""
    return {"job_id": job_id, "schema_version": 1, "scope": {"system": "package_unit"}, **more}


def names(*paths: Path | str, stdin: bytes = b"") -> list[str]:
    return [one.name for one in items(tuple(map(str, paths)), io.BytesIO(stdin))]


# --- where jobs come from --------------------------------------------------------------------------------------------


def test_files_folders_patterns_lines_packed_files_and_standard_input_in_any_mix(tmp_path: Path) -> None:
    (tmp_path / "in" / "deep").mkdir(parents=True)
    (tmp_path / "in" / "deep" / "b.json").write_text(json.dumps(small("b")))
    (tmp_path / "in" / "a.json").write_text(json.dumps(small("a")))
    (tmp_path / "in" / "notes.txt").write_text("not a job")
    (tmp_path / "x1.json").write_text(json.dumps(small("x1")))
    (tmp_path / "x2.json").write_text(json.dumps(small("x2")))
    (tmp_path / "many.jsonl.gz").write_bytes(gzip.compress(lines_of(small("m1"), small("m2")).encode()))
    (tmp_path / "one.json.gz").write_bytes(gzip.compress(json.dumps(small("o")).encode()))
    there = [tmp_path / "in", tmp_path / "x?.json", tmp_path / "many.jsonl.gz", "-", tmp_path / "one.json.gz"]
    found = list(items(tuple(map(str, there)), io.BytesIO(json.dumps(small("s"), indent=1).encode())))
    assert ["a", "b", "x1", "x2", "m1", "m2", "s", "o"] == [json.loads(one.content)["job_id"] for one in found]
    assert f"{tmp_path / 'many.jsonl.gz'}:2" == found[5].name


def test_a_pattern_goes_into_folders(tmp_path: Path) -> None:
    (tmp_path / "a" / "b").mkdir(parents=True)
    (tmp_path / "a" / "b" / "j.json").write_text("{}")
    assert [str(tmp_path / "a" / "b" / "j.json")] == names(tmp_path / "**" / "*.json")


def test_a_folder_is_gone_through_in_the_order_of_the_names(tmp_path: Path) -> None:
    for name in ("b/1.json", "a.json", "c.json", "b/0.jsonl"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("{}\n")
    expected = ["a.json", "b/0.jsonl:1", "b/1.json", "c.json"]
    assert expected == [os.path.relpath(name, tmp_path) for name in names(tmp_path)]


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (json.dumps(small("a")), ["standard input"]),
        (json.dumps(small("a")) + "\n", ["standard input"]),
        (json.dumps(small("a"), indent=2), ["standard input"]),
        (lines_of(small("a"), small("b")), ["standard input:1", "standard input:2"]),
        ("{bad\n" + lines_of(small("a")), ["standard input:1", "standard input:2"]),
        ("", ["standard input"]),
    ],
    ids=["one line", "one line ended", "one job of many lines", "a job a line", "the first line bad", "nothing"],
)
@pytest.mark.parametrize("packed", [False, True])
def test_standard_input_is_one_job_or_a_job_a_line(said: str, expected: list[str], packed: bool) -> None:
    content = gzip.compress(said.encode()) if packed else said.encode()
    assert expected == names("-", stdin=content)


def test_an_empty_line_is_no_job_and_lines_are_counted_as_an_editor_does(tmp_path: Path) -> None:
    (tmp_path / "j.jsonl").write_bytes(b"{}\r\n\r\n{}")
    assert ["1", "3"] == [name.rsplit(":", 1)[1] for name in names(tmp_path / "j.jsonl")]


def test_a_line_has_the_bound_of_a_file_and_the_next_line_is_read(tmp_path: Path) -> None:
    file = tmp_path / "j.jsonl"
    file.write_bytes(b"{" + b" " * (MOST_BYTES + 5) + b"}\n" + lines_of(small("a")).encode())
    long, good = items((str(file),), io.BytesIO())
    assert long.problem is not None
    assert f"larger than {MOST_BYTES // 2**20} MiB" in long.problem.what
    assert (2, None) == (good.line, good.problem)


@pytest.mark.parametrize(
    ("name", "content", "what"),
    [
        ("cut.jsonl.gz", gzip.compress(lines_of(small("a")).encode() * 50)[:-40], "cut off"),
        ("not.json.gz", b"{}", "not gzip"),
        ("gone.json", None, "cannot be read"),
        ("gone.jsonl", None, "cannot be read"),
        ("gone-*.json", None, "No file fits this pattern"),
    ],
)
def test_what_is_wrong_with_a_source_is_told_in_its_place(
    tmp_path: Path, name: str, content: bytes | None, what: str
) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    (tmp_path / "good.json").write_text("{}")
    *_, wrong, good = items((str(tmp_path / name), str(tmp_path / "good.json")), io.BytesIO())
    assert wrong.problem is not None
    assert what in wrong.problem.what
    assert None is good.problem


def test_a_folder_without_jobs_is_wrong_but_does_not_stop_the_others(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "a.json").write_text(json.dumps(small("a")))
    run = changeout(*on_day("check", str(tmp_path / "empty"), str(tmp_path / "a.json")))
    assert 2 == run.returncode
    assert "The folder holds no jobs." in run.stderr
    assert re.search(r"a\.json .* fix first\n", run.stdout)
    assert re.search(r"empty .* cannot be read\n", run.stdout)


def test_the_file_that_is_written_is_no_job_of_its_folder(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text(json.dumps(small("a")))
    words = on_day("check", str(tmp_path), "--format", "jsonl", "--output", str(tmp_path / "report.jsonl"))
    assert [1, 1] == [changeout(*words).returncode for _ in range(2)]
    assert 1 == len(job_lines((tmp_path / "report.jsonl").read_text()))


def test_what_a_run_keeps_beside_its_file_is_no_job_of_the_folder(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text(json.dumps(small("a")))
    (tmp_path / "b.csv.part.json").write_text("{}")
    words = on_day("check", str(tmp_path), "--format", "csv", "--output", str(tmp_path / "b.csv"))
    for _ in range(2):
        run = changeout(*words, "--summary", str(tmp_path / "totals.json"))
        assert 1 == run.returncode, run.stderr
        assert 1 == json.loads((tmp_path / "totals.json").read_text())["jobs"]


# --- judging many ----------------------------------------------------------------------------------------------------


def test_a_bad_line_is_told_at_its_line_and_column_and_the_rest_is_judged(tmp_path: Path) -> None:
    bad = '{"job_id": "b", "schema_version": 1, "dates": {"permit_applied": "soon"}}\n'
    (tmp_path / "many.jsonl").write_text(lines_of(small("a")) + bad + "{\n" + lines_of(small("c")))
    run = changeout(*on_day("check", "many.jsonl", "--format", "jsonl"), cwd=tmp_path)
    assert 2 == run.returncode
    column = bad.index('"soon"') + 1
    assert f"many.jsonl:2:{column} (/dates/permit_applied)" in run.stderr
    assert "many.jsonl:3:2" in run.stderr
    told_of = job_lines(run.stdout)
    assert ["a", None, None, "c"] == [line.get("job_id") for line in told_of]
    assert "many.jsonl:4" == told_of[3]["file"]
    assert "2 could not be read or judged: many.jsonl:2, many.jsonl:3." in run.stderr


def test_a_fault_of_the_program_on_one_job_is_told_and_does_not_stop_the_rest(
    shipped: Checker, monkeypatch: pytest.MonkeyPatch
) -> None:
    def faulty(document: Any, *_: Any) -> Any:
        if "two" in document.file:
            raise RecursionError("too deep")
        return real(document, *_)

    real = batch.inheritance.load_job
    monkeypatch.setattr(batch.inheritance, "load_job", faulty)
    text, totals, _ = told(shipped, "jsonl", [item(small(n), f"{n}.json") for n in ("one", "two", "three")])
    assert (2, 1, 2) == (totals.jobs, totals.unreadable, totals.code)
    assert "a bug in this program (RecursionError: too deep)" in text


@pytest.mark.long
@pytest.mark.parametrize("form", ["text", "sarif"])
def test_three_processes_write_the_bytes_of_one(tmp_path: Path, form: str) -> None:
    """The other forms are put together as these are; a process takes seconds to begin, so not each is tried."""
    jobs = [bell(f"j{n}", title=HOSTILE[n % len(HOSTILE)]) for n in range(48)]
    (tmp_path / "many.jsonl").write_text(lines_of(*jobs[:30]) + "{bad\n" + lines_of(*jobs[30:]))
    words = on_bells("check", "many.jsonl", "--format", form)
    one = changeout(*words, cwd=tmp_path)
    three = changeout(*words, "--workers", "3", cwd=tmp_path)
    assert (one.returncode, one.stdout, one.stderr) == (three.returncode, three.stdout, three.stderr)
    assert 2 == one.returncode
    assert len(one.stdout) > 1000


def test_handfuls_are_bounded_in_number_and_in_bytes() -> None:
    many = [Item(f"{n}", content=b"x" * 10) for n in range(40)]
    assert [16, 16, 8] == [len(chunk) for chunk in chunks(many)]
    big = [Item(f"{n}", content=b"x" * 700_000) for n in range(3)]
    assert [1, 1, 1] == [len(chunk) for chunk in chunks(big)]


def test_jobs_are_not_read_far_ahead_of_what_is_written(shipped: Checker) -> None:
    read = []

    def endless() -> Any:
        for number in range(1_000_000):
            read.append(number)
            yield item(small(f"j{number}"))

    done = judged(endless(), Judge(Setup(forms.form("csv"), ON), shipped, Inherited()))
    for _ in range(3):
        next(done)
    assert 3 == len(read)


def most_memory(jobs: int, tmp_path: Path) -> int:
    """The most memory in KiB that a run over so many jobs had at a time."""
    script = (
        "import sys\n"
        "from checker.cli import main\n"
        "try:\n    main()\n"
        "finally:\n"
        "    lines = open('/proc/self/status').read().splitlines()\n"
        "    print(*(line.split()[1] for line in lines if line.startswith('VmHWM')), file=sys.stderr)\n"
    )
    file = tmp_path / f"{jobs}.jsonl"
    file.write_text(lines_of(*(foreign(f"j{n}", title="x" * 2000) for n in range(jobs))))
    words = on_day("check", str(file), "--format", "jsonl", "--output", str(tmp_path / "out.jsonl"))
    run = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, text=True, timeout=300)
    assert f"{jobs} jobs" in run.stderr, run.stderr
    assert jobs + 1 == (tmp_path / "out.jsonl").read_bytes().count(b"\n"), "the first line is of the rules"
    return int(run.stderr.split()[-1])


@pytest.mark.long
@pytest.mark.skipif(
    not Path("/proc/self/status").exists(), reason="the system does not tell the most memory of a process"
)
def test_memory_does_not_grow_with_the_number_of_jobs(tmp_path: Path) -> None:
    """Ten times the jobs, at most 10 MiB more: 2,700 jobs held at 2 KiB of title and as much of report would be more.

    The bound of the whole, 200 MiB at any number of jobs, is looked at too."""
    few, many = most_memory(300, tmp_path), most_memory(3000, tmp_path)
    assert many - few < 10 * 1024, (few, many)
    assert many < 200 * 1024


def test_the_totals_tell_what_to_fix_most_often_and_outcomes_by_rule(tmp_path: Path) -> None:
    (tmp_path / "many.jsonl").write_text(lines_of(small("a"), small("b")))
    words = on_day("check", "many.jsonl", "--format", "csv", "--output", "o.csv", "--summary", "totals.json")
    run = changeout(*words, cwd=tmp_path)
    said = run.stderr
    assert "2 jobs: 2 with something to fix, 0 with only open questions." in said
    assert "       2  Breaker or fuse no larger than the nameplate max (MOCP)." in said
    assert "       2       0       0  overcurrent-within-nameplate" in said
    totals = json.loads((tmp_path / "totals.json").read_text())
    assert {"pass": 0, "fail": 2, "verify_locally": 0, "jobs_to_fix": 2} == totals["rules"][
        "overcurrent-within-nameplate"
    ]


def test_nothing_to_check_ends_with_2(tmp_path: Path) -> None:
    (tmp_path / "none.jsonl").write_text("\n\n")
    run = changeout("check", "none.jsonl", "--format", "jsonl", cwd=tmp_path)
    assert (2, "") == (run.returncode, run.stdout)
    assert "There is no job here." in run.stderr


# --- stopped, and gone on --------------------------------------------------------------------------------------------


JOBS = 200


@pytest.fixture(scope="module")
def long_run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("long")
    (folder / "many.jsonl").write_text(lines_of(*(bell(f"j{n}") for n in range(JOBS))))
    for form in ("jsonl", "csv"):
        changeout(*on_bells("check", "many.jsonl", "--format", form, "--output", f"whole.{form}"), cwd=folder)
    return folder


def ctrl_c_after(jobs: int) -> Callable[[], None]:
    """Ctrl-C goes to every process of a terminal: here once so many jobs are out, whatever is on its way by then."""

    def put_in() -> None:
        os.setsid()
        write = checking.Run.write

        def stopping(run: checking.Run, *done: Any) -> None:
            write(run, *done)
            if run.totals.seen == jobs:
                os.killpg(os.getpid(), signal.SIGINT)

        checking.Run.write = stopping  # type: ignore[method-assign]

    return put_in


@pytest.mark.skipif(sys.platform == "win32", reason="signals are others there")
@pytest.mark.parametrize(
    ("form", "workers"), [pytest.param("jsonl", "2", marks=pytest.mark.long), ("jsonl", "1"), ("csv", "1")]
)
def test_a_run_that_is_stopped_leaves_whole_lines_and_goes_on_to_the_same_bytes(
    long_run: Path, form: str, workers: str
) -> None:
    output = f"out-{form}-{workers}.{form}"
    words = on_bells("check", "many.jsonl", "--format", form, "--output", output, "--workers", workers)
    part = long_run / f"{output}.part"
    run = Forked(*words, cwd=long_run, before=ctrl_c_after(70)).done()
    assert 130 == run.returncode, run.stderr
    assert "Traceback" not in run.stderr
    done = int(run.stderr.split("Stopped after ")[1].split()[0])
    assert 70 <= done < JOBS
    whole = (long_run / f"whole.{form}").read_bytes()
    assert whole.startswith(part.read_bytes())
    assert part.read_bytes().endswith(b"\n")
    assert not (long_run / output).exists()
    again = changeout(*words, "--resume", cwd=long_run)
    assert 1 == again.returncode, again.stderr
    assert whole == (long_run / output).read_bytes()
    assert f"{JOBS} jobs: {JOBS} with something to fix" in again.stderr, "the totals are those of the whole"
    assert not list(long_run.glob(f"{output}.part*"))


@pytest.mark.skipif(sys.platform == "win32", reason="signals are others there")
def test_a_stopped_document_on_standard_output_is_closed_and_says_it_is_not_whole(long_run: Path) -> None:
    words = on_bells("check", "many.jsonl", "--format", "sarif")
    run = Forked(*words, cwd=long_run, before=ctrl_c_after(70)).done()
    assert (130, True) == (run.returncode, "Stopped after" in run.stderr)
    assert False is json.loads(run.stdout)["runs"][0]["invocations"][0]["executionSuccessful"]


def stopped(folder: Path, text: str) -> tuple[str, ...]:
    """A run over a file of this text that was stopped after its first two jobs."""
    (folder / "jobs.jsonl").write_text(text)
    words = on_bells("check", "jobs.jsonl", "--format", "jsonl", "--output", "o.jsonl")
    run = Forked(*words, cwd=folder, before=ctrl_c_after(2)).done()
    assert 130 == run.returncode, run.stderr
    assert "Stopped after 2 jobs. What was judged is in o.jsonl.part; go on with --resume." in run.stderr
    return words


def test_a_run_does_not_go_on_with_other_jobs_rulesets_or_days(tmp_path: Path) -> None:
    text = lines_of(*(bell(f"j{n}") for n in range(4)))
    words = stopped(tmp_path, text)
    (tmp_path / "jobs.jsonl").write_text(text.replace("j1", "k1"))
    other = changeout(*words, "--resume", cwd=tmp_path)
    assert 2 == other.returncode
    assert "The first 2 jobs are not those that were judged before." in other.stderr
    (tmp_path / "jobs.jsonl").write_text(text)
    for more in (("--on", "2026-11-26"), ("--strict",)):
        other = changeout(*words, *more, "--resume", cwd=tmp_path)
        assert 2 == other.returncode
        assert "by other rulesets or options" in other.stderr
    assert 0 < (tmp_path / "o.jsonl.part").stat().st_size, "what was done is still there"
    assert 1 == changeout(*words, "--resume", cwd=tmp_path).returncode
    lines = (tmp_path / "o.jsonl").read_text().splitlines()
    assert 4 == len(job_lines((tmp_path / "o.jsonl").read_text()))
    assert 5 == len(lines), "what was told once before is not told again"


def test_what_was_written_after_the_last_note_is_written_anew(tmp_path: Path) -> None:
    words = stopped(tmp_path, lines_of(*(bell(f"j{n}") for n in range(3))))
    with (tmp_path / "o.jsonl.part").open("a") as part:
        part.write('{"half of a li')
    assert 1 == changeout(*words, "--resume", cwd=tmp_path).returncode
    assert ["j0", "j1", "j2"] == [line["job_id"] for line in job_lines((tmp_path / "o.jsonl").read_text())]


def test_a_run_does_not_go_on_with_a_file_that_was_changed(tmp_path: Path) -> None:
    words = stopped(tmp_path, lines_of(*(bell(f"j{n}") for n in range(3))))
    part = tmp_path / "o.jsonl.part"
    part.write_text(part.read_text().replace('"fail"', '"pass"', 1))
    again = changeout(*words, "--resume", cwd=tmp_path)
    assert (2, True) == (again.returncode, "The unfinished file was changed" in again.stderr)


def test_no_line_of_the_unfinished_file_can_be_another(tmp_path: Path) -> None:
    """Each line in turn: a sign changed, the line gone, the line twice, the line in the place of the next."""
    words = stopped(tmp_path, lines_of(*(bell(f"j{n}") for n in range(3))))
    part = tmp_path / "o.jsonl.part"
    before = part.read_bytes()
    lines = before.splitlines(keepends=True)
    assert 3 == len(lines), "the rules, and two jobs"
    for at, line in enumerate(lines):
        head, tail = lines[:at], lines[at + 1 :]
        sign = [*head, line.replace(b"e", b"f", 1), *tail]
        swapped = [*head, *lines[at : at + 2][::-1], *lines[at + 2 :]]
        for other in map(b"".join, (sign, [*head, *tail], [*head, line, line, *tail], swapped)):
            if not other.startswith(before):  # what stands behind the last note is written anew
                part.write_bytes(other)
                assert 2 == changeout(*words, "--resume", cwd=tmp_path).returncode, at
    part.write_bytes(before)
    assert 1 == changeout(*words, "--resume", cwd=tmp_path).returncode


def test_a_second_run_on_one_file_is_told_who_writes_it(tmp_path: Path) -> None:
    (tmp_path / "jobs.jsonl").write_text(lines_of(bell("j0"), bell("j1")))
    words = on_bells("check", "jobs.jsonl", "--format", "jsonl", "--output", "o.jsonl")
    first = Hold(tmp_path / "o.jsonl.part")
    second = changeout(*words, cwd=tmp_path)
    assert (2, []) == (second.returncode, list(tmp_path.glob("o.jsonl")))
    assert f"Another run writes it: process {os.getpid()} on" in second.stderr
    first.release()
    (tmp_path / "o.jsonl.part.lock").write_text("process 1 on another, which was killed")
    assert 1 == changeout(*words, cwd=tmp_path).returncode
    assert not list(tmp_path.glob("o.jsonl.part*"))


@pytest.mark.long
@pytest.mark.skipif(not Path("/proc").is_dir(), reason="processes are looked up in /proc")
@pytest.mark.parametrize("by", ["SIGKILL", "SIGHUP", "SIGTERM"])
def test_workers_end_with_the_run_that_began_them(tmp_path: Path, by: str) -> None:
    (tmp_path / "jobs.jsonl").write_text(lines_of(*(bell(f"j{n}") for n in range(3000))))
    words = on_bells("check", "jobs.jsonl", "--format", "jsonl", "--output", "o.jsonl", "--workers", "2")
    heard = partial(signal.signal, signal.SIGHUP, signal.SIG_DFL)  # also where the tests run under nohup
    run = subprocess.Popen([*CHANGEOUT, *words], cwd=tmp_path, stderr=subprocess.DEVNULL, preexec_fn=heard)
    workers = _wait_for(lambda: [one for one in children(run.pid) if b"spawn_main" in command_of(one)][:2], 2)
    run.send_signal(signal.Signals[by])
    run.wait()
    assert len(workers) == 2
    assert not (tmp_path / "o.jsonl").exists(), "it was in the middle"
    assert [] == _wait_for(lambda: [one for one in workers if b"spawn_main" in command_of(one)], 0)


def _wait_for(look: Callable[[], list[int]], count: int) -> list[int]:
    for _ in range(600):
        found = look()
        if len(found) == count:
            return found
        time.sleep(0.05)
    return look()


def test_resume_with_nothing_to_go_on_with_begins(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text(json.dumps(small("a")))
    run = changeout(*on_day("check", "a.json", "--format", "csv", "--output", "o.csv", "--resume"), cwd=tmp_path)
    assert 1 == run.returncode, run.stderr
    assert (tmp_path / "o.csv").exists()


def test_resume_is_refused_where_a_half_is_no_half_of_a_whole(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text(json.dumps(small("a")))
    run = changeout("check", "a.json", "--format", "sarif", "--output", "o.sarif", "--resume", cwd=tmp_path)
    assert 2 == run.returncode
    assert "Only a JSON Lines or CSV file can be continued." in run.stderr


# --- the bar ---------------------------------------------------------------------------------------------------------


def test_no_bar_in_a_pipe(tmp_path: Path) -> None:
    (tmp_path / "many.jsonl").write_text(lines_of(small("a"), small("b")))
    assert "Checking" not in changeout(*on_day("check", "many.jsonl", "--format", "csv"), cwd=tmp_path).stderr


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such terminal")
def test_a_bar_on_a_terminal(tmp_path: Path) -> None:
    import pexpect

    (tmp_path / "many.jsonl").write_text(lines_of(bell("a"), bell("b")))
    words = [*CHANGEOUT[1:], *on_bells("check", "many.jsonl", "--format", "csv", "--output", "o.csv")]
    terminal = pexpect.spawn(CHANGEOUT[0], words, cwd=str(tmp_path), timeout=60, dimensions=(24, 100))
    terminal.expect(r"Checking +\[#+\] +100%")
    terminal.expect("2 jobs: ")


def test_sources_know_how_much_there_is_to_go_through(tmp_path: Path) -> None:
    (tmp_path / "a.jsonl").write_text(lines_of(small("a"), small("b")))
    (tmp_path / "b.json").write_text(json.dumps(small("c")))
    all_of_it = batch_sources.weight((str(tmp_path),))
    assert all_of_it == sum(one.weight for one in items((str(tmp_path),), io.BytesIO()))
    assert 0 == batch_sources.weight((str(tmp_path), "-")), "not known beforehand"
