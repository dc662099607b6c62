"""Starting rates: CSV files in the rates folder, of which a new project takes what it uses.

    rates/TABLE.csv       rows for every project
    rates/UNIT/TABLE.csv  rows for projects in that unit, in or mm
    rates/UNIT/limits.toml  the forms of limits that the checks compare with, for every project

The first line names the fields of the record. A project never reads rates again once its workbook
stands; they are typed over there.
"""

from __future__ import annotations

import csv
from collections.abc import Container, Iterable, Sequence
from io import StringIO
from pathlib import Path
from typing import NamedTuple

from estimator.data import data_folder
from estimator.problems import Problem
from estimator.project.faults import unknown_name
from estimator.project.lengths import LengthUnit
from estimator.project.records import MEASURES, PALLET, RECORDS, Record
from estimator.project.rows import Entry, Found, is_blank, merged
from estimator.project.textfiles import read_text, shown

TABLES = (
    "materials", "items", "prices", "finishes", "containers", "operations", "grades",
    "freight_classes", "walls", "withdrawal", "screws", "steps", "reaches",
)  # fmt: skip
FOR_ALL = ("freight_classes", "walls", "withdrawal", "steps", "reaches")
"""Tables that every project takes whole."""
RATES = tuple(record for record in RECORDS if record.table in TABLES)
# --- Reading ------------------------------------------------------------------------------------


def read_rates(unit: LengthUnit) -> Found:
    """All rates for projects in that unit, not yet checked."""
    folders = (data_folder("rates"), data_folder("rates") / unit)
    files = ((record, folder / f"{record.table}.csv") for record in RATES for folder in folders)
    return merged(read_csv(record, path) for record, path in files if path.is_file())


def read_csv(record: type[Record], path: Path) -> Found:
    """The rows of one file; blank cells are left out, so that the record's defaults hold."""
    text, problems = read_text(path)
    place = shown(path)
    try:
        lines = list(csv.reader(StringIO(text, newline=""), strict=True))
    except csv.Error as error:
        fix = f"Correct the quotation marks or separators: {error}."
        problems = [Problem(place, "", "comma-separated values", fix)]
        lines = []
    if not lines:
        return Found(problems=problems or [_no_header(record, path)])
    header, *body = lines
    wrong = header_problems(record, header, place)
    if wrong:
        return Found(problems=wrong)
    return merged(
        read_line(record, header, cells, f"{place}, row {number}")
        for number, cells in enumerate(body, start=2)
        if any(cells)
    )


def _no_header(record: type[Record], path: Path) -> Problem:
    fields = ",".join(record.columns())
    return Problem(shown(path), "", "a first line with the names of fields", f"Write: {fields}")


def header_problems(record: type[Record], header: Iterable[str], place: str) -> list[Problem]:
    """Columns that the record does not have, twice has, or must have and are not there."""
    names = list(header)
    known = record.columns()
    strange = [
        unknown_name(f"{place}, row 1", name, known, "a field of this table")
        for name in names
        if name not in known
    ]
    twice = [
        Problem(f"{place}, row 1", name, "each column once", "Remove one of the two.")
        for name in sorted({name for name in names if names.count(name) > 1})
    ]
    missing = [
        Problem(f"{place}, row 1", "", f"a column {name}", f"Add it: {about.note}")
        for name, (about, info) in known.items()
        if info.is_required() and name not in names
    ]
    return [*strange, *twice, *missing]


def read_line(record: type[Record], header: list[str], cells: list[str], place: str) -> Found:
    """One row of a file as an entry."""
    if len(cells) != len(header):
        expected = f"{len(header)} values"
        fix = "Put a text that holds a comma between double quotation marks."
        return Found(problems=[Problem(place, f"{len(cells)} values", expected, fix)])
    filled = dict(zip(header, cells, strict=True))
    return Found({record.table: [Entry(place, filled)]})


# --- What a project uses ------------------------------------------------------------------------


class Wish(NamedTuple):
    """A key that some row names, and where."""

    key: str
    place: str


def chosen_rates(job: Found, rates: Found) -> Found:
    """The rates that the job's parts, profiles, supplies and alternates lead to, and what all take.

    A name that no rate has is a problem at the place that asks for it.
    """
    cut = wishes(job, ("parts", "material"), ("profiles", "material"))
    coated = wishes(job, ("parts", "finish"), ("profiles", "finish"))
    used = wishes(job, ("uses", "item"))
    fixed = wishes(job, ("profiles", "screw"))
    swapped = wishes(job, ("alternates", "instead"), ("alternates", "offered"))
    stock = merged(
        [
            chosen(rates, "materials", "key", of(cut + swapped)),
            chosen(rates, "finishes", "key", of(coated + swapped)),
            chosen(rates, "items", "key", of(used)),
            chosen(rates, "screws", "key", of(fixed)),
        ]
    )
    materials, finishes = keys(rates, "materials"), keys(rates, "finishes")
    problems = [
        *rates.problems,
        *unknown(cut, materials, "a material"),
        *unknown(coated, finishes, "a finish"),
        *unknown(used, keys(rates, "items"), "an item"),
        *unknown(fixed, keys(rates, "screws"), "a rail screw"),
        *unknown(swapped, [*materials, *finishes], "a material or a finish"),
    ]
    return merged([Found(problems=problems), stock, following(job, stock, rates)])


def following(job: Found, stock: Found, rates: Found) -> Found:
    """What the chosen stock and the job's modules bring along: prices, containers, work, wages."""
    driving = {*MEASURES, *keys(stock, "materials")}
    for table in ("modules", "types", "profiles"):
        driving.update(keys(job, table))
    operations = chosen(rates, "operations", "per", driving)
    grades = of(wishes(operations, ("operations", "grade")))
    priced = {PALLET, *keys(stock, "materials"), *keys(stock, "items")}
    return merged(
        [
            chosen(rates, "prices", "item", priced),
            chosen(rates, "containers", "finish", keys(stock, "finishes")),
            operations,
            chosen(rates, "grades", "key", grades),
            Found({table: rates.entries(table) for table in FOR_ALL}),
        ]
    )


def wishes(found: Found, *fields: tuple[str, str]) -> list[Wish]:
    """Every key that rows of these tables name in these fields, once, with its first place."""
    first: dict[str, Wish] = {}
    for table, name in fields:
        for entry in found.entries(table):
            key = entry.fields.get(name)
            if not is_blank(key):
                first.setdefault(str(key), Wish(str(key), entry.place_of(name)))
    return list(first.values())


def of(named: Iterable[Wish]) -> set[str]:
    """The keys wished for."""
    return {wish.key for wish in named}


def keys(found: Found, table: str) -> list[str]:
    """The keys of a table's rows."""
    return [str(entry.fields.get("key", "")) for entry in found.entries(table)]


def chosen(rates: Found, table: str, name: str, wanted: Container[str]) -> Found:
    """The rows of a table whose field holds one of the wanted keys."""
    entries = rates.entries(table)
    return Found({table: [each for each in entries if each.fields.get(name) in wanted]})


def unknown(named: Iterable[Wish], known: Sequence[str], what: str) -> list[Problem]:
    """A problem for every key that is not known."""
    return [
        unknown_name(wish.place, wish.key, known, f"{what} of the starting rates")
        for wish in named
        if wish.key not in known
    ]
