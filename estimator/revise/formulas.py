"""A person's own formula in the next workbook: kept where all it refers to stands, else its value.

A formula is kept when everything it names is there, its cells moved together where rows moved.
Whatever points out of the workbook, or could start something, is never kept.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass

from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token, TokenizerError
from openpyxl.utils.cell import column_index_from_string, get_column_letter

from estimator.workbook.stored import Position
from estimator.workbook.typed import ELSEWHERE

CELLS = re.compile(
    r"(?:(?P<sheet>'(?:[^']|'')+'|[^'!\[\]:]+)!)?"
    r"(?P<first>\$?[A-Z]{1,3}\$?[0-9]{1,7})(?::(?P<last>\$?[A-Z]{1,3}\$?[0-9]{1,7}))?",
    re.IGNORECASE,
)
CELL = re.compile(r"(\$?)([A-Z]{1,3})(\$?)([0-9]{1,7})", re.IGNORECASE)
NAME = re.compile(r"[A-Za-z_\\][A-Za-z0-9_.\\]*")
REACHING_OUT = {"WEBSERVICE", "HYPERLINK", "RTD", "DDE", "CALL", "REGISTER.ID", "IMAGE",
                "_XLFN.WEBSERVICE", "_XLFN.IMAGE", "_XLFN.PY", "EVALUATE", "EXEC"}  # fmt: skip
"""Functions that fetch or start something outside the workbook."""
LONGEST, MOST_CELLS = 8_000, 20_000

Move = Callable[[Position], Position | None]
"""Where a cell stands in the next workbook, rows and columns from 1; None when it is gone."""


class NotKeptError(Exception):
    """Why the formula cannot stand in the next workbook."""


@dataclass(frozen=True)
class Kept:
    """A formula for the next workbook. cells: the areas it refers to there, sheet and corners.

    by_name: whether it uses a defined name.
    """

    text: str
    cells: tuple[tuple[str, int, int, int, int], ...]
    by_name: bool


def kept_formula(text: str, sheet: str, names: frozenset[str], move: Move) -> Kept:
    """The formula for the next workbook; raises NotKeptError.

    sheet: on which it stands. names: defined names of the next workbook, without case.
    """
    if len(text) > LONGEST:
        raise NotKeptError("a very long formula")
    if ELSEWHERE.search(text):
        raise NotKeptError("a formula that refers to another workbook")
    try:
        tokens = Tokenizer(text).items
    except (TokenizerError, IndexError) as error:
        raise NotKeptError("a formula that cannot be read") from error
    cells: list[tuple[str, int, int, int, int]] = []
    parts = ["="]
    by_name = False
    for token in tokens:
        parts.append(_part(token, sheet, names, move, cells))
        by_name = by_name or _is_name(token)
    return Kept("".join(parts), tuple(cells), by_name)


def under_new_names(text: str, renamed: Mapping[str, str]) -> str:
    """The formula with the names that are others now. renamed: the new by the old, without case."""
    if not any(name in text.casefold() for name in renamed):
        return text
    try:
        tokens = Tokenizer(text).items
    except (TokenizerError, IndexError):
        return text
    return "=" + "".join(
        renamed.get(each.value.casefold(), each.value) if _is_name(each) else each.value
        for each in tokens
    )


def _is_name(token: Token) -> bool:
    return (
        token.type == Token.OPERAND
        and token.subtype == Token.RANGE
        and bool(NAME.fullmatch(token.value) and not CELLS.fullmatch(token.value))
    )


def _part(
    token: Token,
    sheet: str,
    names: frozenset[str],
    move: Move,
    cells: list[tuple[str, int, int, int, int]],
) -> str:
    """A piece of the formula as it stands in the next workbook; its areas are noted in `cells`."""
    text: str = token.value
    if token.type == Token.FUNC and text.rstrip("(").upper() in REACHING_OUT:
        raise NotKeptError(f"a formula with {text.rstrip('(').upper()}, which reaches out")
    if token.type != Token.OPERAND:
        if "|" in text:
            raise NotKeptError("a formula that would start another program")
        return text
    if token.subtype != Token.RANGE:
        return text
    if "|" in text:
        raise NotKeptError("a formula that would start another program")
    found = CELLS.fullmatch(text)
    if found:
        return _moved(found, sheet, move, cells)
    if not NAME.fullmatch(text) or text.casefold() not in names:
        raise NotKeptError(f"a formula with {text}, which is not in the new workbook")
    return text


def _moved(
    found: re.Match[str],
    sheet: str,
    move: Move,
    cells: list[tuple[str, int, int, int, int]],
) -> str:
    """The reference to where its cells stand, all of them moved alike."""
    spelt = found["sheet"] or ""
    of = spelt.strip("'").replace("''", "'") if spelt else sheet
    top, left = _row_column(found["first"])
    bottom, right = _row_column(found["last"] or found["first"])
    if (bottom - top + 1) * (right - left + 1) > MOST_CELLS:
        raise NotKeptError("a formula over a very large area")
    shifts = {_shift((of, row, column), move) for row, column in _each(top, left, bottom, right)}
    if len(shifts) != 1 or None in shifts:
        raise NotKeptError(f"a formula with {found[0]}, whose cells are not all there")
    down, along = next(each for each in shifts if each is not None)
    cells.append((of, top + down, left + along, bottom + down, right + along))
    corners = [_shifted(each, down, along) for each in (found["first"], found["last"]) if each]
    return (f"{spelt}!" if spelt else "") + ":".join(corners)


def _shift(cell: Position, move: Move) -> tuple[int, int] | None:
    new = move(cell)
    return (new[1] - cell[1], new[2] - cell[2]) if new and new[0] == cell[0] else None


def _each(top: int, left: int, bottom: int, right: int) -> Iterator[tuple[int, int]]:
    for row in range(min(top, bottom), max(top, bottom) + 1):
        for column in range(min(left, right), max(left, right) + 1):
            yield row, column


def _row_column(cell: str) -> tuple[int, int]:
    found = CELL.fullmatch(cell)
    assert found, cell
    return int(found[4]), column_index_from_string(found[2].upper())


def _shifted(cell: str, down: int, along: int) -> str:
    found = CELL.fullmatch(cell)
    assert found, cell
    letter = get_column_letter(column_index_from_string(found[2].upper()) + along)
    return f"{found[1]}{letter}{found[3]}{int(found[4]) + down}"


def following(formulas: Mapping[Position, Kept], own: Collection[str]) -> set[Position]:
    """The formulas that follow the tool's figures: by a name, by a cell of a sheet that is not of
    the person's own, or by way of another such formula."""
    found = {
        at
        for at, kept in formulas.items()
        if kept.by_name or any(sheet not in own for sheet, *_ in kept.cells)
    }
    before = -1
    while len(found) > before:
        before = len(found)
        found |= {at for at, kept in formulas.items() if at not in found and _meets(kept, found)}
    return found


def _meets(kept: Kept, cells: set[Position]) -> bool:
    return any(
        (sheet, row, column) in cells
        for sheet, top, left, bottom, right in kept.cells
        for row, column in _each(top, left, bottom, right)
    )
