"""What a workbook holds beyond its tables: what a person added, carried on, and its history.

Plain data, handed to `write_workbook` beside the estimate. None of it is read back as input.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.workbook.page import Page


@dataclass(frozen=True)
class History:
    """How a revision came from the workbook before it, to be shown on the sheet Changes.

    is_as_written: whether it starts from that workbook as it was written, not as it was found.
    start: the total then. steps: of the price walk, each with its name, what it holds and its
    amount. changes: part of the price, table, row, field, before, after. said: of what was not
    carried over or was read in another way: where it stood, what it is, its words.
    """

    before: str
    after: str
    is_as_written: bool
    start: Decimal
    steps: tuple[tuple[str, str, Decimal], ...]
    changes: tuple[tuple[str, ...], ...]
    said: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class Additions:
    """All of it. own: sheets of the person's own. on_ours: what is laid over sheets of the tool, by
    their names: cells, notes and widths. names: the person's own defined names."""

    own: tuple[Page, ...] = ()
    on_ours: Mapping[str, Page] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    history: History | None = None

    def widths(self, sheet: str) -> Mapping[int, float]:
        """The widths that a person gave the columns of a sheet of the tool."""
        return self.on_ours[sheet].widths if sheet in self.on_ours else {}


NOTHING = Additions()
