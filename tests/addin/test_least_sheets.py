"""The bound of LEASTSHEETS, which ships with the add-in and is read from there."""

from __future__ import annotations

import importlib.util
import sys
from fractions import Fraction
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.addin.build import EXTENSION
from estimator.planner.cutting import CutPart, Stock, plan_sheets


def module(name: str) -> ModuleType:
    path = EXTENSION / "pythonpath" / "fit_out" / f"{name}.py"
    spec = importlib.util.spec_from_file_location(f"fit_out_{name}", path)
    assert spec is not None
    assert spec.loader is not None
    loaded = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = loaded
    spec.loader.exec_module(loaded)
    return loaded


bound = module("least_sheets")
SHEET = Fraction(96), Fraction(48)
KERF = Fraction(1, 8)


def least(parts: list[tuple[int, int, int]], kerf: Fraction = KERF, turning: bool = True) -> int:
    made = [bound.Part(Fraction(a), Fraction(b), count) for a, b, count in parts]
    found: int = bound.least_sheets(made, *SHEET, kerf, turning)
    return found


@pytest.mark.parametrize(
    ("parts", "kerf", "expected"),
    [
        ([], 0, 0),
        ([(96, 48, 3)], 0, 3),
        ([(48, 24, 4)], 0, 1),  # exactly a sheet
        ([(48, 24, 4)], KERF, 2),  # the saw takes what is missing
        ([(50, 30, 4)], 0, 4),  # 1.3 sheets of area, yet no two lie on one
        ([(50, 30, 4), (46, 48, 4)], 0, 4),  # the second kind lies in what the first leaves
        ([(96, 17, 5)], 0, 3),  # two abreast, 1.77 sheets of area
    ],
)
def test_by_hand(parts: list[tuple[int, int, int]], kerf: Fraction, expected: int) -> None:
    assert least(parts, Fraction(kerf)) == expected


def test_turning_can_only_lower_it() -> None:
    """On 96 x 48: 46 x 40 lies twice, 40 x 46 does, too, and 40 x 90 lies only turned."""
    assert least([(46, 40, 2)], Fraction(0), turning=False) == 1
    assert least([(40, 46, 4)], Fraction(0), turning=False) == 2
    with pytest.raises(bound.DoesNotFitError):
        least([(40, 90, 1)], turning=False)
    assert least([(40, 90, 1)]) == 1


sizes = st.tuples(st.integers(4, 90), st.integers(4, 47), st.integers(1, 8))


@settings(max_examples=20)
@given(st.lists(sizes, min_size=1, max_size=4, unique_by=lambda each: each[:2]), st.booleans())
def test_no_cut_plan_undercuts_it(parts: list[tuple[int, int, int]], turning: bool) -> None:
    planned = plan_sheets(
        [CutPart(str(at), a, b, count, turning) for at, (a, b, count) in enumerate(parts)],
        [Stock("sheet", *SHEET)],
        kerf=KERF,
        stages=2,
    )
    assert 1 <= least(parts, turning=turning) <= planned.sheets
