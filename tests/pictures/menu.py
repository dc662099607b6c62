"""Makes .pictures/menu.png: Calc with the demo open and the add-in's menu down, in a real window.

    python -m tests.pictures.menu [BOOK.xlsx]

Without a workbook the demo is planned first. Needs Xvfb, xdotool and ImageMagick.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from estimator.estimate import estimate
from estimator.project.templates import read_template
from estimator.workbook.write import write_workbook
from tests.addin.calc_with_addin import calc_with_addin
from tests.addin.window import click, photograph, screen, wait_for_window

PICTURE = Path(__file__).parents[2] / ".pictures" / "menu.png"
TO_PAINT = 3
"""Seconds; nothing tells when a window has painted itself."""


def main() -> None:
    """Make the picture."""
    PICTURE.parent.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="menu-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        book = Path(sys.argv[1]).resolve() if sys.argv[1:] else demo(folder)
        with screen() as display, calc_with_addin(folder, display=display) as calc:
            calc.do("show", book=str(book))
            wait_for_window(display, book.name)
            place = calc.do("menu_place", path=["Fit-out"])["middle"]
            time.sleep(TO_PAINT)
            click(display, place)
            time.sleep(TO_PAINT)
            photograph(display, PICTURE)
            calc.do("close_all")


def demo(folder: Path) -> Path:
    path = folder / "merrowby-lodge.xlsx"
    write_workbook(estimate(read_template("merrowby-lodge")), path)
    return path


if __name__ == "__main__":
    main()
