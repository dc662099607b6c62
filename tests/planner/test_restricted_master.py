"""The linear programme: what it costs follows from its columns, whatever the solver says."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

import estimator.planner
from estimator.planner.bound.column_generation import ColumnGeneration
from estimator.planner.cutting import CutPart, Stock
from estimator.planner.grid import lay_out


class Liar:
    """A solver that finds the right answer and tells the cost of another one."""

    def __init__(self, solver: Any) -> None:
        self.solver = solver

    def __getattr__(self, name: str) -> Any:
        return getattr(self.solver, name)

    def getInfo(self) -> SimpleNamespace:  # noqa: N802, as the solver spells it
        steps = self.solver.getInfo().simplex_iteration_count
        return SimpleNamespace(objective_function_value=-1.0, simplex_iteration_count=steps)


def test_the_cost_is_added_up_from_the_columns() -> None:
    """A solver of a later version tells 333 where the columns come to 334."""
    parts = [CutPart("a", 40, 20, 30), CutPart("b", 33, 17, 20)]
    job = lay_out(parts, [Stock("ply", 96, 48)], Fraction(1, 8), Fraction(0), 3, ["across"])
    generation = ColumnGeneration(job)
    programme = generation.restricted_master
    programme.solver = Liar(programme.solver)  # type: ignore[assignment]
    bound = generation.solve([30, 20]).least
    solution = programme.solve()
    costs = np.array([float(generation.costs[column.stock]) for column in programme.columns])
    assert solution.value == pytest.approx(float(costs @ solution.times))
    assert solution.value == pytest.approx(float(bound), rel=1e-6)


def test_nobody_asks_the_solver_what_its_answer_costs() -> None:
    files = list(Path(estimator.planner.__path__[0]).rglob("*.py"))
    assert any("getSolution" in file.read_text(encoding="utf-8") for file in files)
    for file in files:
        assert "objective_function_value" not in file.read_text(encoding="utf-8"), file
