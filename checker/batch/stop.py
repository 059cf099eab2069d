"""Ctrl-C at a moment when nothing is half done.

An exception out of a signal can come anywhere, also where a library swallows it; so it only comes while the run waits for
its next job. Else the signal is noted, and the run looks after each job. Who asks twice is not made to wait.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from types import FrameType
from typing import Any, TypeVar

Each = TypeVar("Each")

HEARD = (signal.SIGINT, signal.SIGTERM)


class Stop:
    """Holds SIGINT and SIGTERM back: `asked` tells that one came. Inside `waiting` it raises KeyboardInterrupt at once."""

    def __init__(self) -> None:
        self.asked = self._waiting = False
        self._before: dict[signal.Signals, Any] = {}

    def __enter__(self) -> Stop:
        if threading.current_thread() is threading.main_thread():
            self._before = {one: signal.signal(one, self._heard) for one in HEARD}
        return self

    def __exit__(self, *_: object) -> None:
        for one, handler in self._before.items():
            signal.signal(one, handler)

    def _heard(self, number: int, frame: FrameType | None) -> None:
        if self._waiting or self.asked:
            raise KeyboardInterrupt
        self.asked = True

    def waiting(self, many: Iterator[Each]) -> Iterator[Each]:
        """Go through many things. A signal that comes while the next one is waited for is heard at once."""
        while True:
            self._waiting = True
            try:
                one = next(many, None)
            finally:
                self._waiting = False
            if one is None:
                return
            yield one
