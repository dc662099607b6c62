"""Figures in words: money, days, counts and sizes as a reader in the project's country has them.

What is told was calculated before; here it gets its digits, its signs and its unit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from itertools import count as all_numbers
from itertools import islice
from typing import Any

from babel.dates import format_date
from babel.numbers import format_currency, format_decimal, format_percent

from estimator.project.lengths import LengthUnit, format_length
from estimator.project.records import Facts, Module

CENT = Decimal("0.01")


def to_cents(value: float) -> Decimal:
    """A calculated amount of money as a decimal with two places, halves away from zero.

    The amount was rounded to cents when it was calculated; this drops what binary digits add.
    """
    return _decimal(value).quantize(CENT, ROUND_HALF_UP)


def whole(value: float | Decimal) -> int:
    """A count as a whole number; of a part of one, which a check tells of, what is whole."""
    return int(value)


def numbers(value: float) -> Iterator[int]:
    """1, 2, 3 and so on up to a count."""
    return islice(all_numbers(1), whole(value))


def _decimal(value: float) -> Decimal:
    return Decimal(repr(float(value)))


@dataclass(frozen=True)
class Figures:
    """How figures are written for one project."""

    locale: str
    currency: str
    unit: LengthUnit

    @property
    def unit_words(self) -> str:
        """The unit of length in full, for sentences."""
        return "inches" if self.unit == "in" else "millimetres"

    @property
    def weight_unit(self) -> str:
        """Pounds or kilograms."""
        return "lb" if self.unit == "in" else "kg"

    @property
    def area_unit(self) -> str:
        """Square feet or square metres."""
        return "ft²" if self.unit == "in" else "m²"

    @property
    def volume_unit(self) -> str:
        """Gallons or litres."""
        return "gal" if self.unit == "in" else "L"

    def money(self, value: float) -> str:
        """Always with cents, also where the currency has none: the workbook shows them too."""
        return format_currency(
            to_cents(value), self.currency, locale=self.locale, currency_digits=False
        )

    def count(self, value: float) -> str:
        """A whole number with its thousands parted; a part of one is not hidden."""
        return format_decimal(_decimal(value), "#,##0.###", locale=self.locale)

    def tenths(self, value: float) -> str:
        """A figure to one decimal, where it has one."""
        return format_decimal(_decimal(value), "#,##0.#", locale=self.locale)

    def share(self, value: float) -> str:
        """A share in per cent, one decimal where it has one."""
        return format_percent(_decimal(value), "#,##0.#%", locale=self.locale)

    def weight(self, value: float) -> str:
        """To a tenth of a pound or kilogram, with the unit."""
        number = format_decimal(_decimal(value), "#,##0.0", locale=self.locale)
        return f"{number} {self.weight_unit}"

    def near(self, length: Fraction) -> str:
        """A length to the nearest eighth of an inch or millimetre, for marking a wall."""
        part = 8 if self.unit == "in" else 1
        return format_length(Fraction(round(length * part), part), self.unit)

    def day(self, value: date | None) -> str:
        """A day with its month in words, which cannot be read in two ways; nothing for none."""
        return format_date(value, "long", locale=self.locale) if value else ""

    def outside(self, module: Module) -> str:
        """Width, height and depth of a module with the unit."""
        sides = (module.width, module.height, module.depth)
        return " × ".join(format_length(each, self.unit) for each in sides) + f" {self.unit}"


def figures_of(facts: Facts) -> Figures:
    """Figures written as the project's locale has them."""
    return Figures(facts.locale.replace("-", "_"), facts.currency, facts.unit)


def rows(frame: Any) -> list[dict[str, Any]]:
    """The rows of a table of values, each a mapping from column to value."""
    return [dict(zip(frame.columns, row, strict=True)) for row in frame.itertuples(index=False)]


def only(frame: Any) -> dict[str, Any]:
    """The one row of a form."""
    (row,) = rows(frame)
    return row
