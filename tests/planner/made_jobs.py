"""Thirty-six made-up planning jobs, the same on every machine.

10, 30 and 60 sizes; 100, 1,000 and 10,000 pieces; two and three stages; and two kinds of sheet:
inches with grain (sizes in sixteenths, full kerf, a quarter inch of trim) and millimetres where
half the parts may turn (whole millimetres, a 3.2 mm kerf, 10 mm of trim). Invented data.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from fractions import Fraction

from estimator.planner.parts import CutPart, Stock


@dataclass(frozen=True)
class MadeJob:
    name: str
    parts: tuple[CutPart, ...]
    stock: tuple[Stock, ...]
    kerf: Fraction
    trim: Fraction
    stages: int


def made_job(kind: str, sizes: int, pieces: int, stages: int) -> MadeJob:
    rng = random.Random(f"{kind} {sizes} {stages}")
    inch = kind == "inch"
    parts: list[CutPart] = []
    weights = [rng.uniform(0.2, 1.8) for _ in range(sizes)]
    demands = [max(1, round(pieces * weight / sum(weights))) for weight in weights]
    for number, demand in enumerate(demands):
        long, broad = rng.uniform(6, 72), rng.uniform(2, 24)
        if inch:
            length, width = Fraction(round(16 * long), 16), Fraction(round(16 * broad), 16)
        else:
            length, width = Fraction(round(25 * long)), Fraction(round(25 * broad))
        parts.append(CutPart(f"part-{number}", length, width, demand, not inch and number % 2 == 0))
    name = f"{kind} {sizes} sizes {pieces} pieces {stages} stages"
    if inch:
        sheet, kerf, trim = Stock("sheet", 96, 48), Fraction(1, 8), Fraction(1, 4)
    else:
        sheet, kerf, trim = Stock("sheet", 2440, 1220), Fraction(16, 5), Fraction(10)
    return MadeJob(name, tuple(parts), (sheet,), kerf, trim, stages)


def all_made_jobs() -> list[MadeJob]:
    return [
        made_job(kind, sizes, pieces, stages)
        for kind in ("inch", "metric")
        for sizes in (10, 30, 60)
        for stages in (2, 3)
        for pieces in (100, 1_000, 10_000)
    ]
