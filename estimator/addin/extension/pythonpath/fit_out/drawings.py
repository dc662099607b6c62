"""The drawings of the cut plan, replaced so that undo brings the former ones back.

Calc notes nothing of what a program does to drawings, so a step of our own goes among its steps.
"""

import base64
import tempfile
from pathlib import Path
from typing import Any, Dict, List, NamedTuple

import uno
import unohelper
from com.sun.star.awt import Point, Size
from com.sun.star.document import XUndoAction

from .workbook import option

DESCRIPTION = "Cut pattern"
"""How what is told to those who cannot see a drawing begins, in a new workbook as well; also what
tells ours from a person's own pictures."""


class Drawing(NamedTuple):
    """A picture on a sheet; place and size in 1/100 mm."""

    description: str
    graphic: Any
    x: int
    y: int
    width: int
    height: int


def replace_drawings(
    context: Any, document: Any, sheet: Any, drawings: List[Dict[str, Any]]
) -> None:
    """Show these instead of the former ones. drawings: as the engine answers them."""
    before = _shown(sheet)
    after = [
        _drawing(context, sheet, f"{DESCRIPTION} {number}, to scale", each)
        for number, each in enumerate(drawings, start=1)
    ]
    if before or after:
        _show(document, sheet, after)
        document.UndoManager.addUndoAction(_Replaced(document, sheet, before, after))


class _Replaced(unohelper.Base, XUndoAction):  # type: ignore[misc]
    Title = "Draw the cut plan"

    def __init__(
        self, document: Any, sheet: Any, before: List[Drawing], after: List[Drawing]
    ) -> None:
        self.document, self.sheet, self.before, self.after = document, sheet, before, after

    def undo(self) -> None:
        _show(self.document, self.sheet, self.before)

    def redo(self) -> None:
        _show(self.document, self.sheet, self.after)


def _ours(sheet: Any) -> List[Any]:
    page = sheet.DrawPage
    shapes = [page.getByIndex(at) for at in range(page.getCount())]
    kind = "com.sun.star.drawing.GraphicObjectShape"
    return [
        each
        for each in shapes
        if each.ShapeType == kind and each.Description.startswith(DESCRIPTION)
    ]


def _shown(sheet: Any) -> List[Drawing]:
    return [
        Drawing(
            each.Description,
            each.Graphic,
            each.Position.X,
            each.Position.Y,
            each.Size.Width,
            each.Size.Height,
        )
        for each in _ours(sheet)
    ]


def _show(document: Any, sheet: Any, drawings: List[Drawing]) -> None:
    """Calc notes the naming of a shape as a step, and fails when that comes while it undoes one."""
    document.UndoManager.lock()
    try:
        _draw(document, sheet.DrawPage, _ours(sheet), drawings)
    finally:
        document.UndoManager.unlock()


def _draw(document: Any, page: Any, former: List[Any], drawings: List[Drawing]) -> None:
    for shape in former:
        page.remove(shape)
    for number, each in enumerate(drawings, start=1):
        shape = document.createInstance("com.sun.star.drawing.GraphicObjectShape")
        page.add(shape)
        shape.Graphic = each.graphic
        shape.setSize(Size(each.width, each.height))
        shape.setPosition(Point(each.x, each.y))
        shape.Description = each.description
        shape.Name = f"Pattern {number}"


def _drawing(context: Any, sheet: Any, description: str, drawing: Dict[str, Any]) -> Drawing:
    (left, top), (right, bottom) = (_point(sheet, corner) for corner in drawing["corners"])
    graphic = _graphic(context, drawing["png"])
    return Drawing(description, graphic, left, top, right - left, bottom - top)


def _point(sheet: Any, corner: List[int]) -> Any:
    column, row, right, down = corner
    start = sheet.getCellByPosition(column, row).Position
    return start.X + right, start.Y + down


def _graphic(context: Any, png: str) -> Any:
    """The picture, held by Calc; the file that it is handed over in goes away."""
    provider = context.ServiceManager.createInstanceWithContext(
        "com.sun.star.graphic.GraphicProvider", context
    )
    with tempfile.TemporaryDirectory(prefix="fit-out-") as folder:
        path = Path(folder) / "drawing.png"
        path.write_bytes(base64.b64decode(png))
        url = uno.systemPathToFileUrl(str(path))
        return provider.queryGraphic((option("URL", url),))
