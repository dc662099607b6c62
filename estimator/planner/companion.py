"""A function at work in a process of its own, on another core.

Not the standard pools of processes: their workers run the caller's script anew, and they cannot be
told while at work that less is wanted. Here a second interpreter gets the function and its argument
as a pickle on its standard input, and answers on its standard output. It ends when the first one
does, and does not hear Ctrl-C, which is the first one's to answer.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Callable
from typing import Generic, TypeVar

from estimator.planner import tuning

Argument = TypeVar("Argument")
Result = TypeVar("Result")
Limit = Callable[[], int]

START = "from estimator.planner.companion import answer; answer()"


class Companion(Generic[Argument, Result]):
    """``work`` on an ``argument``, within a ``limit`` on work that it asks for and that may sink.

    ``work`` must be a function of a module, and must give the same result under a lower limit if it
    ends within it, so that nothing hangs on when the limit sank.
    """

    def __init__(
        self, work: Callable[[Argument, Limit], Result], argument: Argument, limit: int
    ) -> None:
        self.work, self.argument = work, argument
        self.results: list[Result] = []
        self.sending = threading.Lock()
        self.process = _interpreter()
        # Written down here: the argument may go on changing in this process.
        first = pickle.dumps((work, argument, limit))
        self.reader = threading.Thread(target=self._converse, args=(first,), daemon=True)
        self.reader.start()

    def __enter__(self) -> Companion[Argument, Result]:
        return self

    def __exit__(self, *_: object) -> None:
        if self.process:
            # Its pipes are closed as well; what was not sent yet has nobody to go to.
            with contextlib.suppress(OSError), self.process:
                self.process.kill()
                self.reader.join()

    def _converse(self, first: bytes) -> None:
        # A process that cannot be had, or that dies, leaves no result: then see ``result``.
        with contextlib.suppress(OSError, EOFError, pickle.UnpicklingError):
            self._send(first)
            if self.process and self.process.stdout:
                self.results.append(pickle.load(self.process.stdout))

    def _send(self, message: bytes) -> None:
        if self.process and self.process.stdin:
            with self.sending:
                self.process.stdin.write(message)
                self.process.stdin.flush()

    @property
    def so_far(self) -> Result | None:
        """The result, if it is there already."""
        return self.results[0] if self.results else None

    def result(self, limit: int, stop: Callable[[], bool]) -> Result | None:
        """The result within this limit, waited for; None if ``stop`` says so first."""
        with contextlib.suppress(OSError, ValueError):
            self._send(pickle.dumps(limit))
        while self.reader.is_alive():
            if stop():
                return None
            self.reader.join(tuning.ASKING)
        # Without a second process it is done here: the same result, only later.
        return self.results[0] if self.results else self.work(self.argument, lambda: limit)


def _interpreter() -> subprocess.Popen[bytes] | None:
    try:
        return subprocess.Popen(
            [sys.executable, "-c", START],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,  # whatever goes wrong there is done again, and told, here
            env={**os.environ, "PYTHONPATH": os.pathsep.join(path or "." for path in sys.path)},
            start_new_session=True,
            creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0)
            | getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
    except OSError:
        return None


def answer() -> None:
    """In the second process: do the work that standard input brings, and write the result."""
    work, argument, limit = pickle.load(sys.stdin.buffer)
    lowest = [limit]
    threading.Thread(target=_listen, args=(lowest,), daemon=True).start()
    pickle.dump(work(argument, lambda: lowest[0]), sys.stdout.buffer)
    sys.stdout.flush()
    os._exit(0)  # the listener still holds standard input, which a plain exit would wait for


def _listen(lowest: list[int]) -> None:
    while True:
        try:
            lowest[0] = pickle.load(sys.stdin.buffer)
        except EOFError:
            os._exit(1)  # nobody waits for a result any more
