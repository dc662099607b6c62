"""Figures as papers tell them: whole pieces, shares to the per cent, amounts unsigned, days."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.copies.requests import asked_of
from estimator.project.records import Facts
from estimator.project.templates import list_templates, read_template
from estimator.quantities.days import last_day, needed_by
from tests.quantities.jobs import ITEM, MODULE, figures, job, values
from tests.workbook.estimates import estimated

TEMPLATES = [each.name for each in list_templates()]


def test_what_is_asked_for_is_rounded_up_after_noise() -> None:
    """100 × 0.07 is a hair over 7 in floats: 7 are asked for, and with 1 % loss 8."""
    uses = [{"per": "box", "item": "item", "amount": "0.07"}]
    contents = [{"room_type": "room", "module": "box", "each": 100}]
    asked = [
        figures(job(items=[ITEM | {"loss": loss}], uses=uses, contents=contents), "items")
        for loss in ("0", "0.01")
    ]
    assert asked[0]["used"] > 7
    assert [each["whole"] for each in asked] == [7, 8]


@pytest.mark.parametrize("template", TEMPLATES)
def test_requests_ask_for_what_the_workbook_says(template: str) -> None:
    estimate = estimated(read_template(template))
    found = estimate.values
    expected = {
        **dict(zip(found["items"]["key"], found["items"]["whole"], strict=True)),
        **dict(zip(found["containers"]["key"], found["containers"]["count"], strict=True)),
        **dict(zip(found["materials"]["key"], found["materials"]["order"], strict=True)),
        "pallet": found["freight"]["pallets"].iloc[0],
    }
    asked = {line.key: line.quantity for lines in asked_of(estimate).values() for line in lines}
    assert len(asked) > 5
    assert asked == {key: expected[key] for key in asked}


@pytest.mark.parametrize("template", TEMPLATES)
def test_shares_of_the_price_are_told_to_the_per_cent(template: str) -> None:
    price = values(read_template(template))["price"].iloc[0]
    for share, part in (("freight_share", "freight"), ("site_share", "site")):
        assert price[share] == pytest.approx(price[part] / price["direct"], abs=0.005 + 1e-12)
        assert round(price[share] * 100, 9) == round(price[share] * 100)


def test_nothing_is_a_share_of_nothing() -> None:
    price = figures(job(modules=[MODULE]), "price")
    assert (price["direct"], price["freight_share"], price["site_share"]) == (0, 0, 0)


@pytest.mark.parametrize("template", TEMPLATES)
def test_amounts_of_alternates_and_pallets(template: str) -> None:
    found = values(read_template(template))
    alternates, freight = found["alternates"], found["freight"].iloc[0]
    assert (alternates["amount"] == alternates["difference"].abs()).all()
    assert freight["pallet_weight"] * freight["pallets"] == pytest.approx(freight["shipped"])


# --- Days -----------------------------------------------------------------------------------------


def facts(issued: date, **more: int) -> Facts:
    return Facts(name="Invented", unit="in", issued=issued, **more)  # type: ignore[arg-type]


def test_an_offer_of_thirty_days_in_march() -> None:
    assert last_day(facts(date(2026, 3, 2), valid_days=30)) == date(2026, 4, 1)


def test_material_is_needed_half_way_to_the_first_delivery() -> None:
    """Of 8 weeks 4; of 3 weeks ten days and a half, so ten days."""
    assert needed_by(facts(date(2026, 3, 2), lead_weeks=8)) == date(2026, 3, 30)
    assert needed_by(facts(date(2026, 3, 2), lead_weeks=3)) == date(2026, 3, 12)


def test_where_the_calendar_ends_there_is_no_day() -> None:
    assert last_day(facts(date(9999, 12, 1), valid_days=31)) is None
    assert needed_by(facts(date(9999, 12, 1), lead_weeks=520)) is None


@given(st.dates(date(1900, 1, 1), date(2200, 1, 1)), st.integers(0, 520))
def test_what_is_needed_is_there_before_the_delivery(issued: date, weeks: int) -> None:
    needed = needed_by(facts(issued, lead_weeks=weeks))
    assert needed is not None
    assert issued <= needed <= issued + timedelta(weeks=weeks)
