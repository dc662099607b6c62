"""What counts as agreement between a cached and a fresh value."""

from __future__ import annotations

import pytest

from tests.engines.cells import Place, Value
from tests.engines.compare import Disagreement, agree, disagreements


@pytest.mark.parametrize(
    ("one", "other"),
    [(1, 1.0), (1e6, 1e6 + 5e-4), (0, 9e-10), ("King", "King"), (True, True), (None, ""), ("", "")],
)
def test_values_that_agree(one: Value, other: Value) -> None:
    assert agree(one, other)
    assert agree(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (1e6, 1e6 + 2e-3),
        (0, 2e-9),
        ("King", "king"),
        (True, 1),
        (True, False),
        (0, None),
        (0, ""),
        (1, "1"),
        ("#N/A", None),
        (False, None),
    ],
)
def test_values_that_differ(one: Value, other: Value) -> None:
    assert not agree(one, other)
    assert not agree(other, one)


def test_each_differing_cell_is_listed_with_both_values() -> None:
    cached: dict[Place, Value] = {("S", "A1"): 1, ("S", "A2"): 2, ("S", "A3"): "x"}
    fresh: dict[Place, Value] = {("S", "A1"): 1, ("S", "A2"): 3, ("S", "A3"): "x", ("S", "A4"): 4}
    assert disagreements(cached, fresh, at_least=3) == [
        Disagreement(("S", "A2"), 2, 3),
        Disagreement(("S", "A4"), None, 4),
    ]


def test_comparing_too_few_cells_proves_nothing() -> None:
    cached: dict[Place, Value] = {("S", "A1"): 1, ("S", "A2"): None}
    with pytest.raises(AssertionError, match="compared only 1 cells, expected 2 or more"):
        disagreements(cached, cached, at_least=2)
