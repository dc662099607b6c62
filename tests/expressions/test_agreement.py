"""The value and the formula of an expression agree, in three spreadsheet engines.

One workbook holds the small model with thousands of random formulas, and every function by itself.
Each formula cell caches a false value. LibreOffice Calc, formualizer and ironcalc calculate it,
and what they find is compared with what value.py makes of the same definitions.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from xlsxwriter.utility import xl_rowcol_to_cell

from estimator.expressions import functions as f
from estimator.expressions.nodes import Expression, Function, constant
from estimator.expressions.tables import Model
from estimator.units import unit
from tests.engines import calc, others
from tests.engines.cells import FALSE_VALUE, Place, Value, formula_values
from tests.engines.compare import disagreements
from tests.expressions.random_expressions import add_random_quantities
from tests.expressions.small_model import (
    add_quantity,
    calculated_cells,
    small_frames,
    small_model,
    write_book,
)

RANDOM = {"terms": 200, "types": 250, "runs": 300}
AT_LEAST = 2000
SEED = 20260301

# Every function over a column of corners: halves, blanks, negative numbers, nought.
OF_FUNCTION: dict[str, Callable[[Model], Expression]] = {
    "round": lambda m: f.rounded(m["runs"]["price"], m["terms"]["cents"]),
    "round up": lambda m: f.rounded_up(m["runs"]["price"], m["terms"]["guard"]),
    "round down": lambda m: f.rounded_down(m["runs"]["price"], m["terms"]["guard"]),
    "choose": lambda m: f.choose(m["runs"]["note"] == "east", m["runs"]["price"], 1),
    "smaller": lambda m: f.smaller(m["runs"]["each"], m["runs"]["height"].number_of("1"), 1),
    "larger": lambda m: f.larger(m["runs"]["each"], m["runs"]["height"].number_of("1"), 1),
    "size": lambda m: f.size(m["runs"]["price"]),
    "share": lambda m: f.share(m["runs"]["price"], m["runs"]["each"]),
    "power": lambda m: f.power(m["runs"]["length"].number_of("1"), m["runs"]["each"]),
    "logarithm": lambda m: f.logarithm(m["runs"]["length"].number_of("1")),
    "root": lambda m: f.square_root(m["runs"]["length"].number_of("1")),
    "tangent": lambda m: f.tangent(m["runs"]["each"].number_of("degree")),
    "cosine": lambda m: f.cosine(m["runs"]["each"].number_of("degree")),
    "and more": lambda m: f.and_more(
        m["runs"]["key"], f.rounded_down(m["runs"]["each"], m["terms"]["guard"])
    ),
    "joined words": lambda m: f.joined_words(
        m["runs"]["key"], constant(" of ", unit("text")), m["runs"]["note"]
    ),
    "typed over": lambda m: f.typed_over(add_quantity(m["runs"], m["runs"]["each"] + 1)),
    "all": lambda m: f.choose(
        f.both(m["runs"]["each"] > 0, m["runs"]["note"] == "EAST"), m["runs"]["price"], 0
    ),
    "any": lambda m: f.choose(
        f.either(m["runs"]["each"] > 0, m["runs"]["note"] == ""), m["runs"]["price"], 0
    ),
}
ENGINES = ("Calc", "formualizer", "ironcalc")


@dataclass(frozen=True)
class Agreement:
    """Values by cell: value.py's, each engine's; and which cells are a function's."""

    calculated: dict[Place, Value]
    fresh: dict[str, dict[Place, Value]]
    of_function: dict[str, list[Place]]


@pytest.fixture(scope="module")
def agreement(tmp_path_factory: pytest.TempPathFactory) -> Agreement:
    model, typed = small_model(), small_frames()
    columns = {name: add_quantity(model["runs"], of(model)) for name, of in OF_FUNCTION.items()}
    for number, (table, how_many) in enumerate(RANDOM.items()):
        add_random_quantities(model, typed, table, how_many, SEED + number)
    path = tmp_path_factory.mktemp("agreement") / "small.xlsx"
    layout = write_book(path, model, typed)
    runs = layout.placed["runs"]
    of_function = {
        name: [
            (runs.sheet, xl_rowcol_to_cell(row, runs.columns[column.name]))
            for row in range(runs.first, runs.last)
        ]
        for name, column in columns.items()
    }
    return Agreement(calculated_cells(model, layout, typed), _by_engine(path), of_function)


def _by_engine(path: Path) -> dict[str, dict[Place, Value]]:
    cached = formula_values(path)
    assert set(cached.values()) == {FALSE_VALUE}
    return {
        "Calc": formula_values(calc.recalculate([path], path.parent / "calc")[path]),
        "formualizer": others.by_formualizer(path),
        "ironcalc": others.by_ironcalc(path),
    }


@pytest.mark.parametrize("engine", ENGINES)
def test_thousands_of_random_formulas_agree(engine: str, agreement: Agreement) -> None:
    fresh = agreement.fresh[engine]
    assert FALSE_VALUE not in fresh.values()
    assert fresh.keys() == agreement.calculated.keys()
    assert disagreements(agreement.calculated, fresh, at_least=AT_LEAST, relative=1e-9) == []


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("name", OF_FUNCTION)
def test_each_function_agrees(engine: str, name: str, agreement: Agreement) -> None:
    places = agreement.of_function[name]
    calculated = {place: agreement.calculated[place] for place in places}
    fresh = {place: agreement.fresh[engine][place] for place in places}
    assert disagreements(calculated, fresh, at_least=len(places), relative=1e-9) == []


def test_each_function_is_tried() -> None:
    rows = [each for each in vars(f).values() if isinstance(each, Function)]
    assert sorted(OF_FUNCTION) == sorted(each.name for each in rows)


def test_the_random_formulas_are_of_every_kind(agreement: Agreement) -> None:
    """The random part tries what it says it tries: numbers of all sizes, and words."""
    found = list(agreement.calculated.values())
    assert sum(isinstance(value, str) for value in found) > 50
    numbers = [abs(value) for value in found if isinstance(value, int | float)]
    for least, most in ((0, 0), (1e-6, 1), (1, 100), (100, 1e6)):
        assert sum(least <= number <= most for number in numbers) > 50
