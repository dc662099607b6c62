"""Estimates whose planning is left out, for tests of all that comes after it.

Planning takes seconds and has tests of its own. A stand-in gives the same columns at once: the
prices are shares of a sheet by area and by length, the patterns are empty, the counts are the
bound and a little more. Nothing here is a proven least number.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction

import pandas as pd

from estimator.cut_plans import CutPlan, demand_of
from estimator.estimate import Estimate, calculate_book, calculated
from estimator.planner.cutting import CutPart, Plan
from estimator.planner.mixes import DualVector
from estimator.project.records import Material, Project
from estimator.structure import exact, laid_out

LESS_YIELD = 1.05
MARGIN = (0.01, 1)


def estimated(project: Project) -> Estimate:
    """Everything calculated as `estimate` does, under the stand-in plan."""
    laid = laid_out(project)
    demand = demand_of(laid.model, laid.typed)
    return calculated(laid, stand_in_plans(project, laid.typed["pieces"], demand))


def stand_in_plans(
    project: Project, pieces: pd.DataFrame, demand: Mapping[str, int]
) -> list[CutPlan]:
    """A plan for each material that pieces are cut from, in the project's order."""
    return [
        _stand_in(material, pieces[pieces["material"] == material.key], demand)
        for material in project.materials
        if (pieces["material"] == material.key).any()
    ]


def _stand_in(material: Material, pieces: pd.DataFrame, demand: Mapping[str, int]) -> CutPlan:
    columns = (pieces["key"], map(exact, pieces["length"]), map(exact, pieces["width"]))
    rows = list(zip(*columns, strict=True))
    parts = tuple(CutPart(key, long, wide, demand[key]) for key, long, wide in rows)
    own = {part.key: part.demand for part in parts}
    by_area = {key: float(a * b / material.length / material.width) for key, a, b in rows}
    by_length = {key: float(long / material.length) / 4 for key, long, _ in rows}
    prices = (DualVector(by_area, 0.0), DualVector(by_length, 0.0))
    bound = max(each.bound(own) for each in prices)
    sheets = math.ceil(bound * LESS_YIELD)
    plan = Plan((), {material.key: sheets}, Fraction(sheets), bound, by_area, 0.0, {}, False)
    return CutPlan(material, parts, plan, own, prices, *MARGIN)


def with_counts(estimate: Estimate, counts: Mapping[tuple[str, str], float]) -> Estimate:
    """The same workbook with other rooms, by type and floor, calculated under the plan it holds."""
    grid = estimate.typed["counts"].astype(object)
    for (room_type, floor), rooms in counts.items():
        grid.loc[grid["room_type"] == room_type, floor] = rooms
    return calculate_book(estimate.project, {**estimate.typed, "counts": grid})
