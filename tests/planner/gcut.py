"""The guillotine instances gcut1d to gcut12d (source: guillotine/SOURCE.md)."""

from __future__ import annotations

import csv
from pathlib import Path

from estimator.planner.cutting import CutPart, Stock

FOLDER = Path(__file__).parent / "guillotine"

# Least sheets by linear programme (three stages, first cuts across), measured with an exact
# column generation of another make; the whole-number optimum is each rounded up.
BOUNDS = {
    1: 293.250,
    2: 344.250,
    3: 331.500,
    4: 835.833,
    5: 196.833,
    6: 342.667,
    7: 591.000,
    8: 690.000,
    9: 130.667,
    10: 293.000,
    11: 329.375,
    12: 671.500,
}


def gcut(number: int) -> tuple[list[CutPart], list[Stock]]:
    """Parts and stock of gcut<number>d."""
    with (FOLDER / f"gcut{number}d_items.csv").open() as file:
        parts = [
            CutPart(row["ID"], int(row["WIDTH"]), int(row["HEIGHT"]), int(row["COPIES"]))
            for row in csv.DictReader(file)
        ]
    with (FOLDER / f"gcut{number}d_bins.csv").open() as file:
        first = next(csv.DictReader(file))
    return parts, [Stock("sheet", int(first["WIDTH"]), int(first["HEIGHT"]))]
