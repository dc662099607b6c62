"""What a purchaser can work out from the copy: what it shows, and nothing of what that is made of.

The attack: recalculate the copy in LibreOffice Calc at several mixes of rooms, take every number in
it, and look for margin, contingency, overhead, cost and its parts as a number, as a sum,
difference, product, ratio or remainder of a ratio of any two numbers, right at every mix at once.
Then solve for the price as a function of rooms: it must give the printed price for each room and
the printed fixed part, so that changing counts teaches nothing that is not printed.

What can be derived is stated here: the price for each room and the fixed part; freight and
installation as shares of the price to the nearest per cent; an allowance, which is told at cost.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from estimator.copies.purchaser import purchaser_book
from estimator.estimate import Estimate
from estimator.price_band.band import Band, find_band, within
from estimator.price_band.requote import Counts, quoted_counts
from estimator.project.templates import read_template
from tests.copies.estimates import level
from tests.copies.in_calc import typed_in_calc
from tests.copies.planted import planted
from tests.copies.test_purchaser import finder, mixes_inside
from tests.engines import cells
from tests.engines.cells import Place
from tests.workbook.estimates import with_counts

MIXES = 10
Numbers = NDArray[np.float64]
COMBINED: Mapping[str, Callable[[Numbers, Numbers], Numbers]] = {
    "a": lambda a, b: a + 0 * b,
    "a + b": lambda a, b: a + b,
    "a - b": lambda a, b: a - b,
    "a * b": lambda a, b: a * b,
    "a / b": lambda a, b: a / b,
    "1 - a / b": lambda a, b: 1 - a / b,
    "a / b - 1": lambda a, b: a / b - 1,
}


@pytest.fixture(scope="module")
def estimate() -> Estimate:
    return level(planted(read_template("merrowby-lodge")))


@pytest.fixture(scope="module")
def band(estimate: Estimate) -> Band:
    return find_band(estimate)


@pytest.fixture(scope="module")
def mixes(estimate: Estimate, band: Band) -> list[Counts]:
    return [quoted_counts(estimate), *mixes_inside(estimate, band, MIXES - 1)]


@pytest.fixture(scope="module")
def path(estimate: Estimate, band: Band, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("copy") / "purchaser.xlsx"
    path.write_bytes(purchaser_book(estimate, band))
    return path


@pytest.fixture(scope="module")
def shown(estimate: Estimate, mixes: list[Counts], path: Path) -> dict[Place, Numbers]:
    """Every cell that holds a number, with what Calc shows in it at each mix."""
    places = [place for place, value in cells.values(path).items()
              if isinstance(value, int | float)]  # fmt: skip
    find = finder(estimate)
    answers = np.array(typed_in_calc(path, [find.counts(mix) for mix in mixes], places), float)
    assert answers.shape == (MIXES, len(places))
    return dict(zip(places, answers.T, strict=True))


def secrets(estimate: Estimate, mixes: list[Counts]) -> dict[str, Numbers]:
    """What nobody may work out, at each mix."""
    floors, types = list(estimate.model["counts"].axis), estimate.project.types
    found: dict[str, list[float]] = {}
    for mix in mixes:
        changed = {
            (room.key, floor): mix[row, column]
            for row, room in enumerate(types)
            for column, floor in enumerate(floors)
        }
        values = with_counts(estimate, changed).values
        price, terms = values["price"].iloc[0], values["terms"].iloc[0]
        secret = {name: price[name] for name in COSTS} | {name: terms[name] for name in RATES}
        secret["cost over price"] = price["cost"] / price["quoted"]
        secret["price over direct cost"] = price["quoted"] / price["direct"]
        for name, value in secret.items():
            found.setdefault(name, []).append(float(value))
    return {name: np.array(each) for name, each in found.items()}


COSTS = (
    "materials", "finish", "supplies", "shop", "site", "travel", "freight", "direct", "overhead",
    "contingency", "cost", "margin", "markup",
)  # fmt: skip
RATES = ("overhead", "contingency", "margin", "vehicle_rate", "lodging", "freight_base")


def solved(shown: Mapping[Place, Numbers], secret: Numbers, near: float) -> list[str]:
    """Pairs of cells, and how they are combined, that give the secret at every mix."""
    places, rows = list(shown), np.array(list(shown.values()))
    found = []
    for at, row in enumerate(rows):
        for words, combine in COMBINED.items():
            with np.errstate(all="ignore"):
                hit = np.isclose(combine(rows, row), secret, rtol=near, atol=0).all(axis=1)
            found += [f"{words}: {places[other]}, {places[at]}" for other in np.flatnonzero(hit)]
    return found


@pytest.mark.slow
class TestSolvingBack:
    def test_no_two_numbers_give_a_cost_or_a_rate(
        self, estimate: Estimate, mixes: list[Counts], shown: dict[Place, Numbers]
    ) -> None:
        """To a thousandth where it moves with the counts. What hardly moves is near many a ratio
        of two sizes by chance, so that it has to be met as near as rounded money allows."""
        assert len(shown) > 200
        for name, secret in secrets(estimate, mixes).items():
            moves = np.ptp(secret) / np.abs(secret).max()
            near = 1e-3 if moves > 0.02 else 1e-5 if moves > 1e-9 else 1e-6
            assert solved(shown, secret, near) == [], name

    def test_the_attack_finds_what_two_cells_give_away(
        self, estimate: Estimate, mixes: list[Counts], shown: dict[Place, Numbers]
    ) -> None:
        """Were direct cost in one cell, and margin as an amount in another, it would be seen."""
        secret = secrets(estimate, mixes)
        leaky = {**shown, ("Price", "Z1"): secret["cost"] * 0.37}
        leaky[("Price", "Z2")] = secret["direct"] / (secret["cost"] * 0.37)
        assert any("Z1" in each and "Z2" in each for each in solved(leaky, secret["direct"], 1e-3))

    def test_counts_give_back_only_the_printed_prices(
        self, estimate: Estimate, band: Band, mixes: list[Counts], shown: dict[Place, Numbers]
    ) -> None:
        """Least squares over the mixes: the price for each room, and one sum for the rest."""
        rooms = np.array([mix.sum(axis=1) for mix in mixes])
        moves = (rooms - rooms[0])[:, np.ptp(rooms, axis=0) > 0]
        price = shown[finder(estimate).field("answer", "price")]
        slopes, *_ = np.linalg.lstsq(moves, price - price[0], rcond=None)
        assert np.allclose(moves @ slopes, price - price[0], atol=0.01)
        if np.linalg.matrix_rank(moves) == moves.shape[1]:
            assert np.allclose(slopes, band.each[np.ptp(rooms, axis=0) > 0], atol=0.01)
        assert price[0] == pytest.approx(float(rooms[0] @ band.each + band.fixed.sum()), abs=0.005)

    def test_every_number_that_is_typed_is_one_that_may_be_told(
        self, estimate: Estimate, band: Band, path: Path
    ) -> None:
        """The copy is a function of these alone: whatever is derived from it is a function of them.

        Each number in a cell without a formula is a count, a size, a share that is stated, a price,
        a bound or a week; and no formula holds a number but 0 and 1.
        """
        allowed = {*may_be_told(estimate, band), 0.0, 1.0}
        formulas = set(cells.formula_values(path))
        typed = {place: value for place, value in cells.values(path).items()
                 if isinstance(value, int | float) and place not in formulas}  # fmt: skip
        assert len(typed) > 150
        assert {place: v for place, v in typed.items() if round(float(v), 9) not in allowed} == {}
        with zipfile.ZipFile(path) as package:
            sheets = [
                package.read(n).decode() for n in package.namelist() if "worksheets/sheet" in n
            ]
        texts = re.findall(r"<f>([^<]*)</f>", "".join(sheets))
        assert len(texts) > 100
        for text in texts:
            assert set(re.findall(r"(?<![A-Za-z$\d._])\d+(?:\.\d+)?", text)) <= {"0", "1"}, text


def may_be_told(estimate: Estimate, band: Band) -> set[float]:
    """Prices and bounds of the band; counts, sizes and terms of the offer."""
    project, values = estimate.project, estimate.values
    terms, price = project.terms, values["price"].iloc[0]
    numbers: list[object] = [
        *band.each, *band.fixed, *band.least, *band.most, band.least_rooms, band.most_rooms,
        *quoted_counts(estimate).ravel(), *values["types"]["counted"], *values["types"]["mock_ups"],
        *values["alternates"]["difference"], values["summary"]["lead"].iloc[0],
        project.project.lead_weeks, terms.sale_tax, terms.taxed_sale, terms.band_tolerance,
        terms.cents, terms.guard, *range(len(project.stages) + 1),
        round(price["freight"] / price["direct"], 2), round(price["site"] / price["direct"], 2),
    ]  # fmt: skip
    numbers += [each.share for each in project.stages]
    numbers += [each.amount for each in project.clauses if each.kind == "allowance"]
    numbers += [each.each for each in project.contents]
    numbers += [side for each in project.modules
                for side in (each.width, each.height, each.depth, each.spares)]  # fmt: skip
    numbers += [side for each in project.runs for side in (each.length, each.bottom)]
    return {round(float(each), 9) for each in numbers}  # type: ignore[arg-type]


def test_mixes_are_inside(estimate: Estimate, band: Band, mixes: list[Counts]) -> None:
    assert all(within(band, mix, quoted_counts(estimate)) for mix in mixes)
