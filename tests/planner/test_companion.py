"""A function at work in a process of its own: its result, its limit, and its end."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator.planner.companion import Companion

PATIENCE = 60.0  # seconds


def squared(number: int, limit: Callable[[], int]) -> tuple[int, int]:
    """The square and the process that made it."""
    return number * number, os.getpid()


def until_lowered(first: int, limit: Callable[[], int]) -> int:
    """Waits until the limit sinks below the first one."""
    while limit() >= first:
        time.sleep(0.01)
    return limit()


def killed(here: int, limit: Callable[[], int]) -> str:
    """Dies in any other process than the one named."""
    if os.getpid() != here:
        os.kill(os.getpid(), signal.SIGKILL)
    return "done here"


def endless(mark: Path, limit: Callable[[], int]) -> None:
    """Tells its process's number to a file, and does not end."""
    mark.write_text(str(os.getpid()))
    while True:
        time.sleep(0.01)


def never() -> bool:
    return False


def test_the_work_is_done_in_another_process() -> None:
    with Companion(squared, 12, 1) as companion:
        result = companion.result(1, never)
    assert result is not None
    assert result[0] == 144
    assert result[1] != os.getpid()


def test_a_limit_that_sinks_is_heard() -> None:
    with Companion(until_lowered, 100, 100) as companion:
        assert companion.so_far is None
        assert companion.result(7, never) == 7


@pytest.mark.parametrize("program", ["", "/no/such/program"])
def test_without_a_second_process_the_work_is_done_here(
    monkeypatch: pytest.MonkeyPatch, program: str
) -> None:
    monkeypatch.setattr(sys, "executable", program)
    with Companion(squared, 5, 1) as companion:
        assert companion.result(1, never) == (25, os.getpid())


def test_the_work_of_a_process_that_dies_is_done_here() -> None:
    with Companion(killed, os.getpid(), 1) as companion:
        assert companion.result(1, never) == "done here"


def test_a_stop_does_not_wait_and_leaves_no_process(tmp_path: Path) -> None:
    mark = tmp_path / "process"
    with Companion(endless, mark, 1) as companion:
        process = _named(mark)
        assert companion.result(1, lambda: True) is None
    assert _gone(process)


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_the_process_ends_with_the_one_that_began_it(tmp_path: Path, how: signal.Signals) -> None:
    mark = tmp_path / "process"
    script = (
        "import pathlib, tests.planner.test_companion as t\n"
        f"c = t.Companion(t.endless, pathlib.Path({str(mark)!r}), 1)\n"
        "c.result(1, t.never)\n"
    )
    root = Path(__file__).parents[2]
    with subprocess.Popen([sys.executable, "-c", script], cwd=root) as beginner:
        process = _named(mark)
        beginner.send_signal(how)
        beginner.wait(PATIENCE)
    assert _gone(process)


def test_ctrl_c_is_for_the_one_that_began_it(tmp_path: Path) -> None:
    """A terminal sends it to the whole group of processes; the second one is in another."""
    mark = tmp_path / "process"
    with Companion(endless, mark, 1):
        assert os.getpgid(_named(mark)) != os.getpgid(0)


def _named(mark: Path) -> int:
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if mark.exists() and (words := mark.read_text()):
            return int(words)
        time.sleep(0.01)
    raise AssertionError("the process never began")


def _gone(process: int) -> bool:
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.01)
    return False
