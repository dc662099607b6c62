"""How many people hang a module."""

from __future__ import annotations

from estimator.expressions.functions import choose, either, rounded
from estimator.expressions.tables import Model

ONE_PERSON, TWO_PEOPLE = "one person", "two people"


def define_lifts(model: Model) -> None:
    """Two where either check asks for two: the single lift, or the revised lifting equation."""
    modules, guard = model["modules"], model["terms"]["guard"]
    beyond = rounded(modules["lift_index"], guard) > 1
    modules.quantity(
        "lift",
        "Lift",
        "text",
        choose(either(modules["heavy"] > 0, beyond), TWO_PEOPLE, ONE_PERSON),
        "Two people over the single lift on Terms or over a lifting index of 1.",
    )
