"""The price of many mixes of rooms, by the product's definitions under the plan at hand."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from estimator.estimate import Estimate
from estimator.expressions.nodes import columns_in
from estimator.expressions.tables import Definition
from estimator.expressions.value import Reckoning

Counts = NDArray[np.float64]
"""Rooms by type (down) and floor (across), or by type alone."""


class Requote:
    """A full re-estimate at other counts; only what rests on the counts is reckoned anew."""

    def __init__(self, estimate: Estimate) -> None:
        quoted = estimate.model["price"]["quoted"]
        needed = [each for each in estimate.model.resting_on([quoted]) if each.role != "block"]
        self.reckoning = Reckoning(estimate.model, estimate.typed)
        for each in needed:
            self.reckoning.add(each)
        self.moving = moved_by_counts(needed)
        self.counts = self.reckoning.columns["counts"]
        self.floors = list(estimate.model["counts"].axis)

    def price(self, counts: Counts) -> float:
        """The quoted price before tax for rooms by type and floor."""
        self.counts |= {floor: counts[:, at] for at, floor in enumerate(self.floors)}
        for each in self.moving:
            self.reckoning.add(each)
        return float(self.reckoning.columns["price"]["quoted"][0])


def moved_by_counts(definitions: list[Definition]) -> list[Definition]:
    """The definitions, in order, that rest on the grid of room counts."""
    moving: list[Definition] = []
    places = {("counts", "rooms")}
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
