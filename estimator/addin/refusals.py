"""A request that is refused: its words, in lines for the person who asked, and the cell to fix."""

from __future__ import annotations

import re
from typing import Any

from estimator.problems import ProblemsFound

Place = tuple[str, int, int]
"""A sheet, a row and a column; both count from 0, as they do in Calc."""

CELL = re.compile(r"(?P<sheet>.+)!(?P<column>[A-Z]{1,3})(?P<row>[0-9]+)(?::.*)?")
MOST_LINES = 12


class RefusedError(Exception):
    """A request that cannot be answered, in lines for the person who asked."""

    def __init__(self, *words: str, place: Place | None = None) -> None:
        super().__init__("\n".join(words))
        self.words = list(words)
        self.place = place


def refused_by(found: ProblemsFound) -> dict[str, Any]:
    """The faults of a workbook as lines, and the first cell among their places."""
    lines = [str(problem) for problem in found.problems]
    places = [place for each in found.problems if (place := place_of(each.place))]
    return {"words": at_most(lines), "place": places[0] if places else None}


def at_most(lines: list[str]) -> list[str]:
    """A message box has room for so many lines."""
    left = len(lines) - MOST_LINES
    return lines if left <= 1 else [*lines[:MOST_LINES], f"… and {left} more."]


def place_of(words: str) -> Place | None:
    """The cell that a message names as Counts!C9; None if it names something else."""
    found = CELL.fullmatch(words)
    if found is None:
        return None
    from openpyxl.utils.cell import column_index_from_string

    return found["sheet"], int(found["row"]) - 1, column_index_from_string(found["column"]) - 1


def place_at(sheet: str, row: int, column: int) -> Place:
    """A cell that a workbook counts from 1."""
    return sheet, row - 1, column - 1
