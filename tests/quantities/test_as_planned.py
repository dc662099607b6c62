"""A plan that no longer fits what is typed is a check that fails, and it names the row.

Which fields the planner reads is not listed here: they are noted while it reads them. Each is then
changed in each row, one by one, under the plan as it stands. Where the planner would be given
another problem to solve, the check has to fail; where only the number of pieces moves, the live
count answers, for review. What is read and does neither stands in HARMLESS, with the reason.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

import pandas as pd
import pytest

from estimator import cut_plans, structure
from estimator.cut_plans import demand_of, plan_cuts, with_plans
from estimator.estimate import Estimate, calculate_book
from estimator.expressions.tables import Model
from estimator.expressions.value import calculate
from estimator.planner.cutting import CutPart, Plan, Stock
from estimator.planner.live_bound import Demands, LivePlan
from estimator.planner.mixes import DualVector
from estimator.project.checks import check_project
from estimator.project.frames import frames
from estimator.project.lookup import names_in
from estimator.project.records import FORMS, RECORDS, Project, Record
from estimator.quantities.as_planned import EARLIER
from estimator.structure import laid_out, model_of
from estimator.workbook.write import write_workbook
from tests.engines import calc
from tests.engines.cells import values
from tests.quantities.jobs import ITEM, PART, PROFILE, RUN, SHEET, WORK, job, raw_rows
from tests.workbook.bare import bare_copy
from tests.workbook.estimates import estimated
from tests.workbook.hostile.packages import typed as typed_in
from tests.workbook.hostile.packages import where
from tests.workbook.projects import template

FAIL, REVIEW = "Fail", "Review"
HARMLESS = {
    ("parts", "name"),  # words on labels and lists; no size
    ("profiles", "name"),
    ("materials", "name"),  # words of the progress bar
    ("modules", "key"),  # parts and contents follow it
}
"""Read by the planner without making a difference to any plan."""


@pytest.fixture(scope="module")
def project() -> Project:
    """Every way in which something is cut: turned or not, bevelled or not, from sheets and from
    bought lengths, whole runs and pieced ones, an alternate, a mock-up and spares."""
    boards = [
        PART | {"key": "side", "grain": "along", "length": 30, "width": 12},
        PART | {"key": "back", "grain": "any", "length": 20, "width": 11},
        PART | {"key": "cleat", "bevelled": "yes", "length": 24, "width": 3},
        PART | {"key": "lining", "material": "thin", "length": 18, "width": 9},
    ]
    sheets = [
        SHEET,
        SHEET | {"key": "thin", "thickness": "1/4"},
        SHEET | {"key": "other"},
        SHEET | {"key": "dearer", "stands_in_for": "sheet"},
        SHEET | {"key": "bar", "form": "length", "length": 120, "width": 4},
    ]
    modules = [
        {"key": each, "name": each, "width": 10, "height": 10, "depth": 10, "load": 0, "spares": s}
        for each, s in (("box", "0.1"), ("case", 0))
    ]
    low = PROFILE | {"screw_line": "1 1/2"}
    profiles = [
        low | {"key": "ripped"},
        low | {"key": "ready", "material": "bar", "width": 4, "bevelled": "no"},
        low | {"key": "narrow", "width": 3},
    ]
    runs = [
        RUN | {"key": "short", "profile": "ripped"},
        RUN | {"key": "long", "profile": "ripped", "length": 310},
        RUN | {"key": "bought", "profile": "ready", "length": 200},
    ]
    bought = [*(each["key"] for each in sheets), "item", "pallet"]
    one_wall = raw_rows(template("one-wall"))
    return job(
        rooms=3,
        types=[{"key": "room", "name": "Room", "mock_ups": 1}, {"key": "hall", "name": "Hall"}],
        floors=[{"key": "F1", "name": "First"}, {"key": "F2", "name": "Second"}],
        counts=[
            {"room_type": "room", "floor": "F1", "rooms": 3},
            {"room_type": "room", "floor": "F2", "rooms": 0},
            {"room_type": "hall", "floor": "F1", "rooms": 0},
            {"room_type": "hall", "floor": "F2", "rooms": 2},
        ],
        contents=[
            {"room_type": "room", "module": "box", "each": 2, "run": "short"},
            {"room_type": "hall", "module": "case", "each": 1},
        ],
        terms={"end_distance": 2},
        modules=modules,
        parts=[*boards, PART | {"key": "shelf", "module": "case", "length": 16}],
        materials=sheets,
        profiles=profiles,
        runs=runs,
        items=[ITEM],
        prices=[{"item": each, "from_quantity": 1, "price": 10} for each in bought],
        operations=[WORK],
        walls=one_wall["walls"],
        withdrawal=one_wall["withdrawal"],
        screws=[{"key": "item", "kind": "wood", "diameter": "0.2", "length": 3, "thread": 2,
                 "lateral": 100}],
    )  # fmt: skip


@pytest.fixture(scope="module")
def planned(project: Project) -> Estimate:
    return estimated(project)


# --- What the planner reads ----------------------------------------------------------------------

Field = tuple[str, str]
"""Table and field."""


class Noting(pd.DataFrame):
    """A frame that notes which of its columns are read."""

    _metadata = ["table", "notes"]  # noqa: RUF012 - given by pandas
    table: str
    notes: set[Field]

    @property
    def _constructor(self) -> type[Noting]:
        return Noting

    def __getitem__(self, name: Any) -> Any:
        if isinstance(name, str) and getattr(self, "table", False):
            self.notes.add((self.table, name))
        return super().__getitem__(name)


class PlansNothing:
    """Stands where the planner stands, and keeps what it is given."""

    given: list[tuple[Sequence[CutPart], list[Stock], Fraction, Fraction]]

    def __init__(self, parts: Sequence[CutPart], stock: list[Stock]) -> None:
        self.nothing = DualVector({part.key: 0.0 for part in parts}, 0.0)
        self.empty = Plan((), {stock[0].key: 0}, Fraction(0), 0.0, self.nothing.values, 0.0, {},
                          False)  # fmt: skip

    @classmethod
    def of(
        cls, parts: Sequence[CutPart], stock: list[Stock], *, kerf: Fraction, trim: Fraction
    ) -> PlansNothing:
        cls.given.append((parts, stock, kerf, trim))
        return cls(parts, stock)


def live_of_nothing(mixes: PlansNothing, *_: Any) -> LivePlan:
    return LivePlan(mixes.empty, (mixes.nothing,), 0.0, {})


@pytest.fixture
def planner(monkeypatch: pytest.MonkeyPatch) -> type[PlansNothing]:
    """Takes the planner's place."""
    monkeypatch.setattr(PlansNothing, "given", [], raising=False)
    monkeypatch.setattr(cut_plans, "Mixes", PlansNothing)
    monkeypatch.setattr(cut_plans, "plan_live", live_of_nothing)
    return PlansNothing


@pytest.fixture
def read(
    project: Project, planner: type[PlansNothing], monkeypatch: pytest.MonkeyPatch
) -> set[Field]:
    """The fields of records and of frames that are read from a project to its plans."""
    notes: set[Field] = set()
    silent = False

    def noted(record: Record, name: str) -> Any:
        if not silent and name in type(record).model_fields:
            notes.add((type(record).table, name))
        return object.__getattribute__(record, name)

    def silently(make: Callable[..., dict[str, pd.DataFrame]]) -> Callable[..., Any]:
        def made(*given: Any) -> dict[str, pd.DataFrame]:
            nonlocal silent
            silent = True
            frames = {name: Noting(frame) for name, frame in make(*given).items()}
            for name, frame in frames.items():
                frame.table, frame.notes = name, notes
            silent = False
            return dict(frames)

        return made

    with monkeypatch.context() as patch:
        patch.setattr(Record, "__getattribute__", noted, raising=False)
        # Each field is read here, for whoever may want it; and lists are made that no planner sees.
        for name in ("frames", "reading_lists"):
            patch.setattr(structure, name, silently(getattr(structure, name)))
        laid = laid_out(project)
        with_plans(laid.typed, plan_cuts(laid))
    inputs = {(each.table, name) for each in RECORDS for name in each.columns()}
    grid = {("counts", name) for name in (each.key for each in project.floors)}
    assert notes & grid
    return (notes & inputs) | {("counts", "rooms")}


# --- Each of them changed ------------------------------------------------------------------------


def others(record: type[Record], name: str, row: Record, project: Project) -> Iterator[Any]:
    """Other values that a person may type there instead."""
    about, info = record.columns()[name]
    now = getattr(row, name)
    if get_origin(info.annotation) is Literal:
        yield from (each for each in get_args(info.annotation) if each != now)
    elif about.refers_to:
        known = [each for table in about.refers_to for each in names_in(project, table)]
        yield from (
            each for each in ([""] if not info.is_required() else []) + known if each != now
        )
    elif info.annotation is Fraction:
        yield from (now + Fraction(1, 64), now + 7, now / 2, now * 2)
    elif info.annotation is Decimal:
        yield from (now + Decimal("0.5"), now / 2, now + 2)
    elif info.annotation is int:
        yield from (now + 1, now + 3)
    elif info.annotation is date:
        yield date(2031, 1, 1)
    else:
        yield f"{now}-x"


def changed(project: Project, record: type[Record], number: int, **update: Any) -> Project:
    """The project with fields of a row changed; a key that is changed is followed everywhere."""
    rows = list(project.rows(record.table))
    old = rows[number]
    rows[number] = old.model_copy(update=update)
    new = project.model_copy(update={record.table: rows[0] if record in FORMS else tuple(rows)})
    return followed(new, record.table, dict(old)["key"], update["key"]) if "key" in update else new


def followed(project: Project, table: str, old: str, new: str) -> Project:
    """Every reference to a row under its new name."""
    for record in RECORDS:
        fields = [name for name, (a, _) in record.columns().items() if table in a.refers_to]
        rows = tuple(
            row.model_copy(update={each: new for each in fields if getattr(row, each) == old})
            for row in project.rows(record.table)
        )
        if fields:
            project = project.model_copy(update={record.table: rows})
        if "key" in fields:
            project = followed(project, record.table, old, new)
    return project


def faults_but_of_bounds(project: Project) -> bool:
    """Whether the project would be refused; sizes beyond what is sensible are planned all the same,
    as they come of the unit alone."""
    found = check_project(project, lambda *_: "")
    return any("between" not in each.expected for each in found)


Problem = Mapping[str, tuple[frozenset[tuple[Any, ...]], Any, Fraction, Fraction]]


def problem_of(project: Project, planner: type[PlansNothing]) -> Problem:
    """What the planner is asked, but for how many of each piece: by stock its parts, sizes, saw."""
    planner.given.clear()
    plan_cuts(laid_out(project))
    return {
        stock[0].key: (
            frozenset((p.key, p.length, p.width, p.may_turn, p.shares_rip) for p in parts),
            (stock[0].length, stock[0].width),
            kerf,
            trim,
        )
        for parts, stock, kerf, trim in planner.given
    }


def is_another(new: Problem, old: Problem) -> bool:
    """Whether a plan for the old one does not hold; of fewer sizes it does, there are only none."""
    return any(
        key not in old or mine[1:] != old[key][1:] or not mine[0] <= old[key][0]
        for key, mine in new.items()
    )


@dataclass(frozen=True)
class Said:
    """What a workbook says of its plan: states of two checks, the first row, pieces needed."""

    fits: str
    which: str
    current: str
    needed: list[float]


def said(planned: Estimate, project: Project) -> Said:
    """By the workbook with the inputs as in the project, and the plan that it holds."""
    model, typed = model_of(project)[0], dict(planned.typed)
    for table, frame in frames(project).items():
        laid_out = [
            each.name
            for each in model[table].definitions.values()
            if each.role in ("label", "planned")
        ]
        typed[table] = pd.concat([frame, planned.typed[table][laid_out]], axis=1)
    wanted = [model["findings"][each] for each in ("plan_fits", "plan_current")]
    found = calculate(
        model, typed, [*wanted, model["named"]["plan_fits"], model["pieces"]["needed"]]
    )
    findings = found["findings"].iloc[0]
    return Said(
        FAIL if findings["plan_fits"] else "",
        found["named"]["plan_fits"].iloc[0],
        REVIEW if findings["plan_current"] else "",
        found["pieces"]["needed"].tolist(),
    )


def fixed_fields() -> set[Field]:
    """The fields that can hold one value only, and the two whose pair is what a row is known by."""
    literals = {
        (record.table, name)
        for record in RECORDS
        for name, (_, info) in record.columns().items()
        if get_origin(info.annotation) is Literal and len(get_args(info.annotation)) == 1
    }
    return literals | {("counts", "room_type")}


def needs_as_counted(project: Project, model: Model, typed: Mapping[str, pd.DataFrame]) -> Demands:
    """No other mixes: sizes are the same in all of them."""
    now = demand_of(model, typed)
    return Demands(now, [], [now], [now], {})


def test_whatever_the_planner_reads_is_checked(
    project: Project,
    planned: Estimate,
    planner: type[PlansNothing],
    read: set[Field],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(cut_plans, "needs_of_mixes", needs_as_counted)
    old = problem_of(project, planner)
    assert said(planned, project).fits == ""
    outcomes: dict[Field, set[str]] = defaultdict(set)
    for record in RECORDS:
        for name in record.columns():
            if (record.table, name) not in read:
                continue
            for number, row in enumerate(project.rows(record.table)):
                for value in others(record, name, row, project):
                    new = changed(project, record, number, **{name: value})
                    if faults_but_of_bounds(new):
                        continue
                    outcome = tried(planned, new, old, planner)
                    outcomes[record.table, name].add(outcome)
                    assert outcome != "unseen", (record.table, row, name, value)
    assert outcomes.keys() == read - fixed_fields()
    assert {field for field, found in outcomes.items() if found == {"nothing"}} == HARMLESS
    fails = {field for field, found in outcomes.items() if "fails" in found}
    assert len(fails) >= 18, sorted(fails)


def tried(planned: Estimate, new: Project, old: Problem, planner: type[PlansNothing]) -> str:
    """What the workbook says once the new values stand in it: "unseen" if not what it ought to."""
    found = said(planned, new)
    fails = found.fits == FAIL and found.which != ""
    if is_another(problem_of(new, planner), old):
        return "fails" if fails else "unseen"
    if found.needed != planned.values["pieces"]["needed"].tolist():
        return "moves" if found.current == REVIEW else "unseen"
    return "fails" if fails else "nothing"


# --- Rows that come and go ------------------------------------------------------------------------


def test_the_check_is_in_order_as_planned(planned: Estimate) -> None:
    assert shown(planned) == ("OK", "")


def shown(book: Estimate) -> tuple[str, str]:
    """State and names of the check, as the sheet Checks shows them."""
    check = book.values["checks"].set_index("key").loc["plan_fits"]
    return str(check["state"]), str(check["which"])


def without(planned: Estimate, table: str, key: str) -> Estimate:
    """The workbook with a row deleted."""
    frame = planned.typed[table]
    return with_table(planned, table, frame[frame["key"] != key])


def with_table(planned: Estimate, table: str, frame: pd.DataFrame) -> Estimate:
    typed = {**planned.typed, table: frame.reset_index(drop=True)}
    return calculate_book(planned.project, typed)


def copied(planned: Estimate, table: str, like: str, **update: Any) -> Estimate:
    """The workbook with a row copied, with what stands in it beside the inputs, and typed over."""
    frame = planned.typed[table]
    row = frame[frame["key"] == like].assign(**update)
    return with_table(planned, table, pd.concat([frame, row]))


def test_a_part_or_a_run_that_is_taken_out_leaves_pieces_of_nothing(planned: Estimate) -> None:
    assert shown(without(planned, "parts", "back")) == (FAIL, "back")
    assert shown(without(planned, "runs", "short")) == (FAIL, "ripped-48")


def test_a_part_or_a_run_that_comes_in_was_never_planned(planned: Estimate) -> None:
    assert shown(copied(planned, "parts", "back", key="front")) == (FAIL, "front")
    longer = copied(planned, "runs", "short", key="longer", length=60.0)
    assert shown(longer) == (FAIL, "longer")


def test_a_run_more_of_a_length_that_was_planned_moves_only_the_number(planned: Estimate) -> None:
    """Its pieces are known and counted, so the live bound holds."""
    book = copied(planned, "runs", "short", key="as-short")
    assert shown(book) == ("OK", "")
    assert book.values["findings"]["plan_current"].iloc[0] == 1


def test_a_material_counts_once_something_is_cut_from_it(planned: Estimate) -> None:
    assert shown(copied(planned, "materials", "other", key="spare", width=60.0)) == ("OK", "")
    instead = copied(planned, "materials", "other", key="instead", stands_in_for="thin")
    assert shown(instead) == (FAIL, "instead")


def test_several_rows_are_counted_and_the_first_is_named(planned: Estimate) -> None:
    parts = planned.typed["parts"]
    assert shown(with_table(planned, "parts", parts.assign(grain="any"))) == (
        FAIL, "side and 3 more",
    )  # fmt: skip
    terms = planned.typed["terms"].assign(kerf=0.25, trim=2.0)
    assert shown(with_table(planned, "terms", terms))[1].startswith("Saw kerf and ")


def test_a_plan_that_does_not_say_what_it_was_made_for_is_no_plan_for_this(
    planned: Estimate,
) -> None:
    blank = planned.typed["planned_for"].assign(unit=None)
    assert shown(with_table(planned, "planned_for", blank)) == (FAIL, EARLIER)


# --- In the workbook alone ------------------------------------------------------------------------

EDITS: dict[str, dict[tuple[str, int], str | float]] = {
    "": {},
    "Saw kerf": {("terms_kerf", 0): 0.25},
    "back": {("parts_grain", 1): "along"},
    "sheet and 4 more": {
        ("materials_thickness", 0): 0.7,
        ("materials_stands_in_for", 3): "thin",
        ("profiles_bevelled", 0): "no",
        ("runs_spacing", 1): 19,
        ("parts_material", 0): "thin",
    },
}
"""What the check names once this is typed: by defined name and rows below it."""


@pytest.mark.slow
def test_calc_says_so_on_the_workbook_by_itself(planned: Estimate, tmp_path: Path) -> None:
    book = tmp_path / "book.xlsx"
    write_workbook(planned, book)
    copies = [
        bare_copy(typed(book, edit), tmp_path / f"{at}.xlsx")
        for at, edit in enumerate(EDITS.values())
    ]
    made = calc.recalculate(copies, tmp_path / "calc")
    row = list(planned.values["checks"]["key"]).index("plan_fits")
    state, which = (where(book, f"checks_{each}", row) for each in ("state", "which"))
    for names, copy in zip(EDITS, copies, strict=True):
        found = values(made[copy])
        assert (found[state], found.get(which) or "") == (FAIL if names else "OK", names)


def typed(book: Path, edit: Mapping[tuple[str, int], str | float]) -> Path:
    """A copy of the workbook with this typed into it."""
    copy = book.with_name("typed.xlsx")
    typed_in(dict(edit))(book, copy)
    return copy
