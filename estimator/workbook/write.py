"""Pages turned into a file, here and nowhere else; every write is checked."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from estimator.estimate import Estimate
from estimator.files import whole_file
from estimator.workbook.additions import NOTHING, Additions
from estimator.workbook.book import book_of
from estimator.workbook.cells import (
    check,
    write_formula,
    write_link,
    write_truth,
    write_value,
)
from estimator.workbook.page import Book, Cell, Chart, Look, Note, Page, Picture, PrintSetup
from estimator.workbook.styles import FONT, INK

OPTIONS = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
MARGINS = {"left": 0.5, "right": 0.5, "top": 0.7, "bottom": 0.7}
NOTE_WIDTH = 1.6
MOVES_WITH_CELLS, MOVES_AND_SIZES = 2, 1
Formats = Callable[[Look], Format]


def write_workbook(estimate: Estimate, path: Path, additions: Additions = NOTHING) -> None:
    """Write the workbook; the file appears whole or not at all.

    path: must not exist, since a person may have edited what is there. additions: what stands in it
    beyond its tables.
    """
    with whole_file(path) as temporary:
        temporary.write_bytes(file_of(book_of(estimate, additions)))


def file_of(book: Book) -> bytes:
    """The workbook as the bytes of an .xlsx file.

    Raises WriteRefused for what the file writer does not take; a fault of ours.
    """
    whole = BytesIO()
    writer = Workbook(whole, OPTIONS)
    writer.set_properties({"title": book.title, "comments": book.comments})
    for name, value in book.properties.items():
        check(writer.set_custom_property(name, value), f"the property {name}")
    writer.set_calc_mode("auto")
    formats = lru_cache(maxsize=None)(lambda look: writer.add_format(FONT | dict(look)))
    sheets = {page.name: writer.add_worksheet(page.name) for page in book.pages}
    for page in book.pages:
        _write_page(writer, sheets[page.name], page, formats)
    for name, where in book.names.items():
        check(writer.define_name(name, where), f"the name {name}")
    sheets[book.on_top].activate()
    writer.close()
    return whole.getvalue()


def _write_page(book: Workbook, sheet: Worksheet, page: Page, formats: Formats) -> None:
    for area in page.merged:
        check(sheet.merge_range(*area, "", formats(())), f"{page.name}, merged {area}")
    for cell in page.by_place.values():
        _write_cell(sheet, cell, formats(cell.look))
    for note in page.notes_by_place.values():
        _write_note(sheet, note)
    _write_sizes(sheet, page)
    for rule in page.validations:
        top, left, bottom, right = rule.area
        code = sheet.data_validation(top, left, bottom, right, dict(rule.rule))
        check(code, f"{page.name}, validation of {rule.area}")
    for mark in page.highlights:
        look = book.add_format(dict(mark.look))
        shown = {"type": "cell", "criteria": "==", "value": f'"{mark.words}"', "format": look}
        code = sheet.conditional_format(*mark.area, shown)
        check(code, f"{page.name}, highlight of {mark.area}")
    for picture in page.pictures:
        _insert_picture(sheet, picture)
    for chart in page.charts:
        _insert_chart(book, sheet, chart)
    _set_up(sheet, page)


def _write_cell(sheet: Worksheet, cell: Cell, style: Format) -> None:
    if cell.link:
        write_link(sheet, cell.row, cell.column, cell.link, style, cell.words)
    elif cell.formula:
        write_formula(sheet, cell.row, cell.column, cell.formula, style, cell.value)
    elif isinstance(cell.value, bool):
        write_truth(sheet, cell.row, cell.column, cell.value, style)
    else:
        write_value(sheet, cell.row, cell.column, cell.value, style)


def _write_note(sheet: Worksheet, note: Note) -> None:
    options = {"x_scale": NOTE_WIDTH, "y_scale": note.tall, "author": ""}
    options |= {"color": note.ground} if note.ground else {}
    code = sheet.write_comment(note.row, note.column, note.words, options)
    check(code, f"{sheet.get_name()}, note at row {note.row + 1} column {note.column + 1}")


def _write_sizes(sheet: Worksheet, page: Page) -> None:
    for row, height in page.heights.items():
        code = sheet.set_row(row, height or None, None, {"hidden": not height})
        check(code, f"{page.name}, height of row {row + 1}")
    for column, width in page.widths.items():
        options: dict[str, Any] = {"hidden": not width}
        if column in page.folded:
            options = {"level": 1, "hidden": True}
        elif column - 1 in page.folded:  # it carries the sign to unfold
            options = {"collapsed": True}
        code = sheet.set_column(column, column, width or None, None, options)
        check(code, f"{page.name}, width of column {column + 1}")


def _insert_picture(sheet: Worksheet, picture: Picture) -> None:
    options = {
        "image_data": BytesIO(picture.png),
        "x_scale": picture.scale,
        "y_scale": picture.scale,
        "object_position": MOVES_WITH_CELLS,
        "description": picture.description,
    }
    code = sheet.insert_image(picture.row, picture.column, picture.name, options)
    check(code, f"{sheet.get_name()}, picture {picture.name}")


def _insert_chart(book: Workbook, sheet: Worksheet, chart: Chart) -> None:
    kind = {"type": chart.kind} | ({"subtype": "stacked"} if chart.is_stacked else {})
    made = book.add_chart(kind)
    for series in chart.series:
        words, numbers = ([series.sheet, *area] for area in (series.words, series.numbers))
        made.add_series({"categories": words, "values": numbers} | dict(series.look))
    made.set_title({"name": chart.title, "name_font": {"size": 11, "color": INK}, "overlay": False})
    made.set_legend(dict(chart.legend))
    made.set_x_axis(dict(chart.x_axis))
    made.set_y_axis(dict(chart.y_axis))
    made.set_size(dict(zip(("width", "height"), chart.size, strict=True)))
    if chart.shows_folded:
        made.show_hidden_data()
    position = MOVES_WITH_CELLS if chart.keeps_size else MOVES_AND_SIZES
    options: dict[str, Any] = {"x_offset": chart.from_left, "object_position": position}
    options |= {"description": chart.description} if chart.description else {}
    code = sheet.insert_chart(chart.row, chart.column, made, options)
    check(code, f"{sheet.get_name()}, chart {chart.title}")


def _set_up(sheet: Worksheet, page: Page) -> None:
    """How the sheet is shown, guarded and printed."""
    if not page.has_gridlines:
        sheet.hide_gridlines(2)
    if page.frozen:
        sheet.freeze_panes(*page.frozen)
    if page.tab_colour:
        sheet.set_tab_color(page.tab_colour)
    if page.allowed is not None:
        sheet.protect("", dict(page.allowed))
    if page.printed:
        _set_up_printing(sheet, page.printed)
    if page.hidden:
        sheet.hide()


def _set_up_printing(sheet: Worksheet, printed: PrintSetup) -> None:
    sheet.set_paper(printed.paper)
    sheet.set_margins(**MARGINS)
    sheet.fit_to_pages(*printed.pages)
    sheet.set_footer(printed.footer)
    if printed.is_landscape:
        sheet.set_landscape()
    if printed.repeated:
        sheet.repeat_rows(*printed.repeated)
    if printed.repeats_first_column:
        sheet.repeat_columns(0)
