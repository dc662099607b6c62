"""Varied projects that are in order: those of the templates, edited as people edit them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Any, Literal, get_args, get_origin

from hypothesis import strategies as st
from pydantic import ValidationError

from estimator.project.checks import check_project
from estimator.project.records import FORMS, RECORDS, Project, Record, RoomCount
from estimator.project.templates import read_template

TEMPLATES = ("merrowby-lodge", "one-wall", "one-wall-metric", "three-hundred-rooms")

Edit = tuple[str, int, str, Any]
"""Table, row, field, and what is typed there; or for the whole row one of ROW_EDITS."""
ROW_EDITS = ("twice", "dropped", "to the end")

ODD_TEXTS = [
    "", "=1+1", "+1", "-1", "@home", "'quoted'", '"quoted"', "7' 6\"", "3/4", "007", "1e5", "TRUE",
    "#N/A", "naïve ½ × ✓", "two\nlines", "<b>&amp;</b>", "{=A1}", "_x0041_", "a" * 500, "日本 🪚",
    "tab\u2003wide", "12 %", "=HYPERLINK(\"x\")", "insert rows above this lin",
]  # fmt: skip
TEXTS = st.sampled_from(ODD_TEXTS) | st.text(
    st.characters(exclude_categories=["Cc", "Cs", "Cn"]), max_size=30
)
LENGTHS = st.one_of(
    st.integers(0, 64 * 100).map(lambda n: f"{n // 64} {n % 64}/64"),
    st.integers(1, 25_000).map(lambda tenths: f"{tenths / 10} mm"),
    st.integers(1, 2_500_000).map(lambda microns: f"{microns / 1000} mm"),
    st.integers(1, 250).map(lambda cm: f"{cm / 100} m"),
    st.integers(1, 96 * 8).map(lambda n: f"{n // 96}' {n % 96 // 8} {n % 8}/8\""),
    st.integers(1, 300).map(lambda thirds: f'{thirds // 3} {thirds % 3}/3"'),
    st.integers(1, 9_999).map(lambda n: f"{n / 100}\""),
)  # fmt: skip
NUMBERS = st.one_of(
    st.integers(0, 5000),
    st.decimals(0, 1, places=4),
    st.decimals(0, 100_000, places=2),
    st.decimals(0, 10, places=6),
)
DAYS = st.dates(date(1900, 1, 1), date(2200, 1, 1))


@cache
def template(name: str) -> Project:
    """The project of a template, read once."""
    return read_template(name)


def projects(
    names: Sequence[str] = ("one-wall", "one-wall-metric", "merrowby-lodge"),
) -> st.SearchStrategy[Project]:
    """Projects in order that differ from a template in up to a dozen places."""
    return st.sampled_from(names).flatmap(_edited_templates)


@cache
def _edited_templates(name: str) -> st.SearchStrategy[Project]:
    project = template(name)
    edits = st.one_of([_edits_of(record, project) for record in RECORDS])
    return st.lists(edits, max_size=12).map(lambda chosen: edited(project, chosen))


def _edits_of(record: type[Record], project: Project) -> st.SearchStrategy[Edit]:
    rows = st.integers(0, max(0, len(project.rows(record.table)) - 1))
    fields = st.one_of(
        [
            st.tuples(st.just(record.table), rows, st.just(name), _typed(record, name))
            for name in record.columns()
        ]
    )
    if record in FORMS:
        return fields
    whole = st.tuples(st.just(record.table), rows, st.just(""), st.sampled_from(ROW_EDITS))
    return fields | fields | whole


def _typed(record: type[Record], name: str) -> st.SearchStrategy[Any]:
    """What a person may type into the field; it need not be right."""
    about, info = record.columns()[name]
    if get_origin(info.annotation) is Literal:
        return st.sampled_from(get_args(info.annotation))
    if info.annotation is date:
        return DAYS
    if info.annotation is Fraction:
        return LENGTHS
    if about.unit != "text":
        return NUMBERS
    if info.is_required():
        return st.nothing() if name == "key" or about.refers_to else TEXTS.filter(str.strip)
    return st.just("") if about.refers_to else TEXTS


def with_every_count(project: Project) -> Project:
    """The same project with a count for each room type on each floor, as the grid shows them."""
    rooms = {(each.room_type, each.floor): each.rooms for each in project.counts}
    counts = tuple(
        RoomCount(room_type=each.key, floor=floor.key, rooms=rooms.get((each.key, floor.key), 0))
        for each in project.types
        for floor in project.floors
    )
    return project.model_copy(update={"counts": counts})


def edited(project: Project, edits: Sequence[Edit]) -> Project:
    """The project after those of the edits that leave it in order."""
    for edit in edits:
        changed = _changed(project, edit)
        if changed and not check_project(changed, lambda *_: ""):
            project = changed
    return project


def _changed(project: Project, edit: Edit) -> Project | None:
    table, number, name, value = edit
    record = next(each for each in RECORDS if each.table == table)
    rows = project.rows(record.table)
    if not rows:
        return None
    row = rows[number % len(rows)]
    try:
        new = (
            _row_edit(rows, row, value, project)
            if name == ""
            else _retyped(rows, row, name, value, project)
        )
    except ValidationError:
        return None
    return project.model_copy(update={table: new[0] if record in FORMS else tuple(new)})


def _row_edit(rows: Sequence[Record], row: Record, how: str, project: Project) -> list[Record]:
    others = [each for each in rows if each is not row]
    if how == "dropped":
        return others
    if how == "to the end":
        return [*others, row]
    key = {"key": f"{row.key}-2"} if hasattr(row, "key") else {}
    unit = {"unit": project.project.unit}
    return [*rows, type(row).model_validate({**dict(row), **key}, context=unit)]


def _retyped(
    rows: Sequence[Record], row: Record, name: str, value: Any, project: Project
) -> list[Record]:
    unit = {"unit": project.project.unit}
    new = type(row).model_validate({**dict(row), name: value}, context=unit)
    return [new if each is row else each for each in rows]
