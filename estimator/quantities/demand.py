"""Demand: the pieces that are planned for, in whole ones."""

from __future__ import annotations

from estimator.expressions.functions import rounded_up
from estimator.expressions.tables import Model


def define_demand(model: Model) -> None:
    """Every size that is cut, as many as the planner is asked for."""
    pieces = model["pieces"]
    pieces.quantity(
        "demand", "Demand", "piece", rounded_up(pieces["needed"], model["terms"]["guard"]),
        "Needed, in whole pieces: what is planned for.", show="whole",
    )  # fmt: skip
