"""The whole-number programme over a given set of patterns."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction

import highspy
import numpy as np

from estimator.planner.columns import Column
from estimator.planner.master import Master, quiet_solver


def best_mix(
    master: Master,
    columns: Sequence[Column],
    demand: Sequence[int],
    target: Fraction,
    nodes: int,
) -> Counter[Column] | None:
    """The cheapest whole numbers of the columns that meet the demand, or the best found.

    Ends at ``target`` (nothing can be cheaper) or after ``nodes`` nodes; None if nothing was found.
    """
    solver = quiet_solver()
    for option, value in (
        ("mip_max_nodes", nodes),
        ("objective_target", float(target) * (1 + 1e-9)),
        ("mip_rel_gap", 0.0),
        ("mip_max_stall_nodes", max(1, nodes // 2)),
    ):
        solver.setOptionValue(option, value)
    _write(solver, master, columns, demand)
    solver.run()
    if not columns:
        return None
    values = np.rint(np.array(solver.getSolution().col_value)).astype(int)
    if not len(values):
        return None
    mix = Counter({c: int(n) for c, n in zip(columns, values, strict=True) if n > 0})
    return mix if covers(mix, demand) else None


def covers(sheets: Mapping[Column, int], demand: Sequence[int]) -> bool:
    """Whether the sheets yield at least the demand."""
    left = np.array(demand, dtype=np.int64)
    for column, times in sheets.items():
        left[column.parts] -= times * column.pieces
    return bool((left <= 0).all())


def _write(
    solver: highspy.Highs, master: Master, columns: Sequence[Column], demand: Sequence[int]
) -> None:
    inf = highspy.kHighsInf
    nothing = np.array([], dtype=np.int32), np.array([])
    for number in demand:
        solver.addRow(float(number), inf, 0, *nothing)
    for i in master.limited:
        solver.addRow(-inf, float(master.job.stock[i].on_hand or 0), 0, *nothing)
    for column in columns:
        rows, counts = master.entries(column)
        cost = float(master.costs[column.stock])
        solver.addCol(cost, 0.0, inf, len(rows), rows, counts)
    every = np.arange(len(columns), dtype=np.int32)
    kinds = np.array([highspy.HighsVarType.kInteger] * len(columns))
    solver.changeColsIntegrality(len(columns), every, kinds)
