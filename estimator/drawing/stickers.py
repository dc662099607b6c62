"""Sheets of stickers: how many go across and down, and which stand on which sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

Sticker = TypeVar("Sticker")


@dataclass(frozen=True)
class Grid:
    """A sheet of stickers: how many across and down, their size and the margins, with CSS units.

    Common practice, no source: sheets of 30 on letter and of 24 on A4 are sold everywhere.
    """

    across: int
    down: int
    width: str
    height: str
    gap: str
    top: str
    left: str


GRIDS: dict[Literal["letter", "A4"], Grid] = {
    "letter": Grid(3, 10, "2.625in", "1in", "0.125in", "0.5in", "0.1875in"),
    "A4": Grid(3, 8, "70mm", "37.125mm", "0mm", "0mm", "0mm"),
}


def on_sheets(stickers: Sequence[Sticker], grid: Grid) -> list[Sequence[Sticker]]:
    """The stickers of each sheet; the last one may have room left."""
    in_sheet = grid.across * grid.down
    return [stickers[at : at + in_sheet] for at in range(0, len(stickers), in_sheet)]
