"""Checks of the workbook itself: each counts faults, says what they mean and how to fix them.

To add a check: one line in `_findings`, with a count that is 0 when all is well.
"""

from __future__ import annotations

from estimator.expressions.functions import choose, rounded, size
from estimator.expressions.nodes import first, total
from estimator.expressions.tables import Model
from estimator.quantities.check import FAIL, OK, REVIEW, Check
from estimator.quantities.findings_of_rows import (
    row_findings,
    which_rows,
)
from estimator.quantities.findings_of_safety import safety_findings

__all__ = ["FAIL", "OK", "REVIEW", "Check", "define_findings"]


def define_findings(model: Model) -> tuple[Check, ...]:
    """The form of counts, the table of checks that reads it, and the checks' words."""
    checks = tuple(_findings(model))
    findings = model.table(
        "findings",
        "Findings",
        "Findings",
        "What each check counted; read by the sheet Checks.",
        kind="form",
    )
    for check in checks:
        findings.quantity(check.name, check.label, "1", check.count, check.meaning, show="whole")
    named = model.table(
        "named",
        "Which",
        "Findings",
        "What some checks counted, by name; read by the sheet Checks.",
        kind="form",
    )
    for check in checks:
        which = check.which
        if which is None:
            which = which_rows(model, check.count, findings[check.name])
        if which is not None:
            named.quantity(check.name, check.label, "text", which, check.meaning)
    table = model.table(
        "checks", "Checks", "Checks", "0 is OK. Fix what fails before you send a price."
    )
    key = table.label("key", "Name", "On the sheet Findings.", aside=True)
    table.label("label", "What is checked", "In words.")
    table.label("bad", "If not", "The state when it is not OK.")
    found = total(findings.values, findings.keys == key).number_of("1")
    table.quantity("found", "Found", "1", found, "How many; 0 is OK.", show="whole")
    table.quantity("state", "State", "text", choose(table["found"] == 0, OK, table["bad"]), "Live.")
    which = first(named.texts, named.keys == key)
    table.quantity("which", "Which", "text", which, "The first of what was found, by name.")
    table.label("meaning", "What it means", "When it is not OK.")
    table.label("fix", "How to fix it", "What to do.")
    for name, word in (("failing", FAIL), ("reviewing", REVIEW)):
        table.quantity(name, name, "1", choose(table["state"] == word, 1, 0), f"1 if {word}.")
    return checks


def _findings(model: Model) -> list[Check]:
    own = (
        *_of_counts(model),
        *_of_plan(model),
        *_of_prices(model),
        *_of_totals(model),
        *_of_links(model),
        *_of_lifts(model),
        *_of_kits(model),
    )
    return [*own, *row_findings(model), *safety_findings(model)]


def _of_counts(model: Model) -> list[Check]:
    counts, batches = model["counts"], model["batches"]
    missing = size(total(counts["rooms"]) - total(batches["rooms"])).number_of("1")
    return [
        Check(
            "counts_whole",
            "Counts are whole numbers",
            total(batches["odd"]),
            FAIL,
            "A room count is negative or not a whole number.",
            "Correct it on the sheet Counts.",
        ),
        Check(
            "counts_all",
            "All counts are used",
            missing,
            FAIL,
            "Rooms are counted for a type or floor that the workbook does not know yet.",
            "Enter the type on Room types or the floor on Floors, then make the next revision.",
        ),
        Check(
            "rooms_any",
            "There are rooms",
            choose(total(batches["rooms"]) > 0, 0, 1),
            FAIL,
            "No room is counted, so there is nothing to price.",
            "Enter room counts on the sheet Counts.",
        ),
    ]


def _of_plan(model: Model) -> list[Check]:
    pieces, other = model["pieces"], model["not_as_planned"]
    return [
        Check(
            "plan_covers",
            "The cut plan covers what is needed",
            total(pieces["short"]).number_of("1"),
            REVIEW,
            "Counts have grown since the sheets were planned; orders follow the live bound and its "
            "margin, the cut plan does not.",
            "Plan again before cutting.",
        ),
        Check(
            "plan_current",
            "The cut plan is for these counts",
            total(pieces["moved"]),
            REVIEW,
            "Counts have moved since the sheets were planned, so the sheet count is the proven "
            "least with a margin.",
            "Plan again for the exact count.",
        ),
        Check(
            "plan_fits",
            "The cut plan is for these sizes, materials and saw settings",
            other["count"],
            FAIL,
            "Something that the sheets were planned for is another now: a size, grain, bevel or "
            "material, the kerf, the trim or the bevel angle. Neither the sheet count nor the cut "
            "plan is right.",
            "Plan again.",
            other["which"],
        ),
    ]


def _of_prices(model: Model) -> list[Check]:
    materials, items, finishes = model["materials"], model["items"], model["finishes"]
    containers = model["containers"]
    return [
        Check(
            "prices_there",
            "Everything bought has a price",
            total(materials["unpriced"]) + total(items["unpriced"]),
            FAIL,
            "Something is needed that has no price.",
            "Enter its price, from quantity 1, on the sheet Prices.",
        ),
        Check(
            "spreading",
            "Spreading rates are plausible",
            total(finishes["odd_rate"]),
            REVIEW,
            "A finish goes much further, or less far, than finishes do; the unit may be wrong.",
            "Compare the label: area per volume in the project's units.",
        ),
        Check(
            "containers_priced",
            "Large containers are the cheapest by volume",
            total(containers["better"]),
            REVIEW,
            "A smaller container costs less for its volume, so the mix may not be the cheapest.",
            "Compare the prices on the sheet Finish.",
        ),
    ]


def _of_totals(model: Model) -> list[Check]:
    terms, stages, price, types = model["terms"], model["stages"], model["price"], model["types"]
    due = size(rounded(total(stages["share"]) - 1, terms["guard"]))
    added = rounded(total(types["line_price"]) - price["quoted"], terms["cents"])
    return [
        Check(
            "stages_whole",
            "Payment stages add up to 100 %",
            choose(due == 0, 0, 1),
            FAIL,
            "The stages ask for more or less than the total.",
            "Correct the shares on the sheet Terms.",
        ),
        Check(
            "adds_up",
            "Unit price times count is the quoted price",
            choose(added == 0, 0, 1),
            FAIL,
            "The lines of the quote do not add up to its total.",
            "A formula on Room types or Price was overwritten; start again from the last revision.",
        ),
    ]


def _of_links(model: Model) -> list[Check]:
    uses, operations = model["uses"], model["operations"]
    return [
        Check(
            "rows_used",
            "Hardware and work are for something",
            total(uses["idle"]) + total(operations["idle"]),
            REVIEW,
            "A row of hardware or of work is for something that there is none of.",
            "Look at “For each” on the sheets Hardware and Operations.",
        ),
    ]


def _of_lifts(model: Model) -> list[Check]:
    return [
        Check(
            "lifts",
            "Single lifts on site",
            total(model["modules"]["heavy"]),
            REVIEW,
            "A module weighs more than one person should lift under ideal conditions.",
            "Plan two people or a lift; see the cautions.",
        ),
    ]


def _of_kits(model: Model) -> list[Check]:
    return [
        Check(
            "kits_whole",
            "Hardware kits list all hardware",
            total(model["items"]["unpacked"]),
            REVIEW,
            "Hardware was added or moved since the kits were laid out, so that the kits of the "
            "room types leave something out.",
            "Make the next revision before anything is packed.",
        ),
    ]
