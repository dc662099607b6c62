"""The pictures that say more than their numbers: cost by kind, price by room type, price walk."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from estimator.quantities.price import DIRECT
from estimator.workbook.layout import Placed, form_rows
from estimator.workbook.page import Chart, Series
from estimator.workbook.styles import INK

BAR, BARS_SIZE = "#6E8F78", (460, 300)
WALK_CHART = "Price walk from total to total"
RISE, FALL = "#B5533C", "#2F6B8A"
SHOWN_FROM = 0.5
"""Where all totals are above this share of the largest, an axis from 0 would hide the steps."""


def _labels(number_format: str) -> dict[str, Any]:
    return {"value": True, "num_format": number_format, "font": {"size": 9, "color": INK}}


def _hatched(pattern: str, colour: str) -> dict[str, str]:
    return {"pattern": pattern, "fg_color": colour, "bg_color": "#FFFFFF"}


BARS = {"fill": {"color": BAR}, "gap": 60}
MONEY_AXIS = {
    "num_format": "#,##0",
    "major_gridlines": {"visible": True, "line": {"color": "#DDDDDD"}},
}
WALK: Mapping[str, dict[str, Any]] = {
    "base": {"name": " ", "fill": {"none": True}, "border": {"none": True}},
    "level": {
        "name": "total",
        "fill": {"color": BAR},
        "data_labels": _labels("#,##0;-#,##0;"),
    },
    "up": {
        "name": "▲ adds",
        "pattern": _hatched("wide_upward_diagonal", RISE),
        "data_labels": _labels("▲ +#,##0;;"),
    },
    "down": {
        "name": "▼ takes off",
        "pattern": _hatched("wide_downward_diagonal", FALL),
        "data_labels": _labels("▼ -#,##0;;"),
    },
}
"""How each column of the walk's chart looks."""


class Drawn(NamedTuple):
    """The columns of a walk that its chart is drawn from: what carries a step unseen, totals, what
    adds and what takes."""

    base: int
    level: int
    up: int
    down: int


def price_charts(price: Placed, types: Placed) -> tuple[Chart, ...]:
    """Below the build-up: a bar for each kind of direct cost, and for each room type's price."""
    rows, row = form_rows(price), price.last + 3
    kinds = (rows[DIRECT[0]], rows[DIRECT[-1]])
    parts = (types.first, types.last - 1)
    columns = (types.columns["name"], types.columns["line_price"])
    by_kind = _bars("Direct cost by kind", _series(price.sheet, kinds, (0, 1), BARS), row)
    by_type = _bars("Price by room type", _series(types.sheet, parts, columns, BARS), row)
    return by_kind, replace(by_type, from_left=BARS_SIZE[0] + 15)


def _series(
    sheet: str, rows: tuple[int, int], columns: tuple[int, int], look: Mapping[str, Any]
) -> Series:
    """Words and numbers of the same rows, each in a column of its own."""
    words, numbers = ((rows[0], column, rows[1], column) for column in columns)
    return Series(sheet, words, numbers, look)


def _bars(title: str, series: Series, row: int) -> Chart:
    return Chart(
        row,
        0,
        "bar",
        (series,),
        title,
        BARS_SIZE,
        legend={"none": True},
        x_axis=MONEY_AXIS,
        y_axis={"reverse": True},
    )


def price_walk(
    sheet: str, rows: tuple[int, int], columns: Drawn, top: int, totals: Sequence[float]
) -> Chart:
    """Steps from total to total, each standing on an unseen base, below the row `top`.

    rows: the first and the last of the walk; its steps' names stand in the column before the
    amounts. What adds and what takes differ in hatching, sign and arrow, not in colour alone.
    """
    start = axis_start(totals)
    return Chart(
        top,
        0,
        "column",
        tuple(
            _series(sheet, rows, (1, column), WALK[name] | {"gap": 40})
            for name, column in columns._asdict().items()
        ),
        "Price walk" + (f" (axis begins at {start:,.0f})" if start else ""),
        (900, 360),
        legend={"position": "bottom", "delete_series": [0]},
        x_axis={},
        y_axis=MONEY_AXIS | {"min": start},
        is_stacked=True,
        shows_folded=True,
        keeps_size=True,
        description=WALK_CHART,
    )


def axis_start(totals: Sequence[float]) -> float:
    """Where the axis of money begins: at 0, or at a round number below totals that hardly move."""
    low, high = min(totals), max(totals)
    if low <= SHOWN_FROM * high or low < 1:
        return 0
    step = 10.0 ** math.floor(math.log10(max(high - low, high / 1000)))
    return max(0.0, math.floor((low - (high - low) / 2) / step) * step)
