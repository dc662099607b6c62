"""Compare what a workbook's cells cache with what an engine computes afresh."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeGuard

from tests.engines.cells import Place, Value

# A difference of sums that cancel leaves about 1e-16 of their size in one program and 0 in another.
ABSOLUTE = 1e-9
"""Numbers this near to each other agree whatever their size (dollars, feet, hours, pieces)."""


@dataclass(frozen=True)
class Disagreement:
    """A cell whose two values differ."""

    place: Place
    cached: Value
    fresh: Value


def disagreements(
    cached: Mapping[Place, Value],
    fresh: Mapping[Place, Value],
    *,
    at_least: int,
    relative: float = 1e-9,
) -> list[Disagreement]:
    """Cells whose values differ, and cells that only one side has (empty on the other).

    Numbers agree within `relative` of the larger or within ABSOLUTE; texts, errors and booleans
    exactly (True is not 1); a formula that gives "" counts as empty. Raises AssertionError when
    fewer than `at_least` cells hold something on both sides, as nothing would be proved.
    """
    both = [p for p in cached if not _is_empty(cached[p]) and not _is_empty(fresh.get(p))]
    assert len(both) >= at_least, f"compared only {len(both)} cells, expected {at_least} or more"
    return [
        Disagreement(place, cached.get(place), fresh.get(place))
        for place in sorted(cached.keys() | fresh.keys())
        if not agree(cached.get(place), fresh.get(place), relative)
    ]


def agree(one: Value, other: Value, relative: float = 1e-9) -> bool:
    """Whether two cell values agree, as `disagreements` says."""
    if _is_number(one) and _is_number(other):
        return math.isclose(one, other, rel_tol=relative, abs_tol=ABSOLUTE)
    if _is_empty(one) or _is_empty(other):
        return _is_empty(one) and _is_empty(other)
    return type(one) is type(other) and one == other


def _is_number(value: Value) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _is_empty(value: Value) -> bool:
    return value is None or value == ""
