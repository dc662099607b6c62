"""Whole sheets, as near to the proven bound as can be had.

The linear programme's answer rounded down covers most of the demand; the rest is filled sheet by
sheet. Then rounds of change: take some sheets out of the plan, fill what they held anew with
values that favour parts which have lately been cut with waste, keep the outcome unless it is
worse. Between the rounds a whole-number programme over all patterns met so far looks for a better
mix of them. Everything is bounded by counts of rounds and nodes, and random choices are seeded.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from estimator.planner.columns import Column
from estimator.planner.filling import Filler, Wanted
from estimator.planner.grid import Ints, common_divisor
from estimator.planner.master import SCALE, Floats, Master, Progress, Relaxation, Stop
from estimator.planner.parts import NotEnoughStock
from estimator.planner.programme import best_mix

Sheets = Counter[Column]
import os
DI=int(os.environ.get('DI','10'))
NOISE=float(os.environ.get('NO','0.02'))
LEAST_WORTH = SCALE // 10**5  # parts without a price are filled in all the same


@dataclass(frozen=True)
class Effort:
    """How long to look for fewer sheets."""

    rounds: int = 400
    between_programmes: int = 40
    nodes: int = 50


class Rounder:
    """Searches whole-number plans for one demand."""

    def __init__(
        self, master: Master, relaxation: Relaxation, demand: Sequence[int], seed: int = 1
    ) -> None:
        self.master = master
        self.job = master.job
        self.demand: Ints = np.array(demand, dtype=np.int64)
        self.relaxation = relaxation
        self.random = random.Random(seed)
        self.columns = list(master.pool)
        self.prices: Ints = np.maximum(relaxation.bound.prices, LEAST_WORTH)
        self.values = self.prices.astype(float)
        self.costs = master.costs
        self.met: dict[Column, None] = {}
        self.fillers = self._fillers()
        step = common_divisor(self.costs) or Fraction(1)
        self.target = math.ceil(relaxation.least / step) * step

    def _fillers(self) -> list[tuple[Filler, float]]:
        """A filler per frame with its share in the linear programme."""
        spans: list[Counter[int]] = [Counter() for _ in self.job.frames]
        for column, times in zip(self.columns, self.relaxation.times, strict=True):
            if times > 1e-9:
                for section, many in column.sections:
                    spans[column.frame][section.span] += times * many
        return [
            (Filler(pricer, [span for span, _ in seen.most_common(24)]), sum(seen.values()) + 1e-3)
            for pricer, seen in zip(self.master.pricers, spans, strict=True)
        ]

    def cost(self, sheets: Mapping[Column, int]) -> Fraction:
        """What the sheets cost."""
        return sum((self.costs[c.stock] * n for c, n in sheets.items()), Fraction(0))

    def search(
        self, effort: Effort, stop: Stop | None = None, progress: Progress | None = None
    ) -> Sheets:
        """The best plan found; stops at the rounded bound."""
        now = best = self.fill(self.rounded_down())
        for turn in range(effort.rounds):
            if self.cost(best) <= self.target or (stop is not None and stop()):
                break
            if progress:
                progress("whole sheets", float(self.target / self.cost(best)))
            trial = self.trial(turn, now, effort)
            if self._rank(trial) <= self._rank(now):
                now = trial
            if self._rank(now) < self._rank(best):
                best = now
        return best

    def trial(self, turn: int, now: Sheets, effort: Effort) -> Sheets:
        """Another plan: afresh at first, then a change of the present one."""
        if turn % effort.between_programmes == effort.between_programmes - 1:
            columns = list({**self.master.pool, **self.met, **dict.fromkeys(now)})
            mix = best_mix(self.master, columns, list(self.demand), self.target, effort.nodes, now)
            return mix or now
        if turn % DI == DI-1:
            return self.dive()
        if turn < effort.between_programmes // 2:
            return self.fill(self.thinned(self.rounded_down(), 0, 3))
        return self.fill(self.thinned(now, 2, 8))

    def dive(self) -> Sheets:
        """Fix sheets one after the other, with the linear programme solved anew for the rest."""
        sheets = self.thinned(self.rounded_down(), 0, 2)
        left = np.maximum(self.demand - self._yields(sheets), 0)
        best: Sheets | None = None
        while left.any():
            times, duals, value = self.master.reconsider(left, 6)
            spare = float(self.target - self.cost(sheets)) - value
            if spare < -1e-6 and best is not None:
                break
            chosen = self._surest(times, duals, left)
            for column, number in chosen.items():
                sheets[column] += number
            left = np.maximum(self.demand - self._yields(sheets), 0)
            trial = self.fill(sheets)
            if best is None or self._rank(trial) < self._rank(best):
                best = trial
            if self.cost(best) <= self.target:
                break
        return best or self.fill(sheets)

    def _yields(self, sheets: Sheets) -> Ints:
        made = np.zeros_like(self.demand)
        for column, times in sheets.items():
            made[column.parts] += times * column.pieces
        return made

    def _surest(self, times: Floats, duals: Floats, left: Ints) -> Sheets:
        """Whole sheets of the solution, else the one sheet that loses least against the duals."""
        columns = list(self.master.pool)
        whole = {c: int(n) for c, n in zip(columns, np.floor(times + 1e-6), strict=False) if n >= 1}
        if whole:
            return Counter(whole)
        values = np.maximum(duals * float(self.master.scale), LEAST_WORTH).astype(np.int64)
        tries = [c for c, n in zip(columns, times, strict=False) if n > 0.2]
        for filler, share in self.fillers:
            column = filler.sheet(Wanted(left.copy(), values)) if share > 0.01 else None
            if column is not None:
                tries.append(column)
        def loss(column: Column) -> float:
            kept = float((duals[column.parts] * np.minimum(column.pieces, left[column.parts])).sum())
            return (1 - kept / float(self.costs[column.stock])) + self.random.uniform(0, NOISE)
        return Counter([min(tries, key=loss)])

    def rounded_down(self) -> Sheets:
        """The linear programme's sheets without their fractions."""
        times = np.floor(self.relaxation.times + 1e-7).astype(int)
        return Counter({c: int(n) for c, n in zip(self.columns, times, strict=True) if n > 0})

    def thinned(self, sheets: Sheets, least: int, most: int) -> Sheets:
        """The plan without a few sheets, wasteful ones more often than not."""
        each = list(sheets.elements())
        waste = [1.02 - self.fullness(column) for column in each]
        fewer = Counter(sheets)
        for _ in range(min(len(each), self.random.randint(least, most))):
            taken = self.random.choices(range(len(each)), waste)[0]
            if fewer[each[taken]] > 0:
                fewer[each[taken]] -= 1
        return +fewer

    def fullness(self, column: Column) -> float:
        """The worth of a column's pieces as a share of its cost."""
        worth = float((self.prices[column.parts] * column.pieces).sum())
        return min(1.0, worth / float(self.costs[column.stock] * self.master.scale))

    def fill(self, base: Sheets) -> Sheets:
        """The plan completed, and the values corrected by how well that went."""
        sheets = Counter(base)
        left = self.demand.copy()
        for column, times in base.items():
            left[column.parts] -= times * column.pieces
        wanted = Wanted(np.maximum(left, 0), self.values.astype(np.int64))
        fresh: list[Column] = []
        while wanted.left.any():
            column = self._next_sheet(wanted, sheets)
            sheets[column] += 1
            fresh.append(column)
        self._correct(fresh)
        self.met.update(dict.fromkeys(fresh))
        return sheets

    def _next_sheet(self, wanted: Wanted, sheets: Sheets) -> Column:
        weights = [
            share if self._in_store(i, sheets) else 0.0 for i, (_, share) in enumerate(self.fillers)
        ]
        while any(weights):
            chosen = self.random.choices(range(len(weights)), weights)[0]
            column = self.fillers[chosen][0].sheet(wanted)
            if column is not None:
                return column
            weights[chosen] = 0.0
        raise NotEnoughStock("the stock on hand does not yield the parts")

    def _in_store(self, frame: int, sheets: Sheets) -> bool:
        stock = self.job.frames[frame].stock
        on_hand = self.job.stock[stock].on_hand
        return on_hand is None or on_hand > sum(n for c, n in sheets.items() if c.stock == stock)

    def _correct(self, fresh: Sequence[Column]) -> None:
        """Parts cut in a wasteful sheet gain value, those in a full one lose it."""
        for column in fresh:
            full = max(self.fullness(column), 0.05)
            pull = self.random.uniform(0.2, 0.6)
            raised = self.prices[column.parts] / (full * full)
            self.values[column.parts] += pull * (raised - self.values[column.parts])

    def _rank(self, sheets: Sheets) -> tuple[Fraction, float]:
        """Cheaper first; then the emptier the emptiest sheet the better: it may go next."""
        return self.cost(sheets), min(self.fullness(column) for column in sheets)
