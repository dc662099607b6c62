"""The first sheet: what the workbook is, how to use it, its colours and signs, cautions."""

from __future__ import annotations

from collections.abc import Sequence

from xlsxwriter.worksheet import Worksheet

from estimator.project.records import Facts
from estimator.workbook.cells import write_words
from estimator.workbook.styles import GREEN, STRAW, Styles

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


def write_welcome(
    sheet: Worksheet, facts: Facts, sheets: Sequence[tuple[str, str]], styles: Styles
) -> None:
    """sheets: each sheet's name with a line on what it is for."""
    sheet.hide_gridlines(2)
    sheet.fit_to_pages(1, 1)
    sheet.set_column(0, 0, 18)
    sheet.set_column(1, 1, 96)
    write_words(sheet, 0, 0, facts.name, styles.of(bold=True, font_size=20))
    write_words(sheet, 1, 0, _subtitle(facts), styles.remark)
    if facts.remark:
        write_words(sheet, 2, 0, facts.remark, styles.of(bold=True, font_color="#8C1D18"))
    row = _section(
        sheet, 4, "How to use it", [(str(n), t) for n, t in enumerate(HOW_TO, 1)], styles
    )
    row = _key(sheet, row, styles)
    row = _section(sheet, row, "Cautions", [("!", text) for text in CAUTIONS], styles)
    row = _title(sheet, row, "Sheets", styles)
    link = styles.of(font_color="#2F5D8A", underline=1, valign="top")
    for name, about in sheets:
        sheet.write_url(row, 0, f"internal:'{name}'!A1", link, name)
        write_words(sheet, row, 1, about, styles.text)
        row += 1


def _subtitle(facts: Facts) -> str:
    parts = (facts.place, f"revision {facts.revision}", facts.issued.isoformat(), facts.prepared_by)
    return " · ".join(part for part in parts if part)


def _title(sheet: Worksheet, row: int, words: str, styles: Styles) -> int:
    write_words(sheet, row, 0, words, styles.title)
    return row + 1


def _section(
    sheet: Worksheet, row: int, title: str, lines: Sequence[tuple[str, str]], styles: Styles
) -> int:
    row = _title(sheet, row, title, styles)
    for sign, text in lines:
        write_words(sheet, row, 0, sign, styles.of(align="right", valign="top", bold=True))
        write_words(sheet, row, 1, text, styles.text)
        if len(text) > 100:
            sheet.set_row(row, 28)
        row += 1
    return row + 1


def _key(sheet: Worksheet, row: int, styles: Styles) -> int:
    row = _title(sheet, row, "Colours and signs", styles)
    for words, fill, about in KEY:
        look = {"border": 1, "border_color": "#C9CFC6"} | ({"bg_color": fill} if fill else {})
        write_words(sheet, row, 0, words, styles.of(**look))
        write_words(sheet, row, 1, about, styles.text)
        row += 1
    return row + 1
