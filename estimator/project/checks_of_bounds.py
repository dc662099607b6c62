"""Checks of single values: none is beyond what its field can sensibly hold (see `Bounds`)."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from estimator.problems import Problem
from estimator.project.lengths import LengthUnit, format_length
from estimator.project.lookup import every_row
from estimator.project.records import FieldAbout, Project
from estimator.project.rows import Places
from estimator.units import SYSTEMS, factor, name_of, unit

STATED_IN = {"{length}": "mm", "{density}": "kg/m**3"}
"""The units of bounds, by those of the fields they hold for; other bounds stand as they are."""


def values_sensible(project: Project, places: Places) -> Iterator[Problem]:
    """No value is so small or so large that a slip of the hand or another unit must be meant."""
    for table, number, row in every_row(project):
        for name, (about, _) in row.columns().items():
            if about.sensible is not None:
                problem = _problem(about, getattr(row, name), project.project.unit)
                if problem:
                    yield Problem(places(table, number, name), *problem)


def _problem(about: FieldAbout, value: Any, length: LengthUnit) -> tuple[str, str, str] | None:
    """What stands there, what is expected and how to fix it; None for a sensible value."""
    assert about.sensible is not None
    by, own_unit = _in_own_unit(about, length)
    least, most = (each * by for each in about.sensible)
    if least <= value <= most:
        return None
    expected = f"{about.label} between {_shown(least)} and {_shown(most)} {own_unit}".rstrip()
    if about.unit != "{length}":
        return f"{value:,}", expected, "Correct it; was it given in another unit?"
    return (
        f"{format_length(value, length)} {length}",
        expected,
        "Correct it; was another unit meant? A length may be typed with its own, as in 140 mm or "
        "5 1/2 in.",
    )


def _in_own_unit(about: FieldAbout, length: LengthUnit) -> tuple[Fraction, str]:
    """What takes bounds to the unit of the field, and that unit as it is shown."""
    if about.unit not in STATED_IN:
        return Fraction(1), ""
    own = unit(SYSTEMS[length].fill(about.unit))
    return factor(unit(STATED_IN[about.unit]), own), name_of(own)


def _shown(bound: Fraction) -> str:
    return f"{float(bound):,.4g}" if bound < 10_000 else f"{float(bound):,.0f}"


BOUND_CHECKS = (values_sensible,)
