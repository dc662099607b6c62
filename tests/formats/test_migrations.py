"""The way from each format to the next: nothing is lost on it without being said."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from estimator.formats.description import Description, described, read_description, shipped, written
from estimator.formats.migrations import (
    FORMAT,
    MIGRATIONS,
    description_of_today,
    name_of_today,
    rows_of_today,
)
from estimator.formats.steps import Migration, in_each_row
from estimator.project.records import RECORDS, Project
from estimator.project.rows import Entry, project_from_rows
from estimator.quantities import define_model
from estimator.workbook.from_rows import frames_of, inputs_of, with_defaults
from estimator.workbook.origin import origin_of
from estimator.workbook.stored import read_stored
from estimator.workbook.table_rows import rows_as_stored
from estimator.workbook.typed import Said
from tests.formats.write import kept

TODAY = described(define_model("in", ("F1",))[0], {})
Tables = dict[str, list[Entry]]


def description_of(number: int) -> Description:
    """As its kept workbooks say, or, of format 1, as is shipped."""
    return origin_of(read_stored(kept(number)[0])).description


@pytest.mark.parametrize("number", range(1, FORMAT))
def test_every_column_goes_on_or_is_said_to_be_gone(number: int) -> None:
    """Add what fails here to `renamed` or `gone` of the migration, and steps that keep its values.

    A calculated one too: a person's own formulas use their names.
    """
    gone = {name for each in range(number, FORMAT) for name in MIGRATIONS[each].gone}
    lost = [
        (table, name)
        for table, about in description_of(number).renamed({}).tables.items()
        for name in about.columns
        if (table, name) not in gone
        and name_of_today(f"{table}_{name}", number) not in TODAY.names()
    ]
    assert lost == []


@pytest.mark.parametrize("migration", MIGRATIONS.values())
def test_what_is_gone_is_not_there_and_what_is_renamed_was(migration: Migration) -> None:
    number = next(each for each, found in MIGRATIONS.items() if found is migration)
    was = description_of(number).tables
    for table, name in [*migration.renamed, *migration.gone]:
        assert name in was[table].columns, (table, name)
    if number + 1 == FORMAT:
        assert not [n for t, n in migration.gone if n in TODAY.tables[t].columns]
        assert not [
            n for (t, _), n in migration.renamed.items() if n not in TODAY.tables[t].columns
        ]


@pytest.mark.parametrize("number", range(1, FORMAT))
def test_every_input_of_today_was_there_has_a_default_or_is_filled_in(number: int) -> None:
    """Else no workbook of that format could be read."""
    for path in kept(number):
        stored, said = read_stored(path), Said()
        rows = rows_of_today(rows_as_stored(stored, origin_of(stored), said), number)
        project_from_rows(
            {t: [e.fields for e in es] for t, es in inputs_of(with_defaults(rows, said)).items()},
            lambda table, row, name: f"{table} {row} {name}",
        )


def test_a_description_is_read_as_it_was_written() -> None:
    found = description_of(FORMAT)
    assert read_description(written(found)) == found
    assert shipped(1).tables.keys() >= {"parts", "checks", "terms"}


# --- What a way is built of ----------------------------------------------------------------------

WAY = Migration(
    renamed={("parts", "long"): "length"},
    gone=frozenset(),
    steps=(in_each_row("parts", lambda row: {**row, "length": row["length"] * 2}),),
)


def test_a_renamed_field_still_says_where_it_stands() -> None:
    row = Entry("Parts!A5", {"long": 3, "key": "a"}, {"long": "Parts!C5", "key": "Parts!A5"})
    other = Entry("Runs!A5", {"long": 1}, {"long": "Runs!C5"})
    rows = WAY.rows({"parts": [row], "runs": [other]})
    assert rows["parts"][0].fields == {"length": 6, "key": "a"}
    assert rows["parts"][0].place_of("length") == "Parts!C5"
    assert rows["runs"] == [other]
    assert (WAY.name("parts_long"), WAY.name("runs_long")) == ("parts_length", "runs_long")


def test_formulas_of_a_row_follow_a_renamed_column() -> None:
    model = define_model("in", ("F1",))[0]
    renamed = described(model, {}).renamed({("parts", "length"): "long"})
    columns = renamed.tables["parts"].columns
    assert "length" not in columns
    assert any("[long]" in text for column in columns.values() for text in column.formulas)
    assert not any("[length]" in t for column in columns.values() for t in column.formulas)


def test_a_step_for_a_table_that_is_not_there_changes_nothing() -> None:
    assert WAY.rows({"runs": []}) == {"runs": [], "parts": []}


# --- Columns that a workbook does not have -------------------------------------------------------


@pytest.fixture(scope="module")
def tables() -> Tables:
    stored = read_stored(kept(FORMAT)[0])
    return rows_as_stored(stored, origin_of(stored), Said())


def without(tables: Mapping[str, list[Entry]], table: str, *names: str) -> Tables:
    """As of a workbook that has no such columns."""
    rows = [
        Entry(row.place, {n: v for n, v in row.fields.items() if n not in names}, row.elsewhere)
        for row in tables[table]
    ]
    return {**tables, table: rows}


def project_of(tables: Mapping[str, Any]) -> Project:
    rows = {t: [e.fields for e in es] for t, es in inputs_of(tables).items()}
    return project_from_rows(rows, lambda table, row, name: table)


def test_a_missing_column_with_a_default_takes_it_and_says_so(tables: Tables) -> None:
    said = Said()
    found = with_defaults(without(tables, "parts", "grain", "finish"), said)
    assert {each.grain for each in project_of(found).parts} == {"along"}
    assert {each.finish for each in project_of(found).parts} == {""}
    assert [str(each) for each in said.remarks] == [
        "Parts, Grain is no column of this workbook; it is taken as “along”",
        "Parts, Finish is no column of this workbook; it is taken as blank",
    ]


def test_nothing_is_said_of_a_whole_workbook_nor_of_an_empty_table(tables: Tables) -> None:
    said = Said()
    assert with_defaults({**tables, "runs": []}, said)["runs"] == []
    assert said.remarks == []


def test_a_form_that_is_not_there_is_one_of_defaults(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No form of today has defaults throughout; one of the future may."""
    terms = next(each for each in RECORDS if each.table == "terms")
    monkeypatch.setattr("estimator.workbook.from_rows._can_be_blank", lambda each: each is terms)
    said = Said()
    rest = {name: rows for name, rows in tables.items() if name != "terms"}
    (row,) = with_defaults(rest, said)["terms"]
    assert (row.place, row.fields) == ("sheet Terms", {})
    assert all(str(each).startswith("Terms, ") for each in said.remarks)
    assert len(said.remarks) >= 4


def test_a_planned_column_that_is_not_there_is_blank(tables: Tables) -> None:
    project = project_of(tables)
    typed = frames_of(project, without(tables, "pieces", "grain"))
    assert list(typed["pieces"]["grain"]) == [None] * len(typed["pieces"])
    gone = {name: rows for name, rows in tables.items() if name != "planned_for"}
    assert frames_of(project, gone)["planned_for"].iloc[0].tolist() == [None] * 4


def test_lists_to_read_are_those_of_the_code_whatever_the_workbook_has(tables: Tables) -> None:
    project = project_of(tables)
    odd = {**tables, "checks": [], "bottom": tables["bottom"][:1], "offer": [], "buy": []}
    typed = frames_of(project, odd)
    for name in ("checks", "bottom", "offer", "buy"):
        assert list(typed[name]["key"]) == list(frames_of(project, tables)[name]["key"])
    assert description_of_today(TODAY, FORMAT) is TODAY
