"""Where a cell of one workbook stands in another; what a formula becomes that refers to it."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.estimate import Estimate
from estimator.project.records import Project
from estimator.revise.formulas import Kept, NotKeptError, following, kept_formula
from estimator.revise.places import Ground, moved, planned_ground
from estimator.workbook.stored import Position
from tests.workbook.estimates import estimated
from tests.workbook.projects import template

NAMES = frozenset({"price_total", "my_figure"})


@cache
def planned(name: str) -> Estimate:
    return estimated(template(name))


@cache
def ground(name: str) -> Ground:
    return planned_ground(planned(name))


def without_first(project: Project, table: str) -> Project:
    return project.model_copy(update={table: getattr(project, table)[1:]})


@st.composite
def positions(draw: st.DrawFn, name: str) -> Position:
    """A cell in, above, below or to the right of some table."""
    table = draw(st.sampled_from(sorted(ground(name).tables)))
    standing = ground(name).tables[table]
    row = draw(st.integers(max(1, standing.top - 4), standing.bottom + 4))
    return standing.sheet, row, draw(st.integers(1, standing.right + 30))


@pytest.mark.parametrize("name", ["one-wall", "merrowby-lodge", "three-hundred-rooms"])
def test_every_cell_of_a_workbook_stands_in_its_own_place(name: str) -> None:
    @given(positions(name))
    def stands(position: Position) -> None:
        assert moved(ground(name), ground(name), position) == position

    stands()


@given(positions("merrowby-lodge"))
def test_there_and_back_is_where_it_was(position: Position) -> None:
    """To a workbook with a row less and back, unless what it stood beside is gone."""
    here = ground("merrowby-lodge")
    other = planned_ground(estimated(without_first(template("merrowby-lodge"), "clauses")))
    there = moved(here, other, position)
    assert there is None or moved(other, here, there) == position


def test_a_floor_more_moves_what_stands_to_the_right_of_the_counts() -> None:
    project = template("merrowby-lodge")
    floors = (*project.floors, project.floors[0].model_copy(update={"key": "roof"}))
    more = planned_ground(estimated(project.model_copy(update={"floors": floors})))
    counts = ground("merrowby-lodge").tables["counts"]
    right = ("Counts", counts.top, ground("merrowby-lodge").tables["headline"].right + 3)
    assert moved(ground("merrowby-lodge"), more, right) == (*right[:2], right[2] + 1)


# --- Formulas ------------------------------------------------------------------------------------


def down_by_two(position: Position) -> Position | None:
    """Rows from the fifth on stand two lower; a sheet of that name is not there."""
    sheet, row, column = position
    return None if sheet == "Gone" else (sheet, row + 2 if row >= 5 else row, column)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("=1+2*3", "=1+2*3"),
        ("=B5", "=B7"),
        ("=$B$5+B$3", "=$B$7+B$3"),
        ("=SUM(Counts!B5:C9)/price_total", "=SUM(Counts!B7:C11)/price_total"),
        ("='It''s mine'!A6&\"A6\"", "='It''s mine'!A8&\"A6\""),
        ('=IF(A5>0,"yes",TRUE)', '=IF(A7>0,"yes",TRUE)'),
        ("=-A5%", "=-A7%"),
    ],
)
def test_references_follow_their_cells(text: str, expected: str) -> None:
    assert kept_formula(text, "Mine", NAMES, down_by_two).text == expected


@pytest.mark.parametrize(
    "text",
    ["=Gone!A1", "=A4:A5", "=other", "=Table1[Sum]", "=A:A", "=Mine:Other!A1", "=#REF!+A1:B",
     "=RTD(\"a\",,\"b\")", "=EXEC(1)", "=A1:XFD99999", "=[1]Other!A1", "=" + "1+" * 5000 + "1"],
)  # fmt: skip
def test_what_cannot_be_followed_is_not_kept(text: str) -> None:
    with pytest.raises(NotKeptError):
        kept_formula(text, "Mine", NAMES, down_by_two)


@given(st.text(max_size=40))
def test_any_text_is_kept_or_refused_with_words(text: str) -> None:
    assert outcome("=" + text).startswith(("=", "a "))


def outcome(text: str) -> str:
    """The formula that is kept, or why it is not."""
    try:
        return kept_formula(text, "Mine", NAMES, lambda position: position).text
    except NotKeptError as why:
        return str(why)


def test_a_formula_follows_the_figures_by_way_of_others() -> None:
    formulas = {
        ("Mine", 1, 1): Kept("=price_total", (), True),
        ("Mine", 2, 1): Kept("=A1", (("Mine", 1, 1, 1, 1),), False),
        ("Mine", 3, 1): Kept("=SUM(A2:B2)", (("Mine", 2, 1, 2, 2),), False),
        ("Mine", 4, 1): Kept("=B9", (("Mine", 9, 2, 9, 2),), False),
        ("Mine", 5, 1): Kept("=Counts!B5", (("Counts", 5, 2, 5, 2),), False),
    }
    assert {at[1] for at in following(formulas, ["Mine"])} == {1, 2, 3, 5}
