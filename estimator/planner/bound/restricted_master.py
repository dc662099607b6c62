"""The restricted master problem: the linear programme over the patterns met so far.

How often is each pattern cut, when a part of a sheet may be used? Gilmore and Gomory, "A linear
programming approach to the cutting-stock problem", Operations Research 9 (1961), from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray

from estimator.planner import tuning
from estimator.planner.columns import PatternColumn
from estimator.planner.grid import Ints, Job
from estimator.planner.parts import exact

Floats = NDArray[np.float64]

DUAL, PRIMAL = 1, 4  # the solver's numbers for its simplex methods


@dataclass(frozen=True)
class LinearSolution:
    """Times by column, dual values by part and by limited stock, the cost, what stays uncovered.

    ``work``: what it took, in points looked at.
    """

    times: Floats
    duals: Floats
    rents: Floats
    value: float
    uncovered: float
    work: int


class RestrictedMaster:
    """A row for each part and each limited stock, a column for each pattern."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.costs = np.array([float(exact(sheet.cost, sheet.key)) for sheet in job.stock])
        self.limited = [i for i, sheet in enumerate(job.stock) if sheet.on_hand is not None]
        self.columns: dict[PatternColumn, None] = {}
        self._yields: list[Ints] = [np.zeros((0, len(job.parts)), dtype=np.int64)]
        self._costs: list[Floats] = [self._set_up()]
        # A column at hand must not look worth more than it costs, else pricing finds it again.
        self.solver.setOptionValue("dual_feasibility_tolerance", tuning.SHARP)

    def _set_up(self) -> Floats:
        """An empty programme; the costs of its ways out."""
        self.solver = quiet_solver()
        inf = highspy.kHighsInf
        none: NDArray[np.int32] = np.array([], dtype=np.int32)
        for _ in self.job.parts:
            self.solver.addRow(0.0, inf, 0, none, np.array([]))
        for i in self.limited:
            self.solver.addRow(-inf, float(self.job.stock[i].on_hand or 0), 0, none, np.array([]))
        # A way out for parts that limited stock can't cover; dear enough never to stay in.
        dear = 1e3 * float(self.costs.max() or 1)
        for row in range(len(self.job.parts)):
            self.solver.addCol(dear, 0.0, inf, 1, np.array([row], dtype=np.int32), np.ones(1))
        return np.full(len(self.job.parts), dear)

    @property
    def yields(self) -> Ints:
        """Pieces by column and part."""
        self._yields = [np.vstack(self._yields)]  # when asked for: the table is large
        return self._yields[0]

    def add(self, columns: Iterable[PatternColumn]) -> int:
        """Put columns into the programme; the number that were new."""
        fresh = [column for column in dict.fromkeys(columns) if column not in self.columns]
        yields = np.zeros((len(fresh), len(self.job.parts)), dtype=np.int64)
        for row, column in zip(yields, fresh, strict=True):
            row[column.parts] = column.pieces
        self._put_in(fresh, yields)
        return len(fresh)

    def within(self, left: Ints) -> RestrictedMaster:
        """The programme for a rest, with the columns that make no piece in excess of it."""
        yields, columns = self.yields, list(self.columns)
        fits = np.flatnonzero((yields <= left).all(axis=1))
        rest = RestrictedMaster(self.job)
        rest._put_in([columns[i] for i in fits], yields[fits])
        rest.ask(left.tolist())
        return rest

    def _put_in(self, fresh: Sequence[PatternColumn], yields: Ints) -> None:
        stock = np.array([column.stock for column in fresh], dtype=np.int64)
        limits = stock[:, None] == np.array(self.limited, dtype=np.int64)
        entries = np.hstack([yields, limits]).astype(float)
        places, rows = np.nonzero(entries)
        starts = np.searchsorted(places, np.arange(len(fresh)))
        most = np.full(len(fresh), highspy.kHighsInf)
        self.solver.addCols(
            len(fresh),
            self.costs[stock],
            np.zeros(len(fresh)),
            most,
            len(rows),
            starts.astype(np.int32),
            rows.astype(np.int32),
            entries[places, rows],
        )
        self.columns.update(dict.fromkeys(fresh))
        self._yields.append(yields)
        self._costs.append(self.costs[stock])
        # What was the best is a place to start from still, so that the primal method is quicker.
        self.solver.setOptionValue("simplex_strategy", PRIMAL)

    def ask(self, demand: Sequence[float]) -> None:
        """Put the programme to a demand."""
        for row, number in enumerate(demand):
            self.solver.changeRowBounds(row, float(number), highspy.kHighsInf)
        self.solver.setOptionValue("simplex_strategy", DUAL)

    def allow(self, left: Ints) -> None:
        """Let only columns be used that make no piece in excess of ``left``."""
        first, many = len(self.job.parts), len(self.columns)
        most = np.where((self.yields > left).any(axis=1), 0.0, highspy.kHighsInf)
        places = np.arange(first, first + many, dtype=np.int32)
        self.solver.changeColsBounds(many, places, np.zeros(many), most)

    def solve(self) -> LinearSolution:
        """The best answer to the demand last asked for."""
        self.solver.run()
        solution = self.solver.getSolution()
        values, duals = np.array(solution.col_value), np.array(solution.row_dual)
        parts = len(self.job.parts)
        return LinearSolution(
            values[parts:],
            np.maximum(duals[:parts], 0.0),
            np.maximum(-duals[parts:], 0.0),
            self._cost_of(values),
            float(values[:parts].max(initial=0.0)),
            work_of(self.solver),
        )

    def _cost_of(self, values: Floats) -> float:
        """What the columns come to. Added up here: a solver may tell the cost of another answer."""
        self._costs = [np.concatenate(self._costs)]
        return float(self._costs[0] @ values)


def work_of(solver: highspy.Highs) -> int:
    """How many points looked at would have taken as long as the programme just solved."""
    steps: int = solver.getInfo().simplex_iteration_count
    size = solver.getNumRow() + solver.getNumCol() // tuning.LP_COLUMNS_PER_ROW
    return (tuning.LP_SETTING_UP + max(0, steps)) * size * tuning.LP_STEP_POINTS


def quiet_solver() -> highspy.Highs:
    """A solver that says nothing and gives the same answer everywhere."""
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 1)
    return solver
