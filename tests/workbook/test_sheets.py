"""What a sheet shows and guards: fills and locks, protection, notes on headers, print set-up."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from defusedxml.ElementTree import fromstring
from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.worksheet.dimensions import ColumnDimension
from openpyxl.worksheet.worksheet import Worksheet

from estimator.expressions.tables import Definition, Table
from estimator.workbook.as_written import AS_WRITTEN
from estimator.workbook.history import CHANGES
from estimator.workbook.styles import GREEN, SIGNS, STRAW
from tests.workbook.conftest import Book
from tests.workbook.footers import in_parts
from tests.workbook.formulas import address, cells_of_name, every_formula

CHART = "{http://schemas.openxmlformats.org/drawingml/2006/chart}"
PAPER = {"letter": "1", "A4": "9"}
PAGES = {"Welcome", "Cut plan", AS_WRITTEN}
"""Sheets of words and drawings, without a table."""


def cells_by_role(book: Book) -> Iterator[tuple[Table, Definition, list[Cell]]]:
    """Every column of every table with its cells, an end row left out."""
    for table in book.estimate.model:
        for definition in table.definitions.values():
            cells = cells_of_name(book.read, f"{table.name}_{definition.name}")
            across = len(table.axis) if definition.role == "block" else 1
            yield table, definition, cells if table.kind == "form" else cells[:-across]


def fill(cell: Cell) -> str:
    """Its colour as it is written in styles, or nothing."""
    return f"#{cell.fill.start_color.rgb[2:]}" if cell.fill.fill_type == "solid" else ""


# --- Inputs, planned values, formulas -------------------------------------------------------------


def test_inputs_are_unlocked_and_straw(book: Book) -> None:
    inputs = [
        cell
        for _, definition, cells in cells_by_role(book)
        if definition.role in ("input", "block")
        for cell in cells
    ]
    assert len(inputs) > 300
    assert [address(c) for c in inputs if c.protection.locked or fill(c) != STRAW] == []
    unlocked = {address(c) for c in every_cell(book.read) if not c.protection.locked}
    assert unlocked == {address(c) for c in inputs}, "nothing else is unlocked"


def every_cell(book: Workbook) -> Iterator[Cell]:
    """All cells that the file holds, a blank one with a format included."""
    for sheet in book.worksheets:
        for row in sheet.iter_rows():
            yield from (cell for cell in row if isinstance(cell, Cell))


def test_formulas_are_locked_and_plain(book: Book) -> None:
    cells = [formula.cell for formula in every_formula(book.read)]
    assert [address(c) for c in cells if not c.protection.locked or fill(c)] == []


def test_planned_values_are_green_and_locked(book: Book) -> None:
    planned = [
        cell
        for _, definition, cells in cells_by_role(book)
        if definition.role == "planned"
        for cell in cells
    ]
    assert len(planned) > 100
    assert [address(c) for c in planned if not c.protection.locked or fill(c) != GREEN] == []


def test_colour_never_speaks_alone(book: Book) -> None:
    """Beside the colour of what is typed or planned stands its sign, in the header or the label."""
    without = [
        f"{table.name}.{definition.name}"
        for table, definition, cells in cells_by_role(book)
        if SIGNS[definition.role] and SIGNS[definition.role].strip() not in said(table, cells)
    ]
    assert without == []


def said(table: Table, cells: list[Cell]) -> str:
    """The header and the unit above a column, or the label beside a field."""
    first = cells[0] if cells else None
    if first is None:
        return "".join(SIGNS.values())  # an empty table has nothing coloured
    if table.kind == "form":
        return str(first.offset(column=-1).value)
    return f"{first.offset(row=-2).value} {first.offset(row=-1).value}"


# --- Notes ----------------------------------------------------------------------------------------


def test_every_header_has_the_note_of_its_definition(book: Book) -> None:
    noted = 0
    for table, definition, _ in cells_by_role(book):
        first = cells_of_name(book.read, f"{table.name}_{definition.name}")[0]
        if table.kind == "form":
            assert definition.note in note_beside(first), address(first)
        else:
            header: Any = first.offset(row=-2)
            assert header.comment is not None, f"{address(header)} has no note"
            assert definition.note in header.comment.text, address(header)
        noted += 1
    assert noted > 200


def note_beside(value: Cell) -> str:
    """The words to the right of a form's value, and the note on its label."""
    beside = [value.offset(column=n).value for n in range(1, 5)]
    comment = value.offset(column=-1).comment
    return " ".join(str(each) for each in [*beside, comment.text if comment else ""])


# --- On screen and on paper -----------------------------------------------------------------------


def test_every_sheet_is_protected_without_a_password(book: Book) -> None:
    protection = {sheet.title: sheet.protection for sheet in book.read.worksheets}
    assert [title for title, each in protection.items() if not each.sheet] == []
    assert [title for title, each in protection.items() if each.password or each.hashValue] == []


def test_rows_can_be_inserted_and_columns_widened(book: Book) -> None:
    """Protection turns these off unless it says otherwise; here it guards formulas only."""
    for sheet in tables(book):
        guarded = sheet.protection
        assert not guarded.insertRows, sheet.title
        assert not guarded.formatColumns, sheet.title
        assert not guarded.selectUnlockedCells, sheet.title


def tables(book: Book) -> list[Worksheet]:
    """The sheets that hold tables."""
    found: list[Worksheet] = [each for each in book.read.worksheets if each.title not in PAGES]
    assert len(found) > 20
    return found


def test_headers_stay_in_sight(book: Book) -> None:
    for sheet in tables(book):
        assert sheet.freeze_panes, sheet.title
        own = [table for table in book.estimate.model if table.sheet == sheet.title]
        if len(own) == 1 and sheet.title != CHANGES:  # a page stands below its table
            assert book.read[sheet.title][sheet.freeze_panes].row == first_row(book, own[0])


def first_row(book: Book, table: Table) -> int:
    """The row of a table's first values, below its headers."""
    name = next(iter(table.definitions))
    return int(cells_of_name(book.read, f"{table.name}_{name}")[0].row)


def test_headers_are_printed_on_every_page(book: Book) -> None:
    repeated = 0
    for sheet in tables(book):
        own = [table for table in book.estimate.model if table.sheet == sheet.title]
        if len(own) == 1 and own[0].kind == "rows" and sheet.title != CHANGES:
            first = first_row(book, own[0])
            assert sheet.print_title_rows == f"${first - 2}:${first - 1}", sheet.title
            repeated += 1
    assert repeated > 10


def test_sheets_are_set_up_for_paper(book: Book) -> None:
    paper = PAPER[book.estimate.project.project.paper]
    for sheet in book.read.worksheets:
        assert str(sheet.page_setup.paperSize) == paper, sheet.title
        paged = sheet.sheet_properties.pageSetUpPr
        assert paged is not None, sheet.title
        assert paged.fitToPage, sheet.title


def test_the_foot_of_a_page_says_job_sheet_and_page(book: Book) -> None:
    facts = book.estimate.project.project
    for number, title in enumerate(book.read.sheetnames, start=1):
        left, middle, right = in_parts(book.path, number)
        assert left == f"{facts.name} · revision {facts.revision}", title
        assert (middle, right) == ("<sheet>", "page <page> of <pages>"), title


def test_columns_are_wide_enough_for_their_headers(book: Book) -> None:
    """The longest word of a header fits on its line: as many characters as the column is wide."""
    narrow = [
        f"{address(cells[0])}: {cells[0].offset(row=-2).value}"
        for table, _, cells in cells_by_role(book)
        if cells and table.kind != "form" and not is_hidden(cells[0])
        if longest_word(str(cells[0].offset(row=-2).value)) > width(cells[0])
    ]
    assert narrow == []


def longest_word(words: str) -> int:
    return max(len(word) for word in words.split())


def width(cell: Cell) -> float:
    return float(column_of(cell).width)


def is_hidden(cell: Cell) -> bool:
    return bool(column_of(cell).hidden)


def column_of(cell: Cell) -> ColumnDimension:
    assert isinstance(cell.parent, Worksheet)
    return cell.parent.column_dimensions[cell.column_letter]


def test_charts_draw_what_stands_in_cells(book: Book) -> None:
    """Cost by kind and price by room type: words beside numbers, as many of each."""
    charts = list(chart_references(book.path))
    assert len(charts) == 2
    for words, numbers in charts:
        named, drawn = (cells_of(book.read, each) for each in (words, numbers))
        assert len(named) == len(drawn) > 0
        assert all(isinstance(cell.value, str) for cell in named)
        assert all(cell.data_type == "f" for cell in drawn), "a chart follows the counts"


def chart_references(path: Path) -> Iterator[tuple[str, str]]:
    """Of each chart: where its words and where its numbers stand."""
    with zipfile.ZipFile(path) as package:
        for name in sorted(package.namelist()):
            if name.startswith("xl/charts/chart"):
                found = [each.text for each in fromstring(package.read(name)).iter(f"{CHART}f")]
                words, numbers = found
                yield str(words), str(numbers)


def cells_of(book: Workbook, area: str) -> list[Cell]:
    """The cells of a reference with a sheet."""
    title, _, cells = area.rpartition("!")
    rows = book[title.strip("'")][cells.replace("$", "")]
    return [cell for row in (rows if isinstance(rows, tuple) else ((rows,),)) for cell in row]
