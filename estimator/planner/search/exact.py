"""The fewest sheets for a few pieces, exactly: every part of the demand is looked at.

A part of the demand is a holding: so many pieces of each part, from none to all that are wanted.
From the inside out, each table says for every holding the least that it takes: of the span as one
strip no broader than a level, of the breadth as one section no longer than a limit, of the span as
one sheet, and at last of money. A holding is made of smaller ones, so that each table is filled by
letting one thing after the other join what is there. That ends in time only if there are few
holdings; a room has a few hundred or thousand. Dynamic programming over selections: Held and Karp,
"A dynamic programming approach to sequencing problems", Journal of the Society for Industrial and
Applied Mathematics 10 (1962), from memory.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimator.planner import tuning
from estimator.planner.columns import (
    PatternColumn,
    SectionCut,
    StripCut,
    make_column,
    make_section,
    make_strip,
)
from estimator.planner.grid import Ints, Job, SheetGrid

NEVER = 2**40  # more than there is of any length, or of money in steps


@dataclass(frozen=True)
class Holdings:
    """All holdings of a demand, numbered so that whatever is held in another comes before it.

    ``counts``: a row per holding, a column per part that is wanted at all. ``strides``: by how much
    the number grows with a piece of each part.
    """

    parts: tuple[int, ...]
    counts: Ints
    strides: Ints

    def __len__(self) -> int:
        return len(self.counts)

    @property
    def most(self) -> Ints:
        """The demand."""
        counts: Ints = self.counts[-1]
        return counts

    def with_(self, held: int) -> Ints:
        """The holdings that contain this one, by number."""
        return np.flatnonzero((self.counts >= self.counts[held]).all(axis=1))

    def copies(self, held: int) -> int:
        """How often this one is held in the demand."""
        counts = self.counts[held]
        return int((self.most[counts > 0] // counts[counts > 0]).min())

    def without(self, held: int) -> Ints:
        """For every holding the one that is left once this one is made, as far as it is wanted."""
        left: Ints = np.maximum(self.counts - self.counts[held], 0) @ self.strides
        return left


@dataclass(frozen=True)
class Tables:
    """What each holding takes, on the grid of one grid, or NEVER.

    ``strips``: span of one strip, by level and holding. ``limits``: the spans a section may have.
    ``broad``: breadth of one strip within each limit, by holding and limit. ``beside``: the same of
    strips side by side. ``alone``: span of one section. ``sheets``: span of sections together.
    """

    grid: SheetGrid
    levels: Ints
    strips: Ints
    limits: Ints
    broad: Ints
    beside: Ints
    alone: Ints
    sheets: Ints


def fewest_sheets(
    job: Job, demand: Sequence[int], costs: Sequence[int]
) -> Counter[PatternColumn] | None:
    """The cheapest sheets that yield a demand, proven; None if there are too many holdings.

    ``costs`` of the stock, in whole steps. None, too, if the stock does not yield the demand.
    """
    wanted = [i for i, pieces in enumerate(demand) if pieces]
    if math.prod(demand[i] + 1 for i in wanted) > tuning.HOLDINGS:
        return None
    holdings = holdings_of(demand, wanted)
    tables = [tables_of(job, grid, holdings) for grid in job.grids]
    filled = [table for table in tables if table is not None]
    if len(filled) < len(tables):
        return None
    return _paid(job, holdings, filled, costs)


def holdings_of(demand: Sequence[int], wanted: Sequence[int]) -> Holdings:
    """All holdings of the parts that are wanted."""
    sides = [demand[i] + 1 for i in wanted]
    counts = np.indices(sides).reshape(len(sides), -1).T.astype(np.int64)
    strides = np.array([math.prod(sides[i + 1 :]) for i in range(len(sides))], dtype=np.int64)
    return Holdings(tuple(wanted), counts, strides)


def tables_of(job: Job, grid: SheetGrid, holdings: Holdings) -> Tables | None:
    """The tables of a grid, unless they would take too long."""
    levels = np.unique(grid.breadths)
    strips = _strips(job, grid, holdings, levels)
    fits = (strips <= grid.span.capacity).any(axis=0)
    limits = np.array([grid.span.capacity])
    if grid.sectioned:
        limits = np.union1d(limits, strips[(strips > 0) & (strips <= grid.span.capacity)])
    if int(fits.sum()) * len(holdings) * len(limits) > tuning.HOLDINGS_WORK:
        return None
    broad = np.full((len(holdings), len(limits)), NEVER)
    for level in range(len(levels))[::-1]:
        broad[strips[level][:, None] <= limits] = levels[level]
    beside = _joined(holdings, broad)
    section = beside <= grid.breadth.capacity
    alone = np.where(section.any(axis=1), limits[section.argmax(axis=1)], NEVER)
    sheets = _joined(holdings, alone[:, None])[:, 0] if grid.sectioned else alone
    return Tables(grid, levels, strips, limits, broad, beside, alone, sheets)


def _strips(job: Job, grid: SheetGrid, holdings: Holdings, levels: Ints) -> Ints:
    """The span that each holding takes as one strip no broader than each level."""
    spans = np.full((len(levels), len(holdings)), NEVER)
    spans[:, 0] = 0
    for level, breadth in enumerate(levels):
        if level:
            spans[level] = spans[level - 1]
        for place in range(len(grid.shapes)):
            if grid.breadths[place] == breadth and (held := _held(job, grid, holdings, place)):
                _join(holdings, spans[level], held, np.int64(grid.spans[place]))
    return spans


def _held(job: Job, grid: SheetGrid, holdings: Holdings, place: int) -> int:
    """The number of the holding that one shape makes, 0 if so many pieces are not wanted."""
    shape = job.shapes[grid.shapes[place]]
    if shape.part not in holdings.parts:
        return 0
    at = holdings.parts.index(shape.part)
    return int(holdings.strides[at]) * shape.pieces if shape.pieces <= holdings.most[at] else 0


def _joined(holdings: Holdings, alone: Ints) -> Ints:
    """The least that holdings take together, given what each takes alone (by holding, limit)."""
    together = np.full_like(alone, NEVER)
    together[0] = 0
    for held in range(1, len(holdings)):
        # Once the smaller ones that it is made of do as well, a holding alone is no gain.
        if (alone[held] < together[held]).any():
            _join(holdings, together, held, alone[held])
    return together


def _join(holdings: Holdings, least: Ints, held: int, takes: Ints | np.int64) -> None:
    """Let any number of copies of a holding join what each holding takes, in place."""
    whole = holdings.with_(held)
    for _ in range(holdings.copies(held)):
        least[whole] = np.minimum(least[whole], least[whole - held] + takes)


def _paid(
    job: Job, holdings: Holdings, tables: Sequence[Tables], costs: Sequence[int]
) -> Counter[PatternColumn] | None:
    """The cheapest sheets for all that is wanted: one sheet more at a time, stock after stock."""
    paid = np.full(len(holdings), NEVER)
    paid[0] = 0
    bought: list[tuple[int, Ints, list[int]]] = []  # stock, what was paid before, sheets to choose
    for stock, sheet in enumerate(job.stock):
        fits = np.zeros(len(holdings), dtype=np.bool_)
        for table in tables:
            if table.grid.stock == stock:
                fits |= table.sheets <= table.grid.span.capacity
        full = _largest(holdings, fits)
        for _ in range(int(holdings.most.sum()) if sheet.on_hand is None else sheet.on_hand):
            before = paid
            for held in full:
                paid = np.minimum(paid, before[holdings.without(held)] + costs[stock])
            if (paid == before).all():
                break
            bought.append((stock, before, full))
    return _bought(job, holdings, tables, costs, paid, bought) if paid[-1] < NEVER else None


def _largest(holdings: Holdings, fits: NDArray[np.bool_]) -> list[int]:
    """The holdings that fit and to which no piece can be added."""
    largest = fits.copy()
    largest[0] = False
    for part, stride in enumerate(holdings.strides):
        at = np.flatnonzero(holdings.counts[:, part] < holdings.most[part])
        largest[at[fits[at + stride]]] = False
    return [int(held) for held in np.flatnonzero(largest)]


def _bought(
    job: Job,
    holdings: Holdings,
    tables: Sequence[Tables],
    costs: Sequence[int],
    paid: Ints,
    bought: Sequence[tuple[int, Ints, list[int]]],
) -> Counter[PatternColumn]:
    """The sheets behind what was paid, by finding the terms that come to it."""
    sheets: Counter[PatternColumn] = Counter()
    left = len(holdings) - 1
    for stock, before, full in bought[::-1]:
        if before[left] == paid[left]:
            paid = before
            continue
        rests = [int(holdings.without(held)[left]) for held in full]
        rest = next(rest for rest in rests if before[rest] + costs[stock] == paid[left])
        sheets[_column(job, holdings, tables, stock, left - rest)] += 1
        paid, left = before, rest
    return sheets


def _column(
    job: Job, holdings: Holdings, tables: Sequence[Tables], stock: int, held: int
) -> PatternColumn:
    """One sheet of a stock that yields a holding."""
    number, table = next(
        (number, table)
        for number, table in enumerate(tables)
        if table.grid.stock == stock and table.sheets[held] <= table.grid.span.capacity
    )
    sectioned = table.grid.sectioned
    sections = _terms(holdings, table.alone, table.sheets, held) if sectioned else [held]
    return make_column(job, number, [_section(job, holdings, table, one) for one in sections])


def _section(job: Job, holdings: Holdings, table: Tables, held: int) -> SectionCut:
    limit = int(np.searchsorted(table.limits, table.alone[held]))
    strips = _terms(holdings, table.broad[:, limit], table.beside[:, limit], held)
    return make_section(
        table.grid,
        [_strip(job, holdings, table, one, int(table.broad[one, limit])) for one in strips],
    )


def _strip(job: Job, holdings: Holdings, table: Tables, held: int, breadth: int) -> StripCut:
    grid = table.grid
    spans = table.strips[int(np.searchsorted(table.levels, breadth))]
    places: list[int] = []
    while held:
        for place in range(len(grid.shapes)):
            one = _held(job, grid, holdings, place)
            if (
                one
                and grid.breadths[place] <= breadth
                and (holdings.counts[held] >= holdings.counts[one]).all()
                and spans[held - one] + grid.spans[place] == spans[held]
            ):
                places.append(place)
                held -= one
                break
        else:
            raise AssertionError("a strip's span comes from none of its shapes")
    return make_strip(grid, places)


def _terms(holdings: Holdings, alone: Ints, together: Ints, held: int) -> list[int]:
    """The holdings that, each alone, take together what this one takes."""
    terms: list[int] = []
    while held:
        inside = np.flatnonzero((holdings.counts <= holdings.counts[held]).all(axis=1))[1:]
        hits = alone[inside] + together[held - inside] == together[held]
        terms.append(int(inside[hits.argmax()]))
        assert hits.any(), "what a holding takes comes from none of its terms"
        held -= terms[-1]
    return terms
