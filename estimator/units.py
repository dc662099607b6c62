"""The units a quantity can have: those of the world from the unit library, and those of the shop.

A sheet, a room and a dollar are dimensions of their own, so that adding rooms to sheets is a fault
and sheets per room times rooms is a number of sheets.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Literal, cast

import pint

LengthUnit = Literal["in", "mm"]

# The units of the world that the tool works in, each exact by law. The library's own list has some
# thousand and takes four times as long to read as everything else that a short command does; a test
# holds these to it. Sources: the international yard and pound of 1959; NIST Handbook 44, appendix C
# (gallon of 231 cubic inches); standard gravity, CGPM 1901. An angle stays in degrees: only a
# tangent or a cosine takes it further.
OF_THE_WORLD = """
milli- = 1/1000 = m-
micro- = 1/1000000 = µ- = u-
kilo- = 1000 = k-
mega- = 1000000 = M-

meter = [length] = m
inch = 0.0254 meter = in
foot = 12 inch = ft
mile = 5280 foot = mi
thou = 0.001 inch = th

liter = 0.001 meter ** 3 = l
gallon = 231 inch ** 3 = gal
quart = 1/4 gallon = qt
pint = 1/8 gallon = pt
fluid_ounce = 1/128 gallon = floz

second = [time] = s
minute = 60 second = min
hour = 60 minute = h
day = 24 hour = d
week = 7 day

gram = [mass] = g
pound = 453.59237 gram = lb
newton = 1000 gram * meter / second ** 2 = N
force_kilogram = 9.80665 newton = kgf
force_pound = 0.45359237 force_kilogram = lbf
pascal = newton / meter ** 2 = Pa
pound_force_per_square_inch = force_pound / inch ** 2 = psi

percent = 0.01 = %
degree = [angle] = deg
"""

# Things counted in the shop, on the road and on site. Each is a base unit of its own.
COUNTED = (
    "each", "part", "piece", "module", "room", "floor", "stud", "stock", "pack", "container",
    "pallet", "trip", "batch", "person", "coat", "face", "edge", "cut", "night",
)  # fmt: skip

# text: words; truth: the outcome of a comparison; money: the project's currency;
# measure: a number whose unit stands in its own row (a row of a table of unlike things).
OTHER = ("text", "truth", "money", "measure")

_registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
_registry.load_definitions(
    [*filter(None, OF_THE_WORLD.splitlines()), *(f"{name} = [{name}]" for name in COUNTED + OTHER)]
)


class UnitFault(TypeError):
    """An expression that mixes units, raised on the line that builds it."""


@cache
def unit(text: str) -> pint.Unit:
    """The unit that `text` names, such as "ft**2/gal" or "module/room"; "1" is a plain ratio."""
    try:
        return _registry.Unit("dimensionless" if text == "1" else text)
    except (pint.UndefinedUnitError, ValueError, TypeError) as error:
        raise UnitFault(f"unknown unit {text!r}") from error


@cache
def factor(source: pint.Unit, target: pint.Unit) -> Fraction:
    """The exact number that takes a value in `source` to a value in `target`.

    >>> factor(unit("in"), unit("ft"))
    Fraction(1, 12)
    >>> factor(unit("ft**2/gal"), unit("ft"))
    Traceback (most recent call last):
    estimator.units.UnitFault: cannot turn ft²/gal into ft
    """
    try:
        return Fraction(_registry.Quantity(Fraction(1), source).to(target).magnitude)
    except pint.DimensionalityError as error:
        raise UnitFault(f"cannot turn {name_of(source)} into {name_of(target)}") from error


@cache
def product(left: pint.Unit, right: pint.Unit) -> pint.Unit:
    """The unit of left times right."""
    return cast(pint.Unit, left * right)


@cache
def quotient(left: pint.Unit, right: pint.Unit) -> pint.Unit:
    """The unit of left over right."""
    return cast(pint.Unit, left / right)


@cache
def name_of(a_unit: pint.Unit) -> str:
    """The unit as it is shown to people; "ratio" when there is none.

    >>> name_of(product(unit("ft**2/gal"), unit("gal/room")))
    'ft²/room'
    """
    powers = {name: int(power) for name, power in a_unit._units.items()}  # type: ignore[arg-type]
    above = "·".join(_power(name, power) for name, power in powers.items() if power > 0)
    below = "·".join(_power(name, -power) for name, power in powers.items() if power < 0)
    if not powers:
        return "ratio"
    return f"{above or 1}/{below}" if below else above


def shown_unit(text: str, currency: str) -> str:
    """A unit as a reader sees it, money as its currency; nothing for words and bare numbers."""
    if text in ("1", "text", "measure", "truth"):
        return ""
    return name_of(unit(text)).replace("money", currency).replace("h·person", "hours")


def _power(name: str, power: int) -> str:
    symbol = _SHOWN.get(name) or _registry.get_symbol(name)
    return symbol + {1: "", 2: "²", 3: "³"}.get(power, f"^{power}")


_SHOWN = {
    "thou": "mil",
    "micrometer": "µm",
    "liter": "L",
    "degree": "°",
    "hour": "h",
    "stock": "sheet or length",
}


@dataclass(frozen=True)
class UnitSystem:
    """The units that a project of inches or of millimetres works in."""

    length: LengthUnit
    run: str
    area: str
    weight: str
    volume: str
    film: str
    space: str
    distance: str

    @property
    def spread(self) -> str:
        """Spreading rate of a finish: area per volume."""
        return f"{self.area}/{self.volume}"

    @property
    def density(self) -> str:
        """Weight per space."""
        return f"{self.weight}/{self.space}"

    @property
    def stress(self) -> str:
        """Force per area, as tables of materials give it."""
        return "psi" if self.length == "in" else "MPa"

    def fill(self, text: str) -> str:
        """A unit written with braces, such as "money/{distance}", in this system."""
        names = ("length", "run", "area", "weight", "volume", "film", "space", "distance")
        return text.format(
            spread=self.spread,
            density=self.density,
            stress=self.stress,
            **{name: getattr(self, name) for name in names},
        )


SYSTEMS: Mapping[LengthUnit, UnitSystem] = {
    "in": UnitSystem("in", "ft", "ft**2", "lb", "gal", "thou", "ft**3", "mile"),
    "mm": UnitSystem("mm", "m", "m**2", "kg", "liter", "um", "m**3", "km"),
}
