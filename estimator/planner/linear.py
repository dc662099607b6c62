"""The linear programme over some columns: which how often, when a part of a sheet may be used."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray

from estimator.planner.columns import Column
from estimator.planner.grid import Ints, Job
from estimator.planner.parts import exact

Floats = NDArray[np.float64]

SHARP = 1e-9  # of a sheet, by which a column in the programme may seem worth more than it costs
POINTS = 250  # looked at while the solver works a row once
COLUMNS = 30  # of the programme, that take as long as a row
SETTING_UP = 50  # steps of the solver that take as long as putting a programme to it
DUAL, PRIMAL = 1, 4  # the solver's simplex methods


@dataclass(frozen=True)
class Answer:
    """Times by column, duals by part and by limited stock, the value, what stays uncovered.

    ``work``: what it took, in points looked at.
    """

    times: Floats
    duals: Floats
    rents: Floats
    value: float
    uncovered: float
    work: int


class Linear:
    """The programme: a row for each part and each limited stock, a column for each pattern."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.costs = np.array([float(exact(sheet.cost, sheet.key)) for sheet in job.stock])
        self.limited = [i for i, sheet in enumerate(job.stock) if sheet.on_hand is not None]
        self.columns: dict[Column, None] = {}
        self._yields: list[Ints] = [np.zeros((0, len(job.parts)), dtype=np.int64)]
        self.solver = quiet_solver()
        # A column at hand must not look worth more than it costs, else pricing finds it again.
        self.solver.setOptionValue("dual_feasibility_tolerance", SHARP)
        self._set_up()

    def _set_up(self) -> None:
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

    @property
    def yields(self) -> Ints:
        """Pieces by column and part."""
        self._yields = [np.vstack(self._yields)]  # when asked for: the table is large
        return self._yields[0]

    def add(self, columns: Iterable[Column]) -> int:
        """Put columns into the programme; the number that were new."""
        fresh = [column for column in dict.fromkeys(columns) if column not in self.columns]
        yields = np.zeros((len(fresh), len(self.job.parts)), dtype=np.int64)
        for row, column in zip(yields, fresh, strict=True):
            row[column.parts] = column.pieces
        self._put_in(fresh, yields)
        return len(fresh)

    def within(self, left: Ints) -> Linear:
        """The programme for a rest, with the columns that make no piece in excess of it."""
        yields, columns = self.yields, list(self.columns)
        fits = np.flatnonzero((yields <= left).all(axis=1))
        rest = Linear(self.job)
        rest._put_in([columns[i] for i in fits], yields[fits])
        rest.ask(left.tolist())
        return rest

    def _put_in(self, fresh: Sequence[Column], yields: Ints) -> None:
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

    def solve(self) -> Answer:
        """The best answer to the demand last asked for."""
        self.solver.run()
        solution = self.solver.getSolution()
        values, duals = np.array(solution.col_value), np.array(solution.row_dual)
        parts = len(self.job.parts)
        return Answer(
            values[parts:],
            np.maximum(duals[:parts], 0.0),
            np.maximum(-duals[parts:], 0.0),
            self.solver.getInfo().objective_function_value,
            float(values[:parts].max(initial=0.0)),
            work_of(self.solver),
        )


def work_of(solver: highspy.Highs) -> int:
    """How many points looked at would have taken as long as the programme just solved."""
    steps: int = solver.getInfo().simplex_iteration_count
    size = solver.getNumRow() + solver.getNumCol() // COLUMNS
    return (SETTING_UP + max(0, steps)) * size * POINTS


def quiet_solver() -> highspy.Highs:
    """A solver that says nothing and gives the same answer everywhere."""
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 1)
    return solver
