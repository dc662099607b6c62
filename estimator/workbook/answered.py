"""What somebody else typed into a workbook of ours: plain numbers and words, or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from estimator.workbook.stored import Cell


@dataclass(frozen=True)
class Allowed:
    """What a number may be: from and to, and whether it is money to the cent or a whole number."""

    least: Decimal
    most: int
    is_money: bool = False


PRICE = Allowed(Decimal("0.01"), 10**9, is_money=True)
PACK = Allowed(Decimal(1), 10**7)
WEEKS = Allowed(Decimal(0), 520)


def plain_number(cell: Cell, allowed: Allowed) -> Decimal | None:
    """A number that was typed as one and lies within what is allowed; None for all else."""
    value = cell.value
    if cell.formula or isinstance(value, bool) or not isinstance(value, int | float):
        return None
    number = Decimal(repr(value))
    if not number.is_finite() or not allowed.least <= number <= allowed.most:
        return None
    steps = number.quantize(Decimal("0.01")) if allowed.is_money else number.to_integral_value()
    return number if number == steps else None


def whole_number(cell: Cell) -> int:
    """The whole number that stands in a cell of ours; 0 where none does."""
    return int(cell.value) if isinstance(cell.value, int | float) else 0


def text_of(cell: Cell) -> str:
    """A cell's words; a day that was typed as one is written as 2026-11-25."""
    value: Any = cell.value
    if isinstance(value, datetime):
        value = value.date()
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return "" if value is None else str(value).strip()


def day_of(words: str) -> str:
    """A day that a program turned into its day number, as 2026-11-25; else the words."""
    if not (words.isascii() and words.isdigit() and 20_000 <= int(words) <= 80_000):
        return words
    return (date(1899, 12, 30) + timedelta(days=int(words))).isoformat()
