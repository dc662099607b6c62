"""The purchaser's workbook: the offer, live within the bounds in which its price holds.

It is built up from the few figures named here. A cost, a wage, a supplier's price, an overhead, a
contingency or a margin is never among them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from functools import partial
from typing import Any

import numpy as np
import pandas as pd

from estimator.copies.band import Band, find_band
from estimator.copies.book import KEY, Cover, Pages, book_bytes, frame
from estimator.copies.purchaser_model import ASK, HOLDS, purchaser_model
from estimator.copies.requote import quoted_counts
from estimator.documents.figures import figures_of, rows
from estimator.estimate import Estimate
from estimator.project.frames import plain
from estimator.project.records import Facts, Module, Project
from estimator.workbook.layout import Layout, Placed, form_rows
from estimator.workbook.page import Corners, Highlight, Page, Validation, look
from estimator.workbook.widths import LINE_HEIGHT

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
            ("Valid until", _valid_until(facts)), ("Currency", facts.currency),
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


def _valid_until(facts: Facts) -> str:
    """The last day of the offer; nothing where the calendar ends before it."""
    try:
        return figures_of(facts).day(facts.issued + timedelta(days=facts.valid_days))
    except OverflowError:
        return ""


# --- What may be seen, table by table ------------------------------------------------------------


def _counts(estimate: Estimate) -> pd.DataFrame:
    grid = estimate.typed["counts"]
    floors = [floor.key for floor in estimate.project.floors]
    types = estimate.project.types
    words = {name: [getattr(each, name) for each in types] for name in ("name", "description")}
    return grid[["room_type", *floors]].fillna(dict.fromkeys(floors, 0)).assign(**words)


def _tables(estimate: Estimate, band: Band) -> Iterator[tuple[str, list[Row]]]:
    project, values = estimate.project, estimate.values
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
        [{"revision": project.project.revision, "valid_until": _valid_until(project.project)}],
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
    terms, price = estimate.project.terms, estimate.values["price"].iloc[0]
    direct = price["direct"] or 1.0
    return {
        "sale_tax": plain(terms.sale_tax),
        "taxed_sale": plain(terms.taxed_sale),
        "freight": round(price["freight"] / direct, 2),
        "installation": round(price["site"] / direct, 2),
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
    used = quoted_counts(estimate).sum(axis=0) > 0
    for floor, has_rooms in zip(estimate.project.floors, used, strict=True):
        most = band.most_rooms if has_rooms else 0
        yield {"key": floor.key, "name": floor.name, "least": int(has_rooms), "most": most}


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
         "weeks": estimate.values["summary"]["lead"].iloc[0]},
    ]  # fmt: skip


# --- Bounds and marks ----------------------------------------------------------------------------


GOOD = look(bold=True, font_color="#1F5132", bg_color="#DCEBDD")
BAD = look(bold=True, font_color="#8C1D18", bg_color="#F7DAD7")


def _finish(pages: Pages, layout: Layout, *, band: Band, modules: list[Row]) -> Pages:
    """Bounds on the count cells, and the answer made plain to see."""
    counts = layout.placed["counts"]
    bounds = tuple(_bounds(counts, band))
    kept = (each for each in pages[ROOMS].validations if each.area[0] != counts.first)
    changed = {
        ROOMS: replace(pages[ROOMS], validations=(*kept, *bounds)),
        "Modules": _narrow(pages["Modules"], layout.placed["modules"], modules),
    }
    marks = list(_marks(layout))
    return {
        name: replace(page, highlights=tuple(mark for sheet, mark in marks if sheet == name))
        for name, page in (pages | changed).items()
    }


def _marks(layout: Layout) -> Iterator[tuple[str, Highlight]]:
    """How the answers look, by sheet: as good, or as a reason to ask."""
    places: list[tuple[str, Corners]] = []
    for form in ("answer", "acceptance"):
        row = form_rows(layout.placed[form])["state"]
        places.append((layout.placed[form].sheet, (row, 1, row, 1)))
    for table in ("rooms", "floors"):
        placed = layout.placed[table]
        column = placed.columns["state"]
        places.append((placed.sheet, (placed.first, column, placed.last, column)))
    for sheet, area in places:
        yield sheet, Highlight(area, ASK, BAD)
        yield sheet, Highlight(area, HOLDS, GOOD)


def _bounds(grid: Placed, band: Band) -> Iterator[Validation]:
    """Each cell takes no more rooms than its type may have; the bounds in all are told beside."""
    left = grid.columns["rooms"]
    right = left + len(grid.table.axis) - 1
    for row, (least, most) in enumerate(np.column_stack([band.least, band.most]), start=grid.first):
        yield Validation(
            (row, left, row, right),
            {
                "validate": "integer", "criteria": "between", "minimum": 0, "maximum": int(most),
                "input_title": "Rooms",
                "input_message": f"On all floors together {least:g} to {most:g} of this type.",
                "error_title": "Beyond the bounds",
                "error_message": "The price does not hold for so many rooms: ask for a new price.",
            },
        )  # fmt: skip


def _narrow(page: Page, placed: Placed, modules: list[Row], width: int = 25) -> Page:
    """Long words in more lines, so that the schedule can be read on a print."""
    names = ("description", "material", "finish")
    heights = {
        row: LINE_HEIGHT * max(-(-len(module[name]) // (width - 4)) for name in names) + 2
        for row, module in enumerate(modules, start=placed.first)
    }
    widths = dict.fromkeys((placed.columns[name] for name in names), float(width))
    return page.under(Page(page.name, widths=widths, heights=heights))
