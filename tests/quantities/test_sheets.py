"""Sheets: strips with their kerf, two bevelled pieces from one angled rip, one wall from one sheet.

Strip counts are derived: N strips of width w leave N - 1 kerfs, so N = floor((S + k) / (w + k)).
The shared rip is derived from the section of the cut; its numbers were calculated apart from the
product. The sheet of 48 x 96 in, the kerf of 1/8 in, rails of 5 1/2 in at 45 degrees, and that one
wall comes out of less than one sheet: common practice, no source.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest

from estimator.cut_plans import RIP_STEP, shared_rip
from estimator.estimate import Estimate, estimate
from estimator.planner.cutting import CutPart, Stock, plan_sheets
from estimator.project.records import Project
from estimator.project.templates import read_template
from tests.quantities.jobs import PART, SHEET, figures, job

KERF = Fraction(1, 8)


def sheets_for(width: Any, strips: int, sheet: Any = 48, kerf: Fraction = KERF) -> int:
    """Sheets that so many strips of the whole length take, by the planner."""
    parts = [CutPart("strip", Fraction(96), Fraction(width), strips)]
    return plan_sheets(parts, [Stock("sheet", 96, Fraction(sheet))], kerf=kerf).sheets


@pytest.mark.parametrize(
    ("sheet", "width", "strips"),
    [
        (48, "5.5", 8), (48, 4, 11), (48, "2.875", 16), (48, 12, 3), (48, 24, 1),
        (48, "11.90625", 4),  # exactly; floor(S / (w + k)) would say 3
        (96, "23.90625", 4),
    ],
)  # fmt: skip
def test_strips_with_their_kerf(sheet: int, width: Any, strips: int) -> None:
    assert math.floor((sheet + KERF) / (Fraction(width) + KERF)) == strips
    assert sheets_for(width, strips, sheet) == 1
    assert sheets_for(width, strips + 1, sheet) == 2


@pytest.mark.parametrize(("width", "strips"), [(4, 12), (12, 4)])
def test_strips_if_a_saw_took_nothing(width: int, strips: int) -> None:
    assert sheets_for(width, strips, kerf=Fraction(0)) == 1
    assert sheets_for(width, strips) == 2


# --- The shared rip -----------------------------------------------------------------------------


def rip(width: Any, unit: str = "in", angle: int = 45, kerf: Any = "1/8", thick: Any = "3/4",
        form: str = "sheet") -> Fraction | None:  # fmt: skip
    project = job(
        project={"unit": unit},
        terms={"bevel_angle": angle, "kerf": kerf},
        materials=[SHEET | {"thickness": thick, "form": form}],
    )
    return shared_rip(project, project.materials[0], Fraction(width))


@pytest.mark.parametrize(
    ("strip", "asked"),
    [
        (5.42678, {"width": 3}),
        (5.71132, {"width": 3, "angle": 30}),
        (5.47378, {"width": 3, "thick": "0.703"}),
        (10.427, {"width": "5.5"}),
        (136.525, {"width": 75, "unit": "mm", "kerf": "3.2", "thick": 18}),
    ],
)
def test_the_strip_that_two_bevelled_pieces_share(strip: float, asked: dict[str, Any]) -> None:
    """Never below the derived strip, and above it by less than the step a rule can be set to."""
    found = rip(**asked)
    assert found is not None
    step = RIP_STEP["mm" if asked.get("unit") == "mm" else "in"]
    printed = 0.001 if strip > 10 else 0.00001
    assert strip - printed <= found < strip + float(step) + printed
    assert found % step == 0


def test_sharing_saves_what_the_bevels_overlap() -> None:
    """Two 5 1/2 in rails: 10.427 in together, 11.125 in apart with the kerf between them."""
    found = rip("5.5")
    assert found is not None
    assert 2 * Fraction("5.5") + KERF == Fraction("11.125")
    assert found < Fraction("11.125") - Fraction("0.65")


def test_the_areas_of_the_section_agree() -> None:
    """strip x t = two sections of t (w - t / 2) and a kerf of k t sqrt 2, at 45 degrees."""
    width, t, k = 3.0, 0.75, 0.125
    strip = 2 * width - t + k * math.sqrt(2)
    assert strip * t == pytest.approx(t * (2 * width - t) + k * t * math.sqrt(2), rel=1e-12)
    assert strip == pytest.approx(5.42678, abs=5e-6)
    back = (6 + t - k * math.sqrt(2)) / 2
    assert back == pytest.approx(3.28661, abs=5e-6)
    assert back - t == pytest.approx(2.53661, abs=5e-6)


def test_bought_lengths_bring_their_bevel() -> None:
    assert rip(3, form="length") is None


def test_sixteen_cleats_of_eight_feet_from_eight_strips() -> None:
    """Eight shared strips of 5.42678 in; as bare 6 in strips there would be seven. What is left
    beside the eight, 3 1/2 in, gives a seventeenth cleat by itself."""
    strip = rip(3)
    assert strip is not None
    assert math.floor((48 + KERF) / (strip + KERF)) == 8
    for cleats, sheets in ((16, 1), (17, 1), (18, 2)):
        parts = [CutPart("cleat", Fraction(96), Fraction(3), cleats, shares_rip=strip)]
        assert plan_sheets(parts, [Stock("sheet", 96, 48)], kerf=KERF).sheets == sheets
    assert sheets_for(6, 7) == 1
    assert sheets_for(6, 8) == 2


# --- One wall -----------------------------------------------------------------------------------


def pieces_area(found: Estimate) -> float:
    pieces = found.typed["pieces"].merge(found.values["pieces"][["key", "needed"]], on="key")
    return float((pieces["length"] * pieces["width"] * pieces["needed"]).sum())


@pytest.mark.slow
@pytest.mark.parametrize("name", ["one-wall", "one-wall-metric"])
def test_one_wall_comes_out_of_less_than_one_sheet(name: str) -> None:
    """With the real planner: rails, small shelves and a small cabinet are not two sheets."""
    project: Project = read_template(name)
    found = estimate(project)
    sheet = found.values["materials"].iloc[0]
    assert sheet["planned"] == sheet["order"] == 1
    assert 0 < sheet["least"] < 1
    assert sheet["bound"] == pytest.approx(sheet["least"], rel=1e-6)
    whole = float(project.materials[0].length * project.materials[0].width)
    assert pieces_area(found) / whole <= sheet["least"] + 1e-9
    assert found.values["price"].loc[0, "materials"] == sheet["price_each"]


def test_a_part_used_sheet_may_be_priced_by_its_share() -> None:
    """A quarter of a sheet, at 100 a sheet."""
    quarter = PART | {"length": 48, "width": 24}
    prices = [{"item": "sheet", "from_quantity": 1, "price": 100}]
    for whole, cost in (("yes", 100), ("no", 25)):
        project = job(parts=[quarter], prices=prices, terms={"whole_last_sheet": whole})
        row = figures(project, "materials")
        assert row["order"] == 1
        assert row["cost"] == cost
