"""A command run in a process that is split off from this one: its own signals, limits and open files, and nothing to load.

It begins in milliseconds, where a new interpreter takes a second. What an interpreter does as it ends is not tried by it;
for that there is `as_process` in `tests/support/commands.py`.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from multiprocessing import resource_tracker
from pathlib import Path
from typing import Any, NoReturn

from checker.cli import main
from tests.support import opening
from tests.support.commands import Run

LONGEST = 120.0  # seconds that a process may take
MOST_FILES = 1024  # that are open here


class Forked:
    """A process that was split off to run a command; `stdout` is a file that its output goes to in place of a pipe."""

    def __init__(
        self,
        *words: str,
        cwd: Path,
        stdout: Any = None,
        env: Mapping[str, str] | None = None,
        before: Callable[[], None] | None = None,
    ) -> None:
        self.words = words
        out, err = os.pipe(), os.pipe()
        own = out[1] if stdout is None else stdout if isinstance(stdout, int) else stdout.fileno()
        for stream in (sys.stdout, sys.stderr):
            stream.flush()
        self.pid = os.fork()
        if self.pid == 0:
            _child(words, cwd, (own, err[1]), env or {}, before)
        os.close(out[1])
        os.close(err[1])
        self._pipes = [os.fdopen(pipe, encoding="utf-8", newline="") for pipe in (out[0], err[0])]
        self._code: int | None = None

    def signal(self, what: int) -> None:
        os.kill(self.pid, what)

    def kill(self) -> None:
        self.signal(signal.SIGKILL)

    def poll(self) -> int | None:
        """The exit code, None while it runs; negative where a signal ended it."""
        if self._code is None:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            self._code = os.waitstatus_to_exitcode(status) if pid else None
        return self._code

    def done(self) -> Run:
        """What it left once it has ended.

        Raises:
            TimeoutError: It takes too long.
        """
        with ThreadPoolExecutor(2) as readers:
            texts = [readers.submit(pipe.read) for pipe in self._pipes]
            until = time.monotonic() + LONGEST
            while self.poll() is None:
                if time.monotonic() > until:
                    self.kill()
                    raise TimeoutError(self.words)
                time.sleep(0.005)
            said = [text.result() for text in texts]
        for pipe in self._pipes:
            pipe.close()
        assert self._code is not None
        return subprocess.CompletedProcess(self.words, self._code, *said)


def forked(*words: str, cwd: Path, **options: Any) -> Run:
    """A command run to its end in a process that is split off."""
    return Forked(*words, cwd=cwd, **options).done()


def _child(
    words: tuple[str, ...],
    cwd: Path,
    streams: tuple[int, int],
    env: Mapping[str, str],
    before: Callable[[], None] | None,
) -> NoReturn:
    """Become the command, and end without what this process would do at its end."""
    code = 120  # as of an interpreter that could not write out what was left
    try:
        for number, stream in enumerate(streams, 1):
            os.dup2(stream, number)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.closerange(3, MOST_FILES)  # the other ends of pipes among them: a reader who leaves has to be noticed
        resource_tracker._resource_tracker.__init__()  # type: ignore[attr-defined,misc]  # it has to find its own
        sys.dont_write_bytecode = True  # where no file may grow, others would read half of a compiled one
        signal.signal(signal.SIGINT, signal.default_int_handler)
        sys.stdin, sys.stdout, sys.stderr = (
            os.fdopen(number, mode, encoding="utf-8", closefd=False) for number, mode in ((0, "r"), (1, "w"), (2, "w"))
        )
        sys.argv = ["changeout", *words]
        os.chdir(cwd)
        os.environ.update(env)
        opening.alone()
        if before:
            before()
        code = _said(main)
        sys.stdout.flush()
    except BaseException:
        with contextlib.suppress(BaseException):
            traceback.print_exc()
    finally:
        with contextlib.suppress(BaseException):
            sys.stderr.flush()
        os._exit(code)


def _said(command: Callable[[], Any]) -> int:
    """The exit code that a command ends its interpreter with."""
    try:
        command()
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 0 if end.code is None else 1
    return 0
