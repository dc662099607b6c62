"""A pattern's drawing is to scale, its words fit, and both renderers paint what was drawn."""

from __future__ import annotations

import io
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from xml.etree import ElementTree

import pytest
from PIL import Image

from estimator.documents.cut_plan import piece_names
from estimator.documents.cut_sheets import cut_sheets, piece_labels
from estimator.drawing.pattern_png import PIXELS, pattern_png
from estimator.drawing.pattern_shapes import (
    Area,
    Drawing,
    PieceLabel,
    Stroke,
    Words,
    draw_pattern,
    words_width,
)
from estimator.drawing.pattern_svg import pattern_svg
from estimator.estimate import Estimate
from estimator.planner.cutting import CutPart, Stock, plan_sheets
from estimator.planner.pattern import Pattern, pieces_of
from tests.documents.reading import elements
from tests.documents.samples import sample

TEMPLATES = ("one-wall", "one-wall-metric")


def drawn(estimate: Estimate) -> list[tuple[Pattern, Mapping[str, PieceLabel], Drawing]]:
    found: list[tuple[Pattern, Mapping[str, PieceLabel], Drawing]] = []
    unit = estimate.project.project.unit
    for plan in estimate.plans:
        labels = piece_labels(plan, piece_names(estimate), unit)
        for sheet in cut_sheets(plan, unit):
            found.append((sheet.pattern, labels, draw_pattern(sheet.pattern, labels, unit)))
    assert found
    return found


def one_pattern(*parts: CutPart, kerf: Fraction = Fraction(1, 8)) -> Pattern:
    ((pattern, _),) = plan_sheets(parts, [Stock("ply", 96, 48)], kerf=kerf).patterns
    return pattern


@pytest.mark.parametrize("template", TEMPLATES)
def test_pieces_and_offcuts_are_to_scale(template: str) -> None:
    for pattern, _, drawing in drawn(sample(template)):
        (sheet,) = [
            each for each in drawing.shapes if isinstance(each, Area) and each.kind == "sheet"
        ]
        scale = sheet.width / float(pattern.length)
        assert sheet.height == pytest.approx(float(pattern.width) * scale, rel=1e-9)
        for kind, boxes in (
            ("piece", [piece.box for piece in pieces_of(pattern)]),
            ("offcut", list(pattern.offcuts)),
        ):
            areas = [e for e in drawing.shapes if isinstance(e, Area) and e.kind == kind]
            placed = [(a.x - sheet.x, a.y - sheet.y, a.width, a.height) for a in areas]
            expected = [
                tuple(float(side) * scale for side in (b.x, b.y, b.length, b.width)) for b in boxes
            ]
            assert placed == [pytest.approx(each, rel=1e-9, abs=1e-9) for each in expected]


def test_the_kerf_shows_as_a_gap_of_its_width() -> None:
    pattern = one_pattern(CutPart("board", 40, 40, 2), kerf=Fraction(1, 2))
    drawing = draw_pattern(pattern, {"board": PieceLabel(1, "Board", "40 × 40")}, "in")
    first, second = [e for e in drawing.shapes if isinstance(e, Area) and e.kind == "piece"]
    gap = max(second.x - first.x - first.width, second.y - first.y - first.height)
    assert gap == pytest.approx(first.width / 80, rel=1e-9)


@pytest.mark.parametrize("template", TEMPLATES)
def test_every_piece_is_named_with_its_size_or_numbered(template: str) -> None:
    for pattern, labels, drawing in drawn(sample(template)):
        texts = " ".join(each.text for each in drawing.shapes if isinstance(each, Words))
        for piece in pieces_of(pattern):
            label = labels[piece.part]
            named = label.name in texts and label.size in texts
            assert named or str(label.number) in texts.split()


@cache
def narrow_pattern() -> Pattern:
    """Pieces in which little can be written."""
    parts = CutPart("board", 40, 3, 3), CutPart("chip", 3, 20, 4), CutPart("speck", 1, 1, 1)
    return one_pattern(*parts)


@pytest.mark.parametrize("name", ["Board", "W" * 500, "漢字" * 12, "a" * 40, ""])
def test_words_fit_the_piece_or_give_way_to_its_number(name: str) -> None:
    pattern = narrow_pattern()
    labels = {key: PieceLabel(at, name, "40 × 3") for at, (key, _) in enumerate(pattern.yields, 1)}
    area = None
    for shape in draw_pattern(pattern, labels, "in").shapes:
        if isinstance(shape, Area) and shape.kind in ("piece", "offcut"):
            area = shape
        if isinstance(shape, Words) and area:
            along = words_width(shape.text, shape.size)
            wide, high = (shape.size, along) if shape.upright else (along, shape.size)
            assert abs(shape.x - area.x - area.width / 2) + wide / 2 <= area.width / 2
            assert abs(shape.y - area.y - area.height / 2) + high / 2 <= area.height / 2


def test_a_pair_is_marked_by_the_rip_it_shares() -> None:
    pattern = one_pattern(CutPart("cleat", 40, 3, 2, False, Fraction(175, 32)))
    drawing = draw_pattern(pattern, {"cleat": PieceLabel(1, "Cleat", "40 × 3")}, "in")
    (rip,) = [e for e in drawing.shapes if isinstance(e, Stroke) and e.kind == "rip"]
    (pair,) = [e for e in drawing.shapes if isinstance(e, Area) and e.kind == "piece"]
    middle = pair.y + pair.height / 2
    assert (rip.x1, rip.x2) == (pair.x, pair.x + pair.width)
    assert (rip.y1, rip.y2) == (middle, middle)
    assert "2 × Cleat" in [e.text for e in drawing.shapes if isinstance(e, Words)]


def test_hatching_stays_inside_its_offcut() -> None:
    for _, _, drawing in drawn(sample("one-wall")):
        offcuts = [e for e in drawing.shapes if isinstance(e, Area) and e.kind == "offcut"]
        hatches = [e for e in drawing.shapes if isinstance(e, Stroke) and e.kind == "hatch"]
        assert hatches
        for line in hatches:
            assert any(
                area.x - 1e-6 <= min(line.x1, line.x2)
                and max(line.x1, line.x2) <= area.x + area.width + 1e-6
                and area.y - 1e-6 <= min(line.y1, line.y2)
                and max(line.y1, line.y2) <= area.y + area.height + 1e-6
                for area in offcuts
            )


def test_hostile_names_stay_text_in_the_picture() -> None:
    pattern = one_pattern(CutPart("board", 90, 40, 1))
    hostile = "</text><script>alert(1)</script>"
    text = pattern_svg(pattern, {"board": PieceLabel(1, hostile, "90 × 40")}, 1, "in")
    tree = ElementTree.fromstring(text)
    assert elements(tree, "script") == []
    assert hostile in [each.text for each in elements(tree, "text")]


def test_the_png_shows_the_drawing() -> None:
    (pattern, labels, drawing), *_ = drawn(sample("one-wall"))
    made = pattern_png(pattern, labels, "in")
    picture = Image.open(io.BytesIO(made))
    assert picture.size == (round(drawing.width * PIXELS) + 1, round(drawing.height * PIXELS) + 1)
    assert picture.info == {}
    colours = picture.convert("RGB")
    for shape in drawing.shapes:
        if isinstance(shape, Area) and shape.kind == "piece":
            near_corner = (round((shape.x + 1.5) * PIXELS), round((shape.y + 1.5) * PIXELS))
            assert colours.getpixel(near_corner) == (255, 255, 255)
            on_edge = (round(shape.x * PIXELS), round((shape.y + shape.height / 2) * PIXELS))
            colour = colours.getpixel(on_edge)
            assert isinstance(colour, tuple)
            assert max(colour) < 120
    assert pattern_png(pattern, labels, "in") == made


def test_the_png_numbers_what_its_face_cannot_write() -> None:
    pattern = one_pattern(CutPart("board", 90, 40, 1))
    boards = [PieceLabel(7, name, "90 × 40") for name in ("漢字", "", "Étagère", "Etagere")]
    pictures = [pattern_png(pattern, {"board": label}, "in") for label in boards]
    assert pictures[0] == pictures[1]
    assert pictures[2] == pictures[3]
    assert pictures[0] != pictures[2]
