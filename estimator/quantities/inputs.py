"""The input tables of the model, made from the records, and the tables the planner lays out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from pydantic_core import PydanticUndefined

from estimator.expressions.tables import Model, Show, Table
from estimator.project.records import FORMS, RECORDS, FieldAbout, Record, RoomCount, choices_of
from estimator.units import UnitSystem


def define_inputs(model: Model, system: UnitSystem, floors: Sequence[str]) -> None:
    """One table for each record; the room counts are a grid of room type by floor."""
    for record in RECORDS:
        if record is RoomCount:
            _counts_grid(model, floors)
        else:
            kind: Literal["form", "rows"] = "form" if record in FORMS else "rows"
            table = model.table(record.table, record.title, record.sheet, record.about, kind=kind)
            _add_columns(table, record, system)


def _counts_grid(model: Model, floors: Sequence[str]) -> None:
    about = RoomCount.about
    grid = model.table("counts", RoomCount.title, RoomCount.sheet, about, kind="grid", axis=floors)
    room_type, rooms = RoomCount.columns()["room_type"][0], RoomCount.columns()["rooms"][0]
    grid.input("room_type", room_type.label, "text", room_type.note, refers_to=("types",))
    grid.block("rooms", rooms.label, rooms.unit, rooms.note)


def _add_columns(table: Table, record: type[Record], system: UnitSystem) -> None:
    for name, (about, info) in record.columns().items():
        table.input(
            name,
            about.label,
            system.fill(about.unit),
            about.note,
            show=_show(about),
            optional=info.default is not PydanticUndefined,
            choices=choices_of(info),
            refers_to=about.refers_to,
        )


def _show(about: FieldAbout) -> Show:
    return "length" if about.unit == "{length}" else about.show  # type: ignore[return-value]
