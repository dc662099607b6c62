"""Which cells of a workbook a new plan changes: those of the planner, and nothing else.

The workbook's rows keep their places: a piece that is still cut keeps its row, a new one takes the
row of one that is gone or a row of its own. Figures as issued stay as issued. Tables that are laid
out for room types, floors and lists stand as they are; where they no longer fit the project, the
next revision lays them out anew, and the plan is refused.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from estimator.addin.refusals import RefusedError
from estimator.estimate import Estimate
from estimator.expressions.tables import Table
from estimator.project.records import RECORDS
from estimator.revise.places import known_by_of
from estimator.workbook.origin import origin_of
from estimator.workbook.positions import row_positions
from estimator.workbook.stored import Area, Stored
from estimator.workbook.typed import Said

Change = tuple[str, int, int, Any]
"""Sheet, row, column, and the new value: a number, words, or None for nothing."""

SAME = 1e-12
"""Share of a number within which a cell is left as it is: files keep 15 to 17 digits."""

TOLD = ("room_has", "kits", "kit_uses")
"""Tables that lists are read from; a check says where they do not follow what is typed."""


@dataclass(frozen=True)
class Renewal:
    """Changes in the order in which they are made. Rows count from 0.

    insert: rows (sheet, before row, how many, like row) with the formulas of the row `like`.
    remove: rows (sheet, row), the lowest first.
    """

    insert: list[tuple[str, int, int, int]]
    cells: list[Change]
    remove: list[tuple[str, int]]


def renewal(stored: Stored, made: Estimate) -> Renewal:
    """What to change so that the workbook holds the new plan."""
    refuse_other_layout(stored, made)
    pieces = _Pieces.of(stored, made.typed["pieces"])
    cells = pieces.changes(stored, made.model["pieces"], made.typed["pieces"])
    for name in ("materials", "runs"):
        cells += _beside_inputs(stored, made.model[name], made.typed[name])
    cells += _of_form(stored, made.model["planned_for"], made.typed["planned_for"])
    return Renewal(pieces.insert(), cells, pieces.remove())


def refuse_older(stored: Stored) -> None:
    """Raise RefusedError when the workbook has other tables and columns than the present format."""
    origin = origin_of(stored)
    if origin.is_older:
        raise RefusedError(
            f"This workbook is of format {origin.number}, from an earlier version; a new plan has "
            "more to say than it has cells for.",
            "Save the next revision instead; it plans the sheets as well.",
        )


def refuse_other_layout(stored: Stored, made: Estimate) -> None:
    """Raise RefusedError when a table would have other rows than it has."""
    typed_in = {record.table for record in RECORDS}
    laid_out = [each for each in made.model if each.kind == "rows" and each.name not in typed_in]
    other = [
        each
        for each in laid_out
        if each.name not in ("pieces", *TOLD)
        and _names_stored(each, stored) != _names(each, made.typed)
    ]
    if other:
        where = ", ".join(
            dict.fromkeys(f"{each.title} on the sheet {each.sheet}" for each in other)
        )
        raise RefusedError(
            f"These tables have to be laid out anew for what is typed: {where}.",
            "Save the next revision instead; it plans the sheets as well.",
        )


def _names(table: Table, typed: Mapping[str, pd.DataFrame]) -> set[tuple[str, ...]]:
    """What its rows are called."""
    frame = typed[table.name]
    return _called(zip(*(frame[name] for name in known_by_of(table)), strict=True))


def _names_stored(table: Table, stored: Stored) -> set[tuple[str, ...]]:
    """What its rows are called in the workbook."""
    rows = row_positions(stored, table.name, known_by_of(table), Said())
    return _called([stored.cell(*at).value for at in row.values()] for row in rows)


def _called(rows: Iterable[Iterable[Any]]) -> set[tuple[str, ...]]:
    """Without regard to case, as keys are."""
    return {
        tuple(f"{each:g}" if _is_number(each) else str(each).casefold() for each in row)
        for row in rows
    }


def _beside_inputs(stored: Stored, table: Table, frame: pd.DataFrame) -> list[Change]:
    """Changes of the tool's own columns in a table that a person types."""
    inputs = [each.name for each in table.definitions.values() if each.role == "input"]
    rows = [
        next(iter(each.values()))[1] for each in row_positions(stored, table.name, inputs, Said())
    ]
    return _changes(stored, table, frame, rows)


def _of_form(stored: Stored, form: Table, frame: pd.DataFrame) -> list[Change]:
    """Changes of a form's planned fields."""
    areas = {name: _area(stored, f"{form.name}_{name}") for name in frame.columns}
    return [
        (area.sheet, area.top - 1, area.left - 1, plain(frame[name].iloc[0]))
        for name, area in areas.items()
        if not _same(stored.cell(area.sheet, area.top, area.left).value, plain(frame[name].iloc[0]))
    ]


def _changes(
    stored: Stored, table: Table, frame: pd.DataFrame, rows: Sequence[int]
) -> list[Change]:
    """rows: the row in the workbook, from 1, of each row of the frame."""
    changes: list[Change] = []
    for definition in table.definitions.values():
        if definition.role not in ("label", "planned"):
            continue
        area = _area(stored, f"{table.name}_{definition.name}")
        for row, value in zip(rows, frame[definition.name].tolist(), strict=True):
            new = plain(value)
            if not _same(stored.cell(area.sheet, row, area.left).value, new):
                changes.append((area.sheet, row - 1, area.left - 1, new))
    return changes


def _area(stored: Stored, name: str) -> Area:
    area = stored.areas.get(name)
    if area is None:
        raise RefusedError(
            f"The name {name} points nowhere, so its column cannot be renewed.",
            "Undo what removed it, or save the next revision, which has it again.",
        )
    return area


def plain(value: Any) -> Any:
    """A cell's value as JSON holds it; an empty text is an empty cell."""
    if value is None or isinstance(value, str):
        return value or None
    return float(value)


def _same(stands: Any, new: Any) -> bool:
    if _is_number(stands) and _is_number(new):
        return math.isclose(stands, new, rel_tol=SAME)
    return (stands or None) == new if not _is_number(stands) else False


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


@dataclass(frozen=True)
class _Pieces:
    """Where each piece of the plan goes in the table of pieces. Rows count from 1.

    rows: of the plan's pieces, in their order. left: rows whose piece is gone. end: the row that
    ends the table, before which `new` rows are inserted.
    """

    sheet: str
    rows: list[int]
    left: list[int]
    end: int
    new: int
    like: int

    @classmethod
    def of(cls, stored: Stored, pieces: pd.DataFrame) -> _Pieces:
        area = _area(stored, "pieces_key")
        stands = {
            str(stored.cell(*each["key"]).value): each["key"][1]
            for each in row_positions(stored, "pieces", ["key"], Said())
        }
        wanted = [str(each) for each in pieces["key"]]
        free = [row for key, row in stands.items() if key not in wanted]
        missing = [key for key in wanted if key not in stands]
        new = max(0, len(missing) - len(free))
        rows = [*free, *range(area.bottom, area.bottom + new)]
        places = stands | dict(zip(missing, rows, strict=False))
        return cls(
            sheet=area.sheet,
            rows=[places[key] for key in wanted],
            left=free[len(missing) :],
            end=area.bottom,
            new=new,
            like=max(stands.values(), default=area.top),
        )

    def changes(self, stored: Stored, table: Table, frame: pd.DataFrame) -> list[Change]:
        """What the pieces' rows come to hold; in a new row nothing stands yet."""
        old = [at for at, row in enumerate(self.rows) if row < self.end]
        new = [at for at, row in enumerate(self.rows) if row >= self.end]
        blank = Stored(stored.names, stored.areas, {}, (), stored.archive)
        return [
            *_changes(stored, table, frame.iloc[old], [self.rows[at] for at in old]),
            *_changes(blank, table, frame.iloc[new], [self.rows[at] for at in new]),
        ]

    def insert(self) -> list[tuple[str, int, int, int]]:
        return [(self.sheet, self.end - 1, self.new, self.like - 1)] if self.new else []

    def remove(self) -> list[tuple[str, int]]:
        return [(self.sheet, row - 1) for row in sorted(self.left, reverse=True)]
