"""The whole-number programme over the patterns met, taken apart.

What a block needs of the sheet is its size alone. So the programme chooses how sizes lie together
(layouts) and what is cut from each block apart: any blocks may lie in any layout that has room for
their sizes. A few hundred patterns met stand for many thousands that were not, and a plan that
needs another pattern for its last few pieces can be found.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

import highspy
import numpy as np

from estimator.planner.blocks import Block, blocks_of, pieces_in, sheet_of
from estimator.planner.columns import Column
from estimator.planner.grid import Job
from estimator.planner.linear import quiet_solver, work_of
from estimator.planner.master import Master


@dataclass(frozen=True)
class Layout:
    """The sizes of the blocks on one sheet, with how many of each."""

    frame: int
    sizes: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Mix:
    """Sheets that meet a demand, if any were found, and the work it took in points looked at."""

    sheets: Counter[Column] | None
    work: int


def best_mix(
    master: Master,
    columns: Iterable[Column],
    demand: Sequence[int],
    target: Fraction,
    nodes: int,
) -> Mix:
    """The cheapest sheets made of the columns' blocks that meet the demand, or the best found.

    Ends at ``target`` (nothing can be cheaper) or after ``nodes`` nodes.
    """
    layouts, blocks = _taken_apart(master.job, columns)
    if not layouts:
        return Mix(None, 0)
    solver = quiet_solver()
    for option, value in (
        ("mip_max_nodes", nodes),
        ("objective_target", float(target) * (1 + 1e-9)),
        ("mip_rel_gap", 0.0),
    ):
        solver.setOptionValue(option, value)
    _write(solver, master, layouts, blocks, demand)
    solver.run()
    work = work_of(solver)
    times = np.rint(np.array(solver.getSolution().col_value)).astype(int).tolist()
    if not times:
        return Mix(None, work)
    used = Counter(dict(zip([*layouts, *blocks], times, strict=False)))
    sheets = _put_together(master.job, layouts, blocks, used)
    return Mix(sheets if covers(sheets, demand) else None, work)


def covers(sheets: Mapping[Column, int], demand: Sequence[int]) -> bool:
    """Whether the sheets yield at least the demand."""
    left = np.array(demand, dtype=np.int64)
    for column, times in sheets.items():
        left[column.parts] -= times * column.pieces
    return bool((left <= 0).all())


def _taken_apart(job: Job, columns: Iterable[Column]) -> tuple[list[Layout], list[Block]]:
    layouts: dict[Layout, None] = {}
    blocks: dict[Block, None] = {}
    for column in columns:
        sizes: Counter[int] = Counter()
        for block, times in blocks_of(job, column):
            blocks[block] = None
            sizes[block.size] += times
        layouts[Layout(column.frame, tuple(sorted(sizes.items())))] = None
    return list(layouts), list(blocks)


def _write(
    solver: highspy.Highs,
    master: Master,
    layouts: Sequence[Layout],
    blocks: Sequence[Block],
    demand: Sequence[int],
) -> None:
    """Rows: parts, limited stock, places by frame and size. Columns: layouts, blocks, steps."""
    inf = highspy.kHighsInf
    job = master.job
    sizes = sorted({(layout.frame, size) for layout in layouts for size, _ in layout.sizes})
    lows = [*map(float, demand), *(-inf for _ in master.limited), *(0.0 for _ in sizes)]
    highs = [inf] * len(lows)
    for row, i in enumerate(master.limited, start=len(demand)):
        highs[row] = float(job.stock[i].on_hand or 0)
    place = {size: row for row, size in enumerate(sizes, start=len(demand) + len(master.limited))}
    for low, high in zip(lows, highs, strict=True):
        solver.addRow(low, high, 0, np.array([], dtype=np.int32), np.array([]))

    def add(cost: float, entries: Mapping[int, int]) -> None:
        rows = np.array(list(entries), dtype=np.int32)
        counts = np.array(list(entries.values()), dtype=float)
        solver.addCol(cost, 0.0, inf, len(rows), rows, counts)

    for layout in layouts:
        stock = job.frames[layout.frame].stock
        entries = {place[layout.frame, size]: many for size, many in layout.sizes}
        if stock in master.limited:
            entries[len(demand) + master.limited.index(stock)] = 1
        add(float(master.costs[stock]), entries)
    for block in blocks:
        add(0.0, {**pieces_in(job, block), place[block.frame, block.size]: -1})
    for smaller, larger in pairwise(sizes):
        if smaller[0] == larger[0]:  # a place may hold the next smaller block as well
            add(0.0, {place[larger]: -1, place[smaller]: 1})
    every = np.arange(solver.getNumCol(), dtype=np.int32)
    kinds = np.array([highspy.HighsVarType.kInteger] * len(every))
    solver.changeColsIntegrality(len(every), every, kinds)


def _put_together(
    job: Job, layouts: Sequence[Layout], blocks: Sequence[Block], used: Mapping[object, int]
) -> Counter[Column]:
    """The largest block into the largest place, and so on down."""
    sheets: Counter[Column] = Counter()
    for number in range(len(job.frames)):
        own = [layout for layout in layouts if layout.frame == number for _ in range(used[layout])]
        places = [(size, i) for i, one in enumerate(own) for size, n in one.sizes for _ in range(n)]
        cuts = [block for block in blocks if block.frame == number for _ in range(used[block])]
        held: dict[int, list[Block]] = {}
        places.sort(key=lambda place: (-place[0], place[1]))
        cuts.sort(key=lambda block: -block.size)
        for (_, i), block in zip(places, cuts, strict=False):
            held.setdefault(i, []).append(block)
        for together in held.values():
            sheets[sheet_of(job, number, together)] += 1
    return sheets
