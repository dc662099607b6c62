"""The cut plan for the saw: for each material its patterns in shop order, drawn, cut by cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from estimator.cut_plans import CutPlan
from estimator.documents.cut_sheets import (
    CutSheet,
    by_floor,
    cut_sheets,
    in_short,
    piece_labels,
)
from estimator.documents.figures import Figures, figures_of
from estimator.documents.pages import page
from estimator.drawing.pattern_shapes import PieceLabel
from estimator.drawing.pattern_svg import pattern_svg
from estimator.estimate import Estimate
from estimator.project.lengths import format_length
from estimator.project.records import Project


@dataclass(frozen=True)
class CutPiece:
    """A kind of piece in a pattern. each: how many one sheet gives; in_all: all sheets cut so."""

    label: PieceLabel
    what_for: str
    each: str
    in_all: str


@dataclass(frozen=True)
class DrawnSheet:
    """A pattern with its drawing and its pieces."""

    sheet: CutSheet
    times: str
    used: str
    drawing: Markup
    pieces: tuple[CutPiece, ...]


@dataclass(frozen=True)
class CutMaterial:
    """A material with all its patterns. facts: what is to be said of them, in sentences."""

    name: str
    counted: str
    facts: tuple[str, ...]
    drawn: tuple[DrawnSheet, ...]


def cut_plan_html(estimate: Estimate) -> str:
    """The printed cut plan; a material that the planner left without patterns says so."""
    facts = estimate.project.project
    show = figures_of(facts)
    return page(
        "cut_plan.html.j2",
        facts=facts,
        unit=show.unit_words,
        issued=show.day(facts.issued),
        materials=[_material(estimate, plan, show) for plan in estimate.plans],
    )


def _material(estimate: Estimate, plan: CutPlan, show: Figures) -> CutMaterial:
    labels = piece_labels(plan, piece_names(estimate), show.unit)
    destinations = destinations_of(estimate.project)
    sheets = cut_sheets(plan, show.unit)
    facts = (in_short(plan), *_of_all(plan, show), by_floor(plan))
    return CutMaterial(
        name=plan.material.name,
        counted="sheet" if plan.material.form == "sheet" else "length",
        facts=tuple(filter(None, facts)),
        drawn=tuple(_drawn(each, labels, destinations, show) for each in sheets),
    )


def _of_all(plan: CutPlan, show: Figures) -> Iterator[str]:
    """The yield of all sheets together, and how the saw is calculated."""
    for first in plan.order.patterns[:1]:
        kerf, trim = first.pattern.kerf, first.pattern.trim
        yield f"{show.share(plan.order.use)} of the area becomes pieces."
        yield f"Saw kerf {format_length(kerf, show.unit)} {show.unit}."
        if trim:
            yield f"Every edge trimmed {format_length(trim, show.unit)} {show.unit}."


def piece_names(estimate: Estimate) -> dict[str, str]:
    """What each piece is, by its key."""
    pieces = estimate.values["pieces"]
    return dict(zip(pieces["key"], pieces["name"], strict=True))


def destinations_of(project: Project) -> Mapping[str, str]:
    """The module that each part is for; a piece of rail is no part."""
    modules = {each.key: each.name for each in project.modules}
    return {each.key: modules[each.module] for each in project.parts}


def _drawn(
    sheet: CutSheet,
    labels: Mapping[str, PieceLabel],
    destinations: Mapping[str, str],
    show: Figures,
) -> DrawnSheet:
    drawing = pattern_svg(sheet.pattern, labels, sheet.times, show.unit)
    return DrawnSheet(
        sheet=sheet,
        times=show.count(sheet.times),
        used=show.share(sheet.used),
        # Written by an XML writer, which escaped all words.
        drawing=Markup(drawing),
        pieces=tuple(_pieces(sheet, labels, destinations, show)),
    )


def _pieces(
    sheet: CutSheet,
    labels: Mapping[str, PieceLabel],
    destinations: Mapping[str, str],
    show: Figures,
) -> Iterator[CutPiece]:
    for key, each in sorted(sheet.pieces.items(), key=lambda item: labels[item[0]].number):
        what_for = destinations.get(key, "rail")
        yield CutPiece(labels[key], what_for, show.count(each), show.count(sheet.in_all[key]))
