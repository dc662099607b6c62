"""The price of many mixes of rooms, by the product's definitions under the plan at hand."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from estimator.estimate import Estimate
from estimator.expressions.nodes import columns_in
from estimator.expressions.tables import Definition
from estimator.expressions.value import Calculation

Counts = NDArray[np.float64]
"""Rooms by type (down) and floor (across), or by type alone."""


class Requote:
    """A full re-estimate at other counts; only what rests on the counts is calculated anew.

    How many sheets a new plan would take is known between two ends without planning: no plan takes
    fewer than the live bound, and the workbook orders the bound with the margin that was measured.
    """

    def __init__(self, estimate: Estimate) -> None:
        quoted = estimate.model["price"]["quoted"]
        needed = [each for each in estimate.model.resting_on([quoted]) if each.role != "block"]
        self.calculation = Calculation(estimate.model, estimate.typed)
        for each in needed:
            self.calculation.add(each)
        self.moving = moved_by("counts", "rooms", needed)
        self.by_margin = moved_by("materials", "margin", needed)
        self.counts = self.calculation.columns["counts"]
        self.floors = list(estimate.model["counts"].axis)

    def price(self, counts: Counts) -> float:
        """The quoted price before tax for rooms by type and floor, as the workbook shows it."""
        self.counts |= {floor: counts[:, at] for at, floor in enumerate(self.floors)}
        return self._calculated(self.moving)

    def ends(self, counts: Counts) -> tuple[float, float]:
        """The price at the least sheets that a new plan could take, and as the workbook shows it.

        At the counts that were planned for both are the price of the plan.
        """
        shown, materials = self.price(counts), self.calculation.columns["materials"]
        materials["margin"] = np.zeros_like(materials["margin"])
        return self._calculated(self.by_margin), shown

    def _calculated(self, definitions: list[Definition]) -> float:
        for each in definitions:
            self.calculation.add(each)
        return float(self.calculation.columns["price"]["quoted"][0])


def moved_by(table: str, name: str, definitions: list[Definition]) -> list[Definition]:
    """The definitions, in order, that rest on a column or on a grid's block."""
    moving: list[Definition] = []
    places = {(table, name)}
    forms: set[str] = set()
    for each in definitions:
        read = columns_in(each.expression) if each.expression is not None else ()
        if any(
            (column.table, column.name) in places
            or (column.name in ("key", "value") and column.table in forms)
            for column in read
        ):
            moving.append(each)
            places.add((each.table, each.name))
            forms.add(each.table)
    return moving


def quoted_counts(estimate: Estimate) -> Counts:
    """Rooms as quoted, by type and floor."""
    floors = list(estimate.model["counts"].axis)
    return estimate.typed["counts"][floors].fillna(0).to_numpy(dtype=float)
