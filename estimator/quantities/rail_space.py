"""Whether what hangs on a rail fits beside one another."""

from __future__ import annotations

from estimator.expressions.functions import choose, rounded
from estimator.expressions.nodes import total
from estimator.expressions.tables import Model
from estimator.units import UnitSystem


def define_rail_space(model: Model, system: UnitSystem) -> None:
    """The width that modules take on each rail run, and whether it is more than its length."""
    contents, modules, runs = model["contents"], model["modules"], model["runs"]
    width = contents["each"].number_of("1") * contents.via("module", modules["width"])
    contents.quantity(
        "taken", "Width taken", system.length, width, "On its rail, in one room.", show="length"
    )
    taken = total(contents["taken"], contents["run"] == runs["key"])
    runs.quantity(
        "taken", "Width taken", system.length, taken, "By all modules on it.", show="length"
    )
    over = rounded(runs["taken"] - runs["length"], model["terms"]["guard"])
    runs.quantity(
        "crowded", "Crowded", "1", choose(over > 0, 1, 0),
        "1 if its modules are wider together than the rail.",
    )  # fmt: skip
