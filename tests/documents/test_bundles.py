"""Bundles are exactly the job: pieces, modules, rails and rooms add up to its figures."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest

from estimator.documents.bundles import (
    MOCK_UP_ROOMS,
    SPARE_MODULES,
    Bundles,
    bundles_of,
    in_one_room,
)
from estimator.documents.cut_list import lines_of
from estimator.estimate import Estimate
from estimator.project.templates import list_templates, read_template
from tests.workbook.estimates import estimated
from tests.workbook.random_projects import some_projects

Made = tuple[Estimate, Bundles]


@cache
def jobs() -> list[Made]:
    """Random projects and every template, with their bundles."""
    projects = [*some_projects(20), *(read_template(each.name) for each in list_templates())]
    estimates = [estimated(each) for each in projects]
    return [(each, bundles_of(each)) for each in estimates]


def test_pieces_are_those_that_are_needed() -> None:
    listed = 0
    for estimate, found in jobs():
        pieces = estimate.values["pieces"]
        needed = dict(zip(pieces["key"], pieces["needed"], strict=True))
        counted: Counter[str] = Counter()
        for line in lines_of(found, estimate.project):
            counted[line.key] += line.count
        assert dict(counted) == {key: count for key, count in needed.items() if count}
        assert sum(each["pieces"] for each in found.bundles) == pieces["needed"].sum()
        listed += sum(counted.values())
    assert listed > 1000


def test_modules_of_all_floors_are_those_that_are_made() -> None:
    for estimate, found in jobs():
        made = estimate.values["modules"].set_index("key")["made"]
        counted: Counter[str] = Counter()
        for each in found.floor_modules:
            counted[each["module"]] += each["count"]
        assert {key: counted[key] for key in made.index} == made.to_dict()


def test_rails_of_all_floors_are_the_runs_of_all_rooms() -> None:
    for estimate, found in jobs():
        rooms = estimate.values["runs"]["rooms"].sum()
        assert sum(each["count"] for each in found.floor_rails) == rooms


def test_every_room_has_a_bag_and_no_spare_has_one() -> None:
    for estimate, found in jobs():
        bags = {each["key"]: each["rooms"] for each in found.floors}
        floors = estimate.values["floors"]
        assert bags.pop(MOCK_UP_ROOMS) == estimate.values["types"]["mock_ups"].sum()
        assert bags.pop(SPARE_MODULES) == 0
        assert bags == dict(zip(floors["key"], floors["rooms"], strict=True))


def test_a_module_on_two_rails_of_a_room_is_counted_on_both() -> None:
    for estimate, _ in jobs():
        in_rooms = in_one_room(estimate.project)
        for room in estimate.project.types:
            expected: Counter[str] = Counter()
            for content in estimate.project.contents:
                if content.room_type == room.key:
                    expected[content.module] += content.each
            assert in_rooms[room.key] == dict(expected)


@pytest.mark.parametrize("floor", ["spares", "mock-ups"])
def test_a_floor_may_be_called_as_the_spares_are(floor: str) -> None:
    project = read_template("one-wall")
    (first, *_) = project.floors
    counts = tuple(
        each.model_copy(update={"floor": floor}) if each.floor == first.key else each
        for each in project.counts
    )
    floors = (first.model_copy(update={"key": floor}), *project.floors[1:])
    estimate = estimated(project.model_copy(update={"floors": floors, "counts": counts}))
    bundles = bundles_of(estimate)
    (rooms,) = (each["rooms"] for each in bundles.floors if each["key"] == floor)
    assert rooms == estimate.values["floors"]["rooms"].iloc[0]
