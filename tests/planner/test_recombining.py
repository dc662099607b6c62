"""Sheets put together anew from blocks met before."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.planner.columns import full_of
from estimator.planner.cutting import CutPart, Stock
from estimator.planner.grid import FirstCut, lay_out
from estimator.planner.search.recombining import Recombiner

BOTH: tuple[FirstCut, ...] = ("across", "along")


@pytest.mark.parametrize("stages", [2, 3])
@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(10, 90), st.integers(5, 45), st.integers(0, 5), st.integers(1, 900)),
        min_size=1,
        max_size=6,
    )
)
def test_worth_more_than_the_limit_and_nothing_in_excess(
    stages: int, sizes: list[tuple[int, int, int, int]]
) -> None:
    parts = [CutPart(f"p{i}", a, b, n) for i, (a, b, n, _) in enumerate(sizes)]
    job = lay_out(parts, [Stock("sheet", 96, 48)], Fraction(1, 8), Fraction(0), stages, BOTH)
    recombiner = Recombiner(job)
    recombiner.learn(
        full_of(job, number, place, most)
        for number, grid in enumerate(job.grids)
        for place in range(len(grid.shapes))
        for most in (1, 2)
    )
    left = np.array([part.demand for part in parts])
    duals = np.array([dual for *_, dual in sizes])
    for column in recombiner.sheets(left, duals, [1000]):
        assert (column.pieces <= left[column.parts]).all()
        assert column.pieces @ duals[column.parts] > 1000
        grid = job.grids[column.grid]
        assert sum(cut.span * many for cut, many in column.sections) <= grid.span.capacity
        for cut, _ in column.sections:
            assert sum(s.breadth * many for s, many in cut.strips) <= grid.breadth.capacity


@pytest.mark.parametrize("stages", [2, 3])
def test_a_sheet_of_blocks_that_were_never_together(stages: int) -> None:
    """Half sheets of A and of B, each met by itself, make a sheet worth more than either."""
    parts = [CutPart("a", 96, 24, 1), CutPart("b", 96, 23, 1)]
    job = lay_out(parts, [Stock("sheet", 96, 48)], Fraction(0), Fraction(0), stages, ["along"])
    recombiner = Recombiner(job)
    recombiner.learn(full_of(job, 0, place, 1) for place in (0, 1))
    found = recombiner.sheets(np.array([1, 1]), np.array([600, 600]), [1000])
    assert [dict(column.yields) for column in found] == [{0: 1, 1: 1}]
