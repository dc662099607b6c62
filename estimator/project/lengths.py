"""Lengths as the trade types them, read and written exactly.

A length is a Fraction in the project's unit, inches or millimetres; an inch is 25.4 mm exactly.
What can be read in two ways is refused, never guessed.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from math import gcd
from typing import Literal, NoReturn, TypeGuard

LengthUnit = Literal["in", "mm"]

LONGEST_TEXT = 1000
"""Characters; no one types a longer length, and a longer text costs time to read."""


class LengthError(ValueError):
    """A length that cannot be read in exactly one way.

    expected: what would be right, to stand after the word "expected".
    fix: what to do about it, as a sentence.
    """

    def __init__(self, expected: str, fix: str) -> None:
        self.expected = expected
        self.fix = fix
        super().__init__(f"expected {expected}. {fix}")


# --- Grammar -----------------------------------------------------------------------------------

INCH_SIGNS = ('"', "in", "in.", "inch", "inches")
FOOT_SIGNS = ("'", "ft", "ft.", "foot", "feet")
METRIC_SIGNS = ("mm", "cm", "m")

# An inch is 25.4 mm since July 1, 1959 (addendum to NBS Circular 572, 1960), a foot 12 inches.
INCH_IN_MM = Fraction(254, 10)
SIGN_IN_MM: dict[str, Fraction] = {
    **dict.fromkeys(INCH_SIGNS, INCH_IN_MM),
    **dict.fromkeys(FOOT_SIGNS, 12 * INCH_IN_MM),
    **dict(zip(METRIC_SIGNS, map(Fraction, (1, 10, 1000)), strict=True)),
}


def any_of(signs: Iterable[str]) -> str:
    """A pattern for any one of the signs."""
    return f"(?:{'|'.join(map(re.escape, signs))})"


INCH, FOOT, METRIC = map(any_of, (INCH_SIGNS, FOOT_SIGNS, METRIC_SIGNS))
WHOLE = r"(?:[1-9][0-9]{0,2}(?:,[0-9]{3})+|[0-9]+)"
AMOUNT = rf"(?:(?:{WHOLE}[ -])?[0-9]+/[0-9]+|{WHOLE}(?:\.[0-9]*)?|\.[0-9]+)"

# What tidied() leaves is matched whole.
LENGTH = re.compile(
    rf"""
    (?P<feet>{WHOLE}) [ ]?{FOOT} [ ]?-?[ ]? (?P<inches>{AMOUNT}) [ ]?{INCH}?   # 7' 6 1/4"
    | (?P<amount>{AMOUNT}) [ ]?(?P<sign>{INCH}|{FOOT}|{METRIC})?                # 5-1/2  140 mm
    """,
    re.VERBOSE,
)
FRACTION = re.compile(rf"(?:(?P<whole>{WHOLE})[ -])?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)")

FRACTION_SIGNS = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
# The minus sign proper is left alone: between two numbers it would be a subtraction.
SPELT_PLAINLY = str.maketrans(
    dict.fromkeys("′’‘", "'")
    | dict.fromkeys("″”“", '"')
    | dict.fromkeys("‐‑–", "-")
    | dict.fromkeys("⁄∕", "/")
    | {sign: unicodedata.normalize("NFKD", sign).replace("⁄", "/") + " " for sign in FRACTION_SIGNS}
)
BLANKS = re.compile(r"[ \t\u00a0\u2000-\u200a\u202f\u205f\u3000]+")


def tidied(text: str) -> str:
    """The same length in the plain characters of the grammar: 5½″ becomes 5 1/2"."""
    parted = re.sub(rf"(?<=[0-9])(?=[{FRACTION_SIGNS}])", " ", text)
    plain = parted.translate(SPELT_PLAINLY).replace("''", '"')
    return BLANKS.sub(" ", plain).strip().lower()


# --- Reading -----------------------------------------------------------------------------------


def parse_length(text: object, unit: LengthUnit) -> Fraction:
    """The length that a cell or a template holds, in `unit`, zero or more, exact.

    text: a str such as `5 1/2`, `5-1/2"`, `7' 6 1/4"`, `7'-6`, `3/4`, `0.75`, `1,220 mm`, `1.2 m`,
    or an int, float, Fraction or Decimal. A number without a unit is in `unit`. A float is
    what `meant_by` takes it for: the decimal that it prints, or the length that this nearly is.
    Raises LengthError for everything else, and nothing but LengthError.
    """
    if isinstance(text, str):
        return read_text(text, unit)
    length = read_number(text, unit)
    if length < 0:
        raise LengthError(*NEGATIVE)
    return length


def read_text(text: str, unit: LengthUnit) -> Fraction:
    """The length that was typed, in `unit`."""
    if len(text) > LONGEST_TEXT:
        raise LengthError(*TOO_LONG)
    plain = tidied(text)
    found = LENGTH.fullmatch(plain)
    if found is None:
        refuse(plain)
    if found["feet"]:
        inches = 12 * read_amount(found["feet"]) + inches_after_feet(found["inches"])
        return converted(inches, '"', unit)
    if found["sign"] in ("cm", "m") and "," in found["amount"]:
        raise LengthError(*DECIMAL_COMMA)  # 1,220 m is far likelier 1.22 m than over a kilometre
    return converted(read_amount(found["amount"]), found["sign"] or unit, unit)


def converted(amount: Fraction, sign: str, unit: LengthUnit) -> Fraction:
    """So many of what `sign` stands for, in `unit`."""
    return amount * SIGN_IN_MM[sign] / SIGN_IN_MM[unit]


def inches_after_feet(text: str) -> Fraction:
    """The inches that stand after feet: fewer than 12, or one of the two figures is wrong."""
    inches = read_amount(text)
    if inches >= 12:
        raise LengthError(
            "fewer than 12 inches after the feet",
            "Check both figures; type 12 inches or more as feet and inches, or as inches only.",
        )
    return inches


def read_amount(text: str) -> Fraction:
    """A number of the grammar: 5, 1,220, 5.5, 3/4, 5 1/2 or 5-1/2."""
    parts = FRACTION.fullmatch(text)
    if parts is None:
        return Fraction(text.replace(",", ""))
    whole = Fraction((parts["whole"] or "0").replace(",", ""))
    top, bottom = int(parts["top"]), int(parts["bottom"])
    if bottom == 0:
        raise LengthError("a fraction whose lower number is not zero", "Correct the lower number.")
    if top >= bottom:
        raise LengthError(
            "a fraction smaller than one",
            f"Type {mixed_number(whole + Fraction(top, bottom))} if that is the length; "
            "leave a blank between a whole number and its fraction, as in 5 1/2.",
        )
    return whole + Fraction(top, bottom)


def read_number(value: object, unit: LengthUnit) -> Fraction:
    """A number that came as a number, or LengthError for what is none."""
    match value:
        case bool():
            raise LengthError(
                ANY_LENGTH, "A length is a number; yes and no, true and false are none."
            )
        case int() | Fraction():
            return Fraction(value)
        case float():
            return meant_by(exact_decimal(Decimal(repr(float(value)))), unit)
        case Decimal():
            return exact_decimal(value)
        case None:
            raise LengthError(*EMPTY)
    fix = date_hint(value) if looks_like_date(value) else "Type it as a number or as text."
    raise LengthError(ANY_LENGTH, fix)


def exact_decimal(value: Decimal) -> Fraction:
    """The decimal as a fraction; the bound keeps 1E+999999999 from filling the memory."""
    if not value.is_finite() or abs(value.adjusted()) > LONGEST_TEXT:
        raise LengthError("a finite number", "Type the length again; a formula may have failed.")
    return Fraction(value)


NEARLY_64TH = Fraction(1, 10**9)
"""An inch is cut to 64ths; what floats add to one, or rounding for show takes off, is less."""
SAME = Fraction(1, 10**13)
"""Share of a length: floats keep 15 to 17 digits, so a cell differs by less from what was typed."""
LARGEST_DENOMINATOR, FINEST_MM = 99, Fraction(1, 1000)


def meant_by(number: Fraction, unit: LengthUnit) -> Fraction:
    """The length that a float stands for; a cell can hold neither 1/3 nor 140 mm in inches exactly.

    number: the decimal that the float prints. In inches one within 1e-9 of a 64th is that 64th. In
    either unit one that agrees to 13 digits with a fraction of an inch down to 99ths, as cells show
    them, or with a whole number of thousandths of a millimetre, is that. Others are themselves.
    """
    inches, mm = converted(number, unit, "in"), converted(number, unit, "mm")
    sixty_fourth = Fraction(round(inches * 64), 64)
    if unit == "in" and abs(inches - sixty_fourth) <= NEARLY_64TH:
        return sixty_fourth
    typed_as = (
        converted(inches.limit_denominator(LARGEST_DENOMINATOR), "in", unit),
        converted(round(mm / FINEST_MM) * FINEST_MM, "mm", unit),
    )
    return next((each for each in typed_as if abs(each - number) <= SAME * number), number)


# --- What is wrong with a text ------------------------------------------------------------------

ANY_LENGTH = """a length such as 5 1/2, 7' 6 1/4" or 140 mm"""
EMPTY = (ANY_LENGTH, "Type a length; type 0 if there is none.")
TOO_LONG = (ANY_LENGTH, "Type one length only; this text is far too long to be one.")
NEGATIVE = ("a length of zero or more", "Type it without the minus sign.")
DECIMAL_COMMA = (
    "a point before the decimals",
    "Type 1.5 for one and a half; a comma only parts thousands of inches, feet or mm, as in 1,220.",
)


@dataclass(frozen=True)
class Fault:
    """A way in which a text outside the grammar is known to be wrong."""

    pattern: str
    expected: str
    fix: str


MONTH = "(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)"
FAULTS = (
    Fault(r"^$", *EMPTY),
    Fault(r"^[-−]", *NEGATIVE),
    Fault(
        rf"[0-9] ?{METRIC}\b.*(?:{INCH}|{FOOT})|[0-9] ?(?:{INCH}|{FOOT}).*[0-9] ?{METRIC}\b",
        "one system of units",
        "Type the whole length in feet and inches or in mm, cm or m, not in both.",
    ),
    Fault(
        rf"\b{MONTH}\b|^[0-9]{{4}}-[0-9]+-[0-9]+|[0-9]/[0-9]+/[0-9]",
        "a length, not a date",
        """If a spreadsheet program made a date of a fraction, type it again as 0 3/4 or 3/4".""",
    ),
    Fault(
        r"[0-9] ?[x×*] ?[0-9]",
        "one length",
        "Type each length in a place of its own.",
    ),
    Fault(r"[0-9],[0-9]|^,[0-9]", *DECIMAL_COMMA),
    Fault(
        rf"[0-9][./][0-9]+ ?{FOOT}.*[0-9]",
        "whole feet before inches",
        """Type the part of a foot as inches: 7' 6 1/4".""",
    ),
    Fault(
        r"[0-9][ −-]+[0-9.]",
        "one length in one spelling",
        """Mark feet and inches, as in 7' 6"; a fraction stands behind a blank or a bare hyphen, """
        "as in 5 1/2 or 5-1/2.",
    ),
    Fault(
        r"^[0-9.,/ -]+[a-z]+\.?$",
        "a unit out of in, ft, mm, cm and m",
        "Type the length in one of these units, or as a number in the project's unit.",
    ),
)


def refuse(plain: str) -> NoReturn:
    """Raise the LengthError of the first fault that fits a text outside the grammar."""
    for fault in FAULTS:
        if re.search(fault.pattern, plain):
            raise LengthError(fault.expected, fault.fix)
    raise LengthError(ANY_LENGTH, "Type one length, with nothing else beside it.")


# --- Writing -----------------------------------------------------------------------------------


def format_length(value: Fraction, unit: LengthUnit) -> str:
    """The length without its unit: `5 1/2` in inches, `140.5` in mm; parse_length reads it back.

    Inches down to 64ths are written as fractions; other lengths as decimals where these end,
    else as fractions. Raises ValueError below zero.
    """
    refuse_negative(value)
    if unit == "in" and 64 % value.denominator == 0:
        return mixed_number(value)
    return finite_decimal(value) or mixed_number(value)


def format_sides(length: Fraction, width: Fraction, unit: LengthUnit) -> str:
    """A size without its unit, along the grain first: `24 × 10`."""
    return f"{format_length(length, unit)} × {format_length(width, unit)}"


def format_feet(value_in_inches: Fraction) -> str:
    """The length in feet and inches, `7' 6 1/4"`; parse_length reads it back.

    Raises ValueError below zero.
    """
    refuse_negative(value_in_inches)
    feet, inches = divmod(value_in_inches, 12)
    shown_inches = f'{format_length(inches, "in")}"'
    return f"{feet}' {shown_inches}" if feet else shown_inches


def number_format(unit: LengthUnit) -> str:
    """The spreadsheet number format of a length.

    Two digits below the line hold every 64th. In mm General shows 140 as 140 and 139.75 in full;
    0.0 rounds the second, and 0.## leaves a point behind the first in some programs (from memory).
    """
    return "# ??/??" if unit == "in" else "General"


def refuse_negative(value: Fraction) -> None:
    """Raise ValueError below zero: a fault of the caller, since no length was read so."""
    if value < 0:
        raise ValueError(f"a length is zero or more, not {value}")


def mixed_number(value: Fraction) -> str:
    """5, 3/4 or 5 3/4."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def finite_decimal(value: Fraction) -> str | None:
    """The value's decimal spelling, or None if it has no end."""
    places = value.denominator.bit_length()  # 2^a 5^b divides 10^max(a, b); both are below this
    digits, left = divmod(value.numerator * 10**places, value.denominator)
    if left:
        return None
    whole, decimals = divmod(digits, 10**places)
    return f"{whole}.{decimals:0{places}}".rstrip("0").rstrip(".")


# --- Fractions that a spreadsheet program took for dates ----------------------------------------

SHOP_DENOMINATORS = (2, 4, 8, 16, 32, 64)


def looks_like_date(value: object) -> TypeGuard[date]:
    """Whether a cell's value is a date, which a length typed as 3/4 easily becomes."""
    return isinstance(value, date) and value == value  # pandas' missing date is not equal to itself


def date_hint(value: datetime | date) -> str:
    """What was probably typed into a cell that now holds a date, and how to fix it."""
    day = f"This cell holds the date {value:%Y-%m-%d}"
    typed = fractions_behind(value)
    if not typed:
        return f"{day}. Format the cell as a fraction first, then type the length."
    as_typed = " or ".join(f"{whole}-{part}" if whole else part for whole, part in typed)
    instead = " or ".join(f"{whole} {part}" for whole, part in typed)
    return (
        f"{day}; it was probably typed as {as_typed}. "
        f"Type {instead}, or format the cell as a fraction first and type it again."
    )


def fractions_behind(value: date) -> list[tuple[int, str]]:
    """Whole number and shop fraction of what makes this date when typed, the likeliest first.

    Spreadsheet programs read 3/4 as month and day or as day and month (seen in LibreOffice Calc
    7.4), 3/32 as the first of a month, and 5-1/2 as a day in 2002 (both from memory).
    """
    month, day, year = value.month, value.day, value.year % 100
    first_of_month = [(0, month, year)] if day == 1 else []
    full_dates = [(month, day, year), (day, month, year)]
    spellings = [*first_of_month, (0, month, day), (0, day, month), *full_dates]
    return [
        (whole, f"{top}/{bottom}")
        for whole, top, bottom in dict.fromkeys(spellings)
        if top < bottom and bottom in SHOP_DENOMINATORS and gcd(top, bottom) == 1
    ]
