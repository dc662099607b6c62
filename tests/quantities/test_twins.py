"""The same job in inches, pounds and gallons and in millimetres, kilograms and litres is the same.

Every typed figure is taken to the other system by the exact factor of its unit, and every
calculated figure of the twin has to be the same quantity: a factor forgotten or typed wrong
anywhere shows.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pandas as pd
import pytest

from estimator.estimate import Estimate
from estimator.expressions.tables import Definition
from estimator.project.records import RECORDS, Project
from estimator.project.rows import project_from_rows
from estimator.project.templates import read_template
from estimator.quantities import define_model
from estimator.units import SYSTEMS, factor, unit
from tests.quantities.jobs import raw_rows
from tests.workbook.estimates import estimated

# Rates for each of a measure: the measure itself is in feet or in metres.
DRIVEN = {"uses": "amount", "operations": "minutes"}


def in_millimetres(project: Project) -> Project:
    """The twin of a project of inches."""
    rows = raw_rows(project)
    rows["project"][0]["unit"] = "mm"
    for record in RECORDS:
        for name, (about, _) in record.columns().items():
            if "{" in about.unit:
                for row in rows[record.table]:
                    row[name] = times(row[name], to_metric(about.unit))
    for table, name in DRIVEN.items():
        for row in rows[table]:
            row[name] = times(row[name], 1 / measure_factor(project, row["per"]))
    return project_from_rows(rows, lambda table, row, name: f"{table} {row} {name}")


def to_metric(braces: str) -> Fraction:
    """From a unit of the inch system, written with braces, to the same of the other."""
    return factor(unit(SYSTEMS["in"].fill(braces)), unit(SYSTEMS["mm"].fill(braces)))


def times(value: Any, by: Fraction) -> Any:
    if isinstance(value, Fraction):
        return value * by
    return Decimal(value) * by.numerator / by.denominator


def measure_factor(project: Project, per: str) -> Fraction:
    """What one of a measure in inches is in the other system: feet of rail become metres."""
    one, other = (
        define_model(length, ("F1",))[0]["measures"].definitions for length in ("in", "mm")
    )
    if per in one:
        return factor(unit(one[per].unit), unit(other[per].unit))
    of_profile = any(each.key == per for each in project.profiles)
    return to_metric("{run}") if of_profile else Fraction(1)


NAMED_BY_SIZE = {
    "pieces.key",
    "pieces.name",
    "runs.first_piece",
    "runs.middle_piece",
    "runs.last_piece",
    "buy.sold_as",
    "headline.unit",
    "project.unit",
    "planned_for.unit",
}


@pytest.mark.parametrize("name", ["merrowby-lodge", "one-wall"])
def test_every_figure_of_the_twin_is_the_same_quantity(name: str) -> None:
    project = read_template(name)
    inches, metric = estimated(project), estimated(in_millimetres(project))
    compared = 0
    for definition in inches.model.order:
        if definition.role != "block" and _comparable(definition):
            _compare(inches, metric, definition)
            compared += 1
    assert compared > 300


def _comparable(definition: Definition) -> bool:
    """Not words that name a size; nor bare numbers, whose unit stands in their own row."""
    bare = definition.unit == "measure" and definition.table in ("headline", "uses", "operations")
    per_measure = f"{definition.table}.{definition.name}" in ("uses.amount", "operations.minutes")
    named = f"{definition.table}.{definition.name}" in NAMED_BY_SIZE
    return not (bare or per_measure or named)


def _compare(inches: Estimate, metric: Estimate, definition: Definition) -> None:
    table, name = definition.table, definition.name
    one, other = inches.values[table][name], metric.values[table][name]
    if definition.is_text:
        assert one.tolist() == other.tolist(), f"{table}.{name}"
        return
    there = metric.model[table].definitions[name]
    by = float(factor(unit(definition.unit), unit(there.unit)))
    pd.testing.assert_series_equal(
        other.astype(float), one.astype(float) * by, rtol=1e-9, atol=1e-9, obj=f"{table}.{name}"
    )


def test_the_metric_one_wall_is_near_its_twin() -> None:
    """Not converted but designed in round millimetres: near in every figure that counts."""
    inches, metric = (estimated(read_template(each)) for each in ("one-wall", "one-wall-metric"))
    for table, name, near in (
        ("summary", "rail", 0.03), ("summary", "weight", 0.06), ("types", "area", 0.06),
        ("summary", "screws", 0.0), ("summary", "modules", 0.0),
    ):  # fmt: skip
        definition, there = (each.model[table].definitions[name] for each in (inches, metric))
        by = float(factor(unit(definition.unit), unit(there.unit)))
        one, other = (each.values[table][name].tolist()[0] for each in (inches, metric))
        assert other == pytest.approx(one * by, rel=near or 1e-12), name
