"""What every input table has in common: a record for its rows, and what a sheet shows of a field.

A unit in braces is the project's: {length} is inches or millimetres, {run} feet or metres.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, ClassVar, Literal, NamedTuple, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field, model_validator
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

    @model_validator(mode="before")
    @classmethod
    def _with_choices_as_spelt(cls, fields: Any) -> Any:
        """A spreadsheet compares words without case, so that Yes is yes to the formulas."""
        if not isinstance(fields, Mapping):
            return fields
        spelt = {
            name: words.get(fields[name].strip().casefold(), fields[name])
            for name, words in _spellings(cls).items()
            if isinstance(fields.get(name), str)
        }
        return {**fields, **spelt}

    @classmethod
    def columns(cls) -> Mapping[str, tuple[FieldAbout, FieldInfo]]:
        """The record's fields with what the workbook shows of each."""
        fields = cls.model_fields.items()
        return {name: (info.json_schema_extra["column"], info) for name, info in fields}  # type: ignore[index,misc]


def choices_of(field: FieldInfo) -> tuple[str, ...]:
    """The words that a field may hold, if it may only hold some."""
    if get_origin(field.annotation) is not Literal:
        return ()
    return tuple(str(each) for each in get_args(field.annotation))


@cache
def _spellings(record: type[Record]) -> Mapping[str, Mapping[str, str]]:
    """The words of each field that may only hold some, by the word without regard to case."""
    choices = {name: choices_of(field) for name, field in record.model_fields.items()}
    return {
        name: {each.casefold(): each for each in words} for name, words in choices.items() if words
    }
