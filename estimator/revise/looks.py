"""How a cell looks, from the reader's words into the file writer's."""

from __future__ import annotations

import colorsys
import zipfile
from collections.abc import Iterator
from io import BytesIO
from typing import Any

from defusedxml.ElementTree import fromstring
from openpyxl.styles.colors import COLOR_INDEX

from estimator.workbook.archive import Archive
from estimator.workbook.page import Look

THEME = "xl/theme/theme1.xml"
ORDER = ("lt1", "dk1", "lt2", "dk2", *(f"accent{n}" for n in range(1, 7)), "hlink", "folHlink")
"""In which numbers point to the colours of a theme (ECMA-376, part 1, 18.8.3 and 20.1.6.2)."""
UNDERLINES = {"single": 1, "double": 2, "singleAccounting": 33, "doubleAccounting": 34}
LINES = ("thin", "medium", "dashed", "dotted", "thick", "double", "hair", "mediumDashed", "dashDot",
         "mediumDashDot", "dashDotDot", "mediumDashDotDot", "slantDashDot")  # fmt: skip
FILLS = ("solid", "mediumGray", "darkGray", "lightGray", "darkHorizontal", "darkVertical",
         "darkDown", "darkUp", "darkGrid", "darkTrellis", "lightHorizontal", "lightVertical",
         "lightDown", "lightUp", "lightGrid", "lightTrellis", "gray125", "gray0625")  # fmt: skip
"""Both in the order in which the writer numbers them from 1."""
ALIGNED = {"centerContinuous": "center_across"}
VERTICAL = {"center": "vcenter", "justify": "vjustify", "distributed": "vdistributed"}
BLACK = "#000000"
SOLID = ("pattern", 1)
MARKS = ("bg_color", "pattern", "bold", "italic", "font_strikeout", "underline")


def theme_colours(archive: Archive) -> tuple[str, ...]:
    """The colours of the workbook's theme as RRGGBB, in the order of their numbers."""
    with zipfile.ZipFile(BytesIO(archive.content)) as package:
        if THEME not in package.namelist():
            return ()
        found: dict[str, str] = {}
        for element in fromstring(package.read(THEME)).iter():
            name = element.tag.rpartition("}")[2]
            if name in ORDER and name not in found and len(element):
                found[name] = element[0].get("lastClr") or element[0].get("val") or ""
    return tuple(found.get(name, "") for name in ORDER)


def look_of(cell: Any, theme: tuple[str, ...]) -> Look:
    """Number format, font, fill, alignment, lines and lock of a cell that was read."""
    look: dict[str, Any] = {"num_format": cell.number_format}
    look |= dict(_font(cell.font, theme))
    look |= dict(_fill(cell.fill, theme))
    look |= dict(_alignment(cell.alignment))
    look |= dict(_lines(cell.border, theme))
    if not cell.protection.locked:
        look["locked"] = False
    return tuple(sorted(look.items()))


def is_bare(look: Look) -> bool:
    """Whether an empty cell of this look looks like nothing."""
    return not any(name in ("bg_color", "pattern") or name.endswith("border") or name in
                   ("left", "right", "top", "bottom") for name, _ in look)  # fmt: skip


def marks(look: Look) -> Look:
    """What a person marks a cell with: ground and weight. A solid ground need not say so."""
    return tuple(each for each in look if each[0] in MARKS and each[1] and each != SOLID)


def _font(font: Any, theme: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    yield "font_name", font.name or "Calibri"
    yield "font_size", float(font.sz or 11)
    yield "font_color", colour(font.color, theme) or BLACK
    for name, value in (("bold", font.b), ("italic", font.i), ("font_strikeout", font.strike)):
        if value:
            yield name, True
    if font.u in UNDERLINES:
        yield "underline", UNDERLINES[font.u]


def _fill(fill: Any, theme: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    kind = getattr(fill, "patternType", None)
    if kind not in FILLS:
        return
    yield "pattern", FILLS.index(kind) + 1
    front, back = colour(fill.fgColor, theme), colour(fill.bgColor, theme)
    if kind == "solid":  # the writer takes a solid fill's colour as its ground
        front, back = None, front or "#FFFFFF"
    if front:
        yield "fg_color", front
    if back:
        yield "bg_color", back


def _alignment(alignment: Any) -> Iterator[tuple[str, Any]]:
    if alignment.horizontal and alignment.horizontal != "general":
        yield "align", ALIGNED.get(alignment.horizontal, alignment.horizontal)
    if alignment.vertical and alignment.vertical != "bottom":
        yield "valign", VERTICAL.get(alignment.vertical, alignment.vertical)
    if alignment.wrap_text:
        yield "text_wrap", True
    if alignment.shrink_to_fit:
        yield "shrink", True
    if alignment.indent:
        yield "indent", int(alignment.indent)
    turned = int(alignment.textRotation or 0)
    if turned == 255:
        yield "rotation", 270
    elif turned:
        yield "rotation", turned if turned <= 90 else 90 - turned


def _lines(border: Any, theme: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    for side in ("left", "right", "top", "bottom"):
        line = getattr(border, side)
        if line is not None and line.style in LINES:
            yield side, LINES.index(line.style) + 1
            yield f"{side}_color", colour(line.color, theme) or BLACK


def colour(found: Any, theme: tuple[str, ...]) -> str | None:
    """A colour as #RRGGBB, whichever way it is named; None for an automatic one."""
    if found is None:
        return None
    plain: str | None = None
    if found.type == "rgb" and isinstance(found.rgb, str):
        plain = found.rgb[-6:]
    elif found.type == "indexed" and 0 <= found.indexed < len(COLOR_INDEX):
        plain = COLOR_INDEX[found.indexed][-6:]
    elif found.type == "theme" and 0 <= found.theme < len(theme):
        plain = theme[found.theme]
    if not plain or not _is_colour(plain):
        return None
    return "#" + _tinted(plain, float(found.tint or 0.0)).upper()


def _is_colour(text: str) -> bool:
    return len(text) == 6 and all(each in "0123456789abcdefABCDEF" for each in text)


def _tinted(plain: str, tint: float) -> str:
    """Lighter for a tint above 0, darker below: its lightness scaled (ECMA-376, 18.8.19)."""
    if not tint:
        return plain
    red, green, blue = (int(plain[at : at + 2], 16) / 255 for at in (0, 2, 4))
    hue, light, vivid = colorsys.rgb_to_hls(red, green, blue)
    light = light * (1 + tint) if tint < 0 else light * (1 - tint) + tint
    mixed = colorsys.hls_to_rgb(hue, min(max(light, 0.0), 1.0), vivid)
    return "".join(f"{round(each * 255):02X}" for each in mixed)
