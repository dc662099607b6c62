"""The trade's arithmetic, a file for each subject; `define_model` is their order."""

from __future__ import annotations

from functools import cache

from estimator.expressions.tables import Model
from estimator.quantities.access import define_access
from estimator.quantities.areas import define_areas
from estimator.quantities.as_planned import define_as_planned
from estimator.quantities.cleats import define_cleats
from estimator.quantities.completeness import define_completeness
from estimator.quantities.demand import define_demand
from estimator.quantities.findings import Check, define_findings
from estimator.quantities.finish import define_finish
from estimator.quantities.formulas_kept import define_formulas_kept
from estimator.quantities.freight import define_freight
from estimator.quantities.inputs import define_inputs
from estimator.quantities.kits import define_kits
from estimator.quantities.labour import define_labour
from estimator.quantities.lifts import define_lifts
from estimator.quantities.material_rules import define_material_rules
from estimator.quantities.measures import define_measures
from estimator.quantities.names import define_names
from estimator.quantities.papers import define_papers
from estimator.quantities.price import define_price
from estimator.quantities.rail_loads import define_rail_loads
from estimator.quantities.rail_screws import define_rail_screws
from estimator.quantities.rail_space import define_rail_space
from estimator.quantities.rails import define_rails
from estimator.quantities.room_hours import define_room_hours
from estimator.quantities.room_measures import define_room_measures
from estimator.quantities.rooms import define_rooms
from estimator.quantities.shelves import define_shelves
from estimator.quantities.stock import define_stock
from estimator.quantities.summary import define_lists, define_summary
from estimator.quantities.supplies import define_supplies
from estimator.quantities.weights import define_weights
from estimator.units import SYSTEMS, LengthUnit


@cache
def define_model(
    length_unit: LengthUnit, floors: tuple[str, ...]
) -> tuple[Model, tuple[Check, ...]]:
    """All tables and quantities of a project of these floors, and the checks with their words."""
    model, system = Model(), SYSTEMS[length_unit]
    define_inputs(model, system, floors)
    define_rooms(model)
    define_rails(model, system)
    define_stock(model, system)
    define_as_planned(model, system)
    define_demand(model)
    define_finish(model, system)
    define_measures(model, system)
    define_supplies(model)
    define_labour(model, system)
    define_areas(model, system)
    define_weights(model, system)
    define_freight(model, system)
    define_price(model)
    define_room_measures(model, system)
    define_kits(model)
    define_room_hours(model)
    define_papers(model, system)
    define_rail_loads(model, system)
    define_rail_screws(model, system)
    define_shelves(model, system)
    define_cleats(model, system)
    define_access(model, system)
    define_material_rules(model, system)
    define_lifts(model)
    define_rail_space(model, system)
    define_names(model)
    define_completeness(model)
    define_formulas_kept(model)
    checks = define_findings(model)
    define_summary(model, system)
    define_lists(model)
    return model, checks
