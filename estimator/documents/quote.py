"""The quote: what is offered, at which price, on which terms.

It is built up from the few figures a client may see, taken from the same values as the workbook;
nothing is calculated here. Cost, wages, overhead, contingency and margin never reach the template.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from estimator.documents.bundles import in_one_room
from estimator.documents.figures import Figures, figures_of, only, rows, whole
from estimator.documents.pages import page
from estimator.estimate import Estimate
from estimator.project.lengths import format_length
from estimator.project.lookup import by_key
from estimator.project.records import Project
from estimator.quantities.days import last_day
from estimator.quantities.findings import FAIL

Row = dict[str, Any]


@dataclass(frozen=True)
class Furniture:
    """A line of the schedule: a module, how many one room has."""

    name: str
    outside: str
    each: str
    description: str


@dataclass(frozen=True)
class OfferedRoom:
    """A room type as offered, with its price as the workbook has it, and what it contains."""

    name: str
    description: str
    rooms: str
    mock_ups: int
    unit_price: str
    line_price: str
    add: str
    deduct: str
    furniture: tuple[Furniture, ...]
    rails: tuple[str, ...]


@dataclass(frozen=True)
class Difference:
    """An alternate: adds, deducts or changes nothing, and by how much."""

    name: str
    effect: str
    amount: str


@dataclass(frozen=True)
class Due:
    """A payment stage."""

    name: str
    share: str
    amount: str


def quote_html(estimate: Estimate, leaves: bool = False) -> str:
    """The quote as a page for print on the project's paper, with nothing that is fetched.

    leaves: it goes to the client as it is, without the line that tells the office what to look at.
    """
    facts, values = estimate.project.project, estimate.values
    show = figures_of(facts)
    price = only(values["price"])
    return page(
        "quote.html.j2",
        facts=facts,
        unit=show.unit_words,
        issued=show.day(facts.issued),
        valid_until=show.day(last_day(facts)),
        rooms=list(_offered_rooms(estimate, show)),
        counted=show.count(only(values["summary"])["rooms"]),
        quoted=show.money(price["quoted"]),
        tax=show.money(price["sale_tax"]),
        total=show.money(price["total"]),
        spares=list(_spares(estimate, show)),
        made_of=_made_of(estimate),
        clauses={kind: _texts(estimate.project, kind) for kind in KINDS},
        allowances=list(_allowances(values["clauses"], show)),
        alternates=list(_alternates(values["alternates"], show)),
        stages=list(_stages(values["stages"], show)),
        bought_weeks=show.count(only(values["summary"])["lead"]),
        **_worst_checks(estimate, leaves),
    )


KINDS = ("included", "excluded", "caution")


def _offered_rooms(estimate: Estimate, show: Figures) -> Iterator[OfferedRoom]:
    """The room types of which rooms are made, in the project's order."""
    in_rooms = in_one_room(estimate.project)
    for room in rows(estimate.values["types"]):
        if room["rooms"] > 0:
            yield OfferedRoom(
                name=room["name"],
                description=room["description"],
                rooms=show.count(room["counted"]),
                mock_ups=whole(room["mock_ups"]),
                unit_price=show.money(room["unit_price"]),
                line_price=show.money(room["line_price"]),
                add=show.money(room["add"]),
                deduct=show.money(room["deduct"]),
                furniture=tuple(_furniture(estimate.project, in_rooms[room["key"]], show)),
                rails=tuple(_rails(estimate.project, room["key"])),
            )


def _furniture(
    project: Project, in_room: Mapping[str, float], show: Figures
) -> Iterator[Furniture]:
    modules = by_key(project.modules)
    for key, each in in_room.items():
        if each:
            module = modules[key]
            yield Furniture(module.name, show.outside(module), show.count(each), module.description)


def _rails(project: Project, room_type: str) -> Iterator[str]:
    """Each run as its length and the height of its bottom edge over the floor."""
    unit = project.project.unit
    for run in project.runs:
        if run.room_type == room_type:
            yield f"{format_length(run.length, unit)} at {format_length(run.bottom, unit)}"


def _spares(estimate: Estimate, show: Figures) -> Iterator[tuple[str, str]]:
    for module in rows(estimate.values["modules"]):
        if module["spare"] > 0:
            yield module["name"], show.count(module["spare"])


def _made_of(estimate: Estimate) -> list[str]:
    """The materials and finishes in the price, by name."""
    materials, finishes = estimate.values["materials"], estimate.values["finishes"]
    cut = materials[(materials["stands_in_for"] == "") & (materials["pieces"] > 0)]
    put_on = finishes[(finishes["stands_in_for"] == "") & (finishes["area"] > 0)]
    return [*cut["name"], *put_on["name"]]


def _texts(project: Project, kind: str) -> list[str]:
    return [each.text for each in project.clauses if each.kind == kind]


def _allowances(clauses: Any, show: Figures) -> Iterator[tuple[str, str]]:
    for each in rows(clauses):
        if each["kind"] == "allowance":
            yield each["text"], show.money(each["amount"])


def _alternates(alternates: Any, show: Figures) -> Iterator[Difference]:
    for each in rows(alternates):
        by = each["difference"]
        effect = "adds" if by > 0 else "takes off" if by < 0 else "changes nothing"
        yield Difference(each["name"], effect, show.money(each["amount"]) if by else "")


def _stages(stages: Any, show: Figures) -> Iterator[Due]:
    for each in rows(stages):
        yield Due(each["name"], show.share(each["share"]), show.money(each["amount"]))


def _worst_checks(estimate: Estimate, leaves: bool) -> Row:
    """The labels of failing checks; of those to review, only how many there are."""
    checks, summary = estimate.values["checks"], only(estimate.values["summary"])
    return {
        "failing": list(checks[checks["state"] == FAIL]["label"]),
        "reviewing": 0 if leaves else whole(summary["reviewing"]),
    }
