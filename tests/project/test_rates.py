"""Starting rates: every file is sound, says where its figures come from, and faults are said."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest
from pydantic import ValidationError

from estimator.data import data_folder
from estimator.project.rates import RATES, chosen_rates, read_csv, read_rates
from estimator.project.records import MEASURES, Grade, Material
from estimator.project.rows import Entry, Found, is_blank
from estimator.units import SYSTEMS, LengthUnit, factor, unit

FILES = sorted(data_folder("rates").rglob("*.csv"))
OWN_WORDS = ("invented", "secondary source", "common practice, no source", "from memory")


def test_there_is_a_file_for_every_kind_of_rate_in_both_units() -> None:
    for folder in ("in", "mm"):
        for record in RATES:
            files = [data_folder("rates") / f"{record.table}.csv"]
            files.append(data_folder("rates") / folder / f"{record.table}.csv")
            assert sum(path.is_file() for path in files) == 1, (folder, record.table)
    assert len(FILES) == 5 + 2 * 8


@pytest.mark.parametrize("name", ["in", "mm"])
def test_every_row_of_every_file_is_a_sound_record(name: LengthUnit) -> None:
    rates = read_rates(name)
    assert list(rates.problems) == []
    for record in RATES:
        assert rates.entries(record.table)
        for entry in rates.entries(record.table):
            filled = {key: each for key, each in entry.fields.items() if not is_blank(each)}
            try:
                record.model_validate(filled, context={"unit": name})
            except ValidationError as error:
                pytest.fail(f"{entry.place}: {error}")


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_every_row_says_where_its_figures_come_from(path: Path) -> None:
    with path.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert rows
    for row in rows:
        assert any(words in row["source"] for words in OWN_WORDS), row


def test_freight_classes_are_those_of_the_thirteen_tier_scale() -> None:
    """The scale published for 19 July 2025, read in secondary sources; 8 lb/ft3 was 110 before."""
    rows = read_rates("in").entries("freight_classes")
    scale = {float(row.fields["from_density"]): float(row.fields["freight_class"]) for row in rows}
    assert scale == {
        0: 400, 1: 300, 2: 250, 4: 175, 6: 125, 8: 100, 10: 92.5, 12: 85, 15: 70, 22.5: 65,
        30: 60, 35: 55, 50: 50,
    }  # fmt: skip
    assert all(lighter > denser for lighter, denser in pairwise(scale.values()))


def test_birch_plywood_weighs_what_tables_say() -> None:
    """650 to 700 kg/m3 in tables for birch plywood (secondary source)."""
    lb_for_kg = float(factor(unit("kg/m**3"), unit("lb/ft**3")))
    units: tuple[tuple[LengthUnit, float], ...] = (("in", lb_for_kg), ("mm", 1.0))
    for name, in_project in units:
        rows = {row.fields["key"]: row.fields for row in read_rates(name).entries("materials")}
        assert 650 <= float(rows["birch-ply"]["density"]) / in_project <= 700


def test_spreading_rates_are_no_mix_up_of_feet_and_metres() -> None:
    """Makers print 200 to 600 ft2/gal for oils and varnishes (secondary source)."""
    for name, system in SYSTEMS.items():
        to_feet = float(factor(unit(system.spread), unit("ft**2/gal")))
        for row in read_rates(name).entries("finishes"):
            if row.fields["spread"]:
                assert 200 <= float(row.fields["spread"]) * to_feet <= 600


def test_repetition_saves_no_more_than_a_tenth_and_set_up_is_for_a_measure() -> None:
    for name in ("in", "mm"):
        for row in read_rates(name).entries("operations"):
            assert 0.9 <= float(row.fields["repetition"]) <= 1
            assert row.fields["setup_per"] in MEASURES


# --- What a project takes -------------------------------------------------------------------------


def job(**tables: list[dict[str, object]]) -> Found:
    return Found(
        {
            table: [Entry(f"{table} {number}", row) for number, row in enumerate(rows)]
            for table, rows in tables.items()
        }
    )


def keys(found: Found, table: str, name: str = "key") -> set[str]:
    return {entry.fields[name] for entry in found.entries(table)}


def test_a_project_takes_only_what_its_parts_and_supplies_lead_to() -> None:
    small = job(
        parts=[{"material": "birch-ply", "finish": "oil"}],
        modules=[{"key": "shelf-24"}],
        uses=[{"item": "glue"}],
    )
    taken = chosen_rates(small, read_rates("in"))
    assert list(taken.problems) == []
    assert keys(taken, "materials") == {"birch-ply"}
    assert keys(taken, "finishes") == {"oil"}
    assert keys(taken, "containers", "finish") == {"oil"}
    assert keys(taken, "items") == {"glue"}
    assert keys(taken, "prices", "item") == {"birch-ply", "glue", "pallet"}
    drivers = keys(taken, "operations", "per")
    assert "shelf-24" in drivers
    assert drivers <= {"shelf-24", *MEASURES}
    assert keys(taken, "grades") == keys(taken, "operations", "grade")
    assert len(taken.entries("freight_classes")) == 13


def test_an_alternate_brings_what_it_offers() -> None:
    small = job(alternates=[{"instead": "birch-ply", "offered": "maple-ply"}])
    taken = chosen_rates(small, read_rates("in"))
    assert keys(taken, "materials") == {"birch-ply", "maple-ply"}
    assert "maple-ply" in keys(taken, "prices", "item")


def test_a_name_that_no_rate_has_is_said_where_it_stands() -> None:
    small = job(parts=[{"material": "brich-ply", "finish": "oil"}], uses=[{"item": "clue"}])
    problems = chosen_rates(small, read_rates("in")).problems
    assert [str(problem) for problem in problems] == [
        "parts 0, material: found “brich-ply”; expected a material of the starting rates: "
        "birch-ply, birch-thin, maple-ply, maple-rail. Did you mean birch-ply?",
        "uses 0, item: found “clue”; expected an item of the starting rates: wall-screw, "
        "wood-screw, lock-screw, felt-pad, shim, coat-hook, mirror-glass, mirror-clip, glue, "
        "sanding-disc, saw-blade, wrap and 1 more. Did you mean glue?",
    ]


# --- Faults of a file -----------------------------------------------------------------------------

HEADER = "key,name,wage,burden,source\n"


def faults(folder: Path, content: str | bytes) -> list[tuple[str, str, str]]:
    """Value, expected and fix of every problem of a file of wages with this content."""
    path = folder / "grades.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    found = read_csv(Grade, path)
    assert all(problem.place.startswith(str(path)) for problem in found.problems)
    return [(each.value, each.expected, each.fix) for each in found.problems]


def test_a_misspelt_and_a_missing_column_are_both_said(tmp_path: Path) -> None:
    assert faults(tmp_path, "key,name,wages,burden,source\na,b,1,0,c\n") == [
        (
            "wages",
            "a field of this table: key, name, wage, burden, source",
            "Did you mean wage?",
        ),
        ("", "a column wage", "Add it: Paid to one person for an hour."),
    ]


def test_a_column_stands_once(tmp_path: Path) -> None:
    assert faults(tmp_path, "key,name,wage,burden,wage\n")[0][1] == "each column once"


def test_a_row_with_too_many_values_is_said(tmp_path: Path) -> None:
    assert faults(tmp_path, HEADER + "lead,Lead, maker,30,0.3,x\n") == [
        (
            "6 values",
            "5 values",
            "Put a text that holds a comma between double quotation marks.",
        )
    ]


def test_a_quotation_mark_left_open_is_said(tmp_path: Path) -> None:
    ((_, expected, _),) = faults(tmp_path, HEADER + 'lead,"Lead maker,30,0.3,x\n')
    assert expected == "comma-separated values"


def test_an_empty_file_is_said(tmp_path: Path) -> None:
    ((_, expected, fix),) = faults(tmp_path, "")
    assert expected == "a first line with the names of fields"
    assert fix == "Write: key,name,wage,burden,source"


def test_another_encoding_is_said(tmp_path: Path) -> None:
    ((value, expected, _),) = faults(tmp_path, HEADER.encode() + "é,é,1,0,x".encode("latin-1"))
    assert (value, expected) == ("byte 28: e9", "text encoded as UTF-8")


def test_a_mark_at_the_beginning_and_blank_lines_do_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "grades.csv"
    path.write_text("\ufeff" + HEADER + "\nlead,Lead,30,0.3,x\n\n", encoding="utf-8")
    found = read_csv(Grade, path)
    assert list(found.problems) == []
    assert [entry.place for entry in found.entries("grades")] == [f"{path}, row 3"]


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    (problem,) = read_csv(Material, tmp_path / "none.csv").problems
    assert problem.expected == "a file that can be read"
