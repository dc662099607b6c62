"""Find and run the desktop programs that the tests drive.

A missing program is an error that says what to install, never a skip.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
from collections.abc import Mapping, Sequence

DEBIAN_PACKAGES = {
    "soffice": "libreoffice-calc",
    "chromium": "chromium",
    "pdftoppm": "poppler-utils",
    "pdftotext": "poppler-utils",
}

# A caller's Python settings would be picked up by the Python that LibreOffice brings along.
CALLERS_PYTHON = ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV")


class ProgramMissingError(RuntimeError):
    """A program that the tests cannot do without is not installed."""


class ProgramFailedError(RuntimeError):
    """A program ran but did not do what it was asked."""


def program(name: str) -> str:
    """Full path of an installed program; raises ProgramMissingError saying what to install."""
    found = shutil.which(name)
    if found is None:
        raise ProgramMissingError(
            f"{name} is not installed and the tests need it. On Debian or Ubuntu: "
            f"apt-get install --no-install-recommends {DEBIAN_PACKAGES[name]}"
        )
    return found


def environment(home: str) -> dict[str, str]:
    """Surroundings for a driven program: its own home, a neutral locale, no caller's Python."""
    kept = {name: text for name, text in os.environ.items() if name not in CALLERS_PYTHON}
    return kept | {"HOME": home, "LC_ALL": "C.UTF-8", "LANG": "C.UTF-8"}


def run(command: Sequence[str], seconds: float, surroundings: Mapping[str, str]) -> str:
    """Run to the end within `seconds`; return what was printed, or raise ProgramFailedError.

    The program gets a process group of its own, which is killed whole at the end, so that a child
    that outlives its parent cannot hold a profile or a port.
    """
    with subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env=dict(surroundings),
        start_new_session=True,
        text=True,
        errors="replace",
    ) as process:
        try:
            printed, _ = process.communicate(timeout=seconds)
        except subprocess.TimeoutExpired as late:
            raise ProgramFailedError(f"{command[0]} did not end within {seconds:g} s") from late
        finally:
            kill_group(process.pid)
    if process.returncode != 0:
        raise ProgramFailedError(f"{command[0]} ended with {process.returncode}:\n{printed}")
    return printed


def kill_group(leader: int) -> None:
    """End a program that leads a group of processes, and all of its children."""
    try:
        os.killpg(leader, signal.SIGKILL)
    except ProcessLookupError:
        return
