"""The first sheet: what the workbook is, how to use it, its colours and signs, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimator.project.records import Facts
from estimator.workbook.layout import quoted
from estimator.workbook.lines import BLANK, Line, Part, cells_of, heights_of, line
from estimator.workbook.page import Page, look
from estimator.workbook.sheets import ALLOWED, print_setup
from estimator.workbook.styles import BORDER, GREEN, REMARK, STRAW, TEXT, TITLE

HOW_TO = (
    "Counts: type how many rooms there are of each type on each floor. Price, sheets, hours and "
    "checks follow at once, in any spreadsheet program and without macros.",
    "Quote and Buy list: what the client pays and what the shop buys, live.",
    "Price: how the total is built up from direct cost. Rates stand on Terms, none in a formula.",
    "Checks: 0 is OK. A row that says Fail must be fixed before a price leaves the office; one "
    "that says Review is to be looked at.",
    "The sheet count is the cut plan's own while counts stand as planned. Once they move it is a "
    "proven least number with a measured margin; plan again for the exact count.",
    "To add a row, take the sheet's protection off (it has no password and guards against slips), "
    "insert the row above the line that says so, and copy the formulas down.",
)
KEY = (
    ("✎ typed", STRAW, "You type it. Change it freely."),
    ("◆ planned", GREEN, "The planner wrote it; it stays until you plan again."),
    ("plain", "", "A formula. Leave it; its header's note says what it is."),
)
CAUTIONS = (
    "Fix rails into studs or backing. Wallboard alone carries nothing that counts. Find the studs; "
    "steel studs and masonry need their own fixings.",
    "The figures here are no proof of strength. Local codes and licensed practice decide what may "
    "hang where, how it is fixed, and who must approve it.",
    "Saws: guards on, hands clear, unplug to change a blade. Dust: extraction and a fitted mask.",
    "Lifting: whole sheets and large modules take two people or a lift.",
    "Rags wet with an oil finish can set themselves on fire: dry them flat outdoors, or keep them "
    "under water in a closed metal can.",
    "Wiring, lamps and sockets are an electrician's work. Trace cables and pipes before you screw.",
)


NUMBER = look(align="right", valign="top", bold=True)
WARNING = look(bold=True, font_color="#8C1D18")
LINK = look(font_color="#2F5D8A", underline=1, valign="top")
WIDTHS = {0: 18.0, 1: 96.0}
LONGEST_LINE, TWO_LINES = 100, 28.0


def welcome_page(name: str, facts: Facts, sheets: Sequence[tuple[str, str]]) -> Page:
    """sheets: each other sheet's name with a line on what it is for."""
    lines = [
        line((facts.name, look(bold=True, font_size=20))),
        line((_subtitle(facts), REMARK)),
        line((facts.remark, WARNING)) if facts.remark else BLANK,
        BLANK,
        *_section("How to use it", [(str(number), t) for number, t in enumerate(HOW_TO, 1)]),
        *_key(),
        *_section("Cautions", [("!", text) for text in CAUTIONS]),
        line(("Sheets", TITLE)),
        *(line(Part(each, LINK, f"{quoted(each)}!A1"), (about, TEXT)) for each, about in sheets),
    ]
    return Page(
        name,
        cells_of(lines),
        widths=WIDTHS,
        heights=heights_of(lines),
        printed=print_setup(facts, (1, 1)),
        allowed=ALLOWED,
        has_gridlines=False,
    )


def _subtitle(facts: Facts) -> str:
    parts = (facts.place, f"revision {facts.revision}", facts.issued.isoformat(), facts.prepared_by)
    return " · ".join(part for part in parts if part)


def _section(title: str, lines: Sequence[tuple[str, str]]) -> Iterator[Line]:
    yield line((title, TITLE))
    for sign, text in lines:
        height = TWO_LINES if len(text) > LONGEST_LINE else 0.0
        yield line((sign, NUMBER), (text, TEXT), height=height)
    yield BLANK


def _key() -> Iterator[Line]:
    yield line(("Colours and signs", TITLE))
    for words, fill, about in KEY:
        ground = {"bg_color": fill} if fill else {}
        yield line((words, look(border=1, border_color=BORDER, **ground)), (about, TEXT))
    yield BLANK
