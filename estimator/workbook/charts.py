"""The pictures that say more than their numbers: cost by kind, price by room type, price walk."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from xlsxwriter import Workbook
from xlsxwriter.chart import Chart

from estimator.quantities.price import DIRECT
from estimator.workbook.layout import Placed, form_rows
from estimator.workbook.styles import INK

BAR, BARS_WIDTH = "#6E8F78", 460
WALK_CHART = "Price walk from total to total"
RISE, FALL = "#B5533C", "#2F6B8A"
SHOWN_FROM = 0.5
"""Where all totals are above this share of the largest, an axis from 0 would hide the steps."""


class Drawn(NamedTuple):
    """The columns of a walk that its chart is drawn from: what carries a step unseen, totals, what
    adds and what takes."""

    base: int
    level: int
    up: int
    down: int


def cost_by_kind(book: Workbook, price: Placed) -> None:
    """A bar for each kind of direct cost, beside the build-up."""
    rows = form_rows(price)
    first, last = rows[DIRECT[0]], rows[DIRECT[-1]]
    _bars(book, price.sheet, "Direct cost by kind", price, (first, last), (0, 1), 0)


def price_by_room_type(book: Workbook, types: Placed, price: Placed) -> None:
    """A bar for each room type's part of the quoted price."""
    columns = (types.columns["name"], types.columns["line_price"])
    rows = (types.first, types.last - 1)
    _bars(book, types.sheet, "Price by room type", price, rows, columns, BARS_WIDTH + 15)


def _bars(
    book: Workbook,
    sheet: str,
    title: str,
    beside: Placed,
    rows: tuple[int, int],
    columns: tuple[int, int],
    from_left: int,
) -> None:
    """Below the build-up, so many dots from the left, however wide its columns are."""
    chart = book.add_chart({"type": "bar"})
    chart.add_series(
        {
            "categories": [sheet, rows[0], columns[0], rows[1], columns[0]],
            "values": [sheet, rows[0], columns[1], rows[1], columns[1]],
            "fill": {"color": BAR},
            "gap": 60,
        }
    )
    chart.set_title({"name": title, "name_font": {"size": 11, "color": INK}, "overlay": False})
    chart.set_legend({"none": True})
    chart.set_x_axis(
        {"num_format": "#,##0", "major_gridlines": {"visible": True, "line": {"color": "#DDDDDD"}}}
    )
    chart.set_y_axis({"reverse": True})
    chart.set_size({"width": BARS_WIDTH, "height": 300})
    sheet_of_price = book.get_worksheet_by_name(beside.sheet)
    sheet_of_price.insert_chart(beside.last + 3, 0, chart, {"x_offset": from_left})


def price_walk(
    book: Workbook,
    sheet: str,
    rows: tuple[int, int],
    columns: Drawn,
    where: str,
    totals: Sequence[float],
) -> None:
    """Steps from total to total, each standing on an unseen base.

    rows: the first and the last of the walk; its steps' names stand in the column before the
    amounts. What adds and what takes differ in hatching, sign and arrow, not in colour alone.
    """
    chart = book.add_chart({"type": "column", "subtype": "stacked"})
    hatched = {"up": "wide_upward_diagonal", "down": "wide_downward_diagonal"}
    looks: dict[str, dict[str, object]] = {
        "base": {"fill": {"none": True}, "border": {"none": True}},
        "level": {"fill": {"color": BAR}, "data_labels": _labels("#,##0;-#,##0;")},
        "up": {"pattern": _pattern(hatched["up"], RISE), "data_labels": _labels("▲ +#,##0;;")},
        "down": {"pattern": _pattern(hatched["down"], FALL), "data_labels": _labels("▼ -#,##0;;")},
    }
    titles = {"base": " ", "level": "total", "up": "▲ adds", "down": "▼ takes off"}
    for name, column in columns._asdict().items():
        chart.add_series(
            {
                "name": titles[name],
                "categories": [sheet, rows[0], 1, rows[1], 1],
                "values": [sheet, rows[0], column, rows[1], column],
                "gap": 40,
            }
            | looks[name]
        )
    _dress(chart, totals)
    options = {"description": WALK_CHART, "object_position": 2}
    book.get_worksheet_by_name(sheet).insert_chart(where, chart, options)


def _dress(chart: Chart, totals: Sequence[float]) -> None:
    chart.show_hidden_data()
    start = axis_start(totals)
    title = "Price walk" + (f" (axis begins at {start:,.0f})" if start else "")
    chart.set_title({"name": title, "name_font": {"size": 11, "color": INK}, "overlay": False})
    chart.set_legend({"position": "bottom", "delete_series": [0]})
    chart.set_y_axis(
        {
            "num_format": "#,##0",
            "min": start,
            "major_gridlines": {"visible": True, "line": {"color": "#DDDDDD"}},
        }
    )
    chart.set_size({"width": 900, "height": 360})


def axis_start(totals: Sequence[float]) -> float:
    """Where the axis of money begins: at 0, or at a round number below totals that hardly move."""
    low, high = min(totals), max(totals)
    if low <= SHOWN_FROM * high or low < 1:
        return 0
    step = 10.0 ** math.floor(math.log10(max(high - low, high / 1000)))
    return max(0.0, math.floor((low - (high - low) / 2) / step) * step)


def _labels(number_format: str) -> dict[str, object]:
    return {"value": True, "num_format": number_format, "font": {"size": 9, "color": INK}}


def _pattern(name: str, colour: str) -> dict[str, str]:
    return {"pattern": name, "fg_color": colour, "bg_color": "#FFFFFF"}
