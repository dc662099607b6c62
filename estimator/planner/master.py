"""Which patterns how often, when a part of a sheet may be used: the linear programme.

Column generation: solve over the patterns at hand, take each part's dual price, look for patterns
worth more than they cost, repeat. The prices become whole numbers before they are used, and the
final ones are scaled so that no pattern at all is worth more than its cost. The bound is reckoned
from those, so that no solver tolerance is in it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import highspy
import numpy as np
from numpy.typing import NDArray

from estimator.planner.columns import Column, full_of
from estimator.planner.grid import Ints, Job, common_divisor
from estimator.planner.parts import NotEnoughStock, exact
from estimator.planner.pricing import Care, Pricer

Floats = NDArray[np.float64]
Stop = Callable[[], bool]
Progress = Callable[[str, float], None]

ALL = 2**31  # copies: as many as fit
SCALE = 2**28  # the dearest sheet's cost in price units
WORK = 8 * 10**8  # span points x breadth points priced before a rounded bound is enough
SHARP = 1e-9  # of a sheet, by which a column in the programme may seem worth more than it costs
NEAR = 2e-5  # how near the bound must be then, growing with the work
LEAST_WORTH = SCALE // 10**5  # parts without a price are filled into sheets all the same
POINTS = 250  # looked at while the solver works a row once
COLUMNS = 30  # of the programme, that take as long as a row
SETTING_UP = 50  # steps of the solver that take as long as putting a programme to it
NIL = 1e-5  # demand that stands in for none, so that the part is priced all the same


@dataclass(frozen=True)
class Bound:
    """Dual feasible prices: cost >= sum(price * demand) - credit for any demand whatever."""

    prices: Ints  # per part, in units of 1 / (scale)
    credit: Fraction  # what limited stock takes off, in cost
    scale: Fraction  # price units in one unit of cost
    shrink: Fraction  # factor (at most 1) that makes the prices feasible

    def price(self, part: int) -> Fraction:
        """The price of one piece, in cost."""
        return int(self.prices[part]) * self.shrink / self.scale

    def of(self, demand: Sequence[int]) -> Fraction:
        """The least cost at which this demand can be met."""
        total = sum(int(p) * int(d) for p, d in zip(self.prices, demand, strict=True))
        return max(Fraction(0), total * self.shrink / self.scale - self.credit)


@dataclass(frozen=True)
class Relaxation:
    """The solved linear programme: how often each column of the pool, and the proven bound."""

    times: Floats
    bound: Bound
    least: Fraction
    finished: bool
    work: int  # points looked at


class Master:
    """The linear programme over a growing pool of columns, and the pricing that grows it."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.pricers = [Pricer(job, number) for number in range(len(job.frames))]
        self.costs = [exact(sheet.cost, sheet.key) for sheet in job.stock]
        self.scale = Fraction(SCALE) / (max(self.costs) or Fraction(1))
        # By stock, in price units: what a sheet must be worth more than to be of use.
        self.limits = [int(cost * self.scale * (1 + Fraction(1, 10**6))) for cost in self.costs]
        self.step = common_divisor(self.costs) or Fraction(1)
        self.turn = 0
        self.programmed = 0  # points' worth of work in linear programmes
        self.work = sum(
            len(pricer.frame.span.points) * len(pricer.frame.breadth.points)
            for pricer in self.pricers
            if pricer.frame.sectioned
        )
        self.pool: dict[Column, None] = {}
        self._yields: Ints = np.zeros((0, len(job.parts)), dtype=np.int64)
        self.limited = [i for i, sheet in enumerate(job.stock) if sheet.on_hand is not None]
        self.solver = quiet_solver()
        # A column of the pool must not look worth more than it costs, else pricing finds it again.
        self.solver.setOptionValue("dual_feasibility_tolerance", SHARP)
        inf = highspy.kHighsInf
        for _ in job.parts:
            self.solver.addRow(0.0, inf, 0, np.array([], dtype=np.int32), np.array([]))
        for i in self.limited:
            most = float(job.stock[i].on_hand or 0)
            self.solver.addRow(-inf, most, 0, np.array([], dtype=np.int32), np.array([]))
        # A way out for parts that limited stock can't cover; dear enough never to stay in.
        dear = 1e3 * float(max(self.costs) or 1)
        for row in range(len(job.parts)):
            self.solver.addCol(dear, 0.0, inf, 1, np.array([row], dtype=np.int32), np.ones(1))
        self.add(self._plain_columns())

    def solve(
        self,
        demand: Sequence[int],
        stop: Stop | None = None,
        progress: Progress | None = None,
    ) -> Relaxation:
        """Generate columns until none improves (or ``stop``), starting from the pool so far."""
        self._ask(demand)
        spent = self.spent()
        best: Bound | None = None
        work, halted = 0, False
        care = least_care = Care.COARSE
        while True:
            self.solver.run()
            self.programmed += work_of(self.solver)
            duals = np.array(self.solver.getSolution().row_dual)
            halted = stop is not None and stop()
            bound, fresh = self._price(duals, Care.PROOF if halted else care)
            work += self.work
            if bound and (best is None or bound.of(demand) > best.of(demand)):
                best = bound
            value = self.solver.getInfo().objective_function_value
            if best and progress:
                progress("pricing patterns", float(best.of(demand)) / value if value else 1.0)
            added = self.add(fresh)
            if added == 0 and bound:
                break
            if best and (halted or self._near_enough(best.of(demand), value, work)):
                break
            # Once the coarse grid is exhausted it has little more to give. Columns in the pool
            # already do not count: a solver's tolerance can make them look worth their while.
            care = least_care if added else Care(care + 1)
            least_care = max(least_care, min(care, Care.FINE))
        assert best is not None
        return self._relaxation(best, demand, halted, self.spent() - spent)

    def spent(self) -> int:
        """Points looked at so far, in pricing and by their worth in linear programmes."""
        return self.programmed + sum(pricer.spent for pricer in self.pricers)

    def ask_rest(self, left: Ints, proper: bool) -> None:
        """Put the programme to the rest of a demand.

        ``proper``: only with patterns that make no piece in excess of the rest.
        """
        for row, number in enumerate(left.tolist()):
            self.solver.changeRowBounds(row, float(number), highspy.kHighsInf)
        table = self._yield_table()
        fits = np.asarray((table <= left).all(axis=1), dtype=np.bool_)
        self._allow(fits if proper else np.ones(len(table), dtype=np.bool_))

    def solve_rest(self) -> tuple[Floats, Floats, float]:
        """Times of the pool, duals of the parts, value."""
        self.solver.run()
        self.programmed += work_of(self.solver)
        solution = self.solver.getSolution()
        parts = len(self.job.parts)
        return (
            np.array(solution.col_value)[parts:],
            np.maximum(np.array(solution.row_dual)[:parts], 0),
            self.solver.getInfo().objective_function_value,
        )

    def whole_prices(self, duals: Floats) -> Ints:
        """Duals in price units."""
        return np.floor(duals * float(self.scale)).astype(np.int64)

    def quick_columns(self, duals: Floats, wanted: int) -> list[Column]:
        """Columns worth more than they cost at these duals, found on coarse grids."""
        prices = self.whole_prices(duals)
        found: list[Column] = []
        for pricer in self.pricers:
            limit = self.limits[pricer.frame.stock]
            found += pricer.price(prices, limit, Care.COARSE, wanted).columns
        return found

    def _allow(self, allowed: NDArray[np.bool_]) -> None:
        """Let these columns of the pool be used, and no others."""
        first = len(self.job.parts)
        places = np.arange(first, first + len(allowed), dtype=np.int32)
        most = np.where(allowed, highspy.kHighsInf, 0.0)
        self.solver.changeColsBounds(len(places), places, np.zeros(len(places)), most)

    def _yield_table(self) -> Ints:
        """What each column of the pool yields, a row per column; grows with the pool."""
        known = len(self._yields)
        if known < len(self.pool):
            fresh = np.zeros((len(self.pool) - known, len(self.job.parts)), dtype=np.int64)
            for row, column in zip(fresh, itertools.islice(self.pool, known, None), strict=True):
                row[column.parts] = column.pieces
            self._yields = np.vstack([self._yields, fresh])
        return self._yields

    def _near_enough(self, least: Fraction, value: float, work: int) -> bool:
        """Whether, after much work, the bound is as good as it need be."""
        if work < WORK:
            return False
        step = float(self.step)
        same = math.ceil(float(least) / step) == math.ceil(value / step - 1e-6)
        return same or value - float(least) < NEAR * value * work / WORK

    def _relaxation(
        self, best: Bound, demand: Sequence[int], halted: bool, work: int
    ) -> Relaxation:
        solution = np.array(self.solver.getSolution().col_value)
        blank = len(self.job.parts)
        if not halted and solution[:blank].max(initial=0.0) > 1e-4:
            raise NotEnoughStock("the stock on hand does not yield the parts")
        times = np.zeros(len(self.pool))
        times[: len(solution) - blank] = solution[blank:]
        return Relaxation(times, best, best.of(demand), not halted, work)

    def add(self, columns: Iterable[Column]) -> int:
        """Put columns into the pool; the number that were new."""
        before = len(self.pool)
        for column in columns:
            if column not in self.pool:
                self.pool[column] = None
                rows, counts = self._entries(column)
                cost = float(self.costs[column.stock])
                self.solver.addCol(cost, 0.0, highspy.kHighsInf, len(rows), rows, counts)
        return len(self.pool) - before

    def _entries(self, column: Column) -> tuple[NDArray[np.int32], Floats]:
        """A column's rows and coefficients: parts first, then the stock limits."""
        rows, counts = column.parts, column.pieces.astype(float)
        if column.stock in self.limited:
            row = len(self.job.parts) + self.limited.index(column.stock)
            rows, counts = np.append(rows, row), np.append(counts, 1.0)
        return rows.astype(np.int32), counts

    def _ask(self, demand: Sequence[int]) -> None:
        for row, number in enumerate(demand):
            self.solver.changeRowBounds(row, float(number) or NIL, highspy.kHighsInf)
        self._allow(np.ones(len(self.pool), dtype=np.bool_))

    def _plain_columns(self) -> list[Column]:
        """For every frame, each shape by itself: once, and as often as the sheet holds it.

        The full ones keep prices so low from the start that no sheet is worth many times its cost.
        """
        return [
            full_of(self.job, number, place, most)
            for most in (1, ALL)
            for number, frame in enumerate(self.job.frames)
            for place in range(len(frame.shapes))
        ]

    def _price(self, duals: Floats, care: Care) -> tuple[Bound | None, list[Column]]:
        """Prices made whole, columns worth more than they cost, and with proof the bound."""
        parts = len(self.job.parts)
        scale = self.scale
        prices = np.floor(np.maximum(duals[:parts], 0) * float(scale)).astype(np.int64)
        rents = dict.fromkeys(range(len(self.job.stock)), Fraction(0))
        for row, i in enumerate(self.limited):
            rents[i] = Fraction(math.floor(max(0.0, -duals[parts + row]) * float(scale))) / scale
        fresh: list[Column] = []
        shrink = Fraction(1)
        for _ in self.pricers:
            if fresh and care != Care.PROOF:
                break  # the other frames have their turn next time
            pricer = self.pricers[self.turn]
            self.turn = (self.turn + 1) % len(self.pricers)
            stock = pricer.frame.stock
            limit = math.floor((self.costs[stock] + rents[stock]) * scale)
            slack = limit + int(scale * max(self.costs)) // 10**9
            found = pricer.price(prices, slack, care)
            fresh += found.columns
            if found.most is not None and found.most > limit:
                shrink = min(shrink, Fraction(limit, found.most))
        credit = sum(
            (rents[i] * (self.job.stock[i].on_hand or 0) for i in self.limited),
            Fraction(0),
        )
        return Bound(prices, credit * shrink, scale, shrink) if care == Care.PROOF else None, fresh


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
