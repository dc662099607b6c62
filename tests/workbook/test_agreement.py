"""Every formula comes, in other programs, to the value that the package calculated and cached.

LibreOffice Calc calculates all workbooks afresh, formualizer and ironcalc the demo. Then counts
are changed in the file, as a person does, and the programs have to agree with what the package
calculates for those counts under the same plan. That the programs calculate, and do not hand back
what is cached, is shown in tests/engines/test_recalculation.py; here the changed counts show it
again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from estimator.estimate import Estimate
from estimator.workbook.write import write_workbook
from tests.engines import calc, others
from tests.engines.cells import Place, Value, formula_values, formulas, set_inputs, values
from tests.engines.compare import Disagreement, disagreements
from tests.workbook.bare import bare_copy
from tests.workbook.conftest import TEMPLATES, Book
from tests.workbook.estimates import estimated, with_counts
from tests.workbook.formulas import cells_of_name
from tests.workbook.random_projects import some_projects

pytestmark = pytest.mark.slow

DEMO = "merrowby-lodge"
RANDOM_PROJECTS = 55
FORMULAS = 300
"""The least number of formulas of any workbook here, so that no comparison is of nothing."""
Counts = dict[tuple[str, str], float]
Values = Mapping[Place, Value]


def recalculated(path: Path) -> Values:
    """What Calc makes of every formula of a workbook."""
    bare = bare_copy(path, path.with_suffix(".bare.xlsx"))
    return formula_values(calc.recalculate([bare], path.parent / "calc")[bare])


def with_formulas(path: Path, found: list[Disagreement]) -> list[tuple[Disagreement, str]]:
    """Each disagreement beside the formula it is about."""
    texts = formulas(path) if found else {}
    return [(each, texts.get(each.place, "no formula")) for each in found]


# --- As issued ------------------------------------------------------------------------------------


def test_calc_agrees_on_every_template(book: Book, tmp_path: Path) -> None:
    """The files as they are handed out, notes, charts and print titles included, and saved."""
    fresh = formula_values(calc.recalculate([book.path], tmp_path)[book.path])
    found = disagreements(formula_values(book.path), fresh, at_least=FORMULAS)
    assert with_formulas(book.path, found) == []


def test_calc_agrees_on_random_projects(tmp_path: Path) -> None:
    made = some_projects(RANDOM_PROJECTS)
    assert len(made) >= 50
    for number, project in enumerate(made):
        path = tmp_path / f"random-{number}.xlsx"
        write_workbook(estimated(project), path)
        found = disagreements(formula_values(path), recalculated(path), at_least=FORMULAS)
        assert with_formulas(path, found) == [], f"kept: {path}"


@pytest.mark.parametrize("engine", [others.by_formualizer, others.by_ironcalc])
def test_other_engines_agree_on_the_demo(
    engine: Callable[[Path], Values], books: Mapping[str, Book]
) -> None:
    path = books[DEMO].path
    found = disagreements(formula_values(path), engine(path), at_least=2_000)
    assert with_formulas(path, found) == []


# --- Counts changed in the file -------------------------------------------------------------------


def mixes(estimate: Estimate) -> Iterator[Counts]:
    """Other rooms than those counted: none, twice as many, one type alone, wrong ones too."""
    grid = estimate.typed["counts"].set_index("room_type")
    places = [(str(key), str(floor)) for key in grid.index for floor in grid.columns]
    now = dict(zip(places, grid.to_numpy(dtype=float).ravel().tolist(), strict=True))
    last = places[-1][0]
    yield dict.fromkeys(places, 0.0)
    yield {place: 2 * rooms for place, rooms in now.items()}
    yield {place: 3 * rooms if place[0] == last else 0.0 for place, rooms in now.items()}
    yield {place: 7.0 * at % 11 for at, place in enumerate(places, start=1)}
    yield {**now, places[0]: now[places[0]] + 1}
    yield {**now, places[0]: 2.5, places[-1]: -1.0}


@dataclass(frozen=True)
class Changed:
    """A workbook in which a person changed counts, and what the package calculates for those.

    stale: what the file still caches.
    """

    path: Path
    stale: Values
    expected: Values


def changed_books(book: Book, folder: Path) -> list[Changed]:
    """The workbook under each mix."""
    found, stale = [], formula_values(book.path)
    for number, counts in enumerate(mixes(book.estimate)):
        changed = set_inputs(
            book.path, count_cells(book, counts), folder / f"changed-{number}.xlsx"
        )
        write_workbook(with_counts(book.estimate, counts), folder / f"calculated-{number}.xlsx")
        expected = formula_values(folder / f"calculated-{number}.xlsx")
        found.append(Changed(changed, stale, expected))
    return found


def count_cells(book: Book, counts: Counts) -> dict[Place, float | str]:
    """The cells of the sheet Counts that hold these rooms."""
    types = [cell.value for cell in cells_of_name(book.read, "counts_room_type")[:-1]]
    floors = [cell.value for cell in cells_of_name(book.read, "counts_axis")]
    rooms = iter(cells_of_name(book.read, "counts_rooms"))
    places = {(str(key), str(floor)): next(rooms) for key in types for floor in floors}
    return {("Counts", places[place].coordinate): number for place, number in counts.items()}


@pytest.fixture(scope="module")
def under_mixes(
    books: Mapping[str, Book], tmp_path_factory: pytest.TempPathFactory
) -> Callable[[str], list[Changed]]:
    """The workbook of a template under each mix, made when it is first asked for."""
    return cache(lambda name: changed_books(books[name], tmp_path_factory.mktemp("changed")))


@pytest.mark.parametrize("name", TEMPLATES)
def test_calc_follows_changed_counts(
    name: str, under_mixes: Callable[[str], list[Changed]]
) -> None:
    for each in under_mixes(name):
        assert_follows(each, recalculated(each.path))


@pytest.mark.parametrize("engine", [others.by_formualizer, others.by_ironcalc])
def test_other_engines_follow_changed_counts(
    engine: Callable[[Path], Values], under_mixes: Callable[[str], list[Changed]]
) -> None:
    for each in under_mixes(DEMO):
        assert_follows(each, engine(each.path))


def assert_follows(changed: Changed, follows: Values) -> None:
    """All cells are the package's own values for the counts, and not the stale ones."""
    found = disagreements(changed.expected, follows, at_least=FORMULAS)
    assert with_formulas(changed.path, found) == [], changed.path.name
    moved = disagreements(changed.stale, follows, at_least=FORMULAS)
    assert len(moved) > 20, f"{changed.path.name} was not calculated afresh"


def test_the_package_writes_what_it_calculates(books: Mapping[str, Book]) -> None:
    """The cells hold the calculated columns themselves, found by their defined names."""
    book, compared = books[DEMO], 0
    cached = values(book.path)
    for table in book.estimate.model:
        for definition in table.definitions.values():
            if definition.expression is None:
                continue
            cells = cells_of_name(book.read, f"{table.name}_{definition.name}")
            calculated = book.estimate.values[table.name][definition.name]
            for cell, value in zip(cells, calculated, strict=False):
                shown = cached.get((cell.parent.title, cell.coordinate), "")
                assert shown == pytest.approx(value) if not definition.is_text else shown == value
                compared += 1
    assert compared > 2_000


# --- The sheet where the estimator lives ----------------------------------------------------------

WATCHED = ("total", "sheets", "shop_hours", "site_hours")


@dataclass(frozen=True)
class Headline:
    """A figure beside the counts."""

    now: float
    issued: float
    difference: float


def headlines(book: Book, cached: Values) -> dict[str, Headline]:
    """The figures beside the counts, by name, in a workbook of the same places."""
    columns = {
        name: [cached.get((c.parent.title, c.coordinate)) for c in cells_of_name(book.read, name)]
        for name in ("headline_key", "headline_now", "headline_issued", "headline_difference")
    }
    rows = zip(*columns.values(), strict=True)
    return {
        str(key): Headline(float(now), float(issued), float(difference))
        for key, now, issued, difference in rows
        if isinstance(now, int | float)
    }


def test_as_issued_nothing_differs(book: Book) -> None:
    shown = headlines(book, values(book.path))
    assert set(WATCHED) <= set(shown)
    for name in WATCHED:
        assert shown[name].now == pytest.approx(shown[name].issued)
        assert shown[name].now > 0
    assert {name: each.difference for name, each in shown.items() if each.difference != 0} == {}


def test_a_changed_count_moves_price_sheets_and_hours(
    books: Mapping[str, Book], tmp_path: Path
) -> None:
    book = books[DEMO]
    counts = {("king", "F1"): 28.0}
    changed = set_inputs(book.path, count_cells(book, counts), tmp_path / "changed.xlsx")
    fresh = {**values(changed), **recalculated(changed)}
    before, after = headlines(book, values(book.path)), headlines(book, fresh)
    for name in WATCHED:
        assert after[name].issued == before[name].issued
        assert after[name].now > before[name].now
        assert after[name].difference == pytest.approx(after[name].now - after[name].issued)
