"""The workbook: every table in its place, live, with its values; pages, charts and cut plans."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from estimator import __version__
from estimator.estimate import Estimate
from estimator.files import whole_file
from estimator.formats.description import described
from estimator.formats.migrations import FORMAT
from estimator.project.records import Facts
from estimator.workbook.additions import NOTHING, Additions, write_added, write_own_sheets
from estimator.workbook.as_written import AS_WRITTEN, write_as_written
from estimator.workbook.charts import cost_by_kind, price_by_room_type
from estimator.workbook.cut_plan import write_cut_plan
from estimator.workbook.history import CHANGES, WIDTHS, write_history
from estimator.workbook.layout import Placed, lay_out
from estimator.workbook.origin import FORMAT_NAME, PROPERTIES, VERSION_NAME
from estimator.workbook.own_words import own_words
from estimator.workbook.sheets import (
    ROLE_COLOURS,
    freeze,
    mark_states,
    protect,
    set_up_page,
    set_widths,
    validate,
)
from estimator.workbook.styles import Styles
from estimator.workbook.tables import Contents, row_count, write_table
from estimator.workbook.welcome import write_welcome

WELCOME, CUT_PLAN = "Welcome", "Cut plan"
SHEETS = (
    (WELCOME, "read", "What this is, how to use it, cautions."),
    ("Counts", "typed", "Rooms of each type on each floor, and how the job stands."),
    ("Quote", "read", "The offer by room type, and the job in a few figures."),
    ("Price", "calculated", "The build-up from direct cost to the quoted total."),
    ("Checks", "calculated", "What to fix before a price leaves the office."),
    ("Buy list", "read", "All that is bought, in the units it is sold in."),
    (CUT_PLAN, "planned", "How each sheet and length is cut."),
    ("Project", "typed", "Names, dates, currency, unit."),
    ("Terms", "typed", "Numbers that hold for the whole job; payment stages."),
    ("Floors", "typed", "Floors, and the batches made for them."),
    ("Room types", "typed", "The kinds of room, with price and share of each."),
    ("Contents", "typed", "Which modules hang in a room of each type."),
    ("Rails", "typed", "Rail runs and profiles: pieces, studs, screws."),
    ("Modules", "typed", "What hangs on the rails."),
    ("Parts", "typed", "What the modules are made of."),
    ("Materials", "typed", "Sheets and bought lengths: planned and live counts, cost."),
    ("Hardware", "typed", "Fasteners, hardware and supplies by what drives them."),
    ("Items", "typed", "What is bought by the pack."),
    ("Prices", "typed", "Prices by quantity."),
    ("Finish", "typed", "Finishes, their volume and containers."),
    ("Operations", "typed", "Work in the shop and on site, hours and days."),
    ("Rates", "typed", "Wages and freight classes."),
    ("Limits", "typed", "What strength, heights and accessible rooms are checked by."),
    ("Scope", "typed", "Inclusions, exclusions, allowances, cautions."),
    ("Alternates", "typed", "Other materials and finishes, as differences."),
    (CHANGES, "typed", "What was issued to whom; what this revision changes, and the price walk."),
    ("Figures", "calculated", "The job in a few figures."),
    ("Findings", "calculated", "What each check counted."),
    ("Safety", "calculated", "Accessible rooms and single lifts, as calculated."),
    ("Freight", "calculated", "Weight, pallets, cost of carrying."),
    ("Measures", "calculated", "What work and supplies are counted by."),
    ("Mixes", "calculated", "Ways to fill the finish into containers."),
    ("Pieces", "planned", "Every size that is cut, and its share of a sheet."),
)


def write_workbook(estimate: Estimate, path: Path, additions: Additions = NOTHING) -> None:
    """Write the workbook; the file appears whole or not at all.

    path: must not exist, since a person may have edited what is there. additions: what stands in it
    beyond its tables.
    """
    with whole_file(path) as temporary:
        _write(estimate, temporary, additions)


def _write(estimate: Estimate, path: Path, additions: Additions) -> None:
    book = Workbook(path, {"strings_to_formulas": False, "strings_to_urls": False})
    facts = estimate.project.project
    book.set_properties({"title": facts.name, "comments": f"Revision {facts.revision}"})
    book.set_custom_property(PROPERTIES[FORMAT_NAME], FORMAT)
    book.set_custom_property(PROPERTIES[VERSION_NAME], __version__)
    book.set_calc_mode("auto")
    styles = Styles(book, facts.unit, facts.currency)
    contents = Contents(estimate.model, estimate.typed, estimate.values)
    rows = {table.name: row_count(table, estimate.typed[table.name]) for table in estimate.model}
    layout = lay_out(estimate.model, rows)
    by_sheet = layout.sheets()
    sheets = {name: book.add_worksheet(name) for name, _, _ in SHEETS}
    assert set(by_sheet) <= set(sheets), set(by_sheet) - set(sheets)
    for name, role, _ in SHEETS:
        sheets[name].set_tab_color(ROLE_COLOURS[role])
        if name in by_sheet:
            _write_sheet(book, sheets[name], by_sheet[name], contents, facts, styles, additions)
    issued = layout.placed["issued"]
    history = write_history(book, sheets[CHANGES], issued, additions.history, styles)
    kept = sheets[AS_WRITTEN] = book.add_worksheet(AS_WRITTEN)
    _write_pages(sheets, estimate, additions, styles)
    said = {name: sheet for name, sheet in sheets.items() if name not in (CUT_PLAN, AS_WRITTEN)}
    description = described(estimate.model, own_words(book, said, layout))
    as_written = write_as_written(kept, estimate, description, styles)
    for name, where in (layout.names() | history | as_written).items():
        book.define_name(name, where)
    cost_by_kind(book, layout.placed["price"])
    price_by_room_type(book, layout.placed["types"], layout.placed["price"])
    for name, added in additions.on_ours.items():
        write_added(sheets[name], added, styles)
    write_own_sheets(book, additions, styles)
    sheets["Counts"].activate()
    book.close()


def _write_pages(
    sheets: Mapping[str, Worksheet], estimate: Estimate, additions: Additions, styles: Styles
) -> None:
    """The sheets without a table."""
    facts, pieces = estimate.project.project, estimate.typed["pieces"]
    write_welcome(sheets[WELCOME], facts, [(n, about) for n, _, about in SHEETS[1:]], styles)
    write_cut_plan(sheets[CUT_PLAN], estimate.project, pieces, estimate.plans, styles)
    for name in (WELCOME, CUT_PLAN, AS_WRITTEN):
        set_up_page(sheets[name], [], facts)
        protect(sheets[name])
        for column, width in additions.widths(name).items():
            sheets[name].set_column(column, column, width)


def _write_sheet(
    book: Workbook,
    sheet: Worksheet,
    placed: list[Placed],
    contents: Contents,
    facts: Facts,
    styles: Styles,
    additions: Additions,
) -> None:
    for each in placed:
        write_table(sheet, each, contents, styles)
        validate(sheet, each)
        if each.table.name == "checks":
            mark_states(book, sheet, each)
    wanted = dict(additions.widths(sheet.get_name()))
    if sheet.get_name() == CHANGES:  # its page needs room, and runs on below the register
        wanted |= {at: max(width, wanted.get(at, 0.0)) for at, width in WIDTHS.items()}
        set_up_page(sheet, [], facts)
        sheet.freeze_panes(0, 1)
    else:
        set_up_page(sheet, placed, facts)
        freeze(sheet, placed)
    set_widths(sheet, placed, contents.values, wanted)
    protect(sheet)
