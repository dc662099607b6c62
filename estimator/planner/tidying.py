"""Making a plan pleasant to cut without another sheet: no needless pieces, few patterns.

Fewer patterns mean fewer set-ups of the saw: Foerster and Wäscher, "Pattern reduction in
one-dimensional cutting stock problems", International Journal of Production Research 38 (2000),
from memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction

from estimator.planner import tuning
from estimator.planner.columns import PatternColumn, make_column, make_section, make_strip
from estimator.planner.grid import Job

Places = list[int]


def without_surplus(
    job: Job, sheets: Mapping[PatternColumn, int], demand: Sequence[int]
) -> Counter[PatternColumn]:
    """The plan with pieces beyond the demand left uncut.

    A pattern is cut leaner as a whole, the most repeated first. Only where a part would still be
    made in plenty of needless pieces is a pattern split in two, a lean and a full one.
    """
    surplus = Counter({part: -number for part, number in enumerate(demand)})
    for column, times in sheets.items():
        for part, pieces in column.yields:
            surplus[part] += pieces * times
    tidy: Counter[PatternColumn] = Counter()
    for column, times in sorted(sheets.items(), key=lambda item: (-item[1], repr(item[0]))):
        drop = {part: min(n, surplus[part] // times) for part, n in column.yields}
        less = _drop(job, column, drop, times, surplus)
        for part, pieces in less.yields if less else ():
            lean = min(times, surplus[part] // pieces)
            plenty = tuning.PLENTY * demand[part] + tuning.PLENTY_PIECES
            if less and lean > 0 and surplus[part] > plenty:
                tidy[less] += times - lean
                times, less = lean, _drop(job, less, {part: pieces}, lean, surplus)
        if less:
            tidy[less] += times
    return +tidy


def _drop(
    job: Job, column: PatternColumn, drop: Mapping[int, int], times: int, surplus: Counter[int]
) -> PatternColumn | None:
    """The column less some pieces, which are taken off the surplus once per sheet."""
    less = leaner(job, column, drop)
    kept = dict(less.yields) if less else {}
    for part, pieces in column.yields:
        surplus[part] -= (pieces - kept.get(part, 0)) * times
    return less


def leaner(job: Job, column: PatternColumn, drop: Mapping[int, int]) -> PatternColumn | None:
    """The column without some pieces of some parts; None if nothing is left of it."""
    if not any(drop.values()):
        return column
    grid = job.grids[column.grid]
    left = dict(drop)
    sections: list[list[Places]] = []
    for section, times in reversed(column.sections):
        for _ in range(times):
            strips = [
                [place for place, copies in strip.contents for _ in range(copies)]
                for strip, many in section.strips
                for _ in range(many)
            ]
            sections.append([_thinned(job, column, strip, left) for strip in strips])
    kept = [
        make_section(grid, [make_strip(grid, strip) for strip in strips if strip])
        for strips in sections
        if any(strips)
    ]
    return make_column(job, column.grid, kept) if kept else None


def _thinned(job: Job, column: PatternColumn, places: Places, left: dict[int, int]) -> Places:
    """A strip's shapes less those that may go; what goes is taken off ``left``."""
    grid = job.grids[column.grid]
    kept = []
    for place in places:
        shape = job.shapes[grid.shapes[place]]
        if left.get(shape.part, 0) >= shape.pieces:
            left[shape.part] -= shape.pieces
        else:
            kept.append(place)
    return kept


def patterns_and_rest(job: Job, sheets: Mapping[PatternColumn, int]) -> tuple[int, Fraction]:
    """For choosing among plans of one cost: number of patterns, then minus the largest rest.

    The rest of a sheet is what lies beyond its last section, or with two stages beyond its last
    strip: an offcut of the sheet's whole width or length.
    """
    return len(sheets), -max((_rest(job, column) for column in sheets), default=Fraction(0))


def _rest(job: Job, column: PatternColumn) -> Fraction:
    grid = job.grids[column.grid]
    if grid.sectioned:
        taken = sum(section.span * times for section, times in column.sections)
        whole = (grid.span.capacity - taken) * grid.span.unit
        return whole * grid.breadth.capacity * grid.breadth.unit
    strips = column.sections[0][0].strips
    taken = sum(strip.breadth * many for strip, many in strips)
    whole = (grid.breadth.capacity - taken) * grid.breadth.unit
    return whole * grid.span.capacity * grid.span.unit
