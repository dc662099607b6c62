"""Money, days and sizes as a reader in the project's country expects them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
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
    return Decimal(repr(float(value))).quantize(CENT, ROUND_HALF_UP)


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

    def money(self, value: float) -> str:
        """Always with cents, also where the currency has none: the workbook shows them too."""
        return format_currency(
            to_cents(value), self.currency, locale=self.locale, currency_digits=False
        )

    def count(self, value: float) -> str:
        """A whole number with its thousands parted; a part of one is not hidden."""
        return format_decimal(Decimal(repr(float(value))), "#,##0.###", locale=self.locale)

    def share(self, value: float) -> str:
        """A share in per cent, one decimal where it has one."""
        return format_percent(Decimal(repr(float(value))), "#,##0.#%", locale=self.locale)

    def weight(self, value: float) -> str:
        """To a tenth of a pound or kilogram, with the unit."""
        unit = "lb" if self.unit == "in" else "kg"
        return (
            f"{format_decimal(Decimal(repr(float(value))), '#,##0.0', locale=self.locale)} {unit}"
        )

    def near(self, length: Fraction) -> str:
        """A length to the nearest eighth of an inch or millimetre, for marking a wall."""
        part = 8 if self.unit == "in" else 1
        return format_length(Fraction(round(length * part), part), self.unit)

    def day(self, value: date) -> str:
        """A day with its month in words, which cannot be read in two ways."""
        return format_date(value, "long", locale=self.locale)

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
