"""What a person added to a workbook beyond its inputs: what comes along, and what does not.

The workbook is held against the pages that the tool itself would write for the same inputs: what
stands only in the former is the person's own. It is placed in the next workbook by what it stands
beside (`places`); whatever has no place there is told.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from openpyxl.utils.cell import get_column_letter

from estimator.estimate import Estimate, calculate_book
from estimator.revise.formulas import (
    NAME,
    Kept,
    NotKeptError,
    following,
    kept_formula,
    under_new_names,
)
from estimator.revise.laid_open import LaidOpen, laid_open
from estimator.revise.left_behind import LeftBehind, formulas_typed_over, packaged
from estimator.revise.looks import marks
from estimator.revise.older import Renamed, under_names_of_today
from estimator.revise.places import Ground, moved, planned_ground
from estimator.workbook.additions import Additions
from estimator.workbook.as_written import AS_WRITTEN
from estimator.workbook.book import CUT_PLAN, SHEETS, WELCOME, book_of
from estimator.workbook.history import CHANGES, LAST_COLUMN, WIDTHS
from estimator.workbook.history import NAMES as PAGE_NAMES
from estimator.workbook.layout import quoted
from estimator.workbook.page import Book, Cell, Note, Page
from estimator.workbook.read import ReadBook
from estimator.workbook.stored import (
    Area,
    Position,
    Stored,
    area_of,
    foreign_parts,
    place,
)

PLAN_COLUMNS = 5
"""Of the sheet Cut plan; what stands to the right of them is a person's."""
SAME_WIDTH = 0.15
"""Characters within which programs round a column's width when they save."""
MOST_MERGED_CELLS = 10_000
MOST_NAMED = 20
SHEET_NAME = re.compile(r"(?!')[^\[\]:*?/\\]{1,31}(?<!')")
GONE = "what it stood beside is no longer there"
TAKEN = "the tool writes there"


@dataclass(frozen=True)
class Carried:
    """What comes along (without the history), and what does not."""

    additions: Additions
    left: tuple[LeftBehind, ...]


@dataclass
class Basket:
    """What was found so far, by sheets of the next workbook, and what has no place there.

    formulas: those that are kept, by where they stand.
    """

    cells: dict[str, list[Cell]] = field(default_factory=dict)
    notes: dict[str, list[Note]] = field(default_factory=dict)
    widths: dict[str, dict[int, float]] = field(default_factory=dict)
    formulas: dict[Position, Kept] = field(default_factory=dict)
    left: list[LeftBehind] = field(default_factory=list)

    def leave(self, where: str, kind: str, words: str) -> None:
        """Tell of something that does not come along."""
        self.left.append(LeftBehind(where, kind, words))


@dataclass(frozen=True)
class Move:
    """From the person's workbook to the one the tool would write, and to the next.

    older: what their workbook is made of. usual: the tool's own, and where its tables stand. own:
    sheets of the person's own that come along. names: defined names of the next workbook.
    """

    older: Renamed
    theirs: LaidOpen
    usual: Book
    ground: Ground
    new: Ground
    own: Sequence[str]
    names: frozenset[str]

    def to_usual(self, position: Position) -> Position | None:
        """Where the cell would stand if the tool had written the workbook."""
        return self._place(position, self.ground)

    def usual_cell(self, position: Position) -> Cell | None:
        """What the tool would have written there; None where that is nothing."""
        usual = self.to_usual(position)
        return self.usual[usual[0]].by_place.get((usual[1] - 1, usual[2] - 1)) if usual else None

    def to_new(self, position: Position) -> Position | None:
        """Where the cell stands in the next workbook."""
        return position if position[0] in self.own else self._place(position, self.new)

    def is_the_tools(self, here: Position, words: str) -> bool:
        """Whether the tool said it there when it wrote their workbook, in other words than now."""
        sheet = self.sheets.get(here[0], here[0])
        is_place = sheet == WELCOME or self.theirs.ground.is_head(*here)
        return is_place and self.older.description.says(sheet, words)

    @cached_property
    def sheets(self) -> Mapping[str, str]:
        """What the tool called each of its sheets in their workbook."""
        tables = self.older.description.tables
        return {e.sheet: tables[name].sheet for name, e in self.theirs.ground.tables.items()}

    def _place(self, position: Position, ground: Ground) -> Position | None:
        if position[0] == WELCOME:
            return position
        return None if position[0] == CUT_PLAN else moved(self.theirs.ground, ground, position)


def carried(stored: Stored, book: ReadBook, planned: Estimate) -> Carried:
    """The person's own things of a workbook that was read, for its next revision as planned."""
    bare = calculate_book(book.project, book.typed)
    older = under_names_of_today(stored)
    usual = book_of(bare)
    with foreign_parts(stored.archive):
        theirs = laid_open(older.stored, older.description)
    basket = Basket()
    own = list(_names_of_sheets(theirs.own, basket))
    names = _own_names(theirs, older.description.names() | usual.names.keys(), own, basket)
    known = frozenset(map(str.casefold, (*usual.names, *PAGE_NAMES, *names)))
    move = Move(older, theirs, usual, planned_ground(bare), planned_ground(planned), own, known)
    sheets = [_own_sheet(name, move, basket) for name in own]
    for sheet in theirs.pages:
        if theirs.is_ours(sheet) and sheet != AS_WRITTEN:
            _find_on_ours(sheet, move, basket)
    _tell_sheets(move, basket)
    basket.left += packaged(stored.archive, theirs.parts, usual, theirs.own)
    basket.left += formulas_typed_over(older.stored, older.description, theirs.ground)
    stale = following(basket.formulas, own)
    own_sheets = tuple(_without_stale(each, stale) for each in sheets)
    on_ours = {sheet: _without_stale(each, stale) for sheet, each in _on_ours(basket).items()}
    return Carried(Additions(own_sheets, on_ours, names), tuple(basket.left))


def _without_stale(added: Page, stale: set[Position]) -> Page:
    """Formulas that follow the tool's figures lose their values, as those figures have moved: a
    program that opens the workbook calculates them."""

    def fresh(cell: Cell) -> Cell:
        is_stale = (added.name, cell.row + 1, cell.column + 1) in stale
        return replace(cell, value=None) if is_stale else cell

    return replace(added, cells=tuple(map(fresh, added.cells)))


def _kept(cell: Cell, here: Position, there: Position, move: Move, basket: Basket) -> Cell:
    """The cell for the next workbook; of a formula that cannot stand there the value."""
    made = replace(cell, row=there[1] - 1, column=there[2] - 1, formula="")
    if not cell.formula:
        return made
    try:
        if cell.formula.startswith("{"):
            raise NotKeptError("a formula over an area")
        text = under_new_names(cell.formula, move.older.renamed)
        kept = kept_formula(text, here[0], move.names, move.to_new)
    except NotKeptError as why:
        basket.leave(place(*here), f"{why}; its value stands", cell.formula)
        return made
    basket.formulas[there] = kept
    return replace(made, formula=kept.text)


# --- Own sheets ----------------------------------------------------------------------------------


def _names_of_sheets(names: Sequence[str], basket: Basket) -> Iterator[str]:
    """Those that can stand in the next workbook, where case tells no two sheets apart."""
    taken = {each.casefold() for each in (*(name for name, *_ in SHEETS), AS_WRITTEN)}
    for name in names:
        if SHEET_NAME.fullmatch(name) and name.casefold() not in taken:
            taken.add(name.casefold())
            yield name
        else:
            basket.leave(name, "a sheet whose name is taken or cannot be written", name)


def _own_sheet(name: str, move: Move, basket: Basket) -> Page:
    """A sheet of the person's own: all of its cells, as they stand."""
    page = move.theirs.pages[name]
    places = ((each, _position(name, each)) for each in page.cells)
    return replace(
        page,
        cells=tuple(_kept(each, at, at, move, basket) for each, at in places),
        merged=tuple(_merged(name, move.theirs, basket)),
    )


def _position(sheet: str, of: Cell | Note) -> Position:
    return sheet, of.row + 1, of.column + 1


def _merged(name: str, theirs: LaidOpen, basket: Basket) -> Iterator[tuple[int, int, int, int]]:
    taken: list[Area] = []
    for area in theirs.stored.merged:
        if area.sheet == name:
            cells = len(area.rows) * len(area.columns)
            if 1 < cells <= MOST_MERGED_CELLS and not any(area.meets(each) for each in taken):
                taken.append(area)
                yield area.top - 1, area.left - 1, area.bottom - 1, area.right - 1
            else:
                basket.leave(str(area), "merged cells", "they stand apart now")


# --- On the tool's sheets ------------------------------------------------------------------------


def _find_on_ours(sheet: str, move: Move, basket: Basket) -> None:
    """The person's words, notes and widths on a sheet of the tool."""
    page = move.theirs.pages[sheet]
    for cell in page.cells:
        here = _position(sheet, cell)
        planned = sheet == CUT_PLAN and cell.column < PLAN_COLUMNS
        if not (cell.is_empty or planned or here in move.theirs.covered):
            _find_cell(cell, here, move, basket)
    _tell_marks(sheet, move, basket)
    for note in page.notes:
        _find_note(note, _position(sheet, note), move, basket)
    top = min((e.top for e in move.theirs.ground.tables.values() if e.sheet == sheet), default=1)
    for column, width in page.widths.items():
        _find_width((sheet, top, column + 1), width, move, basket)


def _find_cell(cell: Cell, here: Position, move: Move, basket: Basket) -> None:
    usual, there = move.usual_cell(here), move.to_new(here)
    stands = usual.words if usual and not usual.is_empty else None
    if stands == cell.words or move.is_the_tools(here, cell.words):
        return
    if stands is not None:
        basket.leave(place(*here), f"words over the tool's own “{stands[:60]}”", cell.words)
    elif there is None:
        basket.leave(place(*here), f"a cell; {GONE}", cell.words)
    elif _is_taken(there, move.new):
        basket.leave(place(*here), f"a cell; {TAKEN}", cell.words)
    else:
        made = _kept(cell, here, there, move, basket)
        basket.cells.setdefault(there[0], []).append(made)


def _tell_sheets(move: Move, basket: Basket) -> None:
    """Sheets of the tool that a person named otherwise or hid: they are as ever in the next one."""
    for sheet, name in move.sheets.items():
        if sheet != name:
            basket.leave(name, "another name for the sheet", sheet)
    for sheet, page in move.theirs.pages.items():
        if page.hidden and move.theirs.is_ours(sheet) and sheet != AS_WRITTEN:
            basket.leave(sheet, "a sheet that was hidden", sheet)


def _tell_marks(sheet: str, move: Move, basket: Basket) -> None:
    """Cells of the tool that a person coloured or set bold: they look as ever in the next one."""
    marked = [
        place(*here)
        for cell in move.theirs.pages[sheet].cells
        if (here := _position(sheet, cell)) in move.theirs.covered
        and (usual := move.usual_cell(here)) is not None
        and marks(usual.look) != marks(cell.look)
    ]
    if marked:
        more = f" and {len(marked) - MOST_NAMED:,} more" if len(marked) > MOST_NAMED else ""
        named = ", ".join(each.rpartition("!")[2] for each in marked[:MOST_NAMED])
        basket.leave(sheet, "cells coloured or marked by hand", named + more)


def _is_taken(position: Position, new: Ground) -> bool:
    """Whether the tool writes there itself: a table, or the page below the register."""
    sheet, row, column = position
    register = new.tables["issued"]
    if sheet == CHANGES and row > register.bottom and column <= LAST_COLUMN + 1:
        return True
    return any(
        each.top <= row <= each.bottom and each.left <= column <= each.right
        for each in new.tables.values()
        if each.sheet == sheet
    )


def _find_note(note: Note, here: Position, move: Move, basket: Basket) -> None:
    was, there = move.to_usual(here), move.to_new(here)
    usual = move.usual[was[0]].notes_by_place.get((was[1] - 1, was[2] - 1)) if was else None
    if (usual and usual.words == note.words) or move.is_the_tools(here, note.words):
        return
    if there is None:
        basket.leave(place(*here), f"a note; {GONE}", note.words)
    else:
        moved_note = replace(note, row=there[1] - 1, column=there[2] - 1)
        basket.notes.setdefault(there[0], []).append(moved_note)


def _find_width(here: Position, width: float, move: Move, basket: Basket) -> None:
    """A width that differs from what the tool would give. What the tool folds stays folded."""
    sheet, _, column = here
    if sheet == CHANGES and len(WIDTHS) < column <= LAST_COLUMN + 1:
        return  # what the chart is drawn from
    is_plan = sheet == CUT_PLAN
    was, there = (here, here) if is_plan else (move.to_usual(here), move.to_new(here))
    usual = move.usual[was[0]].shown_width(was[2] - 1) if was else None
    if usual == 0 or (usual is not None and abs(usual - width) <= SAME_WIDTH):
        return
    if there is None or not width:
        kind = f"the width of a column; {GONE}" if width else "a column that was hidden"
        basket.leave(sheet, kind, get_column_letter(column))
    else:
        basket.widths.setdefault(there[0], {})[there[2] - 1] = width


def _on_ours(basket: Basket) -> dict[str, Page]:
    return {
        sheet: Page(
            sheet,
            tuple(basket.cells.get(sheet, ())),
            tuple(basket.notes.get(sheet, ())),
            basket.widths.get(sheet, {}),
        )
        for sheet in {**basket.cells, **basket.notes, **basket.widths}
    }


# --- Names ---------------------------------------------------------------------------------------


def _own_names(
    theirs: LaidOpen, ours: Collection[str], own: Sequence[str], basket: Basket
) -> dict[str, str]:
    """The person's own names that point to cells of own sheets; others are told."""
    found = {}
    for name, text in theirs.stored.names.items():
        if name in ours or name in PAGE_NAMES or name[:1] == "_":
            continue
        area = area_of(text)
        if area and area.sheet in own and NAME.fullmatch(name):
            found[name] = f"={quoted(area.sheet)}!{text.rpartition('!')[2]}"
        else:
            basket.leave("workbook", f"a name for {text}", name)
    return found
