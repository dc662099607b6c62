"""A screen that nobody looks at, with windows that are clicked as a person clicks."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.engines import programs

SIZE = (1360, 860)
SECONDS = 120


@contextmanager
def screen() -> Iterator[str]:
    """The name of a screen of SIZE that lasts as long as the block."""
    reading, writing = os.pipe()
    size = f"{SIZE[0]}x{SIZE[1]}x24"
    # Without -noreset it starts over when its only client leaves, as Calc's own splash screen
    # does, and turns away who comes meanwhile.
    command = [programs.program("Xvfb"), "-displayfd", str(writing), "-screen", "0", size]
    command.append("-noreset")
    quiet = subprocess.DEVNULL
    with subprocess.Popen(command, pass_fds=[writing], stdout=quiet, stderr=quiet) as server:
        os.close(writing)
        try:
            with os.fdopen(reading) as numbers:
                yield f":{numbers.readline().strip()}"
        finally:
            server.terminate()


def on_screen(display: str, *command: str) -> str:
    """Run a program that looks at a screen or acts on it; what it printed."""
    surroundings = programs.environment("/tmp") | {"DISPLAY": display}
    return programs.run([programs.program(command[0]), *command[1:]], SECONDS, surroundings)


def wait_for_window(display: str, title: str) -> str:
    """The number of the window whose title holds these words, once it is there."""
    found = on_screen(display, "xdotool", "search", "--sync", "--onlyvisible", "--name", title)
    return found.splitlines()[-1]


def click(display: str, place: list[int]) -> None:
    """Click at a place of the screen."""
    on_screen(display, "xdotool", "mousemove", *map(str, place), "click", "1")


def photograph(display: str, picture: Path) -> None:
    """Save what the screen shows."""
    on_screen(display, "import", "-window", "root", str(picture))
