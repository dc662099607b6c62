"""The purchaser's workbook: the offer, live within the bounds in which its price holds.

It is built up from the few figures named here. A cost, a wage, a supplier's price, an overhead, a
contingency or a margin is never among them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import Any

import pandas as pd

from estimator.documents.figures import figures_of, only, rows, whole
from estimator.estimate import Estimate
from estimator.price_band.band import Band, find_band
from estimator.project.frames import plain
from estimator.project.records import Module, Project
from estimator.quantities.days import last_day
from estimator.quantities.small_models.purchaser import ASK, HOLDS, purchaser_model
from estimator.workbook.layout import Layout
from estimator.workbook.marks import BAD, GOOD, RowBound, bound_grid, marked_words, wrapped
from estimator.workbook.small_book import KEY, Cover, Pages, book_bytes, frame

Row = dict[str, Any]
ROOMS = "Rooms"
FIRST = (ROOMS, "Price", "Alternates", "Modules", "Furniture", "Rails", "By floor")


def purchaser_book(estimate: Estimate, band: Band | None = None) -> bytes:
    """The workbook as a file's bytes.

    band: where the price holds; found by many new estimates when left out.
    """
    found = band or find_band(estimate)
    facts = estimate.project.project
    model = purchaser_model(facts.unit, [floor.key for floor in estimate.project.floors])
    tables = dict(_tables(estimate, found))
    typed: dict[str, pd.DataFrame] = {"counts": _counts(estimate)}
    typed |= {each.name: frame(model, each.name, tables[each.name]) for each in model
              if each.name != "counts"}  # fmt: skip
    return book_bytes(
        model,
        typed,
        facts,
        _cover(estimate),
        partial(_finish, band=found, modules=tables["modules"]),
        FIRST,
        ROOMS,
    )


def _cover(estimate: Estimate) -> Cover:
    facts = estimate.project.project
    show = figures_of(facts)
    return Cover(
        facts.name,
        "Wall-hung furniture: rooms, price, furniture, terms.",
        (
            ("For", facts.client), ("Place", facts.place), ("From", facts.prepared_by),
            ("Revision", facts.revision), ("Date", show.day(facts.issued)),
            ("Valid until", show.day(last_day(facts))), ("Currency", facts.currency),
            ("Remark", facts.remark),
        ),
        (
            "Rooms: change how many rooms there are of each type on each floor. The price follows "
            "at once, in any spreadsheet program and without macros.",
            "The price holds while the sheet Rooms says so. Outside its bounds it says: ask for a "
            "new price; the figures are then no offer.",
            "Alternates: say yes to take one. Acceptance: fill in, sign, and send it back.",
        ),
        KEY,
        [each.text for each in estimate.project.clauses if each.kind == "caution"],
    )  # fmt: skip


# --- What may be seen, table by table ------------------------------------------------------------


def _counts(estimate: Estimate) -> pd.DataFrame:
    grid = estimate.typed["counts"]
    floors = [floor.key for floor in estimate.project.floors]
    types = estimate.project.types
    words = {name: [getattr(each, name) for each in types] for name in ("name", "description")}
    return grid[["room_type", *floors]].fillna(dict.fromkeys(floors, 0)).assign(**words)


def _tables(estimate: Estimate, band: Band) -> Iterator[tuple[str, list[Row]]]:
    project, values = estimate.project, estimate.values
    facts = project.project
    figures = figures_of(facts)
    yield (
        "batches",
        [
            {"room_type": each.key, "floor": floor.key, "floor_name": floor.name}
            for each in project.types
            for floor in project.floors
        ],
    )
    yield "rates", [_rates(estimate)]
    yield "rooms", list(_rooms(estimate, band))
    yield "floors", list(_floors(estimate, band))
    yield "answer", [{"least": band.least_rooms, "most": band.most_rooms}]
    yield "parts", [{}]
    yield "alternates", [_alternate(each) for each in rows(values["alternates"])]
    yield from _furniture(project)
    yield "times", _times(estimate)
    yield (
        "stages",
        [
            {"number": each.number, "name": each.name, "share": plain(each.share)}
            for each in project.stages
        ],
    )
    yield "clauses", [
        {"kind": each.kind, "text": each.text,
         "amount": plain(each.amount) if each.kind == "allowance" else None}
        for each in project.clauses
    ]  # fmt: skip
    yield (
        "acceptance",
        [{"revision": facts.revision, "valid_until": figures.day(last_day(facts))}],
    )


def _furniture(project: Project) -> Iterator[tuple[str, list[Row]]]:
    names = {each.key: each.name for each in project.modules}
    yield "contents", [
        {"room_type": each.room_type, "module": each.module, "each": each.each,
         "name": names[each.module]}
        for each in project.contents
    ]  # fmt: skip
    yield "modules", [_module(each, project) for each in project.modules]
    profiles = {each.key: each.name for each in project.profiles}
    yield "runs", [
        {"room_type": each.room_type, "key": each.key, "length": plain(each.length),
         "bottom": plain(each.bottom), "profile": profiles[each.profile]}
        for each in project.runs
    ]  # fmt: skip


def _rates(estimate: Estimate) -> Row:
    """Shares of the price only to the nearest per cent, so that no rate follows from them."""
    terms, price = estimate.project.terms, only(estimate.values["price"])
    return {
        "sale_tax": plain(terms.sale_tax),
        "taxed_sale": plain(terms.taxed_sale),
        "freight": price["freight_share"],
        "installation": price["site_share"],
        "tolerance": plain(terms.band_tolerance),
        "cents": terms.cents,
        "guard": terms.guard,
    }


def _rooms(estimate: Estimate, band: Band) -> Iterator[Row]:
    types = rows(estimate.values["types"])
    figures = zip(types, band.each, band.fixed, band.least, band.most, strict=True)
    for each, price, fixed, least, most in figures:
        yield {
            "key": each["key"], "name": each["name"],
            "quoted": each["counted"], "mock_ups": each["mock_ups"],
            "each": price, "fixed": fixed, "least": least, "most": most,
        }  # fmt: skip


def _floors(estimate: Estimate, band: Band) -> Iterator[Row]:
    """A floor that has rooms in the quote keeps one; one that has none stays empty."""
    for each in rows(estimate.values["floors"]):
        most = band.most_rooms if each["fitted"] else 0
        yield {"key": each["key"], "name": each["name"], "least": each["fitted"], "most": most}


def _alternate(row: Row) -> Row:
    by = row["difference"]
    effect = "adds" if by > 0 else "deducts" if by < 0 else "changes nothing"
    return {"key": row["key"], "name": row["name"], "effect": effect, "by": by, "take": "no"}


def _module(module: Module, project: Project) -> Row:
    parts = [each for each in project.parts if each.module == module.key]
    materials = {each.key: each.name for each in project.materials}
    finishes = {each.key: each.name for each in project.finishes}
    made_of = dict.fromkeys(materials[each.material] for each in parts)
    put_on = dict.fromkeys(finishes[each.finish] for each in parts if each.finish)
    return {
        "key": module.key,
        "name": module.name,
        "description": module.description,
        **{side: plain(getattr(module, side)) for side in ("width", "height", "depth")},
        "material": ", ".join(made_of) or "bought",
        "finish": ", ".join(put_on) or "none",
        "spares": plain(module.spares),
    }


def _times(estimate: Estimate) -> list[Row]:
    return [
        {"what": "From order to first delivery", "weeks": estimate.project.project.lead_weeks},
        {"what": "Longest lead time of what is bought in, of that",
         "weeks": only(estimate.values["summary"])["lead"]},
    ]  # fmt: skip


# --- Bounds and marks ----------------------------------------------------------------------------

BEYOND = "The price does not hold for so many rooms: ask for a new price."


def _finish(pages: Pages, layout: Layout, *, band: Band, modules: list[Row]) -> Pages:
    """Bounds on the count cells, and the answer made plain to see."""
    placed = layout.placed
    bounds = [
        RowBound(whole(most), f"On all floors together {least:g} to {most:g} of this type.")
        for least, most in zip(band.least, band.most, strict=True)
    ]
    long = ("description", "material", "finish")
    changed = {
        ROOMS: bound_grid(pages[ROOMS], placed["counts"], "rooms", bounds, "Rooms", BEYOND),
        "Modules": wrapped(pages["Modules"], placed["modules"], modules, long),
    }
    answers = [(placed[name], "state") for name in ("answer", "acceptance", "rooms", "floors")]
    marks = list(marked_words(answers, {ASK: BAD, HOLDS: GOOD}))
    return {
        name: replace(page, highlights=tuple(mark for sheet, mark in marks if sheet == name))
        for name, page in (pages | changed).items()
    }
