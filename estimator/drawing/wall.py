"""A wall to scale as SVG: a rail on its studs, the modules that hang from it, screws, heights.

Where studs truly stand is found on site. The drawing takes the first one at the least distance from
the rail's end and the others at the spacing, which is as many as are sure to be crossed or more.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from xml.etree import ElementTree

from estimator.project.lengths import LengthUnit, format_length

SCALES = (5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500, 1000)
"""Round ones; ISO 5455 has 5, 10, 20, 50 and their tens, the others are common practice."""
WIDEST, HIGHEST = 152.0, 88.0
"""Of a wall on paper, in mm: it goes between the margins of A4 and letter with its measures."""
MARGIN, ABOVE, BELOW = 11.0, 4.0, 9.0
"""Around the wall, in mm: at the sides, above it and below the floor line."""
MM = {"in": 25.4, "mm": 1.0}
WORDS = 2.7
"""Height of the letters, in mm."""
REVIEW = {
    "wall": {"fill": "#f7f6f2"},
    "stud": {"stroke": "#b9b4a8", "stroke-width": "0.3", "stroke-dasharray": "1.6 1.2"},
    "rail": {"fill": "#d9cfb8", "stroke": "#2b2a27", "stroke-width": "0.25"},
    "module": {
        "fill": "#ffffff",
        "fill-opacity": "0.82",
        "stroke": "#2b2a27",
        "stroke-width": "0.25",
    },
    "floor": {"stroke": "#2b2a27", "stroke-width": "0.6"},
    "measure": {"stroke": "#5d5a53", "stroke-width": "0.2"},
    "joint": {"stroke": "#8c1d18", "stroke-width": "0.5"},
    "screw": {"fill": "#8c1d18"},
}
FONT = "system-ui, 'Helvetica Neue', Arial, sans-serif"


@dataclass(frozen=True)
class Hung:
    """A module on a rail. top: over the rail's upper edge. Lengths in the project's unit."""

    number: int
    key: str
    name: str
    width: Fraction
    height: Fraction
    top: Fraction


@dataclass(frozen=True)
class Wall:
    """A rail run with what hangs on it, in order from the left. Lengths in the project's unit.

    end: from an end of the rail to the nearest screw at least. joints: from the left end.
    screws_per_stud: of which upper ones stand at screw_line over the rail's lower edge.
    """

    title: str
    length: Fraction
    bottom: Fraction
    rail: Fraction
    spacing: Fraction
    end: Fraction
    screws_per_stud: int
    upper: int
    screw_line: Fraction
    joints: tuple[Fraction, ...]
    hung: tuple[Hung, ...]
    unit: LengthUnit

    @property
    def top(self) -> Fraction:
        """The highest edge over the floor."""
        return self.bottom + self.rail + max([each.top for each in self.hung] + [Fraction(0)])

    def studs(self) -> list[Fraction]:
        """Where studs are drawn, from the rail's left end; a joint is on one."""
        first = min(self.joints, default=self.end) % self.spacing or self.spacing
        if first < self.end:
            first += self.spacing
        count = (self.length - self.end - first) // self.spacing + 1
        return [first + self.spacing * at for at in range(max(int(count), 0))]

    def places(self) -> list[Fraction]:
        """The left edge of each module: in order, with equal gaps between and at the ends."""
        free = self.length - sum((each.width for each in self.hung), Fraction(0))
        gap, at, found = max(free, Fraction(0)) / (len(self.hung) + 1), Fraction(0), []
        for each in self.hung:
            at += gap
            found.append(at)
            at += each.width
        return found

    def screw_rows(self) -> dict[Fraction, int]:
        """How many screws of a stud stand at each height over the floor, the upper ones first."""
        return dict(Counter(self.bottom + height for height in screw_heights(self)))


def joints_of(pieces: Iterable[Fraction]) -> tuple[Fraction, ...]:
    """Where pieces laid end to end meet the next one, from the left end of the first."""
    return tuple(accumulate(pieces))


def scale_of(walls: Sequence[Wall]) -> int:
    """The largest round scale, 1 to so many, at which all of them go on a page."""
    return next(
        (scale for scale in SCALES if all(_goes(wall, scale) for wall in walls)), SCALES[-1]
    )


def _goes(wall: Wall, scale: int) -> bool:
    each = MM[wall.unit] / scale
    return float(wall.length) * each <= WIDEST and float(wall.top) * each <= HIGHEST


def wall_svg(wall: Wall, scale: int) -> str:
    """The wall as SVG text, 1 to `scale` on paper; its words are escaped by the XML writer."""
    each = MM[wall.unit] / scale
    wide = float(wall.length) * each + 2 * MARGIN
    high = float(wall.top) * each + ABOVE + BELOW
    root = ElementTree.Element("svg", {
        "xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {wide:.2f} {high:.2f}",
        "width": f"{wide:.2f}mm", "height": f"{high:.2f}mm", "role": "img", "font-family": FONT,
    })  # fmt: skip
    ElementTree.SubElement(root, "title").text = wall.title
    pen = _Pen(root, each, MARGIN, high - BELOW)
    for draw in (_ground, _rail, _modules, _screws, _measures):
        draw(wall, pen)
    return ElementTree.tostring(root, encoding="unicode")


@dataclass(frozen=True)
class _Pen:
    """Draws in lengths of the wall: x from the rail's left end, y up from the floor."""

    root: ElementTree.Element
    scale: float
    left: float
    floor: float

    def at(self, x: float | Fraction, y: float | Fraction) -> tuple[float, float]:
        return self.left + float(x) * self.scale, self.floor - float(y) * self.scale

    def area(
        self, look: str, x: float | Fraction, y: float | Fraction, wide: Fraction, high: Fraction
    ) -> None:
        """A rectangle by its lower left corner."""
        left, top = self.at(x, float(y) + float(high))
        size = {"width": float(wide) * self.scale, "height": float(high) * self.scale}
        self._add("rect", {"x": left, "y": top, **size}, REVIEW[look])

    def line(self, look: str, start: tuple[float, float], end: tuple[float, float]) -> None:
        """A line between two points of the page."""
        ends = {"x1": start[0], "y1": start[1], "x2": end[0], "y2": end[1]}
        self._add("line", ends, REVIEW[look])

    def dot(self, x: Fraction, y: float | Fraction) -> None:
        """A screw."""
        middle = self.at(x, y)
        self._add("circle", {"cx": middle[0], "cy": middle[1], "r": 0.45}, REVIEW["screw"])

    def words(self, text: str, where: tuple[float, float], size: float = WORDS,
              upright: bool = False) -> None:  # fmt: skip
        """Words around a point of the page."""
        look = {"text-anchor": "middle", "fill": "#1d1c1a"}
        if upright:
            look["transform"] = f"rotate(-90 {where[0]:.1f} {where[1]:.1f})"
        place = {"x": where[0], "y": where[1], "font-size": size}
        self._add("text", place, look).text = text

    def _add(self, tag: str, place: dict[str, float], look: dict[str, str]) -> ElementTree.Element:
        written = {name: f"{value:.2f}".rstrip("0").rstrip(".") for name, value in place.items()}
        return ElementTree.SubElement(self.root, tag, written | look)


def _ground(wall: Wall, pen: _Pen) -> None:
    pen.area("wall", 0, 0, wall.length, wall.top)
    for stud in wall.studs():
        pen.line("stud", pen.at(stud, 0), pen.at(stud, wall.top))
    left, right = pen.at(0, 0), pen.at(wall.length, 0)
    pen.line("floor", (left[0] - 5, left[1]), (right[0] + 5, right[1]))


def _rail(wall: Wall, pen: _Pen) -> None:
    pen.area("rail", 0, wall.bottom, wall.length, wall.rail)
    for joint in wall.joints:
        pen.line("joint", pen.at(joint, wall.bottom), pen.at(joint, wall.bottom + wall.rail))


def _modules(wall: Wall, pen: _Pen) -> None:
    top = wall.bottom + wall.rail
    for place, each in zip(wall.places(), wall.hung, strict=True):
        pen.area("module", place, top + each.top - each.height, each.width, each.height)
        x, y = pen.at(place + each.width / 2, top + each.top - each.height / 2)
        pen.words(str(each.number), (x, y + 1.2), 3.4)


def screw_heights(wall: Wall) -> list[Fraction]:
    """Heights of the screws in a stud over the rail's lower edge: upper ones, then the others.

    The upper row is where the profile says; the others stand as far over the lower edge as that row
    stands below the upper one.
    """
    lower = wall.rail - wall.screw_line
    upper = min(wall.upper, wall.screws_per_stud)
    return [wall.screw_line] * upper + [lower] * (wall.screws_per_stud - upper)


def _screws(wall: Wall, pen: _Pen) -> None:
    aside = Fraction(3, 5) * wall.rail / 5
    for stud in wall.studs():
        heights = screw_heights(wall)
        for height in dict.fromkeys(heights):
            count = heights.count(height)
            for at in range(count):
                pen.dot(stud + (at - Fraction(count - 1, 2)) * aside, wall.bottom + height)


def _measures(wall: Wall, pen: _Pen) -> None:
    left, right = pen.at(0, 0), pen.at(wall.length, 0)
    low = left[1] + 3.5
    pen.line("measure", (left[0], low), (right[0], low))
    for x in (left[0], right[0]):
        pen.line("measure", (x, low - 1), (x, low + 1))
    words = f"rail {format_length(wall.length, wall.unit)} {wall.unit}"
    pen.words(words, ((left[0] + right[0]) / 2, low + 3.4))
    for height, x, label in (
        (wall.bottom, left[0] - 4, "rail's lower edge"),
        (wall.top, right[0] + 4, "top"),
    ):
        _height(wall, pen, height, x, label)


def _height(wall: Wall, pen: _Pen, height: Fraction, x: float, label: str) -> None:
    """A height over the floor; its label only where there is room for it."""
    floor, end = pen.floor, pen.at(0, height)[1]
    pen.line("measure", (x, floor), (x, end))
    for y in (floor, end):
        pen.line("measure", (x - 1, y), (x + 1, y))
    figure = format_length(height, wall.unit)
    labelled = f"{label} {figure}"
    fits = len(labelled) * WORDS * 0.55 < floor - end
    middle = (floor + end) / 2
    pen.words(labelled if fits else figure, (x - 1.2, middle), upright=True)
