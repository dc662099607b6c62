"""Area of the pieces that parts and rails are cut from, and of what a room type has of them."""

from __future__ import annotations

from estimator.expressions.nodes import total
from estimator.expressions.tables import Model
from estimator.units import UnitSystem


def define_areas(model: Model, system: UnitSystem) -> None:
    """Parts in a module, modules, rails, then room types by what they have."""
    _define_modules(model, system)
    _define_types(model, system)


def _define_modules(model: Model, system: UnitSystem) -> None:
    parts, modules = model["parts"], model["modules"]
    area = f"{system.area}/module"
    each = (parts["length"] * parts["width"]).per("part").to(f"{system.area}/part")
    parts.quantity(
        "area", "Area", area, each * parts["each"], "Of these parts in one module.", show="decimal"
    )
    of_parts = total(parts["area"], parts["module"] == modules["key"])
    modules.quantity("area", "Area", area, of_parts, "Of its parts.", show="decimal")


def _define_types(model: Model, system: UnitSystem) -> None:
    types, contents, modules = model["types"], model["contents"], model["modules"]
    runs, profiles = model["runs"], model["profiles"]
    of_run = (runs["feet"] * runs.via("profile", profiles["width"])).to(system.area)
    runs.quantity("area", "Area", system.area, of_run, "Of this rail in all rooms.", show="decimal")
    note = "Of the pieces of its modules and rails."
    of_contents = contents["needed"] * contents.via("module", modules["area"])
    contents.quantity("area", "Area", system.area, of_contents, note, show="decimal")
    of_type = total(contents["area"], contents["room_type"] == types["key"])
    of_type = of_type + total(runs["area"], runs["room_type"] == types["key"])
    types.quantity("area", "Area", system.area, of_type, note, show="decimal")
