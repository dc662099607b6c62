"""The whole-number programme over the patterns met, taken apart.

What a block needs of the sheet is its size alone. So the programme chooses how sizes lie together
(layouts) and what is cut from each block apart: any blocks may lie in any layout that has room for
their sizes. A few hundred patterns met stand for many thousands that were not, and a plan that
needs another pattern for its last few pieces can be found. Taking a pattern apart by its stages:
Gilmore and Gomory, "Multistage cutting stock problems of two and more dimensions", Operations
Research 13 (1965); Vanderbeck, "A nested decomposition approach to a three-stage, two-dimensional
cutting-stock problem", Management Science 47 (2001); both from memory.
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
from estimator.planner.bound.column_generation import ColumnGeneration
from estimator.planner.bound.restricted_master import quiet_solver, work_of
from estimator.planner.columns import PatternColumn
from estimator.planner.grid import Job


@dataclass(frozen=True)
class BlockLayout:
    """The sizes of the blocks on one sheet, with how many of each."""

    grid: int
    sizes: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class FromBlocks:
    """Sheets that meet a demand, if any were found, and the work it took in points looked at."""

    sheets: Counter[PatternColumn] | None
    work: int


def best_of_blocks(
    generation: ColumnGeneration,
    columns: Iterable[PatternColumn],
    demand: Sequence[int],
    target: Fraction,
    nodes: int,
) -> FromBlocks:
    """The cheapest sheets made of the columns' blocks that meet the demand, or the best found.

    Ends at ``target`` (nothing can be cheaper) or after ``nodes`` nodes.
    """
    layouts, blocks = _taken_apart(generation.job, columns)
    if not layouts:
        return FromBlocks(None, 0)
    solver = quiet_solver()
    for option, value in (
        ("mip_max_nodes", nodes),
        ("objective_target", float(target) * (1 + 1e-9)),
        ("mip_rel_gap", 0.0),
    ):
        solver.setOptionValue(option, value)
    _write(solver, generation, layouts, blocks, demand)
    solver.run()
    work = work_of(solver)
    times = np.rint(np.array(solver.getSolution().col_value)).astype(int).tolist()
    if not times:
        return FromBlocks(None, work)
    used = Counter(dict(zip([*layouts, *blocks], times, strict=False)))
    sheets = _put_together(generation.job, layouts, blocks, used)
    return FromBlocks(sheets if covers(sheets, demand) else None, work)


def covers(sheets: Mapping[PatternColumn, int], demand: Sequence[int]) -> bool:
    """Whether the sheets yield at least the demand."""
    left = np.array(demand, dtype=np.int64)
    for column, times in sheets.items():
        left[column.parts] -= times * column.pieces
    return bool((left <= 0).all())


def _taken_apart(
    job: Job, columns: Iterable[PatternColumn]
) -> tuple[list[BlockLayout], list[Block]]:
    layouts: dict[BlockLayout, None] = {}
    blocks: dict[Block, None] = {}
    for column in columns:
        sizes: Counter[int] = Counter()
        for block, times in blocks_of(job, column):
            blocks[block] = None
            sizes[block.size] += times
        layouts[BlockLayout(column.grid, tuple(sorted(sizes.items())))] = None
    return list(layouts), list(blocks)


def _write(
    solver: highspy.Highs,
    generation: ColumnGeneration,
    layouts: Sequence[BlockLayout],
    blocks: Sequence[Block],
    demand: Sequence[int],
) -> None:
    """Rows: parts, limited stock, places by grid and size. Columns: layouts, blocks, steps."""
    inf = highspy.kHighsInf
    job = generation.job
    sizes = sorted({(layout.grid, size) for layout in layouts for size, _ in layout.sizes})
    lows = [*map(float, demand), *(-inf for _ in generation.limited), *(0.0 for _ in sizes)]
    highs = [inf] * len(lows)
    for row, i in enumerate(generation.limited, start=len(demand)):
        highs[row] = float(job.stock[i].on_hand or 0)
    place = {
        size: row for row, size in enumerate(sizes, start=len(demand) + len(generation.limited))
    }
    for low, high in zip(lows, highs, strict=True):
        solver.addRow(low, high, 0, np.array([], dtype=np.int32), np.array([]))

    def add(cost: float, entries: Mapping[int, int]) -> None:
        rows = np.array(list(entries), dtype=np.int32)
        counts = np.array(list(entries.values()), dtype=float)
        solver.addCol(cost, 0.0, inf, len(rows), rows, counts)

    for layout in layouts:
        stock = job.grids[layout.grid].stock
        entries = {place[layout.grid, size]: many for size, many in layout.sizes}
        if stock in generation.limited:
            entries[len(demand) + generation.limited.index(stock)] = 1
        add(float(generation.costs[stock]), entries)
    for block in blocks:
        add(0.0, {**pieces_in(job, block), place[block.grid, block.size]: -1})
    for smaller, larger in pairwise(sizes):
        if smaller[0] == larger[0]:  # a place may hold the next smaller block as well
            add(0.0, {place[larger]: -1, place[smaller]: 1})
    every = np.arange(solver.getNumCol(), dtype=np.int32)
    kinds = np.array([highspy.HighsVarType.kInteger] * len(every))
    solver.changeColsIntegrality(len(every), every, kinds)


def _put_together(
    job: Job, layouts: Sequence[BlockLayout], blocks: Sequence[Block], used: Mapping[object, int]
) -> Counter[PatternColumn]:
    """The largest block into the largest place, and so on down."""
    sheets: Counter[PatternColumn] = Counter()
    for number in range(len(job.grids)):
        own = [layout for layout in layouts if layout.grid == number for _ in range(used[layout])]
        places = [(size, i) for i, one in enumerate(own) for size, n in one.sizes for _ in range(n)]
        cuts = [block for block in blocks if block.grid == number for _ in range(used[block])]
        held: dict[int, list[Block]] = {}
        places.sort(key=lambda place: (-place[0], place[1]))
        cuts.sort(key=lambda block: -block.size)
        for (_, i), block in zip(places, cuts, strict=False):
            held.setdefault(i, []).append(block)
        for together in held.values():
            sheets[sheet_of(job, number, together)] += 1
    return sheets
