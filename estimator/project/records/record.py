"""What every input table has in common: a record for its rows, and what a sheet shows of a field.

A unit in braces is the project's: {length} is inches or millimetres, {run} feet or metres.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, NamedTuple

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo


class Bounds(NamedTuple):
    """The least and the most that a value can sensibly be: beyond them it is a slip of the hand.

    Of a length in millimetres, of a density in kilograms for each cubic metre, else as it stands.
    Wide enough for anything that hangs on a wall, narrow enough to catch a wrong unit: our own.
    """

    least: int
    most: int


@dataclass(frozen=True)
class FieldAbout:
    """What the workbook needs to know of a field: header, unit, note, display, references."""

    label: str
    unit: str
    note: str
    show: str = ""
    refers_to: tuple[str, ...] = ()
    sensible: Bounds | None = None


def column(
    label: str,
    unit: str,
    note: str,
    *,
    default: Any = ...,
    show: str = "",
    refers_to: tuple[str, ...] = (),
    sensible: tuple[int, int] | None = None,
) -> Any:
    """A field of a record with its place in the workbook; without a default it must be filled."""
    bounds = Bounds(*sensible) if sensible else None
    about = FieldAbout(label, unit, note, show, refers_to, bounds)
    return Field(default, json_schema_extra={"column": about})  # type: ignore[dict-item]


class Record(BaseModel):
    """A row of an input table. Where it was read is kept beside it, by table and row."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)

    table: ClassVar[str]
    title: ClassVar[str]
    sheet: ClassVar[str]
    about: ClassVar[str]

    @classmethod
    def columns(cls) -> Mapping[str, tuple[FieldAbout, FieldInfo]]:
        """The record's fields with what the workbook shows of each."""
        fields = cls.model_fields.items()
        return {name: (info.json_schema_extra["column"], info) for name, info in fields}  # type: ignore[index,misc]
