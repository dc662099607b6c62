"""How wide the columns of a sheet are and how high its rows: as wide as what stands in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd

from estimator.expressions.tables import Definition
from estimator.expressions.value import Values
from estimator.workbook.layout import Placed
from estimator.workbook.styles import SIGNS

NARROW, WIDE, WIDEST = 7.0, 40.0, 60.0
LINE_HEIGHT, GAP_WIDTH, USUAL_WIDTH = 13.0, 3.0, 9.0


def column_widths(placed: Sequence[Placed], values: Values) -> dict[int, float]:
    """Wide enough for what stands in each column, within reason, in characters."""
    alone = len(placed) == 1
    widths = {each.left - 1: GAP_WIDTH for each in placed if each.table.beside}
    for each in placed:
        for column, width in _widths(each, values[each.table.name], alone):
            widths[column] = max(widths.get(column, 0), width)
    return widths


def folded_columns(placed: Sequence[Placed]) -> frozenset[int]:
    """The price vectors and their bounds: needed by the live count, seldom read."""
    return frozenset(
        column
        for each in placed
        for name, column in each.columns.items()
        if is_helper(each.table.definitions[name])
    )


def is_helper(definition: Definition) -> bool:
    """Whether the column holds a price vector or a bound."""
    stem, _, number = definition.name.rpartition("_")
    return stem in ("price", "bound") and number.isdigit()


def row_heights(
    placed: Sequence[Placed], values: Values, widths: Mapping[int, float]
) -> dict[int, float]:
    """Room for words that wrap; headers of rows get two lines."""
    lines: dict[int, int] = {}
    for each in placed:
        if each.table.kind != "form":
            lines[each.header] = 2
        for name, definition in each.table.definitions.items():
            if not definition.is_text or each.table.kind == "form":
                continue
            for row, words in enumerate(values[each.table.name][name], start=each.first):
                needed = -(-len(str(words)) // max(1, int(widths[each.columns[name]])))
                lines[row] = max(lines.get(row, 1), needed)
    return {row: LINE_HEIGHT * count + 2 for row, count in lines.items() if count > 1}


def _widths(placed: Placed, values: pd.DataFrame, alone: bool) -> list[tuple[int, float]]:
    if placed.table.kind == "form":
        words = [name for name, each in placed.table.definitions.items() if each.is_text]
        longest = max((len(str(values[name].iloc[0])) for name in words), default=0)
        widths = [(0, 30.0), (1, min(max(18.0, longest + 3.0), WIDE)), (2, 12.0), (3, 14.0)]
        return [*widths, (4, WIDEST)] if alone else widths
    found = []
    for name, definition in placed.table.definitions.items():
        column = placed.columns[name]
        if definition.role == "block":
            found += [(column + at, NARROW) for at in range(len(placed.table.axis))]
        else:
            found.append((column, _width(definition, values[name])))
    return found


def _width(definition: Definition, values: pd.Series) -> float:
    header = max(
        (len(word) for word in (SIGNS[definition.role] + definition.label).split()), default=0
    )
    if definition.is_text:
        longest = max((len(str(value)) for value in values), default=0)
        widest = WIDE + 12 if longest > 2 * WIDE else WIDE
        return float(min(max(header + 3, longest + 4, NARROW), widest))
    largest = max((abs(float(value)) for value in values), default=0)
    digits = len(f"{largest:,.2f}") + 2
    return float(max(header + 3, digits, NARROW))
