"""Makes .pictures/counts.png: the demo's sheet Counts in Calc, in a real window.

    python -m tests.pictures.counts [BOOK.xlsx]

Without a workbook the demo is planned first. Needs Xvfb, xdotool and ImageMagick.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from tests.addin.calc_with_addin import calc_with_addin
from tests.addin.window import photograph, screen, wait_for_window
from tests.pictures.menu import PICTURE, TO_PAINT, demo


def main() -> None:
    """Make the picture."""
    PICTURE.parent.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="counts-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        book = Path(sys.argv[1]).resolve() if sys.argv[1:] else demo(folder)
        with screen() as display, calc_with_addin(folder, display=display) as calc:
            calc.do("show", book=str(book))
            wait_for_window(display, book.name)
            time.sleep(TO_PAINT)
            photograph(display, PICTURE.with_name("counts.png"))
            calc.do("close_all")


if __name__ == "__main__":
    main()
