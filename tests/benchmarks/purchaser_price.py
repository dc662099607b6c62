"""How far the purchaser's price is from estimates that are truly planned again.

`python -m tests.benchmarks.purchaser_price merrowby-lodge 6` plans the template, finds the band,
plans so many random mixes of rooms inside it from the start, and prints for each the price by the
purchaser's sheet, by the new estimate, and the deviation. Exits with 1 if one is beyond tolerance.
"""

from __future__ import annotations

import sys
import time

from estimator.estimate import Estimate, estimate
from estimator.price_band.band import find_band
from estimator.price_band.requote import Counts
from estimator.project.records import Project
from estimator.project.templates import read_template
from tests.copies.test_purchaser import mixes_inside


def main(template: str, how_many: int) -> int:
    """Print a line for each mix; returns the exit code."""
    made = estimate(read_template(template))
    started = time.perf_counter()
    band = find_band(made)
    took = time.perf_counter() - started
    print(f"{band.least_rooms:g} to {band.most_rooms:g} rooms, found in {took:.0f} s")
    tolerance = float(made.project.terms.band_tolerance)
    off = []
    for mix in mixes_inside(made, band, how_many):
        ours, new = band.price(mix.sum(axis=1)), planned_again(made, mix)
        off.append(abs(ours / new - 1))
        print(f"{mix.sum():g} rooms: {ours:,.2f} for {new:,.2f}, {ours / new - 1:+.2%}", flush=True)
    print(f"worst {max(off):.2%} of {tolerance:.2%}")
    return int(max(off) > tolerance)


def planned_again(made: Estimate, mix: Counts) -> float:
    """The price of a full estimate with these rooms, its sheets planned."""
    return float(estimate(with_mix(made, mix)).values["price"]["quoted"].iloc[0])


def with_mix(made: Estimate, mix: Counts) -> Project:
    """The project with other rooms by type and floor."""
    types = [each.key for each in made.project.types]
    floors = list(made.model["counts"].axis)
    counts = [
        each.model_copy(
            update={"rooms": int(mix[types.index(each.room_type), floors.index(each.floor)])}
        )
        for each in made.project.counts
    ]
    return made.project.model_copy(update={"counts": tuple(counts)})


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1], int(sys.argv[2])))
