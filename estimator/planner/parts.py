"""What is to be cut and what it is cut from: the planner's input and its refusals.

Lengths are exact (int, Fraction or Decimal) and may be in any one unit; the planner never rounds
them. The grain of a sheet runs along its length. Parts are the small items and stock the large
objects of Wäscher, Haußner and Schumann, "An improved typology of cutting and packing problems",
European Journal of Operational Research 183 (2007), from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

Exact = int | Fraction | Decimal
Stop = Callable[[], bool]
"""Whether somebody said stop."""
Report = Callable[[str, float], None]
"""Hears what is being done, and how near the plan is to its lower bound (0 to 1)."""


def exact(value: Exact, what: str) -> Fraction:
    """The value as a Fraction; a float is refused, for it hides a rounding nobody chose."""
    if isinstance(value, bool) or not isinstance(value, int | Fraction | Decimal):
        raise TypeError(f"{what} is {value!r}: give an int, a Fraction or a Decimal")
    return Fraction(value)


@dataclass(frozen=True)
class CutPart:
    """A rectangle that is to be cut ``demand`` times.

    ``length`` lies along the sheet's length (the grain) unless ``may_turn``. ``shares_rip``: the
    width of the strip from which a pair is cut head to head with one angled rip between them
    (2 w - t tan q + kerf / cos q, rounded up by the caller), or None.
    """

    key: str
    length: Exact
    width: Exact
    demand: int
    may_turn: bool = False
    shares_rip: Exact | None = None


@dataclass(frozen=True)
class Stock:
    """Sheets of one size to cut from: what one costs, how many there are (None: any number)."""

    key: str
    length: Exact
    width: Exact
    cost: Exact = 1
    on_hand: int | None = None


@dataclass(frozen=True)
class Misfit:
    """Why one part can't be cut. ``only_turned``: it would fit if it could turn its grain."""

    part: str
    length: Fraction
    width: Fraction
    largest: tuple[Fraction, Fraction]
    only_turned: bool


class PartDoesNotFit(ValueError):
    """Parts that no stock can hold, all of them at once, in ``misfits``."""

    def __init__(self, misfits: tuple[Misfit, ...]) -> None:
        self.misfits = misfits
        super().__init__("; ".join(_in_words(misfit) for misfit in misfits))


class NotEnoughStock(ValueError):
    """All stock is limited in number and the parts don't come out of it."""


def _in_words(misfit: Misfit) -> str:
    why = "fits only turned against its grain" if misfit.only_turned else "is too large"
    room = " x ".join(str(side) for side in misfit.largest)
    return f"{misfit.part} ({misfit.length} x {misfit.width}) {why} (largest stock: {room})"
