"""The checker must find faults, or it proves nothing."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from tests.planner.checker import CutSheet, Placed, WantedPart, faults

F = Fraction
NONE, ONE = F(0), F(1)
PARTS = {
    "a": WantedPart(F(40), F(20), 2, False, None),
    "cleat": WantedPart(F(40), F(3), 2, False, F(11, 2)),
}
GOOD = CutSheet(
    F(96),
    F(48),
    "across",
    (
        Placed("a", F(0), F(0), F(40), F(20), False, False),
        Placed("a", F(0), F(21), F(40), F(20), False, False),
        Placed("cleat", F(41), F(0), F(40), F(11, 2), False, True),
    ),
    1,
)


def found(sheet: CutSheet, kerf: Fraction = ONE, trim: Fraction = NONE, stages: int = 3) -> str:
    return "; ".join(faults([sheet], PARTS, kerf, trim, stages))


def moved(index: int, **changes: object) -> CutSheet:
    placed = list(GOOD.placed)
    placed[index] = replace(placed[index], **changes)  # type: ignore[arg-type]
    return replace(GOOD, placed=tuple(placed))


def test_a_good_plan_has_no_fault() -> None:
    assert found(GOOD) == ""


def test_each_fault_is_found() -> None:
    assert "beyond the trimmed sheet" in found(moved(1, y=F(29)))
    assert "beyond the trimmed sheet" in found(GOOD, trim=F(1))
    assert "nearer than a kerf" in found(moved(1, y=F(41, 2)))
    assert "a is 40 x 19" in found(moved(1, width=F(19)))
    assert "cleat is 40 x 6" in found(moved(2, width=F(6)))
    assert "against its grain" in found(moved(1, length=F(20), width=F(40), turned=True))
    assert "a: 1 made, 2 wanted" in found(replace(GOOD, placed=GOOD.placed[1:]))


def test_a_pinwheel_is_not_cut_edge_to_edge() -> None:
    sides = [(0, 0, 60, 30), (60, 0, 30, 60), (30, 60, 60, 30), (0, 30, 30, 60)]
    wheel = tuple(Placed("a", F(x), F(y), F(a), F(b), False, False) for x, y, a, b in sides)
    sheet = CutSheet(F(90), F(90), "across", wheel, 1)
    assert "not cut edge to edge" in found(sheet, kerf=F(0))


def test_stages_are_counted() -> None:
    # Two sections, one of them of two strips, one of which holds two pieces: three stages.
    boxes = [(0, 0, 40, 48), (40, 0, 50, 20), (40, 20, 25, 20), (65, 20, 25, 20)]
    placed = tuple(Placed("a", F(x), F(y), F(a), F(b), False, False) for x, y, a, b in boxes)
    sheet = CutSheet(F(96), F(48), "across", placed, 1)
    assert "not cut edge to edge" not in found(sheet, kerf=F(0))
    assert "not cut edge to edge" in found(sheet, kerf=F(0), stages=2)
    assert "not cut edge to edge" in found(replace(sheet, first_cut="along"), kerf=F(0))
