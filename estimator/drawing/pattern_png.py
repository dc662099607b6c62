"""A pattern as a PNG picture, for where SVG is not shown: a picture in a workbook."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

from PIL import Image, ImageColor, ImageDraw, ImageFont

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

PIXELS = 2
"""Pixels to a point of the drawing: sharp on paper when shown at half size."""

FILL = {"sheet": "#c9c5bd", "piece": "#ffffff", "offcut": "#ffffff", "paper": "#ffffff"}
EDGE = {"piece": "#2b2a27", "offcut": "#8a867d"}
LINE = {"hatch": "#a5a198", "rip": "#2b2a27", "measure": "#5d5a53"}
INK = "#1d1c1a"
SHADES = 25  # of ink on paper, at the edges of letters
DASH, GAP = 6.0, 3.0


def pattern_png(pattern: Pattern, labels: Mapping[str, PieceLabel], unit: LengthUnit) -> bytes:
    """The pattern to scale, PIXELS to the point. The same pattern gives the same bytes."""
    plain = {key: _in_plain_letters(label) for key, label in labels.items()}
    return png(draw_pattern(pattern, plain, unit))


def png(drawing: Drawing) -> bytes:
    """A drawing as the bytes of a PNG file, without any remarks in it."""
    size = (round(drawing.width * PIXELS) + 1, round(drawing.height * PIXELS) + 1)
    picture = Image.new("RGB", size, FILL["paper"])
    for shape in drawing.shapes:
        _paint(picture, shape)
    file = io.BytesIO()
    picture.quantize(palette=_palette(), dither=Image.Dither.NONE).save(file, "PNG")
    return file.getvalue()


def _palette() -> Image.Image:
    """The colours of all drawings, and the shades of ink on paper."""
    plain = [*FILL.values(), *EDGE.values(), *LINE.values()]
    levels = [level for colour in plain for level in ImageColor.getrgb(colour)]
    ink, paper = ImageColor.getrgb(INK), ImageColor.getrgb(FILL["paper"])
    for shade in range(1, SHADES + 1):
        levels += [round(p + (i - p) * shade / SHADES) for i, p in zip(ink, paper, strict=True)]
    palette = Image.new("P", (1, 1))
    palette.putpalette(levels)
    return palette


def _in_plain_letters(label: PieceLabel) -> PieceLabel:
    """Pillow's own face has plain letters only; other words give way to the number."""
    parted = unicodedata.normalize("NFKD", label.name)
    name = "".join(letter for letter in parted if not unicodedata.combining(letter))
    return replace(label, name=name if name.isascii() and name.isprintable() else "")


def _paint(picture: Image.Image, shape: Shape) -> None:
    brush = ImageDraw.Draw(picture)
    match shape:
        case Area(kind, x, y, width, height):
            corners = [round(at * PIXELS) for at in (x, y, x + width, y + height)]
            brush.rectangle(corners, FILL[kind], EDGE.get(kind))
        case Stroke():
            for x1, y1, x2, y2 in _dashes(shape):
                ends = [at * PIXELS for at in (x1, y1, x2, y2)]
                brush.line(ends, LINE[shape.kind], 2 if shape.kind == "rip" else 1)
        case Words():
            _write(picture, shape)


def _dashes(stroke: Stroke) -> Iterator[tuple[float, float, float, float]]:
    """The whole line, or the dashes of a shared rip, which runs level or upright."""
    long = max(abs(stroke.x2 - stroke.x1), abs(stroke.y2 - stroke.y1))
    if stroke.kind != "rip" or not long:
        yield stroke.x1, stroke.y1, stroke.x2, stroke.y2
        return
    right, down = (stroke.x2 - stroke.x1) / long, (stroke.y2 - stroke.y1) / long
    at = 0.0
    while at < long:
        end = min(at + DASH, long)
        yield (
            stroke.x1 + right * at, stroke.y1 + down * at,
            stroke.x1 + right * end, stroke.y1 + down * end,
        )  # fmt: skip
        at += DASH + GAP


def _write(picture: Image.Image, words: Words) -> None:
    """Around their middle."""
    slip = _slip(words.text.replace("×", "x"), words.size * PIXELS, words.upright)
    place = round(words.x * PIXELS - slip.width / 2), round(words.y * PIXELS - slip.height / 2)
    picture.paste(INK, (*place, place[0] + slip.width, place[1] + slip.height), slip)


@lru_cache(maxsize=2_000)
def _slip(text: str, size: float, upright: bool) -> Image.Image:
    """Words on a slip of their own, turned if upright; a cut plan has the same ones many times."""
    face = _face(size)
    left, top, right, bottom = (round(at) for at in face.getbbox(text, anchor="ls"))
    slip = Image.new("L", (right - left + 2, bottom - top + 2), 0)
    ImageDraw.Draw(slip).text((1 - left, 1 - top), text, 255, face, anchor="ls")
    return slip.transpose(Image.Transpose.ROTATE_90) if upright else slip


@lru_cache(maxsize=200)
def _face(size: float) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)
