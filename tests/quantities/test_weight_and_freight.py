"""Weights from density, pallets, and freight classes by density.

Sources: sheet of 48 x 96 in and densities of panels from materials pages (secondary), 48 lb/ft3 for
MDF from memory; the 13-class density scale in force from 19 July 2025 and the worked pallet from
freight pages (secondary). Weights of whole sheets are derived from those.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from estimator.project.templates import read_template
from estimator.units import factor, unit
from tests.quantities.jobs import MODULE, PART, SHEET, figures, job, raw_rows

TO_LB_PER_FT3 = float(factor(unit("kg/m**3"), unit("lb/ft**3")))
CLASSES = raw_rows(read_template("merrowby-lodge"))["freight_classes"]


@pytest.mark.parametrize(
    ("density", "pounds"),
    [
        (48, 96),  # MDF; the density is from memory
        (680 * TO_LB_PER_FT3, 84.9),  # birch plywood, 650 to 700 kg/m3
        (700 * TO_LB_PER_FT3, 87.4),
        (30.4, 60.8),  # softwood plywood
    ],
)
def test_a_sheet_of_four_by_eight_feet_three_quarters_thick(density: float, pounds: float) -> None:
    whole = PART | {"length": 96, "width": 48}
    project = job(parts=[whole], materials=[SHEET | {"density": str(round(density, 9))}])
    assert figures(project, "materials")["weight_each"] == pytest.approx(pounds, abs=0.05)
    assert figures(project, "modules")["weight"] == pytest.approx(pounds, abs=0.05)


def test_a_metric_sheet() -> None:
    """2440 x 1220 x 18 mm at 680 kg/m3, by hand."""
    sheet = SHEET | {"length": 2440, "width": 1220, "thickness": 18, "density": 680}
    project = job(project={"unit": "mm"}, materials=[sheet])
    by_hand = 2.44 * 1.22 * 0.018 * 680
    assert figures(project, "materials")["weight_each"] == pytest.approx(by_hand, rel=1e-12)


@pytest.mark.parametrize(("weight", "marked"), [("51", 0), ("51.01", 1), ("96", 1)])
def test_a_lift_above_the_load_constant_is_marked(weight: str, marked: int) -> None:
    """51 lb is the load constant of the revised lifting equation (NIOSH 94-110, secondary): one
    person under ideal conditions. An MDF sheet of 96 lb is far beyond it."""
    nothing = [SHEET | {"density": 0}]
    project = job(modules=[MODULE | {"bought_weight": weight}], materials=nothing)
    assert figures(project, "findings")["lifts"] == marked


# --- Pallets ------------------------------------------------------------------------------------


def shipment(weight: Any, **terms: Any) -> Any:
    module = MODULE | {"bought_weight": weight}
    weightless = [SHEET | {"density": 0}]
    return job(
        modules=[module], materials=weightless, freight_classes=CLASSES, terms=terms,
        prices=[{"item": "pallet", "from_quantity": 1, "price": "100"}],
    )  # fmt: skip


def test_the_worked_pallet() -> None:
    """48 x 40 x 48 in and 400 lb: 53.333 cubic feet, 7.5 lb a cubic foot, class 125."""
    space = 48 * 40 * 48 / 1728
    assert space == pytest.approx(53.333, abs=5e-4)
    row = figures(shipment(400, packed_density="7.5", pallet_space=str(space)), "freight")
    assert row["space"] == pytest.approx(space, rel=1e-12)
    assert row["density"] == 7.5
    assert row["freight_class"] == 125
    assert row["pallets"] == 1


@pytest.mark.parametrize(
    ("weight", "load", "space", "pallets"),
    [(400, 500, "60", 1), (401, 400, "60", 2), (450, 500, "53.3", 2), (0, 500, "50", 0)],
)
def test_pallets_by_weight_or_by_space_whichever_needs_more(
    weight: int, load: int, space: str, pallets: int
) -> None:
    terms = {"packed_density": "7.5", "pallet_load": load, "pallet_space": space}
    row = figures(shipment(weight, **terms), "freight")
    assert row["pallets"] == pallets
    assert row["cost"] == pallets * 100


def test_packing_weighs_too() -> None:
    row = figures(shipment(400, packing_share="0.08", pallet_load=400), "freight")
    assert row["shipped"] == pytest.approx(432)
    assert row["pallets"] == 2


# --- Classes ------------------------------------------------------------------------------------

SCALE = [
    ("0.5", 400), ("1", 300), ("2", 250), ("4", 175), ("6", 125), ("8", 100), ("10", 92.5),
    ("12", 85), ("15", 70), ("22.5", 65), ("30", 60), ("35", 55), ("50", 50),
]  # fmt: skip


def class_of(density: str) -> float:
    return figures(shipment(100, packed_density=density), "freight")["freight_class"]


@pytest.mark.parametrize(("density", "freight_class"), SCALE)
def test_each_class_begins_at_its_density(density: str, freight_class: float) -> None:
    assert class_of(density) == freight_class


@pytest.mark.parametrize(
    ("next_density", "freight_class"),
    [(upper, below) for (_, below), (upper, _) in pairwise(SCALE)],
)
def test_each_class_ends_short_of_the_next_density(next_density: str, freight_class: float) -> None:
    assert class_of(f"{float(next_density) - 0.001:.3f}") == freight_class


def test_trap_the_scale_of_eighteen_classes_is_superseded() -> None:
    """At 8 lb a cubic foot the old scale says 110, the one in force says 100."""
    assert len(CLASSES) == 13
    assert class_of("8") == 100


def test_the_class_of_a_metric_job_is_by_pounds_per_cubic_foot() -> None:
    sheet = SHEET | {"length": 2440, "width": 1220, "thickness": 18, "density": 0}
    project = job(
        project={"unit": "mm"}, materials=[sheet], freight_classes=CLASSES,
        terms={"packed_density": str(round(7.5 / TO_LB_PER_FT3, 9))},
    )  # fmt: skip
    row = figures(project, "freight")
    assert row["density"] == pytest.approx(7.5, rel=1e-9)
    assert row["freight_class"] == 125
