"""What a person added to a workbook beyond its inputs: what comes along, and what does not.

The workbook is held against the one that the tool itself would write for the same inputs: what
stands only in the former is the person's own. It is placed in the next workbook by what it stands
beside (`places`); whatever has no place there is told.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

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
from estimator.revise.laid_open import Book, Written, laid_open
from estimator.revise.left_behind import LeftBehind, formulas_typed_over, packaged
from estimator.revise.older import Renamed, under_names_of_today
from estimator.revise.places import Ground, moved, planned_ground
from estimator.workbook.additions import Added, Additions, Note, OwnCell
from estimator.workbook.as_written import AS_WRITTEN
from estimator.workbook.history import CHANGES, LAST_COLUMN, WIDTHS
from estimator.workbook.history import NAMES as PAGE_NAMES
from estimator.workbook.layout import quoted
from estimator.workbook.origin import origin_of
from estimator.workbook.read import ReadBook
from estimator.workbook.stored import (
    Area,
    Position,
    Stored,
    area_of,
    foreign_parts,
    place,
    read_stored,
)
from estimator.workbook.write import CUT_PLAN, SHEETS, WELCOME, write_workbook

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

    cells: dict[str, list[OwnCell]] = field(default_factory=dict)
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

    older: what their workbook is made of. own: sheets of the person's own that come along. names:
    defined names of the next workbook.
    """

    older: Renamed
    theirs: Book
    plain: Book
    new: Ground
    own: Sequence[str]
    names: frozenset[str]

    def to_plain(self, position: Position) -> Position | None:
        """Where the cell would stand if the tool had written the workbook."""
        return self._place(position, self.plain.ground)

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
    with tempfile.TemporaryDirectory(prefix="estimator-") as folder:
        path = Path(folder) / "plain.xlsx"
        write_workbook(bare, path)
        written = read_stored(path)
        plain = laid_open(written, origin_of(written).description)
    with foreign_parts(stored.archive):
        theirs = laid_open(older.stored, older.description)
    basket = Basket()
    own = list(_names_of_sheets(theirs.own, basket))
    names = _own_names(theirs, older.description.names() | plain.stored.names.keys(), own, basket)
    known = frozenset(map(str.casefold, (*plain.stored.names, *PAGE_NAMES, *names)))
    move = Move(older, theirs, plain, planned_ground(planned), own, known)
    sheets = [_own_sheet(name, move, basket) for name in own]
    for sheet in theirs.cells:
        if theirs.is_ours(sheet) and sheet != AS_WRITTEN:
            _find_on_ours(sheet, move, basket)
    _tell_sheets(move, basket)
    basket.left += packaged(stored.archive, theirs.parts, plain.parts, theirs.own)
    basket.left += formulas_typed_over(older.stored, older.description, theirs.ground)
    stale = following(basket.formulas, own)
    own_sheets = tuple(_without_stale(each, stale) for each in sheets)
    on_ours = {sheet: _without_stale(each, stale) for sheet, each in _on_ours(basket).items()}
    return Carried(Additions(own_sheets, on_ours, names), tuple(basket.left))


def _without_stale(added: Added, stale: set[Position]) -> Added:
    """Formulas that follow the tool's figures lose their values, as those figures have moved: a
    program that opens the workbook calculates them."""

    def fresh(cell: OwnCell) -> OwnCell:
        is_stale = (added.sheet, cell.row + 1, cell.column + 1) in stale
        return replace(cell, value="") if is_stale else cell

    return replace(added, cells=tuple(map(fresh, added.cells)))


def _kept(cell: Written, here: Position, there: Position, move: Move, basket: Basket) -> OwnCell:
    """The cell for the next workbook; of a formula that cannot stand there the value."""
    made = OwnCell(there[1] - 1, there[2] - 1, cell.value, "", cell.look)
    if not cell.formula:
        return made
    try:
        if cell.is_array:
            raise NotKeptError("a formula over an area")
        text = under_new_names(cell.formula, move.older.renamed)
        kept = kept_formula(text, here[0], move.names, move.to_new)
    except NotKeptError as why:
        basket.leave(place(*here), f"{why}; its value stands", cell.formula)
        return made
    basket.formulas[there] = kept
    return replace(made, formula=kept.text, value="" if cell.value is None else cell.value)


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


def _own_sheet(name: str, move: Move, basket: Basket) -> Added:
    """A sheet of the person's own: all of its cells, as they stand."""
    parts = move.theirs.parts[name]
    places = ((each, (name, each.row, each.column)) for each in move.theirs.cells[name])
    return Added(
        sheet=name,
        cells=tuple(_kept(each, at, at, move, basket) for each, at in places),
        notes=tuple(Note(row - 1, column - 1, words) for row, column, words in parts.notes),
        widths={column - 1: width for column, width in parts.widths.items()},
        heights={row - 1: height for row, height in parts.heights.items()},
        merged=tuple(_merged(name, move.theirs, basket)),
        hidden=name in move.theirs.hidden,
    )


def _merged(name: str, theirs: Book, basket: Basket) -> Iterator[tuple[int, int, int, int]]:
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
    for cell in move.theirs.cells[sheet]:
        here = (sheet, cell.row, cell.column)
        planned = sheet == CUT_PLAN and cell.column <= PLAN_COLUMNS
        if not (cell.is_empty or planned or move.theirs.covers(here)):
            _find_cell(cell, here, move, basket)
    _tell_marks(sheet, move, basket)
    for row, column, words in move.theirs.parts[sheet].notes:
        _find_note((sheet, row, column), words, move, basket)
    top = min((e.top for e in move.theirs.ground.tables.values() if e.sheet == sheet), default=1)
    for column, width in move.theirs.parts[sheet].widths.items():
        _find_width((sheet, top, column), width, move, basket)


def _find_cell(cell: Written, here: Position, move: Move, basket: Basket) -> None:
    usual, there = move.to_plain(here), move.to_new(here)
    stands = move.plain.words.get(usual) if usual else None
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
    for sheet in move.theirs.hidden - move.plain.hidden:
        if move.theirs.is_ours(sheet):
            basket.leave(sheet, "a sheet that was hidden", sheet)


def _tell_marks(sheet: str, move: Move, basket: Basket) -> None:
    """Cells of the tool that a person coloured or set bold: they look as ever in the next one."""
    marked = [
        place(*here)
        for here, look in move.theirs.marks.items()
        if here[0] == sheet
        and move.theirs.covers(here)
        and (usual := move.to_plain(here)) is not None
        and move.plain.marks.get(usual, look) != look
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


def _find_note(here: Position, words: str, move: Move, basket: Basket) -> None:
    usual, there = move.to_plain(here), move.to_new(here)
    if (usual and move.plain.notes.get(usual) == words) or move.is_the_tools(here, words):
        return
    if there is None:
        basket.leave(place(*here), f"a note; {GONE}", words)
    else:
        basket.notes.setdefault(there[0], []).append(Note(there[1] - 1, there[2] - 1, words))


def _find_width(here: Position, width: float, move: Move, basket: Basket) -> None:
    """A width that differs from what the tool would give. What the tool folds stays folded."""
    sheet, _, column = here
    if sheet == CHANGES and len(WIDTHS) < column <= LAST_COLUMN + 1:
        return  # what the chart is drawn from
    is_plan = sheet == CUT_PLAN
    was, there = (here, here) if is_plan else (move.to_plain(here), move.to_new(here))
    usual = move.plain.parts[was[0]].widths.get(was[2]) if was else None
    if usual == 0 or (usual is not None and abs(usual - width) <= SAME_WIDTH):
        return
    if there is None or not width:
        kind = f"the width of a column; {GONE}" if width else "a column that was hidden"
        basket.leave(sheet, kind, get_column_letter(column))
    else:
        basket.widths.setdefault(there[0], {})[there[2] - 1] = width


def _on_ours(basket: Basket) -> dict[str, Added]:
    return {
        sheet: Added(
            sheet,
            tuple(basket.cells.get(sheet, ())),
            tuple(basket.notes.get(sheet, ())),
            basket.widths.get(sheet, {}),
        )
        for sheet in {**basket.cells, **basket.notes, **basket.widths}
    }


# --- Names ---------------------------------------------------------------------------------------


def _own_names(
    theirs: Book, ours: Collection[str], own: Sequence[str], basket: Basket
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
