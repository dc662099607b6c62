"""A driven program ends, is seen to fail, and leaves nothing behind."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from tests.engines import programs


def test_a_missing_program_is_named_with_what_to_install(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(programs.ProgramMissingError) as missing:
        programs.program("soffice")
    assert str(missing.value) == (
        "soffice is not installed and the tests need it. On Debian or Ubuntu: "
        "apt-get install --no-install-recommends libreoffice-calc"
    )


def test_a_program_that_hangs_is_ended_with_its_children(tmp_path: Path) -> None:
    script = f"sleep 60 & echo $! > {tmp_path}/child; wait"
    with pytest.raises(programs.ProgramFailedError, match=r"sh did not end within 0\.5 s"):
        programs.run(["sh", "-c", script], 0.5, os.environ)
    assert _ends(int((tmp_path / "child").read_text()))


def test_a_child_that_outlives_its_parent_is_ended(tmp_path: Path) -> None:
    script = f"sleep 60 >/dev/null 2>&1 & echo $! > {tmp_path}/child"
    programs.run(["sh", "-c", script], 5, os.environ)
    assert _ends(int((tmp_path / "child").read_text()))


def test_a_failing_program_shows_what_it_printed() -> None:
    with pytest.raises(programs.ProgramFailedError, match="ended with 3:\nno such room"):
        programs.run(["sh", "-c", "echo no such room >&2; exit 3"], 5, os.environ)


def test_the_callers_python_does_not_reach_the_program(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PYTHONPATH", "/somewhere")
    printed = programs.run(["env"], 5, programs.environment("/nowhere"))
    assert "HOME=/nowhere\n" in printed
    assert "PYTHONPATH" not in printed


def _ends(process: int) -> bool:
    """Whether the process goes away (or waits only to be reaped) within five seconds."""
    until = time.monotonic() + 5
    while time.monotonic() < until:
        status = Path(f"/proc/{process}/status")
        if not status.exists() or "State:\tZ" in status.read_text():
            return True
        time.sleep(0.05)
    return False
