"""The functions for cells: READLENGTH, SHOWLENGTH, LEASTSHEETS. CalcAddIns.xcu names them."""

from fractions import Fraction
from typing import Any, Iterator, Tuple

import unohelper
from com.sun.star.lang import IllegalArgumentException, XServiceInfo
from estimator.fitout import XCellFunctions
from fit_out.least_sheets import Part, least_sheets

IMPLEMENTATION = "estimator.fitout.CellFunctions"
SERVICES = (IMPLEMENTATION, "com.sun.star.sheet.AddIn")
PARTS_OF_AN_INCH = 64


class CellFunctions(unohelper.Base, XServiceInfo, XCellFunctions):
    """What Calc calls for a cell. What cannot be calculated becomes an error in the cell."""

    def __init__(self, *_: Any) -> None:
        pass

    def readLength(self, text: str, unit: Any) -> float:
        """The number that a length's text stands for, in inches unless the unit says mm."""
        from fit_out.lengths import LengthError, parse_length

        if unit not in (None, "in", "mm"):
            raise _refused("the unit is in or mm")
        try:
            return float(parse_length(text, unit or "in"))
        except LengthError as error:
            raise _refused(str(error)) from error

    def showLength(self, length: float, parts: Any) -> str:
        """Inches as a mixed number, rounded to the nearest part of an inch (halves up)."""
        from fit_out.lengths import mixed_number

        finest = int(PARTS_OF_AN_INCH if parts is None else parts)
        if length < 0 or finest < 1:
            raise _refused("a length of zero or more, and whole parts of an inch")
        return str(mixed_number(Fraction(int(exact(length) * finest + Fraction(1, 2)), finest)))

    def leastSheets(
        self,
        parts: Tuple[Tuple[Any, ...], ...],
        length: float,
        width: float,
        kerf: Any,
        turning: Any,
    ) -> int:
        """A number of sheets that no way of cutting undercuts."""
        sheet = exact(length), exact(width)
        cut = exact(0.0 if kerf is None else kerf)
        if min(sheet) <= 0 or cut < 0:
            raise _refused("a sheet's length and width above zero, and a kerf of zero or more")
        try:
            return least_sheets(_parts(parts), *sheet, cut, turning is None or bool(turning))
        except ValueError as error:
            raise _refused("parts that fit on the sheet: length, width, how many") from error

    def getImplementationName(self) -> str:
        """Of this component."""
        return IMPLEMENTATION

    def supportsService(self, name: str) -> bool:
        """Whether it is of that kind."""
        return name in SERVICES

    def getSupportedServiceNames(self) -> Tuple[str, ...]:
        """Its kinds."""
        return SERVICES


def _parts(rows: Tuple[Tuple[Any, ...], ...]) -> Iterator[Part]:
    """The rows of a range as parts; a blank row is none. Raises ValueError for other rows."""
    for row in rows:
        filled = [each for each in row if each not in (None, "")]
        if not filled:
            continue
        if len(filled) != 3 or any(isinstance(each, str) for each in filled):
            raise ValueError
        length, width, count = (exact(each) for each in filled)
        if min(length, width) <= 0 or count < 0 or count.denominator != 1:
            raise ValueError
        yield Part(length, width, int(count))


def exact(number: float) -> Fraction:
    """The short decimal that a cell's number stands for; noise beyond 1e-9 is dropped."""
    return Fraction(repr(round(float(number), 9)))


def _refused(words: str) -> Exception:
    error: Exception = IllegalArgumentException()
    error.Message = "Expected " + words  # type: ignore[attr-defined]
    return error


g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(CellFunctions, IMPLEMENTATION, SERVICES)
