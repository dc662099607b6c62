"""The add-in as a person meets it: a real window, a click on the menu, a message box."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from tests.addin.calc_with_addin import calc_with_addin
from tests.addin.window import click, screen, wait_for_window

pytestmark = pytest.mark.slow


def test_a_click_on_the_menu_ends_in_a_message_box(tmp_path: Path) -> None:
    with screen() as display, calc_with_addin(tmp_path, display=display) as calc:
        calc.do("show", book="")
        wait_for_window(display, "Untitled")
        click(display, calc.do("menu_place", path=["Fit-out"])["middle"])
        time.sleep(2)  # the menu opens; nothing tells when it has
        check = calc.do("menu_place", path=["Fit-out", "Check this workbook"])
        click(display, check["middle"])
        wait_for_window(display, "^Fit-out$")
        box = calc.do("box")
        assert box["words"] == [
            "This is no workbook of the estimator. Open one that it made, such as its demo."
        ]
        click(display, box["button"])
        calc.do("close_all")
