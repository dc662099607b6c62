"""A page that is read downwards: lines, each with what stands in its cells from the left."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from estimator.workbook.page import Cell, Look


class Part(NamedTuple):
    """What stands in one cell of a line. link: the cell that its words lead to."""

    value: Any
    look: Look = ()
    link: str = ""


@dataclass(frozen=True)
class Line:
    """A row of a page. height: in points, 0 for the usual one."""

    parts: Sequence[Part] = ()
    height: float = 0.0


BLANK = Line()


def line(*parts: tuple[Any, Look] | Part, height: float = 0.0) -> Line:
    """A line by the values of its cells and their looks."""
    return Line([Part(*each) for each in parts], height)


def cells_of(lines: Iterable[Line], top: int = 0) -> tuple[Cell, ...]:
    """The cells of lines that stand below one another from a row on."""
    return tuple(
        Cell(row, column, part.value, "", part.look, part.link)
        for row, each in enumerate(lines, start=top)
        for column, part in enumerate(each.parts)
    )


def heights_of(lines: Iterable[Line], top: int = 0) -> dict[int, float]:
    """The heights of those lines that are not of the usual one, by row."""
    return {row: each.height for row, each in enumerate(lines, start=top) if each.height}
