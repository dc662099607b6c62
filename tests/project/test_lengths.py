"""Lengths: every spelling of the trade is read exactly, all else is refused with a reason."""

from __future__ import annotations

import csv
import subprocess
from collections.abc import Callable, Sequence
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
import xlsxwriter
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from estimator.project.lengths import (
    LengthError,
    LengthUnit,
    date_hint,
    format_feet,
    format_length,
    looks_like_date,
    number_format,
    parse_length,
)

UNITS: st.SearchStrategy[LengthUnit] = st.sampled_from(("in", "mm"))
LENGTHS = st.fractions(min_value=0)
SIXTY_FOURTHS = st.integers(0, 64 * 1200).map(lambda count: Fraction(count, 64))


# --- What the trade types, each value worked out by hand ------------------------------------------


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("5", Fraction(5)),
        ("5 1/2", Fraction(11, 2)),
        ("5-1/2", Fraction(11, 2)),
        ('5-1/2"', Fraction(11, 2)),
        ("5 1/2 in", Fraction(11, 2)),
        ("5 1/2 IN.", Fraction(11, 2)),
        ("5 1/2 inches", Fraction(11, 2)),
        ("5½", Fraction(11, 2)),
        ("5-½″", Fraction(11, 2)),
        ("5 1⁄2''", Fraction(11, 2)),
        ("5\u00a01/2”", Fraction(11, 2)),
        ("5–1/2", Fraction(11, 2)),
        ("  5   1/2  ", Fraction(11, 2)),
        ("5.5", Fraction(11, 2)),
        ("5.", Fraction(5)),
        ("3/4", Fraction(3, 4)),
        ("0 3/4", Fraction(3, 4)),
        ("¾", Fraction(3, 4)),
        ("⅛", Fraction(1, 8)),
        ("0.75", Fraction(3, 4)),
        (".75", Fraction(3, 4)),
        ("1/3", Fraction(1, 3)),
        ("0", Fraction(0)),
        ("7'", Fraction(84)),
        ("7’", Fraction(84)),
        ("1 foot", Fraction(12)),
        ("7.5'", Fraction(90)),
        ("7 1/2 feet", Fraction(90)),
        ("7' 6", Fraction(90)),
        ("7'6", Fraction(90)),
        ("7'-6\"", Fraction(90)),
        ("7' - 6", Fraction(90)),
        ("7' 6 1/4\"", Fraction(361, 4)),
        ("7'-6 1/4\"", Fraction(361, 4)),
        ("7′ 6¼″", Fraction(361, 4)),
        ("7’ 6.25”", Fraction(361, 4)),
        ("7 ft 6 1/4 in", Fraction(361, 4)),
        ("7ft6-1/4in", Fraction(361, 4)),
        ("7' 3/4", Fraction(339, 4)),
        ("1,220", Fraction(1220)),
        ("12.7 mm", Fraction(1, 2)),
        ("140 mm", Fraction(700, 127)),
        ("14 cm", Fraction(700, 127)),
        ("0.14m", Fraction(700, 127)),
        (5, Fraction(5)),
        (5.5, Fraction(11, 2)),
        (Decimal("0.7"), Fraction(7, 10)),
        (Fraction(1, 3), Fraction(1, 3)),
    ],
)
def test_inches(text: str, inches: Fraction) -> None:
    assert parse_length(text, "in") == inches


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("140", Fraction(140)),
        ("3/4", Fraction(3, 4)),
        ("140.5", Fraction(281, 2)),
        ("140 MM", Fraction(140)),
        ("14 cm", Fraction(140)),
        ("1.2 m", Fraction(1200)),
        ("1,220 mm", Fraction(1220)),
        ("1,220.5", Fraction(2441, 2)),
        ('1/2"', Fraction(127, 10)),
        ("1'", Fraction(3048, 10)),
        ("1' 6\"", Fraction(4572, 10)),
    ],
)
def test_millimetres(text: str, mm: Fraction) -> None:
    assert parse_length(text, "mm") == mm


@pytest.mark.parametrize(
    ("value", "unit", "length"),
    [
        (0.1, "in", Fraction(1, 10)),
        (0.1 + 0.2, "mm", Fraction(3, 10)),
        (5.33333333333, "in", Fraction("5.33333333333")),
        (16 / 3, "in", Fraction(16, 3)),
        (16 / 3 * 25.4, "mm", Fraction(16, 3) * Fraction("25.4")),
        (140 / 25.4, "in", Fraction(140) / Fraction("25.4")),
        (0.1234567891, "in", Fraction("0.1234567891")),
        (0.333333333333, "in", Fraction("0.333333333333")),
        (0.015624999999, "in", Fraction(1, 64)),
        (0.015624999999, "mm", Fraction("0.015624999999")),
        (0.015624998, "in", Fraction("0.015624998")),
        (1e22, "in", Fraction(10**22)),
        (-0.0, "in", Fraction(0)),
    ],
)
def test_a_float_is_the_decimal_it_prints_or_the_length_that_this_nearly_is(
    value: Any, unit: LengthUnit, length: Fraction
) -> None:
    assert parse_length(value, unit) == length


# --- What is refused ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected", "fix"),
    [
        ("", "a length such as", "Type a length"),
        (" \u00a0 ", "a length such as", "Type a length"),
        (None, "a length such as", "Type a length"),
        ("5" * 1001, "a length such as", "far too long"),
        ("-5", "zero or more", "without the minus sign"),
        ("−5", "zero or more", "without the minus sign"),
        ("-5 1/2", "zero or more", "without the minus sign"),
        (-5, "zero or more", "without the minus sign"),
        ("1,5", "a point before the decimals", "Type 1.5"),
        ("0,750", "a point before the decimals", "Type 1.5"),
        ("1,2205", "a point before the decimals", "Type 1.5"),
        ("1,220 m", "a point before the decimals", "Type 1.5"),
        ("5 1/0", "lower number is not zero", "lower number"),
        ("5 3/2", "a fraction smaller than one", "Type 6 1/2"),
        ("4/4", "a fraction smaller than one", "Type 1 if"),
        ("51/2", "a fraction smaller than one", "Type 25 1/2"),
        ("5 ½½", "one length in one spelling", "Mark feet and inches"),
        ("½5", "one length in one spelling", "Mark feet and inches"),
        ("7' 61/4\"", "a fraction smaller than one", "Type 15 1/4"),
        ("7' 14\"", "fewer than 12 inches", "Check both figures"),
        ("7' 12", "fewer than 12 inches", "Check both figures"),
        ("7.5' 6\"", "whole feet before inches", "part of a foot as inches"),
        ("7 1/2' 6", "whole feet before inches", "part of a foot as inches"),
        ("5 in 10 mm", "one system of units", "not in both"),
        ('140 mm 5 1/2"', "one system of units", "not in both"),
        ('5 1/2" (140 mm)', "one system of units", "not in both"),
        ("7' 140 mm", "one system of units", "not in both"),
        ("7 6", "one length in one spelling", "Mark feet and inches"),
        ("7-6", "one length in one spelling", "Mark feet and inches"),
        ("5 - 1/2", "one length in one spelling", "a bare hyphen"),
        ("5−1/2", "one length in one spelling", "a bare hyphen"),
        ("24 x 36", "one length", "a place of its own"),
        ("5 yd", "a unit out of in, ft, mm, cm and m", "one of these units"),
        ("04-Mar", "a length, not a date", "type it again as 0 3/4"),
        ("2026-03-04", "a length, not a date", "type it again as 0 3/4"),
        ("3/4/2026", "a length, not a date", "type it again as 0 3/4"),
        ("about 5", "a length such as", "nothing else beside it"),
        ("5\n1/2", "a length such as", "nothing else beside it"),
        ("1e3", "a length such as", "nothing else beside it"),
        ("5²", "a length such as", "nothing else beside it"),
        ("٥", "a length such as", "nothing else beside it"),
        ("6\" 7'", "a length such as", "nothing else beside it"),
        ("#VALUE!", "a length such as", "nothing else beside it"),
        (float("nan"), "a finite number", "Type the length again"),
        (float("inf"), "a finite number", "Type the length again"),
        (Decimal("sNaN"), "a finite number", "Type the length again"),
        (Decimal("1E+999999999"), "a finite number", "Type the length again"),
        (Decimal("1E-999999999"), "a finite number", "Type the length again"),
        (True, "a length such as", "yes and no"),
        (datetime(2026, 3, 4), "a length such as", "it was probably typed as 3/4"),
        (pd.NaT, "a length such as", "as a number or as text"),
        (5j, "a length such as", "as a number or as text"),
    ],
)
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_refused_with_what_is_expected_and_how_to_mend_it(
    text: str, expected: str, fix: str, unit: LengthUnit
) -> None:
    with pytest.raises(LengthError) as refused:
        parse_length(text, unit)
    assert expected in refused.value.expected
    assert fix in refused.value.fix
    assert str(refused.value) == f"expected {refused.value.expected}. {refused.value.fix}"


def read_or_refused(value: Any, unit: LengthUnit) -> Fraction | LengthError:
    try:
        return parse_length(value, unit)
    except LengthError as refused:
        return refused


PIECES = ["5", "1/2", "½", "0", "1,220", " ", "-", "'", '"', "in", "ft", "mm", "m", ",", "/", "."]
NEARLY_LENGTHS = st.lists(st.sampled_from(PIECES), max_size=5).map("".join)
OTHER_VALUES = st.text() | st.floats() | st.decimals() | st.integers() | st.dates() | st.binary()


@settings(max_examples=500)
@given(NEARLY_LENGTHS | OTHER_VALUES, UNITS)
@example("İn", "in")
@example("\ud800", "in")
@example("/5", "in")
def test_anything_at_all_is_a_length_or_a_length_error(value: Any, unit: LengthUnit) -> None:
    match read_or_refused(value, unit):
        case LengthError(expected=expected, fix=fix):
            assert expected
            assert fix.endswith(".")
        case length:
            assert isinstance(length, Fraction)
            assert length >= 0


# --- Rules that hold for every length -------------------------------------------------------------


@given(LENGTHS, UNITS)
@example(Fraction(1, 2**64), "in")
@example(Fraction(1, 3), "mm")
@example(Fraction(0), "in")
def test_a_written_length_is_read_back(value: Any, unit: LengthUnit) -> None:
    assert parse_length(format_length(value, unit), unit) == value


@given(LENGTHS | SIXTY_FOURTHS)
def test_written_feet_are_read_back_in_either_unit(value: Any) -> None:
    assert parse_length(format_feet(value), "in") == value
    assert parse_length(format_feet(value), "mm") == value * Fraction("25.4")


@given(SIXTY_FOURTHS)
def test_a_64th_survives_a_spreadsheet_cell(value: Any) -> None:
    assert parse_length(float(value), "in") == value
    assert parse_length(float(value) * (1 + 2**-50), "in") == value


@given(st.integers(0, 10**8), st.integers(0, 1200), st.integers(1, 99), UNITS)
def test_what_people_type_in_either_unit_survives_a_cell_that_keeps_fifteen_digits(
    thousandths: int, whole: int, bottom: int, unit: LengthUnit
) -> None:
    fraction = f'{whole} {bottom - 1}/{bottom}"'
    for text in (f"{thousandths / 1000} mm", fraction, f"{whole}.{bottom}"):
        length = parse_length(text, unit)
        assert parse_length(float(f"{float(length):.15g}"), unit) == length


@given(SIXTY_FOURTHS)
def test_every_spelling_of_a_length_gives_the_same_length(value: Any) -> None:
    whole, rest = divmod(value, 1)
    assume(whole and rest)
    feet, inches = divmod(whole, 12)
    in_feet = [
        f"{feet}'{gap}{inches}{join}{rest}{sign}"
        for gap in ("", " ", "-", " - ")
        for join in (" ", "-", "\u00a0")
        for sign in ("", '"', "″", "”", " in")
    ]
    in_inches = [
        f"{amount}{sign}"
        for amount in (
            f"{whole} {rest}",
            f"{whole}-{rest}",
            format(float(value), "f"),
            f"{whole:,} {rest}",
        )
        for sign in ("", '"', "''", "in", " IN.", " inches")
    ]
    assert {parse_length(text, "in") for text in in_feet + in_inches} == {value}


@given(st.integers(0, 10**6))
def test_metric_and_inch_spellings_agree_exactly(tenths_of_mm: int) -> None:
    mm = Decimal(tenths_of_mm) / 10
    inches = format_length(Fraction(mm) / Fraction("25.4"), "in")
    spellings = [f"{mm} mm", f"{mm / 10:f} cm", f"{mm / 1000:f} m", f"{mm:,} mm", f'{inches}"']
    assert {parse_length(text, "mm") for text in spellings} == {Fraction(mm)}
    assert {parse_length(text, "in") for text in spellings} == {Fraction(mm) / Fraction("25.4")}


# --- Writing --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (Fraction(5), "in", "5"),
        (Fraction(11, 2), "in", "5 1/2"),
        (Fraction(1, 64), "in", "1/64"),
        (Fraction(1, 128), "in", "0.0078125"),
        (Fraction(51, 10), "in", "5.1"),
        (Fraction(16, 3), "in", "5 1/3"),
        (Fraction(0), "in", "0"),
        (Fraction(100), "mm", "100"),
        (Fraction(281, 2), "mm", "140.5"),
        (Fraction(1, 3), "mm", "1/3"),
    ],
)
def test_format_length(value: Any, unit: LengthUnit, text: str) -> None:
    assert format_length(value, unit) == text


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (Fraction(361, 4), "7' 6 1/4\""),
        (Fraction(84), "7' 0\""),
        (Fraction(25, 4), '6 1/4"'),
        (Fraction(0), '0"'),
    ],
)
def test_format_feet(inches: Fraction, text: str) -> None:
    assert format_feet(inches) == text


@pytest.mark.parametrize("write", [lambda value: format_length(value, "in"), format_feet])
def test_less_than_nothing_is_not_written(write: Callable[[Fraction], object]) -> None:
    with pytest.raises(ValueError, match="zero or more, not -1"):
        write(Fraction(-1))


# --- Fractions taken for dates --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("held", "typed", "instead"),
    [
        (date(2026, 3, 4), "3/4", "0 3/4"),
        (datetime(2026, 4, 3), "3/4", "0 3/4"),
        (date(2002, 5, 1), "5-1/2", "5 1/2"),
        (date(2004, 8, 3), "3/8 or 8-3/4", "0 3/8 or 8 3/4"),
        (date(1964, 1, 1), "1/64 or 1-1/64", "0 1/64 or 1 1/64"),
    ],
)
def test_date_hint_names_what_was_typed(held: date, typed: str, instead: str) -> None:
    assert date_hint(held) == (
        f"This cell holds the date {held:%Y-%m-%d}; it was probably typed as {typed}. "
        f"Type {instead}, or format the cell as a fraction first and type it again."
    )


@pytest.mark.parametrize("held", [date(2026, 6, 7), date(2026, 4, 4), date(2026, 2, 4)])
def test_date_hint_makes_no_guess_where_no_shop_fraction_fits(held: date) -> None:
    assert date_hint(held) == (
        f"This cell holds the date {held}. "
        "Format the cell as a fraction first, then type the length."
    )


@given(st.sampled_from([2, 4, 8]).flatmap(lambda b: st.tuples(st.integers(1, b - 1), st.just(b))))
def test_the_hint_for_a_fraction_taken_for_a_day_leads_back_to_the_fraction(
    fraction: tuple[int, int],
) -> None:
    top, bottom = fraction
    assume(top % 2)
    for held in (date(2026, top, bottom), date(2026, bottom, top)):
        instead = date_hint(held).split("Type ")[1].split(",")[0]
        assert parse_length(instead, "in") == Fraction(top, bottom)


def test_looks_like_date() -> None:
    assert looks_like_date(date(2026, 3, 4))
    assert looks_like_date(datetime(2026, 3, 4))
    assert not any(map(looks_like_date, ("3/4", 46085, 0.75, None, pd.NaT)))


# --- In a real spreadsheet program ----------------------------------------------------------------


# Comma, quote, UTF-8, from line 1, no column formats, own language, no quotes around all text, and
# last the one that matters: cells as shown, not as stored.
CSV_AS_SHOWN = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true"


def as_calc_shows(tmp_path: Path, columns: Sequence[Sequence[object]]) -> list[list[str]]:
    """The rows that LibreOffice Calc shows for columns of (number format, numbers)."""
    with xlsxwriter.Workbook(tmp_path / "lengths.xlsx") as book:
        sheet = book.add_worksheet()
        for place, (shown_as, numbers) in enumerate(columns):
            cell = book.add_format({"num_format": shown_as})
            sheet.set_column(place, place, 20)
            sheet.write_column(0, place, numbers, cell)
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    command = ["soffice", profile, "--headless", "--norestore", "--convert-to", CSV_AS_SHOWN]
    command += ["--outdir", str(tmp_path), str(tmp_path / "lengths.xlsx")]
    subprocess.run(command, check=True, timeout=120, capture_output=True)
    with (tmp_path / "lengths.csv").open(encoding="utf-8") as file:
        return list(csv.reader(file))


@pytest.mark.slow
def test_what_calc_shows_in_the_number_format_is_the_length(tmp_path: Path) -> None:
    inches = [Fraction(count, 64) for count in (*range(65), *range(64 * 96, 64 * 97))]
    mm = [140 + Fraction(count, 100) for count in range(len(inches))]
    columns = [
        (number_format("in"), [float(length) for length in inches]),
        (number_format("mm"), [float(length) for length in mm]),
    ]
    shown = as_calc_shows(tmp_path, columns)
    assert [parse_length(row[0], "in") for row in shown] == inches
    assert [parse_length(row[1], "mm") for row in shown] == mm
    assert shown[0][1] == "140"
