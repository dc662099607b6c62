"""A pattern as an SVG picture: text of its own, to stand in a page or in a file."""

from __future__ import annotations

from collections.abc import Mapping
from xml.etree import ElementTree

from estimator.drawing.pattern_shapes import (
    Area,
    Drawing,
    PieceLabel,
    Shape,
    Stroke,
    Words,
    draw_pattern,
)
from estimator.planner.pattern import Pattern
from estimator.project.lengths import LengthUnit

REVIEW = {
    "sheet": {"fill": "#c9c5bd"},
    "piece": {"fill": "#ffffff", "stroke": "#2b2a27", "stroke-width": "0.5"},
    "offcut": {"fill": "#ffffff", "stroke": "#8a867d", "stroke-width": "0.5"},
    "paper": {"fill": "#ffffff"},
    "hatch": {"stroke": "#a5a198", "stroke-width": "0.6"},
    "rip": {"stroke": "#2b2a27", "stroke-width": "0.9", "stroke-dasharray": "7 2 1.5 2"},
    "measure": {"stroke": "#5d5a53", "stroke-width": "0.6"},
}


def pattern_svg(
    pattern: Pattern, labels: Mapping[str, PieceLabel], times: int, unit: LengthUnit
) -> str:
    """The pattern to scale. times: sheets cut so, told to those who hear the page read aloud."""
    sheets = "sheet" if times == 1 else "sheets"
    return svg(draw_pattern(pattern, labels, unit), f"Pattern for {times} {sheets}")


def svg(drawing: Drawing, title: str) -> str:
    """A drawing as SVG text. All words are escaped by the XML writer."""
    root = ElementTree.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {_number(drawing.width)} {_number(drawing.height)}",
            "width": _number(drawing.width),
            "height": _number(drawing.height),
            "role": "img",
            "font-family": "'Helvetica Neue', Arial, 'Liberation Sans', sans-serif",
        },
    )
    ElementTree.SubElement(root, "title").text = title
    for shape in drawing.shapes:
        _paint(root, shape)
    return ElementTree.tostring(root, encoding="unicode")


def _paint(root: ElementTree.Element, shape: Shape) -> None:
    match shape:
        case Area(kind, x, y, width, height):
            place = {"x": x, "y": y, "width": width, "height": height}
            ElementTree.SubElement(root, "rect", _numbers(place) | REVIEW[kind])
        case Stroke(kind, x1, y1, x2, y2):
            place = {"x1": x1, "y1": y1, "x2": x2, "y2": y2}
            ElementTree.SubElement(root, "line", _numbers(place) | REVIEW[kind])
        case Words():
            ElementTree.SubElement(root, "text", _place_of(shape)).text = shape.text


def _place_of(words: Words) -> dict[str, str]:
    """A third of an em below the middle, letters of most faces stand in the middle."""
    place = _numbers({"x": words.x, "y": words.y + words.size * 0.35, "font-size": words.size})
    place |= {"text-anchor": "middle", "fill": "#1d1c1a"}
    if words.upright:
        place["transform"] = f"rotate(-90 {_number(words.x)} {_number(words.y)})"
    return place


def _numbers(place: Mapping[str, float]) -> dict[str, str]:
    return {name: _number(value) for name, value in place.items()}


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
