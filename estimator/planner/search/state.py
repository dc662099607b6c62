"""What the moves of a search share: the demand, the linear programme's answer, the patterns met.

A search starts from the linear programme's answer rounded down and ends at the lower bound rounded
up, which nearly always can be reached (the modified integer round-up property: Scheithauer and
Terno, "The modified integer round-up property of the one-dimensional cutting stock problem",
European Journal of Operational Research 84 (1995), from memory). Everything is bounded by counts of
rounds, points and nodes, and random choices are seeded.
"""

from __future__ import annotations

import itertools
import math
import random
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from estimator.planner import tuning
from estimator.planner.bound.column_generation import LEAST_WORTH, ColumnGeneration, Relaxation
from estimator.planner.bound.restricted_master import LinearSolution, RestrictedMaster
from estimator.planner.columns import PatternColumn
from estimator.planner.grid import Ints
from estimator.planner.parts import Stop
from estimator.planner.search.block_programme import best_of_blocks
from estimator.planner.search.filling import Filler
from estimator.planner.search.recombining import Recombiner

Sheets = Counter[PatternColumn]


@dataclass(frozen=True)
class Effort:
    """How long to look for fewer sheets, and then for fewer patterns; counts, not seconds.

    ``two_searches``: whether a long search has a second one beside it, in a process of its own.
    """

    rounds: int = tuning.EFFORT_ROUNDS
    niceties: int = tuning.EFFORT_NICETIES
    work: int = tuning.EFFORT_WORK
    two_searches: bool = True


class PlanSearch:
    """A search for a whole-number plan of one demand, with a pool of patterns to itself."""

    def __init__(
        self,
        generation: ColumnGeneration,
        relaxation: Relaxation,
        demand: Sequence[int],
        seed: int = 1,
    ) -> None:
        self.generation = generation
        self.job = generation.job
        self.demand: Ints = np.array(demand, dtype=np.int64)
        self.relaxation = relaxation
        self.random = random.Random(seed)
        self.columns = list(generation.pool)
        self.duals: Ints = np.maximum(relaxation.bound.duals, LEAST_WORTH)
        self.values = self.duals.astype(float)  # corrected as fills go well or badly
        self.costs = generation.costs
        self.met: dict[PatternColumn, None] = {}
        self.recombiner = Recombiner(self.job)
        self.learned = 0  # columns of the pool
        self.dives = 0
        self.stop: Stop = never
        self.enough: float = math.inf  # points to look at before the search ends
        self.programmed = 0  # points' worth of work in programmes and among patterns
        self.fillers = self._fillers()
        self.wasteless = self._wasteless()
        self.target = math.ceil(relaxation.least / generation.step) * generation.step
        self.loose = self.target - relaxation.least > tuning.LOOSE * max(self.costs)

    def _fillers(self) -> list[tuple[Filler, float]]:
        """A filler per grid with its share in the linear programme."""
        spans: list[Counter[int]] = [Counter() for _ in self.job.grids]
        shares = [tuning.SHARE_AT_LEAST] * len(self.job.grids)
        for column, times in zip(self.columns, self.relaxation.times.tolist(), strict=True):
            if times > 1e-9:
                shares[column.grid] += times
                for section, many in column.sections:
                    spans[column.grid][section.span] += math.ceil(times * many)
        tried = ([span for span, _ in seen.most_common(tuning.SPANS_TRIED)] for seen in spans)
        return [
            (Filler(pricer, some), share)
            for pricer, some, share in zip(self.generation.pricers, tried, shares, strict=True)
        ]

    def _wasteless(self) -> tuple[list[PatternColumn], Ints]:
        """Patterns of the pool that waste next to nothing, and their pieces by pattern and part."""
        yields = self.generation.restricted_master.yields
        costs = np.array([float(self.costs[column.stock]) for column in self.columns])
        enough = tuning.WASTELESS * costs * float(self.generation.scale)
        at = np.flatnonzero(yields @ self.duals >= enough)
        return [self.columns[i] for i in at.tolist()], yields[at]

    # --- the work and its end ---

    def may_go_on(self, best: Sheets) -> bool:
        """Whether there is something left to be found, work left to find it, and no stop."""
        return self.cost(best) > self.target and not self.halted()

    def halted(self) -> bool:
        """Whether the work is used up, or somebody said stop."""
        return self.spent() >= self.enough or self.stop()

    def spent(self) -> int:
        """Points looked at so far, or what took as long."""
        filled = sum(filler.spent for filler, _ in self.fillers)
        return self.generation.spent() + filled + self.recombiner.spent + self.programmed

    def looked_at(self, table: Ints) -> None:
        """Count a table that was gone through."""
        self.programmed += table.size // tuning.NEIGHBOUR_POINTS

    # --- plans and how good they are ---

    def cost(self, sheets: Mapping[PatternColumn, int]) -> Fraction:
        """What the sheets cost."""
        return self.generation.cost(sheets)

    def rank(self, sheets: Sheets) -> tuple[Fraction, float]:
        """Cheaper first; then the emptier the emptiest sheet the better: it may go next."""
        return self.cost(sheets), min((self.fullness(c) for c in sheets), default=0.0)

    def fullness(self, column: PatternColumn) -> float:
        """The worth of a column's pieces as a share of its cost."""
        worth = float((self.duals[column.parts] * column.pieces).sum())
        cost = float(self.costs[column.stock] * self.generation.scale)
        return min(1.0, worth / cost) if cost else 1.0

    def left(self, sheets: Sheets) -> Ints:
        """Pieces still wanted beside what these sheets yield."""
        left = self.demand.copy()
        for column, times in sheets.items():
            left[column.parts] -= times * column.pieces
        return np.maximum(left, 0)

    def rounded_down(self) -> Sheets:
        """The linear programme's sheets without their fractions."""
        times = np.floor(self.relaxation.times + 1e-7).astype(int)
        return Counter({c: int(n) for c, n in zip(self.columns, times, strict=True) if n > 0})

    def thinned(self, sheets: Sheets, least: int, most: int) -> Sheets:
        """The plan without ``least`` to ``most`` sheets, wasteful ones more often than not."""
        kinds = list(sheets)
        too = tuning.FULL_SHEETS_TOO
        weights = [sheets[column] * (too - self.fullness(column)) for column in kinds]
        fewer = Counter(sheets)
        for _ in range(self.random.randint(least, most) if kinds else 0):
            taken = self.random.choices(kinds, weights)[0]
            fewer[taken] = max(0, fewer[taken] - 1)
        return +fewer

    # --- patterns and programmes ---

    def meet(self, columns: Iterable[PatternColumn]) -> None:
        """Remember columns, and their blocks, for recombining."""
        fresh = [column for column in columns if column not in self.met]
        self.met.update(dict.fromkeys(fresh))
        self.recombiner.learn(fresh)

    def learn_pool(self) -> None:
        """Remember the blocks of the columns that came into the pool."""
        self.recombiner.learn(itertools.islice(self.generation.pool, self.learned, None))
        self.learned = len(self.generation.pool)

    def solved(self, programme: RestrictedMaster) -> LinearSolution:
        """The programme's answer, its work counted."""
        solution = programme.solve()
        self.programmed += solution.work
        return solution

    def combined(
        self, columns: Iterable[PatternColumn], demand: Ints, target: Fraction, nodes: int
    ) -> Sheets | None:
        """The best plan of these columns' blocks for a demand, if one was found."""
        found = best_of_blocks(self.generation, columns, demand.tolist(), target, nodes)
        self.programmed += found.work
        return found.sheets


Move = Callable[[PlanSearch, Sheets], Sheets | None]
"""A plan made from the best one so far (empty if there is none yet), if one was found."""


def never() -> bool:
    """Nobody says stop."""
    return False
