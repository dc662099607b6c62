"""What one room has, its hardware kit and its hours on site, against counting it all out by hand.

The counting here goes module by module and use by use over the project's rows, in plain Python, and
knows nothing of the definitions but rails' pieces, studs and screws, which have tests of their own.
Sources: none needed, it is counting; the projects are random.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

import pandas as pd
import pytest

from estimator.estimate import Estimate, calculate_book
from estimator.project.records import MEASURES, Project
from estimator.project.templates import list_templates, read_template
from estimator.quantities.kits import IN_KITS, SHOP, SITE
from estimator.quantities.room_measures import IN_ROOMS, IN_SPARES, OF_THE_JOB
from tests.quantities.jobs import GRADE, ITEM, MODULE, PART, WORK, job
from tests.workbook.estimates import estimated
from tests.workbook.random_projects import some_projects

RUN_OF = {"in": 12, "mm": 1000}
"""Inches in a foot, millimetres in a metre."""
Counts = Mapping[str, float]
Row = Mapping[Any, Any]


@cache
def estimates() -> list[Estimate]:
    """Of random projects and of every template."""
    projects = [*some_projects(25), *(read_template(each.name) for each in list_templates())]
    return [estimated(each) for each in projects]


def by_key(frame: pd.DataFrame) -> dict[str, Row]:
    return {row["key"]: row for row in frame.to_dict("records")}


# --- Counted out ----------------------------------------------------------------------------------


def in_module(project: Project, key: str) -> Counts:
    """What one module has of each measure."""
    run, thickness = RUN_OF[project.project.unit], {m.key: m.thickness for m in project.materials}
    coats = {each.key: each.coats for each in project.finishes}
    found: defaultdict[str, float] = defaultdict(float, {"modules": 1})
    for part in project.parts:
        if part.module != key:
            continue
        edge = part.long_edges * part.length + part.short_edges * part.width
        faces = part.faces * part.length * part.width + edge * thickness[part.material]
        area = float(faces) / run**2 if part.finish else 0.0
        found["parts"] += part.each
        found["bevel"] += float(part.length) / run * part.each if part.bevelled == "yes" else 0
        found["edges"] += float(edge) / run * part.each
        found["area"] += area * part.each
        found["coats"] += area * part.each * coats.get(part.finish, 0)
    return found


def in_room(estimate: Estimate, room_type: str) -> Counts:
    """What one room of a type has of each measure, module, profile and of itself."""
    project = estimate.project
    found: defaultdict[str, float] = defaultdict(float, {"rooms": 1, room_type: 1})
    for content in project.contents:
        if content.room_type == room_type:
            found[content.module] += content.each
            for name, each in in_module(project, content.module).items():
                found[name] += each * content.each
    for run in estimate.values["runs"].to_dict("records"):
        if run["room_type"] == room_type:
            for name, each in _on_rail(project, run).items():
                found[name] += each
    return found


def _on_rail(project: Project, run: Row) -> Counts:
    profile = next(each for each in project.profiles if each.key == run["profile"])
    thickness = next(each.thickness for each in project.materials if each.key == profile.material)
    coats = {each.key: each.coats for each in project.finishes}
    feet = run["length"] / RUN_OF[project.project.unit]
    around = float(profile.faces * profile.width + 2 * thickness) / RUN_OF[project.project.unit]
    area = feet * around if profile.finish else 0.0
    return {
        profile.key: feet, "rail": feet, "pieces": run["pieces"], "studs": run["fixings"],
        "screws": run["screws"], "bevel": feet if profile.bevelled == "yes" else 0,
        "area": area, "coats": area * coats.get(profile.finish, 0),
    }  # fmt: skip


def in_spares(estimate: Estimate) -> Counts:
    found: defaultdict[str, float] = defaultdict(float)
    for module in estimate.values["modules"].to_dict("records"):
        found[module["key"]] += module["spare"]
        for name, each in in_module(estimate.project, module["key"]).items():
            found[name] += each * module["spare"]
    return found


def rooms_of(estimate: Estimate) -> dict[str, float]:
    types = estimate.values["types"]
    return dict(zip(types["key"], types["rooms"], strict=True))


# --- One room -------------------------------------------------------------------------------------


def test_every_measure_is_in_rooms_or_of_the_job() -> None:
    assert {*IN_ROOMS, *OF_THE_JOB} == {*MEASURES}
    assert {*IN_SPARES} < {*IN_ROOMS}
    assert not {*IN_ROOMS} & {*OF_THE_JOB}


def test_one_room_has_what_its_modules_and_rails_have() -> None:
    for estimate in estimates():
        for room in estimate.values["one_room"].to_dict("records"):
            if room["rooms"]:
                counted = in_room(estimate, room["key"])
                shown = {name: room[name] for name in IN_ROOMS[1:]}
                expected = {name: counted.get(name, 0) for name in shown}
                assert shown == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_rooms_and_spares_are_the_measures_of_the_job() -> None:
    for estimate in estimates():
        rooms, measures = estimate.values["one_room"], estimate.values["measures"].iloc[0]
        spares = estimate.values["spares"].iloc[0]
        for name in IN_ROOMS[1:]:
            in_all = (rooms[name] * rooms["rooms"]).sum() + spares.get(name, 0)
            assert in_all == pytest.approx(measures[name], rel=1e-9, abs=1e-9), name
        assert rooms["rooms"].sum() == measures["rooms"]


# --- Kits -----------------------------------------------------------------------------------------


def kits_counted(estimate: Estimate) -> dict[tuple[str, str, str], float]:
    """By room type, place and item, what one room uses; without what it uses nothing of."""
    project = estimate.project
    kinds = {each.key: each.kind for each in project.items}
    modules = {each.key for each in project.modules}
    found: defaultdict[tuple[str, str, str], float] = defaultdict(float)
    for room_type, rooms in rooms_of(estimate).items():
        has = in_room(estimate, room_type) if rooms else {}
        for use in project.uses:
            if kinds[use.item] in IN_KITS:
                where = SHOP if use.per in modules else SITE
                found[room_type, where, use.item] += float(use.amount) * has.get(use.per, 0)
    return {key: amount for key, amount in found.items() if amount > 1e-9}


def test_a_kit_holds_what_the_room_uses() -> None:
    for estimate in estimates():
        rooms = rooms_of(estimate)
        shown = {
            (row["room_type"], row["where"], row["item"]): row["each"]
            for row in estimate.values["kits"].to_dict("records")
            if row["each"] > 1e-9 and rooms[row["room_type"]]
        }
        assert shown == pytest.approx(kits_counted(estimate), rel=1e-9)


def test_kits_of_rooms_spares_and_the_job_are_the_items_used() -> None:
    """To the rounding that the workbook's own check allows."""
    packed = 0
    for estimate in estimates():
        spares, measures = in_spares(estimate), estimate.values["measures"].iloc[0]
        ordered = estimate.values["materials"].set_index("key")["order"]
        of_job = {**{name: measures[name] for name in OF_THE_JOB}, **ordered}
        for item in estimate.values["items"].to_dict("records"):
            uses = [each for each in estimate.project.uses if each.item == item["key"]]
            for_spares = sum(float(each.amount) * spares.get(each.per, 0) for each in uses)
            for_job = sum(float(each.amount) * of_job.get(each.per, 0) for each in uses)
            assert item["for_spares"] == pytest.approx(for_spares, rel=1e-9, abs=1e-9)
            assert item["for_job"] == pytest.approx(for_job, rel=1e-9, abs=1e-9)
            assert item["unpacked"] == 0
            if item["kind"] in IN_KITS:
                packed += 1
                listed = item["in_rooms"] + for_spares + for_job
                assert listed == pytest.approx(item["used"], rel=1e-9, abs=1e-9)
    assert packed > 20


def test_whole_kits_are_rounded_up_after_noise() -> None:
    """A hundred times 0.07 of an item is 7 in a room, though floats make it a hair more."""
    project = job(
        rooms=10, items=[ITEM],
        uses=[{"per": "box", "item": "item", "amount": "0.07"}],
        contents=[{"room_type": "room", "module": "box", "each": 100}],
    )  # fmt: skip
    (kit,) = estimated(project).values["kits"].to_dict("records")
    assert (kit["kit"], kit["rooms"]) == (7, 10)
    assert kit["each"] > 7  # the noise that is to be dropped


def test_a_use_typed_in_since_is_told() -> None:
    estimate = estimated(read_template("one-wall"))
    uses = estimate.typed["uses"]
    assert state_of(estimate, "kits_whole") == "OK"
    added = {"per": "rooms", "item": "felt-pad", "amount": 2.0}
    more = pd.concat([uses, pd.DataFrame([added])], ignore_index=True)
    now = calculate_book(estimate.project, {**estimate.typed, "uses": more})
    assert state_of(now, "kits_whole") == "Review"


def state_of(estimate: Estimate, check: str) -> str:
    checks = estimate.values["checks"].set_index("key")
    return str(checks.loc[check, "state"])


# --- Hours on site --------------------------------------------------------------------------------


def hours_counted(estimate: Estimate) -> dict[str, float]:
    """By room type, hours on site in all its rooms: driver by driver, the rest by weight."""
    rooms = {key: count for key, count in rooms_of(estimate).items() if count}
    has = {key: in_room(estimate, key) for key in rooms}
    found = dict.fromkeys(rooms, 0.0)
    for work in site_work(estimate):
        driven = {key: rooms[key] * has[key].get(work["per"], 0) for key in rooms}
        driven = driven if sum(driven.values()) else by_weight(estimate, rooms)
        for key, part in driven.items():
            found[key] += work["hours"] * part / sum(driven.values())
    return found


def site_work(estimate: Estimate) -> Iterator[Row]:
    for work in estimate.values["operations"].to_dict("records"):
        if work["where"] == "site":
            yield work


def by_weight(estimate: Estimate, rooms: Mapping[str, float]) -> dict[str, float]:
    weight = estimate.values["types"].set_index("key")["weight"]
    return {key: weight[key] for key in rooms} if weight.sum() else dict(rooms)


def test_hours_of_a_room_go_by_what_drives_the_work() -> None:
    worked = 0
    for estimate in estimates():
        shown = {
            row["key"]: row["site_hours"] * row["rooms"]
            for row in estimate.values["one_room"].to_dict("records")
            if row["rooms"]
        }
        assert shown == pytest.approx(hours_counted(estimate), rel=1e-6, abs=1e-6)
        worked += any(shown.values())
    assert worked > 5


def test_hours_by_room_type_add_up_to_the_site_hours() -> None:
    for estimate in estimates():
        rooms, labour = estimate.values["one_room"], estimate.values["labour"].iloc[0]
        if rooms["rooms"].sum():
            in_all = (rooms["site_hours"] * rooms["rooms"]).sum()
            assert in_all == pytest.approx(labour["site_hours"], rel=1e-9, abs=1e-9)


def test_a_room_with_more_to_hang_takes_longer() -> None:
    """Two types of one weight, one with twice the modules: 30 minutes each, so 1 and 2 hours."""
    heavy, light = MODULE | {"key": "heavy"}, MODULE | {"key": "light"}
    part = PART | {"length": 20}
    project = job(
        types=[{"key": "few", "name": "Few"}, {"key": "many", "name": "Many"}],
        counts=[{"room_type": each, "floor": "F1", "rooms": 3} for each in ("few", "many")],
        modules=[heavy, light],
        parts=[part | {"key": "a", "module": "heavy"}, PART | {"key": "b", "module": "light"}],
        contents=[{"room_type": "few", "module": "heavy", "each": 2},
                  {"room_type": "many", "module": "light", "each": 4}],
        operations=[WORK | {"where": "site", "per": "modules", "minutes": 30}], grades=[GRADE],
    )  # fmt: skip
    found = by_key(estimated(project).values["one_room"])
    assert [found[each]["site_hours"] for each in ("few", "many")] == pytest.approx([1, 2])


# --- Lifts ----------------------------------------------------------------------------------------


def test_a_mirror_of_43_pounds_takes_two() -> None:
    """Under the single lift of 51 lb, over what the lifting equation recommends for the reach."""
    project = job(modules=[MODULE | {"bought_weight": 43}], parts=[PART])
    module = estimated(project).values["modules"].iloc[0]
    assert (module["heavy"], module["lift_index"] > 1) == (0, True)
    assert module["lift"] == "two people"


def test_who_lifts_is_what_the_two_checks_say() -> None:
    for estimate in estimates():
        for module in estimate.values["modules"].to_dict("records"):
            if module["made"]:
                asked = bool(module["heavy"] or module["awkward"])
                assert (module["lift"] == "two people") == asked
