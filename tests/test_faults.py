"""What goes wrong outside of the program: a full disk, no permission, files that vanish, closed pipes, kills, two runs.

Every test runs the real command in a process of its own: split off from this one, and of each sort of fault one begun anew
by an interpreter. Whatever happens, one plain message says so and nobody sees a traceback; a file that was there is the old
one or the new one and never half. The jobs are of an invented trade of a few rules, which opens in a moment: disks, pipes
and signals ask nobody for the trade.
"""

from __future__ import annotations

import ctypes
import errno
import hashlib
import json
import os
import random
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from checker.commands import check_run as checking
from checker.reading.shipped import ROOT
from checker.rulesets import library
from checker.rulesets.library import SHIPPED
from tests.support.commands import on_day
from tests.support.forked import Forked
from tests.support.forked import forked as run
from tests.support.many_jobs import BELLS, bell, job_lines, on_bells

pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(sys.platform == "win32", reason="signals, pipes and permissions are others there"),
]

# Without compiled files: Python itself would write half of one where a file may not grow, and others would read it.
CHANGEOUT = [sys.executable, "-B", "-c", "from checker.cli import main; main()"]
CLEAN = ROOT / "examples" / "jobs" / "01-clean.json"
JOBS = 150
OLD = "the report of before\n"
FORMS = ("text", "json", "jsonl", "csv", "junit", "sarif", "markdown", "page")
ONE_AT_ONCE = ("json", "csv", "page")  # of each way to write: all at once, bit by bit, a page


def anew(
    *words: str, cwd: Path, before: Callable[[], None] | None = None, **options: Any
) -> subprocess.CompletedProcess[str]:
    """The command run in a folder by an interpreter of its own; `before` is done in its process before it begins."""
    options = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE} | options
    return subprocess.run(
        [*CHANGEOUT, *words], cwd=cwd, text=True, timeout=120, preexec_fn=before, check=False, **options
    )


def runner(form: str) -> Callable[..., subprocess.CompletedProcess[str]]:
    """What runs the command in a form: the first of the forms is run by an interpreter of its own."""
    return anew if form == FORMS[0] else run


def told_once(done: subprocess.CompletedProcess[str], words: str) -> None:
    """It ended with 2 and said why in plain words."""
    assert 2 == done.returncode, done.stderr
    assert words in done.stderr, done.stderr
    assert 1 == done.stderr.count(words), done.stderr
    assert "Traceback" not in done.stderr


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    """A folder with one file of many jobs, and a report of before."""
    lines = "".join(json.dumps(bell(f"j{number}")) + "\n" for number in range(JOBS))
    (tmp_path / "many.jsonl").write_text(lines)
    (tmp_path / "one.json").write_text(json.dumps(bell("one")))
    (tmp_path / "report").write_text(OLD)
    return tmp_path


@pytest.fixture(scope="module", autouse=True)
def kept_before(tmp_path_factory: pytest.TempPathFactory) -> None:
    """What a run keeps for the next is there: one that finds no room could not keep it, and would begin from nothing."""
    folder = tmp_path_factory.mktemp("before")
    (folder / "small.json").write_text(json.dumps(bell("a")))
    run(*on_bells("check", "small.json"), cwd=folder)
    run(*on_day("check", str(CLEAN)), cwd=folder)


def leftovers(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()} - {"many.jsonl", "one.json", "report"}


# --- a full disk -----------------------------------------------------------------------------------------------------


def no_file_larger_than_512_bytes() -> None:
    """What a full disk is to a program: a write that does not fit is refused with an error."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (512, 512))


@pytest.mark.parametrize("form", FORMS)
def test_a_report_that_finds_no_room_is_told_of_and_the_old_one_stays(jobs: Path, form: str) -> None:
    words = on_bells("check", "one.json", "--format", form, "--output", "report")
    told_once(runner(form)(*words, cwd=jobs, before=no_file_larger_than_512_bytes), "cannot be written")
    assert OLD == (jobs / "report").read_text()
    assert leftovers(jobs) <= {"report.part", "report.part.json"}


def test_a_run_that_found_no_room_goes_on_once_there_is_some(jobs: Path) -> None:
    words = on_bells("check", "many.jsonl", "--format", "jsonl", "--output", "report")
    told_once(run(*words, cwd=jobs, before=no_file_larger_than_512_bytes), "cannot be written")
    assert OLD == (jobs / "report").read_text()
    again = run(*words, "--resume", cwd=jobs)
    assert (1, JOBS) == (again.returncode, len(job_lines((jobs / "report").read_text()))), again.stderr


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 64 KiB."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("a small disk cannot be mounted here; the tests with a largest size of files stand for it")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


@pytest.mark.parametrize("form", ONE_AT_ONCE)
def test_a_disk_that_is_full_leaves_the_old_report(small_disk: Path, form: str) -> None:
    (small_disk / "report").write_text(OLD)
    (small_disk / "filler").write_bytes(b"x" * (64 * 1024 - 3 * 4096))
    job = str(CLEAN)
    done = run(*on_day("check", job, "--format", form, "--output", "report"), cwd=small_disk)
    told_once(done, os.strerror(errno.ENOSPC))
    assert OLD == (small_disk / "report").read_text()
    assert {"report", "filler"} >= {path.name for path in small_disk.iterdir()} - {"report.part", "report.part.json"}


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no /dev/full here")
@pytest.mark.parametrize("form", FORMS)
def test_standard_output_that_is_full_is_told_of(jobs: Path, form: str) -> None:
    with open("/dev/full", "w") as full:
        done = runner(form)(*on_bells("check", "one.json", "--format", form), cwd=jobs, stdout=full)
    told_once(done, os.strerror(errno.ENOSPC))


def test_pages_of_rules_that_find_no_room_are_told_of_and_written_later(tmp_path: Path) -> None:
    words = on_day("rules", "docs", str(BELLS), "--format", "markdown", "--output", "pages")
    told_once(run(*words, cwd=tmp_path, before=no_file_larger_than_512_bytes), "cannot be written")
    done = run(*words, cwd=tmp_path)
    assert 0 == done.returncode, done.stderr
    assert 0 == run(*words, "--check", cwd=tmp_path).returncode


def test_a_release_that_finds_no_room_is_told_of_and_is_not_there(tmp_path: Path) -> None:
    rules = tmp_path / "rules" / "tidewater"
    shutil.copytree(SHIPPED / "groups" / "millrace", rules, ignore=shutil.ignore_patterns("releases"))
    header = rules / "ruleset.yaml"
    header.write_text(header.read_text().replace("id: millrace", "id: tidewater", 1))
    done = run("rules", "release", str(rules), "--version", "9.0.0", cwd=tmp_path, before=no_file_larger_than_512_bytes)
    assert 2 == done.returncode, done.stderr
    assert "Traceback" not in done.stderr
    assert not (rules / "releases" / "9.0.0.json").exists()


# --- a closed pipe ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", FORMS[:-1])
def test_a_reader_who_leaves_early_ends_the_run_without_a_word(jobs: Path, form: str) -> None:
    read, write = os.pipe()
    process = Forked(*on_bells("check", "many.jsonl", "--format", form), cwd=jobs, stdout=write)
    os.close(write)
    os.read(read, 10)
    os.close(read)
    done = process.done()
    assert "Traceback" not in done.stderr
    assert done.returncode not in (0, 2), "neither whole nor a mistake of the user's"


@pytest.mark.parametrize("form", ["text", "sarif"])
def test_an_interpreter_whose_reader_leaves_early_ends_without_a_word(jobs: Path, form: str) -> None:
    read, write = os.pipe()
    process = subprocess.Popen(
        [*CHANGEOUT, *on_bells("check", "many.jsonl", "--format", form)],
        cwd=jobs, stdout=write, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    os.close(write)
    os.read(read, 10)
    os.close(read)
    _, said = process.communicate(timeout=120)
    assert "Traceback" not in said
    assert "Exception ignored" not in said
    assert process.returncode not in (0, 2), "neither whole nor a mistake of the user's"


def test_help_and_lists_into_a_closed_pipe_say_nothing(tmp_path: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    for words in (["--help"], ["rules", "overview"]):
        done = anew(*words, cwd=tmp_path, stdout=write)
        assert "Traceback" not in done.stderr
        assert "Exception ignored" not in done.stderr
        assert 0 != done.returncode
    os.close(write)


# --- killed ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", ["jsonl", "sarif"])
def test_a_run_that_is_killed_leaves_the_old_report_or_the_new_one(jobs: Path, form: str) -> None:
    words = on_bells("check", "many.jsonl", "--format", form, "--output", "report")
    began = time.monotonic()
    assert 1 == run(*words, cwd=jobs).returncode
    whole, took = (jobs / "report").read_text(), time.monotonic() - began
    moments = random.Random(form)
    for _ in range(4):
        (jobs / "report").write_text(OLD)
        process = Forked(*words, cwd=jobs)
        time.sleep(moments.uniform(0.2, 1.05) * took)
        process.kill()
        process.done()
        assert (jobs / "report").read_text() in (OLD, whole)
    assert all(name.startswith((".report.", "report.part")) for name in leftovers(jobs)), leftovers(jobs)
    assert 1 == run(*words, cwd=jobs).returncode, "what is left over is in nobody's way"
    assert whole == (jobs / "report").read_text()


def test_what_a_killed_run_leaves_behind_is_no_job(jobs: Path) -> None:
    """Written next to the jobs of a folder: a later run over that folder reads the jobs and nothing else."""
    for name in (".report.json.abc123.new", "report.jsonl.part", "report.jsonl.part.json.new"):
        (jobs / name).write_text('{"half')
    done = run(*on_bells("check", ".", "--format", "csv"), cwd=jobs)
    assert 1 == done.returncode, done.stderr


# --- permission ------------------------------------------------------------------------------------------------------


PR_CAPBSET_DROP, CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH = 24, 1, 2
CAPABILITIES_OF_64_BITS = 0x20080522  # linux/capability.h


def bound_by_permissions() -> None:
    """On Linux, also root minds permissions without these two capabilities; anybody else does anyway."""
    if os.getuid() == 0:
        system = ctypes.CDLL(None)
        for capability in (CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH):
            system.prctl(PR_CAPBSET_DROP, capability, 0, 0, 0)  # what an interpreter would begin with
        system.capset((ctypes.c_uint32 * 2)(CAPABILITIES_OF_64_BITS, 0), (ctypes.c_uint32 * 6)())  # and until then none


@pytest.fixture
def read_only(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder that can be read and not written to, with a job and a report in it."""
    folder = tmp_path_factory.mktemp("locked")
    (folder / "one.json").write_text(json.dumps(bell("one")))
    (folder / "report").write_text(OLD)
    folder.chmod(0o555)
    touch = "import sys; open('touched', 'w')"
    tried = subprocess.run(
        [sys.executable, "-c", touch], cwd=folder, preexec_fn=bound_by_permissions, capture_output=True, check=False
    )
    if not tried.returncode:
        pytest.skip("this user minds no permissions")
    yield folder
    folder.chmod(0o755)


@pytest.mark.parametrize("form", FORMS)
def test_a_folder_that_may_not_be_written_to_is_told_of(read_only: Path, form: str) -> None:
    words = on_bells("check", "one.json", "--format", form, "--output", "report")
    told_once(runner(form)(*words, cwd=read_only, before=bound_by_permissions), os.strerror(errno.EACCES))
    assert OLD == (read_only / "report").read_text()


def test_pages_of_rules_into_a_folder_that_may_not_be_written_to_are_told_of(read_only: Path) -> None:
    done = run("rules", "docs", str(BELLS), "--output", "pages", cwd=read_only, before=bound_by_permissions)
    told_once(done, os.strerror(errno.EACCES))


def test_a_job_that_may_not_be_read_is_told_of_and_the_others_are_judged(read_only: Path) -> None:
    read_only.chmod(0o755)
    (read_only / "locked.json").write_text("{}")
    (read_only / "locked.json").chmod(0o200)
    done = run(
        *on_bells("check", "locked.json", "one.json", "--format", "jsonl"), cwd=read_only, before=bound_by_permissions
    )
    told_once(done, os.strerror(errno.EACCES))
    assert '"job_id":"one"' in done.stdout.replace(" ", "")


# --- files that vanish or change -------------------------------------------------------------------------------------


def with_change(
    change: Callable[[], object], words: tuple[str, ...], folder: Path, after: int = 1
) -> subprocess.CompletedProcess[str]:
    """The command run with something done once so many jobs are out, as another program might; 0: as the run begins."""

    def put_in() -> None:
        write, begin = checking.Run.write, checking.Run.begin

        def changing(run: checking.Run, *done: Any) -> None:
            write(run, *done)
            if run.totals.seen == after:
                change()

        def beginning(run: checking.Run, *begun: Any) -> None:
            if after == 0:
                change()
            begin(run, *begun)

        checking.Run.write, checking.Run.begin = changing, beginning  # type: ignore[method-assign]

    return run(*words, cwd=folder, before=put_in)


def test_a_job_that_vanishes_between_listing_and_reading_is_told_of_and_the_others_are_judged(tmp_path: Path) -> None:
    for name in "abc":
        (tmp_path / f"{name}.json").write_text(json.dumps(bell(name)))
    done = with_change(lambda: os.unlink("b.json"), on_bells("check", ".", "--format", "jsonl"), tmp_path)
    told_once(done, os.strerror(errno.ENOENT))
    assert ["a", None, "c"] == [line.get("job_id") for line in job_lines(done.stdout)]


def test_a_folder_that_vanishes_is_told_of(tmp_path: Path) -> None:
    (tmp_path / "in" / "z").mkdir(parents=True)
    for name in ("a.json", "z/b.json"):
        (tmp_path / "in" / name).write_text(json.dumps(bell(name[0])))
    done = with_change(lambda: shutil.rmtree("in/z"), on_bells("check", "in", "--format", "jsonl"), tmp_path)
    assert "Traceback" not in done.stderr
    assert 2 == done.returncode, done.stderr


def test_the_folder_of_the_report_that_vanishes_is_told_of(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "many.jsonl").write_text("".join(json.dumps(bell(f"j{n}")) + "\n" for n in range(3)))
    for form in ("jsonl", "sarif"):
        words = on_bells("check", "many.jsonl", "--format", form, "--output", "out/report")
        (tmp_path / "out").mkdir(exist_ok=True)
        told_once(with_change(lambda: shutil.rmtree("out"), words, tmp_path), "cannot be written")


@pytest.mark.parametrize(
    "change", [lambda _: "id: [", lambda text: text + "# reviewed again"], ids=["broken", "longer"]
)
def test_rulesets_that_are_replaced_while_a_run_judges_never_give_verdicts_of_two_states(
    tmp_path: Path, change: Callable[[str], str]
) -> None:
    """One process has read its rulesets by then; of several, each reads its own, and they must be those of the run."""
    shutil.copytree(BELLS, tmp_path / "rules")
    header = tmp_path / "rules" / "ringers" / "ruleset.yaml"
    (tmp_path / "many.jsonl").write_text("".join(json.dumps(bell(f"j{n}")) + "\n" for n in range(5)))
    words = on_day("check", "many.jsonl", "--rules", "rules", "--ruleset", "ringers", "--format", "jsonl")
    before, written = run(*words, cwd=tmp_path), header.read_text()

    def replaced() -> None:
        header.write_text(change(written))

    alone = with_change(replaced, words, tmp_path, after=0)
    assert (before.returncode, before.stdout) == (alone.returncode, alone.stdout), alone.stderr
    header.write_text(written)
    told_once(with_change(replaced, (*words, "--workers", "2"), tmp_path, after=0), "changed during this run")


def test_a_ruleset_file_that_vanishes_between_listing_and_reading_is_told_of(tmp_path: Path) -> None:
    shutil.copytree(BELLS, tmp_path / "rules")
    with (tmp_path / "rules" / "ringers" / "ruleset.yaml").open("a") as header:
        header.write("# not kept by an earlier run\n")
    (tmp_path / "one.json").write_text(json.dumps(bell("one")))
    digest_of = library.digest_of

    def removing(folder: Path, *more: Any) -> Any:
        found = digest_of(folder, *more)
        if "ringers" in str(folder):
            (folder / "ruleset.yaml").unlink()
        return found

    def put_in() -> None:
        library.digest_of = removing

    done = run(*on_day("check", "one.json", "--rules", "rules"), cwd=tmp_path, before=put_in)
    assert 2 == done.returncode
    assert "Traceback" not in done.stderr
    assert "ruleset.yaml" in done.stderr


# --- two at once -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", ["jsonl", "sarif"])
def test_two_runs_to_one_file_leave_one_whole_report(jobs: Path, form: str) -> None:
    words = on_bells("check", "many.jsonl", "--format", form, "--output", "report")
    assert 1 == run(*words, cwd=jobs).returncode
    whole = (jobs / "report").read_bytes()
    (jobs / "report").write_text(OLD)
    both = [process.done() for process in [Forked(*words, cwd=jobs) for _ in range(2)]]
    assert not any("Traceback" in one.stderr for one in both), both
    assert 1 in [one.returncode for one in both], both
    assert whole == (jobs / "report").read_bytes()
    assert set() == leftovers(jobs)


# --- one cache -------------------------------------------------------------------------------------------------------

ALL_BELLS = on_bells("check", "one.json", "--format", "json")


def starting(cache: Path, cwd: Path) -> Forked:
    return Forked(*ALL_BELLS, cwd=cwd, env={"CHANGEOUT_CACHE": str(cache)})


@pytest.fixture(scope="module")
def without_cache(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """What a run that keeps nothing says."""
    folder = tmp_path_factory.mktemp("uncached")
    (folder / "one.json").write_text(json.dumps(bell("one")))
    done = run(*ALL_BELLS, cwd=folder, env={"CHANGEOUT_CACHE": "off"})
    assert "findings" in done.stdout
    return done.stdout, ""


def test_runs_at_once_on_one_cache_say_the_same_and_leave_whole_files(
    jobs: Path, without_cache: tuple[str, str]
) -> None:
    cache = jobs / "kept"
    for _ in ("while it is made", "out of it"):
        done = [process.done() for process in [starting(cache, jobs) for _ in range(3)]]
        assert [without_cache] * 3 == [(one.stdout, one.stderr) for one in done]
    assert any(cache.iterdir())
    assert_kept_files_are_whole(cache)


def test_a_run_that_is_killed_while_it_keeps_something_is_in_nobodys_way(
    jobs: Path, without_cache: tuple[str, str]
) -> None:
    cache, moments = jobs / "kept", random.Random(8)
    began = time.monotonic()
    starting(jobs / "another", jobs).done()
    took = time.monotonic() - began
    for _ in range(3):
        shutil.rmtree(cache, ignore_errors=True)
        process = starting(cache, jobs)
        time.sleep(moments.uniform(0.1, 1.0) * took)
        process.kill()
        process.done()
        assert_kept_files_are_whole(cache)
        again = starting(cache, jobs).done()
        assert without_cache == (again.stdout, again.stderr)


def test_a_cache_that_finds_no_room_keeps_nothing_and_the_run_goes_on(
    jobs: Path, without_cache: tuple[str, str]
) -> None:
    env = {"CHANGEOUT_CACHE": str(jobs / "kept")}
    done = run(*ALL_BELLS, cwd=jobs, before=no_file_larger_than_512_bytes, env=env)
    assert without_cache == (done.stdout, done.stderr)
    kept = list((jobs / "kept").iterdir())
    assert all(0 < file.stat().st_size <= 512 for file in kept), "what has room is kept, and whole"
    assert_kept_files_are_whole(jobs / "kept")


def assert_kept_files_are_whole(cache: Path) -> None:
    """A file under its own name begins with the digest of that name and the rest; what was not finished has another name."""
    named = [path for path in cache.glob("*") if "." not in path.name]
    for path in named:
        content = path.read_bytes()
        assert content[:32] == hashlib.sha256(path.name.encode() + b"\0" + content[32:]).digest()
