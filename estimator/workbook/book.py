"""The workbook as pages: every table in its place, the other pages, charts, what was added."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from estimator import __version__
from estimator.estimate import Estimate
from estimator.formats.description import described
from estimator.formats.migrations import FORMAT
from estimator.workbook.additions import NOTHING, Additions
from estimator.workbook.as_written import as_written_page
from estimator.workbook.charts import price_charts
from estimator.workbook.cut_plan import cut_plan_page
from estimator.workbook.history import CHANGES, WIDTHS, history_page
from estimator.workbook.layout import Layout, lay_out
from estimator.workbook.origin import FORMAT_NAME, PROPERTIES, VERSION_NAME
from estimator.workbook.own_words import own_words
from estimator.workbook.page import Book, Page
from estimator.workbook.sheets import ROLE_COLOURS, table_page
from estimator.workbook.styles import Styles
from estimator.workbook.tables import Contents, row_count
from estimator.workbook.welcome import welcome_page

WELCOME, CUT_PLAN, COUNTS, PRICE = "Welcome", "Cut plan", "Counts", "Price"
SHEETS = (
    (WELCOME, "read", "What this is, how to use it, cautions."),
    (COUNTS, "typed", "Rooms of each type on each floor, and how the job stands."),
    ("Quote", "read", "The offer by room type, and the job in a few figures."),
    (PRICE, "calculated", "The build-up from direct cost to the quoted total."),
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
    ("Hardware kits", "calculated", "Hardware of one room of each type, for shop and site."),
    ("Freight", "calculated", "Weight, pallets, cost of carrying."),
    ("Measures", "calculated", "What work and supplies are counted by."),
    ("Mixes", "calculated", "Ways to fill the finish into containers."),
    ("Pieces", "planned", "Every size that is cut, and its share of a sheet."),
)


def book_of(estimate: Estimate, additions: Additions = NOTHING) -> Book:
    """The workbook as it is to be written. additions: what stands in it beyond its tables."""
    facts, layout = estimate.project.project, layout_of(estimate)
    history = history_page(layout.placed["issued"], additions.history, facts.currency)
    pages = {
        WELCOME: welcome_page(WELCOME, facts, [(name, about) for name, _, about in SHEETS[1:]]),
        CUT_PLAN: plan_page(estimate),
        **{page.name: page for page in _tables(estimate, layout, additions)},
    }
    pages[CHANGES] = pages[CHANGES].under(history.page)
    pages[PRICE] = replace(
        pages[PRICE], charts=price_charts(layout.placed["price"], layout.placed["types"])
    )
    assert set(pages) == {each for each, *_ in SHEETS}, set(pages)
    said = own_words(page for page in pages.values() if page.name != CUT_PLAN)
    as_written, kept = as_written_page(estimate, described(estimate.model, said))
    ours = [replace(pages[name], tab_colour=ROLE_COLOURS[role]) for name, role, _ in SHEETS]
    with_added = [_with_added(page, additions) for page in (*ours, as_written)]
    return Book(
        pages=(*with_added, *additions.own),
        names=layout.names() | history.names | kept | dict(additions.names),
        title=facts.name,
        comments=f"Revision {facts.revision}",
        on_top=COUNTS,
        properties={PROPERTIES[FORMAT_NAME]: FORMAT, PROPERTIES[VERSION_NAME]: __version__},
    )


def layout_of(estimate: Estimate) -> Layout:
    """Where the tables stand."""
    rows = {table.name: row_count(table, estimate.typed[table.name]) for table in estimate.model}
    return lay_out(estimate.model, rows)


def plan_page(estimate: Estimate) -> Page:
    """The sheet Cut plan."""
    return cut_plan_page(CUT_PLAN, estimate.project, estimate.typed["pieces"], estimate.plans)


def _tables(estimate: Estimate, layout: Layout, additions: Additions) -> Iterator[Page]:
    facts = estimate.project.project
    styles = Styles(facts.unit, facts.currency)
    contents = Contents(estimate.model, estimate.typed, estimate.values, styles)
    for name, placed in layout.sheets().items():
        is_changes, wanted = name == CHANGES, additions.widths(name)
        widths = _wide_enough(wanted) if is_changes else wanted
        yield table_page(name, placed, contents, facts, widths, goes_on=is_changes)


def _with_added(page: Page, additions: Additions) -> Page:
    """The page with what a person added to it. Tables were laid out by the widths already."""
    added = additions.on_ours.get(page.name)
    if added is None:
        return page
    return page.under(replace(added, widths={}) if page.tables else added)


def _wide_enough(wanted: Mapping[int, float]) -> dict[int, float]:
    """At least as wide as the page on the sheet Changes needs it."""
    least = {at: max(width, wanted.get(at, 0.0)) for at, width in WIDTHS.items()}
    return {**wanted, **least}
