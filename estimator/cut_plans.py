"""From the pieces of a project to each material's cut plan and the dual values of its live count.

The live bound needs dual vectors that are good wherever the room counts may go. They are taken at
mixes of rooms: the counts as they stand; each room type nearly alone (at exactly nothing the other
types' dual values would vanish); and then, one after another, the mix from a fixed set at which the
bound so far falls furthest short of that mix's own. The margin is measured on other mixes yet.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

import numpy as np
import pandas as pd

from estimator.expressions.tables import Model
from estimator.expressions.value import calculate
from estimator.planner.cutting import CutPart, Effort, Plan, Stock
from estimator.planner.live_bound import Demands, bound_of, plan_live
from estimator.planner.mixes import Demand, DualVector, Mixes
from estimator.planner.shop_order import ShopOrder, above_bound, shop_order
from estimator.progress import Progress, Stop, within
from estimator.project.records import Material, Project
from estimator.quantities.as_planned import OF_MATERIAL, SAW
from estimator.quantities.stock import DUAL_VALUES
from estimator.structure import LaidOut, exact

CANDIDATES, HELD_OUT, SEED = 16, 8, 20260917
THOROUGH = Effort(work=14 * 10**8)
WHOLE = 1
"""Sheets or lengths added to a moved bound besides its share: what rounding costs."""
NEARLY_NONE, MOST = 0.01, 3.0
BESIDES = "mock-ups and spares"
RIP_STEP = {"in": Fraction(1, 64), "mm": Fraction(1, 10)}


@dataclass(frozen=True)
class CutPlan:
    """The plan of one material, the dual values of its live bound, and the bound's measured margin.

    demand: pieces by key. The order for moved counts is bound * (1 + margin_share) + margin_whole.
    by_floor: sheets if each floor's batch is planned by itself, and mock-ups with spares by
    themselves.
    """

    material: Material
    parts: tuple[CutPart, ...]
    plan: Plan
    demand: Demand
    dual_vectors: tuple[DualVector, ...]
    margin_share: float
    margin_whole: int
    by_floor: Mapping[str, int] = field(default_factory=dict)

    def bound(self, demand: Demand) -> float:
        """The live bound: proven least number of sheets or lengths for any demand."""
        return bound_of(self.dual_vectors, demand)

    @cached_property
    def order(self) -> ShopOrder:
        """The patterns as the shop works them off."""
        return shop_order(self.plan)

    @property
    def above_bound(self) -> int:
        """By how many sheets the plan may exceed the fewest at most."""
        return above_bound(self.plan)

    @property
    def batches(self) -> Mapping[str, int]:
        """Sheets for each floor's batch, and for mock-ups and spares, that needs any."""
        return {name: count for name, count in self.by_floor.items() if count}

    @property
    def apart(self) -> int:
        """Sheets if each batch is planned by itself."""
        return sum(self.batches.values())

    @property
    def saved(self) -> int:
        """Sheets that planning the whole job together saves."""
        return self.apart - self.plan.sheets


def plan_cuts(
    laid: LaidOut, progress: Progress | None = None, stop: Stop | None = None
) -> list[CutPlan]:
    """A cut plan for each material that pieces are cut from, in the project's order."""
    project, pieces = laid.project, laid.typed["pieces"]
    needs = needs_of_mixes(project, laid.model, laid.typed)
    used = [each for each in project.materials if (pieces["material"] == each.key).any()]
    return [
        _plan_material(
            project,
            material,
            pieces,
            needs,
            within(progress, number / len(used), (number + 1) / len(used), material.name),
            stop,
        )
        for number, material in enumerate(used)
    ]


def needs_of_mixes(project: Project, model: Model, typed: Mapping[str, pd.DataFrame]) -> Demands:
    """What every mix of rooms needs, calculated by the same definitions as the workbook."""
    types = len(project.types)
    random = np.random.default_rng(SEED)
    alone = [np.where(np.arange(types) == each, 1.0, NEARLY_NONE) for each in range(types)]
    drawn = random.uniform(0, MOST, size=(CANDIDATES + HELD_OUT, types))
    # A tenth of the types is absent: a type may be dropped from the job altogether.
    drawn = np.where(random.uniform(size=drawn.shape) < 0.1, 0.0, drawn)

    def need(times: np.ndarray) -> Demand:
        return pieces_needed(model, typed, times)

    return Demands(
        need(np.ones(types)),
        [need(each) for each in alone],
        [need(each) for each in drawn[:CANDIDATES]],
        [need(each) for each in drawn[CANDIDATES:]],
        needs_of_floors(model, typed),
    )


def pieces_needed(model: Model, typed: Mapping[str, pd.DataFrame], times: np.ndarray) -> Demand:
    """Pieces by key when the rooms of each type are so many times those counted.

    A fraction of a room stays one: a dual vector may be taken at any mix.
    """
    counts = typed["counts"].copy()
    for floor in model["counts"].axis:
        counts[floor] = counts[floor].astype(float) * times
    return demand_of(model, {**typed, "counts": counts})


def needs_of_floors(model: Model, typed: Mapping[str, pd.DataFrame]) -> Mapping[str, Demand]:
    """What each floor's rooms need; and, last, what mock-ups and spares do."""
    bare = {
        **typed,
        "types": typed["types"].assign(mock_ups=0),
        "modules": typed["modules"].assign(spares=0),
    }
    floors = model["counts"].axis

    def only(kept: str) -> pd.DataFrame:
        return typed["counts"].assign(**{each: 0 for each in floors if each != kept})

    found = {each: demand_of(model, {**bare, "counts": only(each)}) for each in floors}
    whole = demand_of(model, typed)
    found[BESIDES] = {
        key: max(0, count - sum(each[key] for each in found.values()))
        for key, count in whole.items()
    }
    return found


def demand_of(model: Model, typed: Mapping[str, pd.DataFrame]) -> Demand:
    """The pieces to plan for, whole ones, as the workbook's definitions count them."""
    pieces = calculate(model, typed, [model["pieces"]["demand"]])["pieces"]
    return dict(zip(pieces["key"], pieces["demand"].astype(int), strict=True))


def _plan_material(
    project: Project,
    material: Material,
    pieces: pd.DataFrame,
    needs: Demands,
    progress: Progress,
    stop: Stop | None,
) -> CutPlan:
    own = pieces[pieces["material"] == material.key]
    parts = tuple(_parts(project, material, own, needs.base))
    kerf, trim = project.terms.kerf, _trim(project, material)
    mixes = Mixes.of(parts, [_stock(material)], kerf=kerf, trim=trim)
    demands = needs.of([part.key for part in parts])
    live = plan_live(mixes, demands, len(DUAL_VALUES), THOROUGH, progress, stop)
    return CutPlan(
        material,
        parts,
        live.plan,
        demands.base,
        live.vectors,
        live.margin_share,
        WHOLE,
        live.batches,
    )


def _trim(project: Project, material: Material) -> Fraction:
    """Bought lengths are not trimmed along their sides."""
    return project.terms.trim if material.form == "sheet" else Fraction(0)


def _stock(material: Material) -> Stock:
    return Stock(material.key, material.length, material.width)


def _parts(
    project: Project, material: Material, pieces: pd.DataFrame, demand: Demand
) -> list[CutPart]:
    parts = {each.key: each for each in project.parts}
    found = []
    for piece in pieces.to_dict("records"):
        key, part = piece["key"], parts.get(piece["key"])
        calculated = exact(piece["length"]), exact(piece["width"])
        long, wide = (part.length, part.width) if part else calculated
        strip = shared_rip(project, material, wide) if piece["bevelled"] == "yes" else None
        found.append(CutPart(key, long, wide, demand[key], piece["grain"] == "any", strip))
    return found


def shared_rip(project: Project, material: Material, width: Fraction) -> Fraction | None:
    """The strip that two pieces share head to head: 2 w - t tan q + kerf / cos q, rounded up.

    From the section of the cut: the bevels overlap by t tan q across the thickness t, and a blade
    tilted by q takes kerf / cos q of the face. None where sharing gains nothing, and for bought
    lengths, whose bevel comes with them.
    """
    if material.form != "sheet":
        return None
    angle = math.radians(float(project.terms.bevel_angle))
    t, kerf = float(material.thickness), float(project.terms.kerf)
    strip = 2 * float(width) - t * math.tan(angle) + kerf / math.cos(angle)
    step = RIP_STEP[project.project.unit]
    rounded_up = math.ceil(strip / float(step) - 1e-9) * step
    return rounded_up if rounded_up < 2 * width + project.terms.kerf else None


def with_plans(
    typed: Mapping[str, pd.DataFrame], plans: Sequence[CutPlan]
) -> dict[str, pd.DataFrame]:
    """The frames with all that was planned written into materials and pieces."""
    materials, pieces = typed["materials"].copy(), typed["pieces"].copy()
    by_key = {each.material.key: each for each in plans}
    for name, figure in _OF_MATERIAL.items():
        own = (by_key.get(key, by_key.get(instead)) for key, instead in
               zip(materials["key"], materials["stands_in_for"], strict=True))  # fmt: skip
        materials[name] = [figure(each) if each else 0 for each in own]
    for name in OF_MATERIAL:
        materials[f"planned_{name}"] = materials[name]
    keys, instead = materials["key"], materials["stands_in_for"]
    materials["planned_as"] = instead.where(instead != "", keys)
    cuts = [by_key[key] for key in pieces["material"]]
    made = {each.material.key: _made(each) for each in plans}
    pairs = list(zip(pieces["key"], cuts, strict=True))
    pieces["planned_for"] = [cut.demand[key] for key, cut in pairs]
    pieces["cut"] = [made[cut.material.key][key] for key, cut in pairs]
    for at, name in enumerate(DUAL_VALUES):
        pieces[name] = [
            cut.dual_vectors[at].values[key] if at < len(cut.dual_vectors) else 0.0
            for key, cut in pairs
        ]
    saw = {"unit": typed["project"]["unit"], **{name: typed["terms"][name] for name in SAW}}
    return {
        **typed,
        "materials": materials,
        "pieces": pieces,
        "planned_for": pd.DataFrame(saw, dtype=object),
    }


def _made(cut: CutPlan) -> dict[str, int]:
    return {key: number + cut.plan.surplus.get(key, 0) for key, number in cut.demand.items()}


_OF_MATERIAL: dict[str, Callable[[CutPlan], float]] = {
    "planned": lambda cut: cut.plan.sheets,
    "least": lambda cut: cut.plan.bound,
    "margin_share": lambda cut: cut.margin_share,
    "margin_whole": lambda cut: cut.margin_whole,
    "cuts_each": lambda cut: round(cut.order.cuts_each, 3),
}
