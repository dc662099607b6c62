"""The price walk adds up to the cent, and every change of input is named."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from estimator.estimate import Estimate
from estimator.problems import ProblemsFound
from estimator.project.records import RECORDS, Project
from estimator.revise.changes import TABLES_OF, Change, changes_between
from estimator.revise.compare import compare
from estimator.revise.walk import Walk, price_walk
from estimator.workbook.read import ReadBook
from estimator.workbook.write import write_workbook
from tests.workbook.estimates import estimated, with_counts
from tests.workbook.projects import projects, template

LODGE = template("merrowby-lodge")
NO_SHRINKING = (Phase.explicit, Phase.reuse, Phase.generate)


def book_of(project: Project) -> ReadBook:
    """The project planned, as it would be read back."""
    return read_back(estimated(project))


def read_back(estimate: Estimate) -> ReadBook:
    return ReadBook(estimate.project, estimate.typed, ())


def total_of(estimate: Estimate) -> Decimal:
    total = estimate.values["price"]["total"].iloc[0]
    return Decimal(repr(float(total))).quantize(Decimal("0.01"))


def steps_of(walk: Walk) -> dict[str, Decimal]:
    return {each.group: each.amount for each in walk.steps}


def with_first(project: Project, table: str, **fields: object) -> Project:
    first, *others = getattr(project, table)
    return project.model_copy(update={table: (first.model_copy(update=fields), *others)})


def test_every_input_table_belongs_to_one_group() -> None:
    tables = [table for tables in TABLES_OF.values() for table in tables]
    assert sorted(tables) == sorted(record.table for record in RECORDS)


def test_nothing_changed_is_no_change_and_no_step() -> None:
    book = book_of(LODGE)
    assert changes_between(LODGE, LODGE) == ()
    assert set(steps_of(price_walk(book, book)).values()) == {Decimal("0.00")}


def test_each_kind_of_change_has_its_own_step() -> None:
    terms = LODGE.terms.model_copy(update={"margin": LODGE.terms.margin + Decimal("0.02")})
    changed = {
        "counts": with_first(LODGE, "counts", rooms=LODGE.counts[0].rooms + 5),
        "scope": with_first(LODGE, "contents", each=LODGE.contents[0].each + 1),
        "rates": with_first(LODGE, "grades", wage=LODGE.grades[0].wage + 5),
        "terms": LODGE.model_copy(update={"terms": terms}),
    }
    old = book_of(LODGE)
    for group, project in changed.items():
        steps = steps_of(price_walk(old, book_of(project)))
        moved = {name for name, amount in steps.items() if amount}
        assert {group} <= moved <= {group, "plan"}


def test_counts_are_walked_under_the_old_plan_as_the_old_workbook_shows_them() -> None:
    more = with_first(LODGE, "counts", rooms=LODGE.counts[0].rooms + 5)
    first = LODGE.counts[0]
    moved = with_counts(estimated(LODGE), {(first.room_type, first.floor): first.rooms + 5})
    live = Decimal(repr(float(moved.values["price"]["total"].iloc[0])))
    walk = price_walk(book_of(LODGE), book_of(more))
    assert walk.before + steps_of(walk)["counts"] == live.quantize(Decimal("0.01"))


@pytest.mark.slow
@settings(max_examples=25, phases=NO_SHRINKING, suppress_health_check=list(HealthCheck))
@given(st.sampled_from(["one-wall", "merrowby-lodge"]).flatmap(
    lambda name: st.tuples(projects([name]), projects([name]))
))  # fmt: skip
def test_the_walk_adds_up_to_the_cent(pair: tuple[Project, Project]) -> None:
    old, new = pair
    if old.project.currency != new.project.currency or old.project.unit != new.project.unit:
        return
    before, after = estimated(old), estimated(new)
    walk = price_walk(read_back(before), read_back(after))
    assert walk.before == total_of(before)
    assert walk.after == total_of(after)
    assert walk.before + sum(each.amount for each in walk.steps) == walk.after


def test_every_change_is_named_with_what_stood_there_and_what_stands_there() -> None:
    new = with_first(LODGE, "runs", length=Fraction(363, 4))
    new = new.model_copy(update={"clauses": new.clauses[1:]})
    run, clause = LODGE.runs[0], LODGE.clauses[0]
    found = changes_between(LODGE, new)
    assert [each for each in found if each.field] == [
        Change("scope", "Rail runs", run.key, "Length", f"{run.length}", "90 3/4")
    ]
    assert [(each.table, each.before, each.after) for each in found if not each.field] == [
        ("Scope", "row", "")
    ]
    assert clause.text in found[-1].row


def test_two_workbooks_are_compared_from_their_files(tmp_path: Path) -> None:
    more = with_first(LODGE, "counts", rooms=LODGE.counts[0].rooms + 5)
    for name, project in (("old", LODGE), ("new", more)):
        write_workbook(estimated(project), tmp_path / f"{name}.xlsx")
    found = compare(tmp_path / "old.xlsx", tmp_path / "new.xlsx").as_json()
    assert found["old"] == "old.xlsx"
    assert [each["field"] for each in found["changes"]] == ["Rooms"]
    amounts = [Decimal(each["amount"]) for each in found["walk"]["steps"]]
    assert Decimal(found["walk"]["before"]) + sum(amounts) == Decimal(found["walk"]["after"])


def test_workbooks_in_different_units_are_not_compared() -> None:
    with pytest.raises(ProblemsFound) as found:
        price_walk(book_of(template("one-wall")), book_of(template("one-wall-metric")))
    assert "Unit of length: found “mm”; expected in, as in the older" in str(found.value)


def test_faults_of_both_files_are_said(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as found:
        compare(tmp_path / "old.xlsx", tmp_path / "new.xlsx")
    assert [each.place for each in found.value.problems] == ["old.xlsx", "new.xlsx"]
