"""The two pictures that say more than their numbers: cost by kind, price by room type."""

from __future__ import annotations

from xlsxwriter import Workbook

from estimator.quantities.price import DIRECT
from estimator.workbook.layout import Placed, form_rows
from estimator.workbook.styles import INK

BAR = "#6E8F78"


def cost_by_kind(book: Workbook, price: Placed) -> None:
    """A bar for each kind of direct cost, beside the build-up."""
    rows = form_rows(price)
    first, last = rows[DIRECT[0]], rows[DIRECT[-1]]
    _bars(
        book, price.sheet, "Direct cost by kind", price, (first, last), (0, 1), f"A{price.last + 4}"
    )


def price_by_room_type(book: Workbook, types: Placed, price: Placed) -> None:
    """A bar for each room type's part of the quoted price."""
    columns = (types.columns["name"], types.columns["line_price"])
    rows = (types.first, types.last - 1)
    _bars(book, types.sheet, "Price by room type", price, rows, columns, f"D{price.last + 4}")


def _bars(
    book: Workbook,
    sheet: str,
    title: str,
    beside: Placed,
    rows: tuple[int, int],
    columns: tuple[int, int],
    where: str,
) -> None:
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
    chart.set_size({"width": 460, "height": 300})
    book.get_worksheet_by_name(beside.sheet).insert_chart(where, chart)
