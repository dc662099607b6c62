"""A least number of sheets that can be proved in a moment, for a cell.

Enlarge every part and the sheet by the kerf: the parts on a sheet then lie side by side without
overlapping, so their areas add up to the sheet's at most. The same holds after each dimension,
as a share of the sheet's, is put through a function under which numbers that add up to 1 or less
still do (a dual feasible function): Fekete and Schepers, "A general framework for bounds for
higher-dimensional orthogonal packing problems", Mathematical Methods of Operations Research 60
(2004), from memory. The largest sum over pairs of such functions is the answer.
"""

from fractions import Fraction
from math import ceil
from typing import Callable, Dict, Iterable, List, NamedTuple, Tuple

Share = Callable[[Fraction], Fraction]
Table = Dict[Fraction, Fraction]
Ways = Tuple[List[Tuple[Fraction, Fraction]], int]
"""The ways in which a part may lie, as shares of the sheet's length and width; how many of it."""

MOST_THRESHOLDS = 6


class Part(NamedTuple):
    """A part's length and width, and how many of it."""

    length: Fraction
    width: Fraction
    pieces: int


class DoesNotFitError(ValueError):
    """A part is larger than the sheet."""


def least_sheets(
    parts: Iterable[Part], length: Fraction, width: Fraction, kerf: Fraction, turning: bool
) -> int:
    """No way of cutting takes fewer. turning: whether parts may lie the other way round.

    Lengths in any one unit. For square-edged parts: bevelled ones can share a cut at a slant.
    Raises DoesNotFitError.
    """
    ways = [
        ([way for way in _ways(part, length, width, kerf, turning) if max(way) <= 1], part.pieces)
        for part in parts
        if part.pieces > 0
    ]
    if not all(fitting for fitting, _ in ways):
        raise DoesNotFitError
    shares = sorted({share for fitting, _ in ways for way in fitting for share in way})
    functions = [_itself, *map(_steps, (1, 2, 3)), *map(_ends, _thresholds(shares))]
    tables = [{share: function(share) for share in shares} for function in functions]
    return ceil(max(_sum(ways, along, across) for along in tables for across in tables))


def _sum(ways: List[Ways], along: Table, across: Table) -> Fraction:
    """Of all parts, each lying as it counts least."""
    least = (
        pieces * min(along[long] * across[wide] for long, wide in fitting)
        for fitting, pieces in ways
    )
    return sum(least, Fraction(0))


def _ways(
    part: Part, length: Fraction, width: Fraction, kerf: Fraction, turning: bool
) -> List[Tuple[Fraction, Fraction]]:
    """How a part may lie: its share of the sheet's length, and of its width."""
    long, wide = part.length + kerf, part.width + kerf
    straight = (long / (length + kerf), wide / (width + kerf))
    turned = (wide / (length + kerf), long / (width + kerf))
    return [straight, turned] if turning else [straight]


def _thresholds(shares: List[Fraction]) -> List[Fraction]:
    """The largest of the shares up to a half: where a part leaves no room for another."""
    return [share for share in shares if share <= Fraction(1, 2)][-MOST_THRESHOLDS:]


def _itself(share: Fraction) -> Fraction:
    return share


def _steps(k: int) -> Share:
    """Down to whole k-ths, except where k + 1 of them fill the sheet exactly."""

    def function(share: Fraction) -> Fraction:
        times = share * (k + 1)
        return (
            share if times.denominator == 1 else Fraction(times.numerator // times.denominator, k)
        )

    return function


def _ends(threshold: Fraction) -> Share:
    """Small parts count as nothing, those that leave room for small ones only as everything."""

    def function(share: Fraction) -> Fraction:
        if share > 1 - threshold:
            return Fraction(1)
        return share if share >= threshold else Fraction(0)

    return function
