"""What the sheets were planned for, and what of it is another now.

A cut plan holds for the sizes, grain, bevels, materials and saw settings that it was made from, and
for no others. They stand beside it as planned values: of pieces in their own rows, of materials in
theirs, of the saw in a form. A quantity in each table that a person types says which rows differ.

How many of each piece are needed is no part of it: needs may move, and the live count of stock.py
follows them.
"""

from __future__ import annotations

from functools import reduce

from estimator.expressions.functions import both, choose, either, rounded
from estimator.expressions.nodes import Expression, constant, first, largest, total
from estimator.expressions.tables import Model
from estimator.quantities.together import Found, define_together
from estimator.units import UnitSystem, unit

SAW = ("kerf", "trim", "bevel_angle")
"""The terms that the planner reads."""
OF_MATERIAL = ("form", "length", "width", "thickness")
"""What it reads of a material; `planned_length` is the length that it was planned with."""
WITH_ROWS = ("materials", "profiles", "runs", "parts", "pieces")
"""The tables whose rows may not be as planned, in the order in which they are named."""
EARLIER = "all: the plan is of an earlier version, which does not say what it was made for"


def define_as_planned(model: Model, system: UnitSystem) -> None:
    """The planned values; what is not as planned in each table, and together."""
    _define_saw(model)
    _define_materials(model)
    _define_profiles(model)
    _define_runs(model, system)
    _define_parts(model, system)
    _define_pieces(model)
    _define_together(model)


def _differ(planned: Expression, now: Expression, model: Model) -> Expression:
    """Whether two sizes differ by more than the noise of calculated lengths."""
    guard = model["terms"]["guard"]
    return rounded(planned, guard) != rounded(now, guard)


def _define_saw(model: Model) -> None:
    terms = model["terms"]
    form = model.table(
        "planned_for",
        "Planned for",
        "Terms",
        "What the sheets were planned for. Where something is another now, plan again.",
        kind="form",
    )
    form.planned("unit", "Unit of length", "text", "As planned; blank if the plan is older.")
    for name in SAW:
        like = terms.definitions[name]
        form.planned(name, like.label, like.unit, "As planned.", show=like.show)


def _define_materials(model: Model) -> None:
    """Of a material that is cut, its sizes; of every one, whose pieces its count is of."""
    materials, pieces = model["materials"], model["pieces"]
    for name in OF_MATERIAL:
        like = materials.definitions[name]
        label = f"Planned: {like.label.lower()}"
        materials.planned(f"planned_{name}", label, like.unit, "As planned.", show=like.show)
    planned_as = materials.planned("planned_as", "Planned: cut as", "text", "As planned.")

    def is_cut(material: Expression) -> Expression:
        return total(pieces["length"], pieces["material"] == material) > 0

    sizes = [
        _differ(materials[f"planned_{name}"], materials[name], model)
        for name in ("length", "width", "thickness")
    ]
    other_form = materials["planned_form"] != materials["form"]
    resized = materials.quantity(
        "resized",
        "Size changed",
        "1",
        choose(reduce(either, sizes, other_form), 1, 0),
        "1 if the size or the form is not the planned one.",
    )
    # An alternate is ordered by the plan of the material it stands in for.
    recounted = both(
        either(materials["planned"] > 0, is_cut(materials["cut_as"])),
        planned_as != materials["cut_as"],
    )
    materials.quantity(
        "changed",
        "Not as planned",
        "1",
        choose(either(both(is_cut(materials["key"]), resized == 1), recounted), 1, 0),
        "1 if sheets were planned for another size or form of it, or for other pieces.",
    )


def _define_profiles(model: Model) -> None:
    """Of a profile that pieces were planned of."""
    profiles, pieces = model["profiles"], model["pieces"]
    planned = largest(pieces["width"], pieces["profile"] == profiles["key"])
    as_now = largest(
        pieces["width"],
        pieces["profile"] == profiles["key"],
        pieces["material"] == profiles["material"],
        pieces["bevelled"] == profiles["bevelled"],
    )
    changed = both(planned > 0, _differ(as_now, profiles["width"], model))
    profiles.quantity(
        "changed",
        "Not as planned",
        "1",
        choose(changed, 1, 0),
        "1 if its pieces were planned from another material, in another width or bevel.",
    )


def _define_runs(model: Model, system: UnitSystem) -> None:
    """Two runs may share a piece though noise tells their lengths apart."""
    runs, pieces = model["runs"], model["pieces"]

    def other_piece(which: str) -> Expression:
        planned = runs.quantity(
            f"planned_{which}",
            f"Planned: {which} piece",
            system.length,
            total(
                pieces["length"],
                pieces["key"] == runs[f"{which}_piece"],
                pieces["profile"] == runs["profile"],
            ),
            "Its length on the sheet Pieces; 0 if there is none of this profile.",
            show="length",
        )
        return _differ(planned, runs[which], model)

    first_piece = other_piece("first")
    middle = both(runs["middles"] > 0, other_piece("middle"))
    last = both(runs["last"] > 0, other_piece("last"))
    runs.quantity(
        "changed",
        "Not as planned",
        "1",
        choose(either(first_piece, either(middle, last)), 1, 0),
        "1 if a piece of it is not one that was planned.",
    )


def _define_parts(model: Model, system: UnitSystem) -> None:
    parts, pieces = model["parts"], model["pieces"]

    def other(size: str) -> Expression:
        planned = parts.quantity(
            f"planned_{size}",
            f"Planned: {size}",
            system.length,
            total(
                pieces[size],
                pieces["key"] == parts["key"],
                pieces["material"] == parts["material"],
                pieces["grain"] == parts["grain"],
                pieces["bevelled"] == parts["bevelled"],
            ),
            "On the sheet Pieces; 0 if there is none of this material, grain and bevel.",
            show="length",
        )
        return _differ(planned, parts[size], model)

    parts.quantity(
        "changed",
        "Not as planned",
        "1",
        choose(either(other("length"), other("width")), 1, 0),
        "1 if it was planned in another size, material, grain or bevel, or not at all.",
    )


def _define_pieces(model: Model) -> None:
    """A piece whose part or run was taken out."""
    pieces, parts, runs = model["pieces"], model["parts"], model["runs"]
    owners = total(parts["length"], parts["key"] == pieces["key"])
    for which in ("first", "middle", "last"):
        owners = owners + total(runs["length"], runs[f"{which}_piece"] == pieces["key"])
    pieces.quantity(
        "changed",
        "Of nothing",
        "1",
        choose(owners > 0, 0, 1),
        "1 if it was planned for a part or a rail that is no longer there.",
    )


def _define_together(model: Model) -> None:
    """How many settings and rows are not as planned, and the first of them by name."""
    planned, terms = model["planned_for"], model["terms"]
    form = model.table(
        "not_as_planned",
        "Not as planned",
        "Findings",
        "What the sheets were planned for and is another now; read by the check of the plan.",
        kind="form",
    )
    other_unit = planned["unit"] != model["project"]["unit"]
    moved = {"unit": other_unit, **{n: _differ(planned[n], terms[n], model) for n in SAW}}
    found = {}
    for name, truth in moved.items():
        label = planned.definitions[name].label
        found[name] = Found(label, choose(truth, 1, 0), constant(label, unit("text")))
    for name in WITH_ROWS:
        table = model[name]
        first_name = first(table["key"], table["changed"] == 1)
        found[name] = Found(table.title, total(table["changed"]), first_name)
    _, which = define_together(form, found, "How many are not as planned.")
    named = choose(planned["unit"] == "", EARLIER, which)
    form.quantity("which", "Which", "text", named, "The first of them, and how many more.")
