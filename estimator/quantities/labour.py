"""Labour: hours of each operation, with setting up and with repetition; days, travel and lodging.

Repetition is over rooms, in cumulative-average form: with a rate of 90 % the average time
of all rooms falls to 90 % each time their number doubles, so the average over N rooms is
N ** (ln rate / ln 2) of the first (T. P. Wright's form).
"""

from __future__ import annotations

from estimator.expressions.functions import choose, larger, logarithm, power, rounded, rounded_up
from estimator.expressions.nodes import Expression, total
from estimator.expressions.tables import Model, Table
from estimator.quantities.measures import driven
from estimator.units import UnitSystem

PERSON_HOURS = "hour*person"


def define_labour(model: Model, system: UnitSystem) -> None:
    """Hours and cost of each operation; the crew's days on site and what they cost."""
    _define_wages(model)
    _define_hours(model)
    _define_shared(model)
    _define_site(model, system)


def _define_wages(model: Model) -> None:
    grades = model["grades"]
    grades.quantity(
        "loaded",
        "Loaded wage",
        "money/hour/person",
        grades["wage"] * (grades["burden"] + 1),
        "Wage and what comes on top.",
    )


def _define_hours(model: Model) -> None:
    operations, measures, terms = model["operations"], model["measures"], model["terms"]
    operations.quantity(
        "count",
        "There are",
        "measure",
        driven(model, operations["per"]),
        "Of what it is for.",
        show="decimal",
    )
    idle = choose(operations["count"] == 0, 1, 0)
    operations.quantity("idle", "For nothing", "1", idle, "1 if there is none of what it is for.")
    operations.quantity(
        "batches",
        "Setups",
        "batch",
        total(measures.values, measures.keys == operations["setup_per"]).number_of("batch"),
        "How often it is set up.",
        show="whole",
    )
    exponent = logarithm(operations["repetition"]) / logarithm(terms["doubling"])
    rooms = larger(measures["rooms"].number_of("1"), 1)
    operations.quantity(
        "practice",
        "Practice",
        "1",
        power(rooms, exponent),
        "Average time over all rooms, as a share of the first room's.",
        show="percent",
    )
    _define_time(model)


def _define_time(model: Model) -> None:
    operations, terms = model["operations"], model["terms"]
    crew = operations["crew"]
    setting_up = (operations["setup"] * operations["batches"] * crew).to(PERSON_HOURS)
    operations.quantity(
        "setup_hours", "Setup hours", PERSON_HOURS, setting_up, "Of the crew.", show="decimal"
    )
    working = operations["minutes"] * operations["count"] * operations["practice"] * crew
    operations.quantity(
        "hours",
        "Hours",
        PERSON_HOURS,
        operations["setup_hours"] + working.to(PERSON_HOURS),
        "Setting up and working, all people.",
        show="decimal",
    )
    wage = operations.via("grade", model["grades"]["loaded"])
    operations.quantity(
        "cost",
        "Cost",
        "money",
        rounded(operations["hours"] * wage, terms["cents"]),
        "At the loaded wage.",
    )
    operations.quantity(
        "setup_cost",
        "of it setup",
        "money",
        operations["setup_hours"] * wage,
        "Does not grow with rooms.",
    )


def _define_shared(model: Model) -> None:
    """1 for work that no module, room type or profile is named for: its cost is shared out."""
    operations = model["operations"]
    measures, materials = model["measures"], model["materials"]
    named = total(measures.values, measures.keys == operations["per"])
    named = named + operations.via("per", materials["order"]).measured()
    operations.quantity(
        "shared",
        "Shared",
        "1",
        choose(named > 0, 1, 0),
        "1 if its cost is shared between room types.",
    )


def _define_site(model: Model, system: UnitSystem) -> None:
    operations = model["operations"]
    labour = model.table(
        "labour",
        "Labour in all",
        "Operations",
        "Hours in the shop and on site, days, travel and lodging.",
        kind="form",
    )

    def at(place: str, each: str) -> Expression:
        return total(operations[each], operations["where"] == place)

    for place, hours, cost, title, note in (
        ("shop", "shop_hours", "shop_cost", "Shop", "Work in the shop."),
        ("site", "site_hours", "site_cost", "Site", "Work on site."),
    ):
        labour.quantity(
            hours, f"{title} hours", PERSON_HOURS, at(place, "hours"), note, show="decimal"
        )
        labour.quantity(cost, f"{title} labour", "money", at(place, "cost"), "At loaded wages.")
    _define_days(model, labour)


def _define_days(model: Model, labour: Table) -> None:
    """Setting up, the crew's days on site, and what the road and the nights cost."""
    operations, terms, measures = model["operations"], model["terms"], model["measures"]
    labour.quantity(
        "setup_cost",
        "of it setup",
        "money",
        total(operations["setup_cost"]),
        "In shop and on site.",
    )
    crew_days = labour["site_hours"] / (terms["hours_per_day"] * terms["site_crew"])
    labour.quantity(
        "days", "Crew-days on site", "day", rounded_up(crew_days, terms["guard"]), "Whole days.",
        show="whole",
    )  # fmt: skip
    on_the_road = measures["trips"] * terms["distance"] * terms["vehicle_rate"]
    labour.quantity(
        "travel",
        "Travel",
        "money",
        rounded(on_the_road, terms["cents"]),
        "All trips, there and back.",
    )
    nights = labour["days"] * terms["site_crew"] * terms["lodging"]
    labour.quantity(
        "lodging",
        "Lodging and meals",
        "money",
        rounded(nights, terms["cents"]),
        "Crew-days times crew.",
    )
