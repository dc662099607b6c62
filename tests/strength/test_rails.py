"""Rails: the moment of a load, its share on each stud and screw, and what never makes it better."""

from __future__ import annotations

from math import isclose
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.project.records import Project
from tests.quantities.test_twins import in_millimetres
from tests.strength.bracket import RAIL, RUN, THING, bracket
from tests.strength.calculating import figures

FAULTS = ("overloaded", "unmet", "unheld", "single")


def of_run(project: Project, *names: str) -> list[Any]:
    found = figures(project, "runs", *names)
    return [found[name][0] for name in names]


def test_the_worked_bracket() -> None:
    """120 lb on a shelf 12 in deep, 10 in from screws to heel, three no. 10 screws 1 1/2 in deep.

    Worked by hand: T = W e / h; Hankinson's form of NDS 12.4.1 (from memory).
    """
    pull, shear = of_run(bracket(), "screw_pull", "screw_shear")
    assert (pull, shear) == (pytest.approx(24), pytest.approx(40))
    holds = of_run(bracket(), "holds_pull", "holds_shear")
    assert holds == [pytest.approx(143.25, abs=0.05), pytest.approx(83.4)]
    together, use = of_run(bracket(), "together", "use")
    assert together == pytest.approx(0.497, abs=0.0005)
    assert use == together


def test_a_second_worked_moment() -> None:
    """350 lb at 10 in with 36 in to the heel pull with 97.2 lb: worked by hand."""
    project = bracket(module={"load": 350, "depth": 20, "height": 36})
    assert of_run(project, "pull") == [pytest.approx(97.2, abs=0.03)]


def test_hankinson_is_what_its_own_form_says() -> None:
    """Z'a = W Z / (W cos² a + Z sin² a), with a the angle of the resultant over the wall."""
    pull, shear, w, z, together = of_run(
        bracket(), "screw_pull", "screw_shear", "holds_pull", "holds_shear", "together"
    )
    resultant = (pull**2 + shear**2) ** 0.5
    assert resultant == pytest.approx(46.65, abs=0.01)
    cos2, sin2 = (shear / resultant) ** 2, (pull / resultant) ** 2
    assert w * z / (w * cos2 + z * sin2) == pytest.approx(93.77, abs=0.02)
    assert together == pytest.approx(resultant / (w * z / (w * cos2 + z * sin2)))


def test_the_moment_doubles_with_distance_and_halves_with_height() -> None:
    (one,) = of_run(bracket(), "pull")
    assert of_run(bracket(module={"depth": 24}), "pull") == [pytest.approx(2 * one)]
    assert of_run(bracket(module={"height": 20}), "pull") == [pytest.approx(one / 2)]
    assert of_run(bracket(module={"load": 0}), "pull") == [0]


def test_a_shallow_module_bears_at_the_rail_s_lower_edge() -> None:
    project = bracket(module={"height": 4, "above": 3})
    assert figures(project, "contents", "bearing")["bearing"] == [5.5]


def test_the_rail_is_a_lever_about_its_lower_edge() -> None:
    (flush,), (lower,) = (
        of_run(bracket(profile={"screw_line": line}), "screw_pull") for line in ("5 1/2", "2 3/4")
    )
    assert lower == pytest.approx(2 * flush)


def test_a_module_narrower_than_the_spacing_hangs_on_one_stud() -> None:
    narrow = bracket(module={"width": 12}, run={"length": 240})
    wide = bracket(module={"width": 48}, run={"length": 240})
    assert figures(narrow, "contents", "on_stud")["on_stud"] == [1]
    assert figures(wide, "contents", "on_stud")["on_stud"] == [0.5]
    assert of_run(narrow, "stud_weight") == [120]


def test_a_person_leans_on_the_front_edge() -> None:
    project = bracket(strength={"lean": 50})
    assert of_run(project, "carried", "pull") == [170, pytest.approx(72 + 50 * 12 / 10)]


def test_only_the_fewest_studs_count() -> None:
    """A rail of 46 in usable crosses 2 or 3 studs at 16 in: two hold, three are bought."""
    things = bracket(
        module={"width": 8, "load": 10},
        run={"length": 46, "spacing": 16},
        contents=[{"room_type": "room", "module": "box", "each": 5, "run": "wall"}],
    )
    assert of_run(things, "fewest", "fixings", "stud_weight") == [2, 3, 25]


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"module": {"load": 400}}, "overloaded"),
        ({"screw": {"length": "1.2"}}, "overloaded"),
        ({"profile": {"upper_screws": 0}}, "overloaded"),
        ({"profile": {"screws_per_stud": 0, "upper_screws": 0}}, "overloaded"),
        ({"run": {"length": 20}}, "unmet"),
        ({"run": {"wall": "steel"}}, "unheld"),
        ({"run": {"wall": "masonry"}}, "unheld"),
    ],
)
def test_every_fault_is_said_and_nothing_else(
    change: dict[str, dict[str, Any]], fault: str
) -> None:
    run = {"length": 60} | change.get("run", {})
    assert of_run(bracket(**{**change, "run": run}), *FAULTS) == [name == fault for name in FAULTS]


def test_one_stud_is_looked_at() -> None:
    assert of_run(bracket(), *FAULTS) == [0, 0, 0, 1]


def test_a_rail_that_carries_nothing_has_no_fault() -> None:
    empty = bracket(contents=[{"room_type": "room", "module": "box", "each": 1}], run={"length": 9})
    assert of_run(empty, *FAULTS) == [0, 0, 0, 0]


def test_the_screws_that_would_do_do() -> None:
    use, screws = of_run(bracket(module={"load": 500}), "use", "would_do")
    assert use > 1
    enough = bracket(
        module={"load": 500}, profile={"screws_per_stud": int(screws), "upper_screws": int(screws)}
    )
    assert of_run(enough, "use", "overloaded")[1] == 0
    fewer = bracket(
        module={"load": 500},
        profile={"screws_per_stud": int(screws) - 1, "upper_screws": int(screws) - 1},
    )
    assert of_run(fewer, "overloaded") == [1]


# --- What never makes it better -------------------------------------------------------------------

JOBS = st.fixed_dictionaries(
    {
        "load": st.integers(1, 300),
        "depth": st.integers(2, 24),
        "width": st.integers(6, 60),
        "height": st.integers(4, 40),
        "length": st.sampled_from(["1.8", "2.5", "4", "8"]),
        "lean": st.sampled_from([0, 25, 80]),
        "screws": st.integers(1, 4),
    }
)


def use_of(
    job: dict[str, Any], more_load: int = 0, more_screws: int = 0, more_upper: int = 0
) -> float:
    project = hung(job, more_load, more_screws, more_upper)
    return of_run(project, "use")[0]


def hung(
    job: dict[str, Any], more_load: int = 0, more_screws: int = 0, more_upper: int = 0
) -> Project:
    return bracket(
        module={name: job[name] for name in ("depth", "width", "height")}
        | {"load": job["load"] + more_load},
        profile={"screws_per_stud": job["screws"] + more_screws, "upper_screws": 1 + more_upper},
        run={"length": 100},
        screw={"length": job["length"], "thread": job["length"]},
        strength={"lean": job["lean"], "full_depth": 10, "least_depth": 6},
    )


@given(JOBS, st.integers(1, 200))
def test_more_load_never_lowers_the_share_used(job: dict[str, Any], more: int) -> None:
    assert use_of(job, more_load=more) >= use_of(job) * (1 - 1e-12)


@given(JOBS, st.integers(1, 3))
def test_more_screws_never_raise_it(job: dict[str, Any], more: int) -> None:
    assert use_of(job, more_screws=more) <= use_of(job) * (1 + 1e-12)
    assert use_of(job, more_screws=more, more_upper=more) <= use_of(job, more_screws=more) * (
        1 + 1e-12
    )


@given(JOBS)
def test_inches_and_millimetres_agree(job: dict[str, Any]) -> None:
    inches = hung(job)
    (one,), (other,) = (of_run(each, "use") for each in (inches, in_millimetres(inches)))
    assert isclose(one, other, rel_tol=1e-9)


def test_two_things_pull_as_much_as_both() -> None:
    rows = [THING, THING | {"key": "other", "load": 60, "depth": 6}]
    both = bracket(
        modules=rows,
        runs=[RUN | {"length": 96}],
        profiles=[RAIL],
        contents=[
            {"room_type": "room", "module": key, "each": 1, "run": "wall"}
            for key in ("box", "other")
        ],
    )
    assert of_run(both, "pull", "hung") == [pytest.approx(72 + 18), 180]
