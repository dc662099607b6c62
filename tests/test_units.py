"""The units of the world, held to the unit library's own list, which has some thousand of them."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pint
import pytest

from estimator.units import OF_THE_WORLD, UnitFault, factor, name_of, unit

LIBRARY: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
DEFINED = [line.split(" = ")[0] for line in OF_THE_WORLD.splitlines() if line]
NAMES = [name for name in DEFINED if not name.endswith("-")]
PREFIXES = [name.rstrip("-") for name in DEFINED if name.endswith("-")]
MULTIPLES = [f"{prefix}{name}" for prefix in PREFIXES for name in ("meter", "gram", "pascal")]
SHORT = ["in", "ft", "mi", "mm", "m", "km", "um", "lb", "kg", "g", "gal", "qt", "l", "min", "h",
         "d", "N", "psi", "MPa", "lbf", "kgf", "deg"]  # fmt: skip
JOINED = ["ft**2/gal", "m**2/liter", "lb/ft**3", "kg/m**3", "lbf/in", "mile/h", "gal/min"]
# A degree is a number in the library, of its own kind here; it is held to its symbol alone.
KNOWN = [name for name in (*NAMES, *MULTIPLES, *SHORT, *JOINED) if name not in ("degree", "deg")]


def library_factor(source: str, target: str) -> Fraction | None:
    """What the library's own list gives; None where the two are not of one kind."""
    one = LIBRARY.Quantity(Fraction(1), source)
    return Fraction(one.to(target).magnitude) if one.is_compatible_with(target) else None


def our_factor(source: str, target: str) -> Fraction | None:
    try:
        return factor(unit(source), unit(target))
    except UnitFault:
        return None


def test_every_factor_is_the_librarys_exactly() -> None:
    pairs = list(product(KNOWN, repeat=2))
    ours = {pair: our_factor(*pair) for pair in pairs}
    assert ours == {pair: library_factor(*pair) for pair in pairs}
    assert sum(each is not None for each in ours.values()) > 500


@pytest.mark.parametrize("name", [*NAMES, *MULTIPLES])
def test_every_symbol_is_the_librarys(name: str) -> None:
    shown = {"thou": "mil", "liter": "L", "degree": "°"}.get(name, LIBRARY.get_symbol(name))
    assert name_of(unit(name)) == {"hour": "h"}.get(name, shown)


@pytest.mark.parametrize("name", SHORT)
def test_a_short_name_means_the_same_unit_as_in_the_library(name: str) -> None:
    assert dict(unit(name)._units) == dict(LIBRARY.Unit(name)._units)


def test_what_is_not_listed_is_unknown() -> None:
    with pytest.raises(UnitFault, match="unknown unit 'furlong'"):
        unit("furlong")
