"""The cells of a price request, as a supplier fills them in."""

from __future__ import annotations

from estimator.quantities.small_models.request import request_model
from estimator.workbook.layout import form_rows, lay_out
from tests.copies.in_calc import Typing
from tests.engines.cells import Place

HOSTILE = '=HYPERLINK("http://bad.invalid","x")<script>alert(1)</script>&[b]'


class filled:  # noqa: N801 - reads as a word
    """The cells of a request of so many lines."""

    def __init__(self, lines: int) -> None:
        model = request_model()
        self.placed = lay_out(model, {"request": 1, "answer": 1, "lines": lines, "sums": 1}).placed

    def answer(self, name: str) -> Place:
        return "Request", f"B{form_rows(self.placed['answer'])[name] + 1}"

    def line(self, name: str, row: int) -> Place:
        lines = self.placed["lines"]
        return "Items", f"{'ABCDEFGHIJKLMN'[lines.columns[name]]}{lines.first + row + 1}"

    def head(self, supplier: str) -> Typing:
        return {self.answer("supplier"): supplier, self.answer("day"): "2026-04-02"}

    def priced(self, row: int, price: float, pack: float, lead: float) -> Typing:
        return {
            self.line("price", row): price,
            self.line("pack", row): pack,
            self.line("lead", row): lead,
        }
