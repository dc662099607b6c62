"""Random projects that every check of the input accepts: few rows, odd numbers, all the choices.

Sizes are drawn in steps that a tape shows, sixteenths of an inch or half millimetres, within
bounds given in millimetres. Nothing here looks like a real job; the point is to reach every
branch of every formula.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from estimator.project.checks import check_project
from estimator.project.lengths import LengthUnit
from estimator.project.rates import read_rates
from estimator.project.records import MEASURES, PALLET, Project
from estimator.project.rows import project_from_rows
from estimator.project.templates import read_limits
from tests.workbook.random_fields import (
    FACES,
    FINISH,
    FINISHED,
    FREIGHT_CLASS,
    GRADE,
    ITEM,
    MATERIAL,
    MODULE,
    MONEY,
    ODD_TEXTS,
    OPERATION,
    PART,
    RUN,
    TERMS,
    TEXT,
    TYPE,
    YES_NO,
    Fields,
    decimals,
    one_of,
)

Row = dict[str, Any]
STEP = {"in": Fraction(1, 16), "mm": Fraction(1, 2)}
MM = {"in": Fraction(254, 10), "mm": Fraction(1)}


def some_projects(how_many: int) -> list[Project]:
    """Random projects: new ones in each run, the same ones in CI."""
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
    """A project with at least one row wherever there must be one."""

    def place(table: str, row: int, name: str) -> str:
        return f"{table} {row} {name}"

    raw = Drawing(draw, draw(st.sampled_from(("in", "mm")))).tables()
    project = project_from_rows(raw, place)
    assert check_project(project, place) == []
    return project


def keys(*tables: Sequence[Row]) -> list[str]:
    """The keys of all rows."""
    return [row["key"] for table in tables for row in table]


# --- The rows of one project ----------------------------------------------------------------------


@dataclass
class Drawing:
    """Draws the tables of one project; later ones name rows of earlier ones."""

    draw: DrawFn
    unit: LengthUnit

    def tables(self) -> dict[str, Sequence[Mapping[str, Any]]]:
        """Rows by table, as `project_from_rows` reads them."""
        floors, types = self.rows("F", 1, 3, {"name": TEXT}), self.rows("type", 1, 4, TYPE)
        terms = self.terms()
        finishes, materials = self.finishes(), self.materials()
        other_finishes, other_materials = self.stand_ins(finishes), self.stand_ins(materials)
        profiles = [self.profile(n, terms, materials, finishes) for n in self.some(1, 2)]
        runs = [self.run(n, terms, types, profiles) for n in self.some(1, 4)]
        modules = [self.module(number) for number in self.some(1, 4)]
        parts = [self.part(n, terms, modules, materials, finishes) for n in self.some(1, 7)]
        items, grades = self.rows("item", 1, 4, ITEM), self.rows("grade", 1, 2, GRADE)
        drivers = one_of([*MEASURES, *keys(modules, types, profiles, materials)])
        use = {"per": drivers, "item": one_of(keys(items)), "amount": PART}
        work = {"per": drivers, "grade": one_of(keys(grades))}
        stocked = [*materials, *other_materials]
        return {
            "project": [self.facts()],
            "terms": [terms],
            "floors": floors,
            "types": types,
            "counts": self.counts(types, floors),
            "contents": [self.content(types, modules, runs) for _ in self.some(1, 6)],
            "runs": runs,
            "profiles": profiles,
            "modules": modules,
            "parts": parts,
            "uses": [self.row(use) for _ in self.some(0, 6)],
            "operations": self.rows("work", 1, 5, {**OPERATION, **work}),
            "grades": grades,
            "materials": stocked,
            "items": items,
            "prices": self.prices([*keys(stocked, items), PALLET]),
            "finishes": [*finishes, *other_finishes],
            "containers": self.containers([*finishes, *other_finishes]),
            "freight_classes": [self.row(FREIGHT_CLASS) for _ in self.some(0, 3)],
            "stages": self.stages(),
            "clauses": self.clauses(),
            "alternates": self.alternates([*other_finishes, *other_materials]),
            "screws": [self.screw(items)],
            **read_limits(self.unit).raw(),
            **{
                table: read_rates(self.unit).raw()[table]
                for table in ("walls", "withdrawal", "steps", "reaches")
            },
        }

    def rates(self, *tables: str) -> dict[str, Sequence[Mapping[str, Any]]]:
        """Starting rates of the unit, as they come with the tool."""
        raw = read_rates(self.unit).raw()
        return {table: raw[table] for table in tables}

    def screw(self, items: Sequence[Row]) -> Row:
        """The screw of all rails, by the first item."""
        length = self.length(20, 120)
        return {
            "key": items[0]["key"],
            "kind": self.draw(one_of(["wood", "lag"])),
            "diameter": self.length(2, 8),
            "length": length,
            "thread": self.length(10, self.mm(length)),
            "lateral": self.draw(one_of([0, Decimal("47.5")])),
        }

    def some(self, least: int, most: int) -> range:
        """The numbers of so many rows."""
        return range(1, self.draw(st.integers(least, most)) + 1)

    def row(self, fields: Fields) -> Row:
        """A row with a value for each field."""
        return {
            name: self.draw(field) if isinstance(field, SearchStrategy) else field
            for name, field in fields.items()
        }

    def rows(self, stem: str, least: int, most: int, fields: Fields) -> list[Row]:
        """Rows with keys such as item-3."""
        return [{"key": f"{stem}-{n}", **self.row(fields)} for n in self.some(least, most)]

    def length(self, least: float | Fraction, most: float | Fraction) -> Fraction:
        """A length in the project's unit, between bounds in mm."""
        step = STEP[self.unit] * MM[self.unit]
        whole = st.integers(math.ceil(least / step), math.floor(most / step))
        return self.draw(whole) * STEP[self.unit]

    def mm(self, length: Fraction) -> Fraction:
        """A drawn length, in mm."""
        return length * MM[self.unit]

    def facts(self) -> Row:
        return self.row(
            {
                "name": TEXT,
                "client": TEXT,
                "unit": self.unit,
                "paper": one_of(["letter", "A4"]),
                "revision": one_of(["A", "C", "AB"]),
                "issued": "2026-03-02",
                "remark": one_of(["", *ODD_TEXTS]),
            }
        )

    def terms(self) -> Row:
        sizes = {"kerf": (1, 6), "trim": (0, 15), "end_distance": (0, 90)}
        lengths = {name: self.length(*bounds) for name, bounds in sizes.items()}
        return {**lengths, **self.row(TERMS)}

    def counts(self, types: Sequence[Row], floors: Sequence[Row]) -> list[Row]:
        rooms = one_of([0, 0, 1, 2, 3, 7, 19, 64, 300])
        return [
            {"room_type": room_type, "floor": floor, "rooms": self.draw(rooms)}
            for room_type in keys(types)
            for floor in keys(floors)
        ]

    def content(self, types: Sequence[Row], modules: Sequence[Row], runs: Sequence[Row]) -> Row:
        room_type = self.draw(one_of(keys(types)))
        own = [run["key"] for run in runs if run["room_type"] == room_type]
        return {
            "room_type": room_type,
            "module": self.draw(one_of(keys(modules))),
            "each": self.draw(st.integers(0, 4)),
            "run": self.draw(one_of(["", *own])),
        }

    def materials(self) -> list[Row]:
        return [self.material(number) for number in self.some(1, 3)]

    def material(self, number: int) -> Row:
        form = self.draw(one_of(["sheet", "sheet", "length"]))
        wide = (40, 200) if form == "length" else (400, 1600)
        return {
            "key": f"material-{number}",
            "form": form,
            "length": self.length(1000, 3200),
            "width": self.length(*wide),
            "thickness": self.length(6, 24),
            **self.row(MATERIAL),
        }

    def stand_ins(self, rows: Sequence[Row]) -> list[Row]:
        """Something offered instead of each of some rows, alike in form and size."""
        return [
            {**row, "key": f"other-{row['key']}", "stands_in_for": row["key"]}
            for row in rows
            if self.draw(st.booleans())
        ]

    def profile(
        self, number: int, terms: Row, materials: Sequence[Row], finishes: Sequence[Row]
    ) -> Row:
        material = self.draw(one_of(materials))
        bevelled, screws = self.bevelled(material), self.draw(st.integers(0, 3))
        width = self.width(terms, material, bevelled, 20, 200)
        return {
            "key": f"profile-{number}",
            "name": self.draw(TEXT),
            "material": material["key"],
            "width": width,
            "bevelled": bevelled,
            "screws_per_stud": screws,
            "upper_screws": self.draw(st.integers(0, screws)),
            "screw_line": self.length(2, self.mm(width) - 2),
            "screw": "item-1",
            "finish": self.draw(one_of(["", *keys(finishes)])),
            "faces": self.draw(FACES),
        }

    def bevelled(self, material: Row) -> str:
        """A bought length comes as it is."""
        return str(self.draw(YES_NO)) if material["form"] == "sheet" else "no"

    def width(
        self, terms: Row, material: Row, bevelled: str, least: float, most: float
    ) -> Fraction:
        """That a sheet gives, wider than what its bevel takes off; of a bought length its own."""
        if material["form"] == "length":
            return Fraction(material["width"])
        lost = float(material["thickness"]) * math.tan(math.radians(float(terms["bevel_angle"])))
        beyond = float(self.mm(Fraction(lost))) + 1 if bevelled == "yes" else 0
        given: Any = self.mm(self.usable(terms, material)[1])
        return self.length(max(least, beyond), min(most, given))

    def usable(self, terms: Row, material: Row) -> tuple[Fraction, Fraction]:
        """Length and width that can be cut from one."""
        off = 2 * terms["trim"] if material["form"] == "sheet" else 0
        return material["length"] - off, material["width"] - off

    def run(self, number: int, terms: Row, types: Sequence[Row], profiles: Sequence[Row]) -> Row:
        return {
            "key": f"run-{number}",
            "length": self.length(
                max(Fraction(100), 2 * self.mm(terms["end_distance"]) + 30), 9000
            ),
            "bottom": self.length(0, 2200),
            "obstacle": self.length(0, 700),
            "spacing": self.length(250, 650),
            "room_type": self.draw(one_of(keys(types))),
            "profile": self.draw(one_of(keys(profiles))),
            **self.row(RUN),
        }

    def module(self, number: int) -> Row:
        return {
            "key": f"module-{number}",
            "width": self.length(20, 2000),
            "height": self.length(20, 2000),
            "depth": self.length(10, 600),
            "above": self.length(0, 200),
            "sill": self.length(0, 60),
            **self.row(MODULE),
        }

    def part(
        self,
        number: int,
        terms: Row,
        modules: Sequence[Row],
        materials: Sequence[Row],
        finishes: Sequence[Row],
    ) -> Row:
        material = self.draw(one_of(materials))
        bevelled = self.bevelled(material)
        length = self.length(20, self.mm(self.usable(terms, material)[0]))
        return {
            "key": f"part-{number}",
            "module": self.draw(one_of(keys(modules))),
            "name": self.draw(TEXT),
            "material": material["key"],
            "length": length,
            "width": self.width(terms, material, bevelled, 20, 1600),
            "span": self.draw(one_of([0, length])),
            "bears": self.draw(one_of([0, Decimal("11.5")])),
            "each": self.draw(st.integers(1, 4)),
            "grain": self.draw(one_of(["along", "any"])),
            "bevelled": bevelled,
            "finish": self.draw(one_of(["", *keys(finishes)])),
            **self.row(FINISHED),
        }

    def finishes(self) -> list[Row]:
        return [
            {"key": f"finish-{n}", **self.row(FINISH), **self.spreading()} for n in self.some(0, 2)
        ]

    def spreading(self) -> Row:
        """How far a finish goes: its rate, or solids and dry film."""
        by_rate = {"spread": decimals("1.0", "900.0")}
        by_solids = {"solids": decimals("0.05", "1.00"), "film": decimals("0.1", "90.0")}
        return self.row(self.draw(one_of([by_rate, by_solids])))

    def containers(self, finishes: Sequence[Row]) -> list[Row]:
        return [row for finish in keys(finishes) for row in self.sizes(finish)]

    def sizes(self, finish: str) -> list[Row]:
        """One to three sizes; the volume in a smaller one never costs less."""
        smaller_ones = self.draw(one_of([[], ["medium"], ["small"], ["medium", "small"]]))
        holds, price = self.draw(decimals("0.50", "20.00")), self.draw(decimals("5.00", "400.00"))
        found: list[Row] = []
        for size in ["large", *smaller_ones]:
            row = {"key": f"{finish}-{size}", "finish": finish, "name": self.draw(TEXT)}
            found.append({**row, "size": size, "holds": holds, "price": price})
            smaller = self.draw(decimals("0.15", "0.90"))
            holds = (holds * smaller).quantize(Decimal("0.0001"))
            dearer = price * smaller * self.draw(decimals("1.01", "2.00"))
            price = dearer.quantize(Decimal("0.01")) + Decimal("0.01")
        return found

    def prices(self, bought: Sequence[str]) -> list[Row]:
        """For each thing a price from 1, and up to three breaks."""
        breaks = st.sets(st.integers(2, 300), max_size=3)
        return [
            {"item": item, "from_quantity": quantity, "price": self.draw(MONEY)}
            for item in bought
            for quantity in [1, *sorted(self.draw(breaks))]
        ]

    def stages(self) -> list[Row]:
        cuts = self.draw(st.sets(st.integers(1, 99), max_size=3))
        edges = [0, *sorted(cuts), 100]
        shares = [Decimal(upto - before) / 100 for before, upto in pairwise(edges)]
        return [
            {"number": number, "name": self.draw(TEXT), "share": share}
            for number, share in enumerate(shares, start=1)
        ]

    def clauses(self) -> list[Row]:
        kinds = [one_of(["included", "excluded", "caution"]), "allowance"]
        return [
            self.row({"kind": kind, "text": TEXT, "amount": MONEY if kind == "allowance" else 0})
            for kind in (self.draw(one_of(kinds)) for _ in self.some(0, 3))
        ]

    def alternates(self, offered: Sequence[Row]) -> list[Row]:
        return [
            {
                "key": f"alternate-{number}",
                "name": self.draw(TEXT),
                "instead": row["stands_in_for"],
                "offered": row["key"],
            }
            for number, row in enumerate(offered, start=1)
        ]
