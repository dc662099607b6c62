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
    """A picture beside a cell. How far into the cell it begins, and its size, in 1/100 mm.

    Rows get other heights as soon as they are written into, so a place on the sheet is no place.
    """

    description: str
    graphic: Any
    column: int
    row: int
    right: int
    down: int
    width: int
    height: int


def replace_drawings(
    context: Any, document: Any, sheet: Any, drawings: List[Dict[str, Any]]
) -> None:
    """Show these instead of the former ones. drawings: as the engine answers them."""
    before = _shown(sheet)
    after = [_drawing(context, sheet, each) for each in drawings]
    if before or after:
        _show(document, sheet, after)
        document.UndoManager.addUndoAction(_Replaced(document, sheet, before, after))


class _Replaced(unohelper.Base, XUndoAction):
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
    return [_drawing_of(sheet, each) for each in _ours(sheet)]


def _drawing_of(sheet: Any, shape: Any) -> Drawing:
    """A picture that is anchored to the sheet as a whole counts from its first cell."""
    cell = shape.Anchor if hasattr(shape.Anchor, "CellAddress") else sheet.getCellByPosition(0, 0)
    address, place = cell.CellAddress, shape.Position
    return Drawing(
        shape.Description,
        shape.Graphic,
        address.Column,
        address.Row,
        place.X - cell.Position.X,
        place.Y - cell.Position.Y,
        shape.Size.Width,
        shape.Size.Height,
    )


def _show(document: Any, sheet: Any, drawings: List[Drawing]) -> None:
    """Calc notes the naming of a shape as a step, and fails when that comes while it undoes one."""
    document.UndoManager.lock()
    try:
        _draw(document, sheet, _ours(sheet), drawings)
    finally:
        document.UndoManager.unlock()


def _draw(document: Any, sheet: Any, former: List[Any], drawings: List[Drawing]) -> None:
    for shape in former:
        sheet.DrawPage.remove(shape)
    for number, each in enumerate(drawings, start=1):
        shape = document.createInstance("com.sun.star.drawing.GraphicObjectShape")
        sheet.DrawPage.add(shape)
        shape.Graphic = each.graphic
        cell = sheet.getCellByPosition(each.column, each.row)
        shape.setSize(Size(each.width, each.height))
        shape.setPosition(Point(cell.Position.X + each.right, cell.Position.Y + each.down))
        shape.Anchor = cell
        shape.Description = each.description
        shape.Name = f"Pattern {number}"


def _drawing(context: Any, sheet: Any, drawing: Dict[str, Any]) -> Drawing:
    """As wide as the columns that it spans, and as high as that makes it."""
    png, column, (last, beyond) = (
        base64.b64decode(drawing["png"]),
        drawing["column"],
        drawing["ends"],
    )
    start, end = (sheet.getCellByPosition(each, 0).Position.X for each in (column, last))
    width = end + beyond - start
    across, high = (int.from_bytes(png[at : at + 4], "big") for at in (16, 20))
    graphic, height = _graphic(context, png), width * high // across
    return Drawing(drawing["about"], graphic, column, drawing["row"], 0, 0, width, height)


def _graphic(context: Any, png: bytes) -> Any:
    """The picture, held by Calc; the file that it is handed over in goes away."""
    provider = context.ServiceManager.createInstanceWithContext(
        "com.sun.star.graphic.GraphicProvider", context
    )
    with tempfile.TemporaryDirectory(prefix="fit-out-") as folder:
        path = Path(folder) / "drawing.png"
        path.write_bytes(png)
        url = uno.systemPathToFileUrl(str(path))
        return provider.queryGraphic((option("URL", url),))
