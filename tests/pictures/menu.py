"""Makes .pictures/menu.png: Calc with the demo open and the add-in's menu down, in a real window.

    python -m tests.pictures.menu [BOOK.xlsx]

Without a workbook the demo is planned first. Needs Xvfb, xdotool and ImageMagick.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from estimator.estimate import estimate
from estimator.project.templates import read_template
from estimator.workbook.write import write_workbook
from tests.addin.calc_with_addin import calc_with_addin
from tests.engines import programs

PICTURE = Path(__file__).parents[2] / ".pictures" / "menu.png"
SIZE = "1360x860"
SECONDS = 120


def main() -> None:
    """Make the picture."""
    PICTURE.parent.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="menu-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        book = Path(sys.argv[1]).resolve() if sys.argv[1:] else _demo(folder)
        with _screen() as display, calc_with_addin(folder, display=display) as calc:
            calc.do("show", book=str(book))
            _run(display, "xdotool", "search", "--sync", "--onlyvisible", "--name", book.name)
            place = calc.do("menu_place")
            time.sleep(3)  # the window paints itself; nothing tells when it has
            _run(display, "xdotool", "mousemove", *map(str, place["middle"]), "click", "1")
            time.sleep(2)
            _run(display, "import", "-window", "root", str(PICTURE))
            _run(display, "xdotool", "key", "Escape")
            calc.do("close_all")


def _demo(folder: Path) -> Path:
    path = folder / "merrowby-lodge.xlsx"
    write_workbook(estimate(read_template("merrowby-lodge")), path)
    return path


@contextmanager
def _screen() -> Iterator[str]:
    """A screen that nobody looks at; its name."""
    reading, writing = os.pipe()
    command = [programs.program("Xvfb"), "-displayfd", str(writing), "-screen", "0", f"{SIZE}x24"]
    quiet = subprocess.DEVNULL
    with subprocess.Popen(command, pass_fds=[writing], stdout=quiet, stderr=quiet) as screen:
        os.close(writing)
        try:
            with os.fdopen(reading) as numbers:
                yield f":{numbers.readline().strip()}"
        finally:
            screen.terminate()


def _run(display: str, *command: str) -> str:
    surroundings = programs.environment("/tmp") | {"DISPLAY": display}
    return programs.run([programs.program(command[0]), *command[1:]], SECONDS, surroundings)


if __name__ == "__main__":
    main()
