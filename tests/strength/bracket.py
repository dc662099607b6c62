"""One thing on one rail: the smallest job in which something hangs, with nothing else to weigh."""

from __future__ import annotations

from typing import Any

from estimator.project.rates import read_rates
from estimator.project.records import Project
from estimator.project.rows import project_from_rows
from tests.quantities.jobs import job, raw_rows

WEIGHTLESS = {
    "key": "sheet", "name": "Sheet", "form": "sheet", "length": 96, "width": 48,
    "thickness": "3/4", "density": 0, "emission": "none",
}  # fmt: skip
THING = {
    "key": "box", "name": "Box", "width": 24, "height": 10, "depth": 12, "above": 0, "load": 120,
}  # fmt: skip
RAIL = {
    "key": "rail", "name": "Rail", "material": "sheet", "width": "5 1/2", "screws_per_stud": 3,
    "upper_screws": 3, "screw_line": "5 1/2", "screw": "screw",
}  # fmt: skip
RUN = {
    "key": "wall", "room_type": "room", "profile": "rail", "length": 30, "bottom": 50,
    "spacing": 24, "wall": "wood",
}  # fmt: skip
SCREW = {
    "key": "screw", "kind": "wood", "diameter": "0.19", "length": "2.75", "thread": "1.5",
    "lateral": "83.4",
}  # fmt: skip
WALL = {"key": "wood", "gravity": "0.42", "board": "0.5"}
KINDS = (
    {"key": "wood", "pounds": 2850, "of_gravity": 2, "of_diameter": 1},
    {"key": "lag", "pounds": 1800, "of_gravity": "1.5", "of_diameter": "0.75"},
)
PLAIN = {"lean": 0, "duration": 1, "full_depth": 1, "least_depth": 0}
"""Nobody leans, the load is for ten years, and the whole shear value counts at any depth."""


def bracket(
    module: dict[str, Any] | None = None,
    profile: dict[str, Any] | None = None,
    run: dict[str, Any] | None = None,
    screw: dict[str, Any] | None = None,
    wall: dict[str, Any] | None = None,
    strength: dict[str, Any] | None = None,
    **tables: Any,
) -> Project:
    """The job with these fields instead of those above; other tables with all their rows."""
    rows: dict[str, Any] = {
        "materials": [WEIGHTLESS],
        "modules": [THING | (module or {})],
        "profiles": [RAIL | (profile or {})],
        "runs": [RUN | (run or {})],
        "screws": [SCREW | (screw or {})],
        "walls": [WALL | (wall or {})],
        "withdrawal": list(KINDS),
        "reaches": read_rates("in").raw()["reaches"],
        "contents": [{"room_type": "room", "module": "box", "each": 1, "run": "wall"}],
    }
    project = job(**(rows | tables))
    limits = project.strength.model_dump() | PLAIN | (strength or {})
    raw = raw_rows(project) | {"strength": [limits]}
    return project_from_rows(raw, lambda table, row, name: f"{table} {row} {name}")
