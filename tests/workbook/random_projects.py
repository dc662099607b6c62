"""Random projects that any input check accepts: few rows, odd numbers, every choice of words.

Sizes are drawn in steps that a tape shows: sixteenths of an inch, half millimetres. Nothing here
looks like a real job; the point is to reach every branch of every formula.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from estimator.project.checks import check_project
from estimator.project.records import MEASURES, Project
from estimator.project.rows import project_from_rows

Row = dict[str, Any]
STEPS = {"in": (Fraction(1, 16), Fraction(254, 10)), "mm": (Fraction(1, 2), Fraction(1))}
"""The step of a drawn length in the project's unit, and how many mm the unit has."""
ODD = ("=1+1", "+1 inch", "-2*3", "@SUM(A1)", 'he said "so"', "Ash & oak <3", "½ × ⅜", "'quoted")
TEXT = st.sampled_from(["plain", *ODD])
YES_NO = st.sampled_from(["yes", "no"])


def some_projects(how_many: int) -> list[Project]:
    """Random projects, new ones in each run, the same ones in CI."""
    found: list[Project] = []

    @settings(
        max_examples=how_many,
        phases=[Phase.generate],
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(projects())
    def collect(project: Project) -> None:
        found.append(project)

    collect()
    return found


@st.composite
def projects(draw: DrawFn) -> Project:
    """A project with at least one row where there must be one."""
    raw = Drawing(draw, draw(st.sampled_from(["in", "mm"]))).tables()
    project = project_from_rows(raw, lambda table, row, name: f"{table} {row} {name}")
    assert check_project(project, lambda table, row, name: f"{table} {row} {name}") == []
    return project


def decimals(least: str, most: str) -> SearchStrategy[Decimal]:
    """Decimals with as many places as the least has."""
    step = Decimal(1).scaleb(Decimal(least).as_tuple().exponent)
    whole = st.integers(int(Decimal(least) / step), int(Decimal(most) / step))
    return whole.map(lambda number: number * step)


RATE = decimals("0.000", "1.000")
SMALL_RATE = decimals("0.0000", "0.3000")
MONEY = decimals("0.00", "400.00")


@dataclass
class Drawing:
    """The rows of one project in the making, table by table; later tables name rows of earlier."""

    draw: DrawFn
    unit: str

    def tables(self) -> dict[str, list[Row]]:
        """Rows by table."""
        terms = self.terms()
        floors = self.rows("F", 1, 3, name=TEXT)
        types = self.rows("type", 1, 4, **_TYPE)
        finishes = self.rows("finish", 0, 2, **_FINISH)
        finishes += self.stand_ins("finish", finishes)
        materials = self.materials()
        stand_ins = self.stand_ins("material", materials)
        profiles = [self.profile(n, terms, materials, finishes) for n in self.numbers(1, 2)]
        runs = [self.run(n, terms, types, profiles) for n in self.numbers(1, 4)]
        modules = [self.module(n) for n in self.numbers(1, 4)]
        parts = [self.part(n, terms, modules, materials, finishes) for n in self.numbers(1, 7)]
        items = self.rows("item", 1, 4, **_ITEM)
        grades = self.rows("grade", 1, 2, **_GRADE)
        drivers = [*MEASURES, *_keys(modules, types, profiles, materials)]
        use = {"per": _one_of(drivers), "item": _one_of(_keys(items)), "amount": _AMOUNT}
        work = {"per": _one_of(drivers), "grade": _one_of(_keys(grades)), **_OPERATION}
        all_materials = [*materials, *stand_ins]
        return {
            "project": [self.facts()],
            "terms": [terms],
            "floors": floors,
            "types": types,
            "counts": [self.count(types, floors, row) for row in types for _ in "x"],
            "contents": [self.content(types, modules, runs) for _ in self.numbers(1, 6)],
            "runs": runs,
            "profiles": profiles,
            "modules": modules,
            "parts": parts,
            "uses": [self.record(use) for _ in self.numbers(0, 6)],
            "operations": self.rows("work", 1, 5, **work),
            "grades": grades,
            "materials": all_materials,
            "items": items,
            "prices": self.prices([*_keys(all_materials, items), "pallet"]),
            "finishes": finishes,
            "containers": self.containers(finishes),
            "freight_classes": [self.record(_CLASS) for _ in self.numbers(0, 3)],
            "stages": self.stages(),
            "clauses": [self.clause() for _ in self.numbers(0, 3)],
            "alternates": self.alternates([*finishes, *stand_ins]),
        }
