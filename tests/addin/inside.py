"""Scenarios in the open Calc, run by its own Python: inside.py PIPE SCENARIO JSON.

Each does what a person would, through UNO, and prints what it saw as one line of JSON. The tests
judge it.
"""

import json
import os
import signal
import sys
import threading
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

import uno
import unohelper
from com.sun.star.accessibility.AccessibleRole import MENU, MENU_ITEM, PUSH_BUTTON, STATIC
from com.sun.star.frame import XStatusListener
from com.sun.star.lang import DisposedException
from com.sun.star.task import XInteractionHandler
from com.sun.star.ucb import XCommandEnvironment
from com.sun.star.util import URL

sys.path.append(str(Path(__file__).parents[1] / "engines"))
from over_uno import PATIENCE, connect, desktop, option

MENU_ROLES = (MENU, MENU_ITEM)
ENGINE = b"estimator.addin.engine"


class Approving(unohelper.Base, XCommandEnvironment, XInteractionHandler):
    """Says yes to the installer."""

    def getInteractionHandler(self):  # noqa: N802 - UNO's name
        return self

    def getProgressHandler(self):  # noqa: N802 - UNO's name
        return None

    def handle(self, request):
        request.getContinuations()[0].select()  # to approve is offered first, to abort second


class Said(unohelper.Base, XStatusListener):
    """What the commands say, one after another."""

    def __init__(self):
        self.words = []
        self.came = threading.Semaphore(0)

    def statusChanged(self, event):  # noqa: N802 - UNO's name
        self.words.append(event.State)
        self.came.release()

    def next(self):
        if not self.came.acquire(timeout=PATIENCE):
            raise TimeoutError("the command said nothing")
        return self.words.pop(0)

    def disposing(self, event):
        pass


class Follower(unohelper.Base, XStatusListener):
    """Whether a command can be chosen, as it changes."""

    def __init__(self):
        self.states = []

    def statusChanged(self, event):  # noqa: N802 - UNO's name
        self.states.append(event.IsEnabled)

    def disposing(self, event):
        pass


class Book:
    """A workbook in a window."""

    def __init__(self, context, path):
        self.context = context
        url = uno.systemPathToFileUrl(path) if path else "private:factory/scalc"
        self.document = desktop(context).loadComponentFromURL(url, "_blank", 0, ())
        self.controller = self.document.CurrentController
        self.frame = self.controller.Frame
        self.said = Said()
        self.listen("said", self.said)

    def service(self, name):
        return self.context.ServiceManager.createInstanceWithContext(name, self.context)

    def url(self, command):
        url = URL()
        url.Complete = "fit-out:" + command
        return self.service("com.sun.star.util.URLTransformer").parseStrict(url)[1]

    def listen(self, command, listener):
        url = self.url(command)
        self.frame.queryDispatch(url, "_self", 0).addStatusListener(listener, url)

    def begin(self, command, **more):
        """Dispatch a command; returns when it has begun."""
        url = self.url(command)
        arguments = [option("Quiet", True), *(option(name, more[name]) for name in more)]
        self.frame.queryDispatch(url, "_self", 0).dispatch(url, tuple(arguments))

    def do(self, command, **more):
        """Dispatch a command; what it says in the end."""
        self.begin(command, **more)
        return self.said.next()

    def area(self, name):
        return self.document.NamedRanges.getByName(name).getReferredCells()

    def cell(self, name, row=0):
        return self.area(name).getCellByPosition(0, row)

    def column(self, name):
        return [row[0] for row in self.area(name).getDataArray()]

    def checks(self):
        """The state of each check by its name."""
        return dict(zip(self.column("checks_key")[:-1], self.column("checks_state")[:-1]))  # noqa: B905 - for older Pythons

    def set_inputs(self, inputs):
        for name, row, value in inputs:
            self.cell(name, row).setValue(value)

    def steps(self):
        return list(self.document.UndoManager.getAllUndoActionTitles())

    def contents(self):
        """Every formula, number and word of every sheet, which are guarded, how many pictures."""
        everything = {}
        for sheet in self.document.Sheets:
            cursor = sheet.createCursor()
            cursor.gotoEndOfUsedArea(False)
            end = cursor.RangeAddress
            rows = sheet.getCellRangeByPosition(0, 0, end.EndColumn, end.EndRow).getFormulaArray()
            for at, row in enumerate(rows):
                for column, text in enumerate(row):
                    if text != "":
                        everything[f"{sheet.Name} {at} {column}"] = text
            everything[f"{sheet.Name} guarded"] = sheet.isProtected()
            everything[f"{sheet.Name} pictures"] = self.pictures(sheet)
        return everything

    def pictures(self, sheet):
        """What is drawn on a sheet: what is said of it, and the row that it hangs from.

        Calc fits the height of rows as soon as they are written into, so millimetres move; where a
        picture is to be seen is held against that row.
        """
        shapes = [sheet.DrawPage.getByIndex(at) for at in range(sheet.DrawPage.getCount())]
        return sorted([each.Description, *hangs_from(each)] for each in shapes)

    def selected(self):
        cell = self.controller.getSelection()
        return cell.AbsoluteName.replace("$", "")

    def close(self):
        self.document.close(True)


def hangs_from(shape):
    """The row of the cell that a shape is anchored to, and whether it is seen beside that row."""
    cell = shape.Anchor
    if not hasattr(cell, "CellAddress"):
        return [-1, False]
    return [cell.CellAddress.Row, abs(shape.Position.Y - cell.Position.Y) < 600]


def changed(before, after):
    return sorted(key for key in {*before, *after} if before.get(key) != after.get(key))


def engine_of(pipe):
    """The number of the engine's process below the Calc that listens on the pipe; None if none."""
    for process in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):  # it has ended meanwhile
            command = (process / "cmdline").read_bytes()
            if ENGINE in command and pipe.encode() in _parent_command(process):
                return int(process.name)
    return None


def _parent_command(process):
    parent = (process / "stat").read_text().rpartition(")")[2].split()[1]
    return Path(f"/proc/{parent}/cmdline").read_bytes()


def wait_for_engine(pipe):
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        found = engine_of(pipe)
        if found:
            return found
        time.sleep(0.02)
    raise TimeoutError("the engine did not start")


# --- Scenarios ----------------------------------------------------------------------------------


def install(context, pipe, extension):
    manager = context.getValueByName("/singletons/com.sun.star.deployment.ExtensionManager")
    package = manager.addExtension(
        uno.systemPathToFileUrl(extension), (), "user", manager.createAbortChannel(), Approving()
    )
    return {"identifier": package.getIdentifier().Value}


def close(context, pipe):
    with suppress(DisposedException):  # it may go before it answers
        desktop(context).terminate()
    return {}


def plan(context, pipe, book, inputs, password_on=""):
    """Change inputs, plan, undo, redo."""
    open_book = Book(context, book)
    open_book.set_inputs(inputs)
    if password_on:
        sheet = open_book.document.Sheets.getByName(password_on)
        sheet.unprotect("")
        sheet.protect("secret")
    before, steps_before = open_book.contents(), open_book.steps()
    seen = {"states_before": open_book.checks()}
    begun = time.monotonic()
    seen["said"] = open_book.do("plan")
    seen["seconds"] = time.monotonic() - begun
    after = open_book.contents()
    seen["changed"] = changed(before, after)
    seen["new_steps"] = open_book.steps()[: len(open_book.steps()) - len(steps_before)]
    seen["planned"] = open_book.column("materials_planned")[:-1]
    seen["needed"] = open_book.column("pieces_needed")[:-1]
    seen["planned_for"] = open_book.column("pieces_planned_for")[:-1]
    seen["states"] = open_book.checks()
    seen["total"] = open_book.cell("price_total").getValue()
    seen["pictures"] = open_book.pictures(open_book.document.Sheets.getByName("Cut plan"))
    if seen["new_steps"]:
        open_book.document.UndoManager.undo()
        seen["after_undo"] = changed(before, open_book.contents())
        open_book.document.UndoManager.redo()
        seen["after_redo"] = changed(after, open_book.contents())
    open_book.close()
    return seen


def plan_other_pieces(context, pipe, book, inputs, back):
    """Plan for inputs that need other pieces, then for the former ones."""
    open_book = Book(context, book)
    before = open_book.contents()
    seen = {"keys": [open_book.column("pieces_key")[:-1]], "said": [], "states": [], "checked": []}
    for each in (inputs, back):
        open_book.set_inputs(each)
        seen["said"].append(open_book.do("plan"))
        seen["keys"].append(open_book.column("pieces_key")[:-1])
        seen["states"].append(open_book.checks())
        seen["checked"].append(open_book.do("check"))
    while open_book.document.UndoManager.isUndoPossible():
        open_book.document.UndoManager.undo()
    seen["after_undo"] = changed(before, open_book.contents())
    open_book.close()
    return seen


def interrupt(context, pipe, book, inputs, how):
    """Begin a plan and meet it with: kill, stop twice, edit, again."""
    open_book = Book(context, book)
    open_book.set_inputs(inputs)
    follower = Follower()
    open_book.listen("stop", follower)
    before, steps = open_book.contents(), open_book.steps()
    open_book.begin("plan")
    engine = wait_for_engine(pipe)
    seen: dict[str, Any] = {"also_said": ""}
    if how == "kill":
        time.sleep(1)
        os.kill(engine, signal.SIGKILL)
    elif how == "stop twice":
        open_book.begin("stop")
        open_book.begin("stop")
    elif how == "edit":
        open_book.cell("project_name").setString("Another name")
        before = open_book.contents()
        steps = open_book.steps()
    elif how == "again":
        seen["also_said"] = open_book.do("plan")
        os.kill(engine, signal.SIGKILL)
    seen["said"] = open_book.said.next()
    seen["changed"] = changed(before, open_book.contents())
    seen["new_steps"] = len(open_book.steps()) - len(steps)
    seen["can_stop"] = follower.states
    seen["engine_left"] = engine_of(pipe) is not None
    open_book.close()
    return seen


def close_meanwhile(context, pipe, book, inputs):
    """Close the document while it is planned."""
    open_book = Book(context, book)
    open_book.set_inputs(inputs)
    open_book.begin("plan")
    engine = wait_for_engine(pipe)
    open_book.close()
    until = time.monotonic() + PATIENCE
    while engine_of(pipe) == engine and time.monotonic() < until:
        time.sleep(0.1)
    return {"engine_left": engine_of(pipe) is not None}


def check(context, pipe, book, inputs):
    open_book = Book(context, book)
    open_book.set_inputs(inputs)
    before = open_book.contents()
    seen = {"said": open_book.do("check"), "selected": open_book.selected()}
    seen["changed"] = changed(before, open_book.contents())
    open_book.close()
    return seen


def explain(context, pipe, book, cells):
    """Explain cells, each given as a name and how far from its first cell: rows, columns."""
    open_book = Book(context, book)
    said = []
    for name, down, right in cells:
        address = open_book.area(name).getRangeAddress()
        sheet = open_book.document.Sheets.getByIndex(address.Sheet)
        place = (address.StartColumn + right, address.StartRow + down)
        open_book.controller.setActiveSheet(sheet)
        open_book.controller.select(sheet.getCellByPosition(*place))
        said.append(open_book.do("explain"))
    open_book.close()
    return {"said": said}


def say(context, pipe, book, asked, inputs=(), written="", others=()):
    """What commands say, each asked as its name and arguments; or what one says, asked over and
    over, while other things are written into the add-in's own file."""
    open_book = Book(context, book)
    total = open_book.cell("price_total").getValue() if book else 0.0
    open_book.set_inputs(inputs)
    said = []
    for command, arguments in asked:
        said.append(open_book.do(command, **arguments))
    file = Path(written)
    for other in others:
        before = file.read_text()
        try:
            file.write_text(json.dumps({**json.loads(before), **other}))
            said.append(open_book.do("check"))
        finally:
            file.write_text(before)
    open_book.close()
    return {"said": said, "total": total}


def functions(context, pipe, formulas, rows):
    """What formulas show on a sheet with rows of numbers from A1."""
    open_book = Book(context, "")
    sheet = open_book.document.Sheets.getByIndex(0)
    for at, row in enumerate(rows):
        for column, value in enumerate(row):
            sheet.getCellByPosition(column, at).setValue(value)
    cell = sheet.getCellByPosition(9, 0)
    shown = []
    for formula in formulas:
        cell.setFormula(formula)
        shown.append(cell.getString())
    open_book.close()
    return {"shown": shown}


def menu(context, pipe, book):
    """The titles of the menu and the toolbar, as the window has them."""
    open_book = Book(context, book)
    bar = accessible_named(open_book.frame.ContainerWindow.getAccessibleContext(), "Fit-out")
    items = []
    if bar is not None:
        items = [
            bar.getAccessibleChild(at).getAccessibleContext().getAccessibleName()
            for at in range(bar.getAccessibleChildCount())
        ]
    elements = [each.ResourceURL for each in open_book.frame.LayoutManager.getElements()]
    open_book.close()
    return {"items": items, "elements": elements}


def accessible_named(context, name, depth=4):
    """The first thing of that name, a menu or an item of one, at most so deep."""
    if context.getAccessibleName() == name and context.getAccessibleRole() in MENU_ROLES:
        return context
    if depth:
        for at in range(min(context.getAccessibleChildCount(), 40)):
            child = context.getAccessibleChild(at)
            found = child and accessible_named(child.getAccessibleContext(), name, depth - 1)
            if found:
                return found
    return None


def show(context, pipe, book):
    """Open a workbook and leave it open, its window as large as the screen."""
    open_book = Book(context, book)
    open_book.frame.ContainerWindow.setPosSize(0, 0, 1360, 860, 15)
    open_book.frame.activate()
    return {}


def menu_place(context, pipe, path):
    """Where on the screen an item of the menu stands; path: its menu's title, then its own."""
    item = current_window(context).getAccessibleContext()
    for name in path:
        item = accessible_named(item, name)
    return {"middle": middle_of(item)}


def middle_of(item):
    corner, size = item.getLocationOnScreen(), item.getSize()
    return [corner.X + size.Width // 2, corner.Y + size.Height // 2]


def current_window(context):
    return desktop(context).getCurrentFrame().ContainerWindow


def box(context, pipe):
    """The words in the message box that is open, and where its button stands."""
    toolkit = context.ServiceManager.createInstanceWithContext("com.sun.star.awt.Toolkit", context)
    for at in range(toolkit.getTopWindowCount()):
        window = toolkit.getTopWindow(at).getAccessibleContext()
        parts = [child.getAccessibleContext() for child in children(window)]
        (button,) = [each for each in parts if each.getAccessibleRole() == PUSH_BUTTON] or [None]
        if window.getAccessibleName() == "Fit-out" and button:
            words = [e.getAccessibleName() for e in parts if e.getAccessibleRole() == STATIC]
            return {"words": words, "button": middle_of(button)}
    return {"words": [], "button": None}


def children(context):
    return [context.getAccessibleChild(at) for at in range(context.getAccessibleChildCount())]


def close_all(context, pipe):
    """Close every document, whatever was changed in it."""
    for document in desktop(context).Components:
        document.close(True)
    return {}


SCENARIOS = {
    each.__name__: each
    for each in (
        install, close, plan, plan_other_pieces, interrupt, close_meanwhile, check, explain, say,
        functions, menu, show, menu_place, box, close_all,
    )
}  # fmt: skip


def main():
    pipe, scenario, given = sys.argv[1:]
    context = connect(pipe)
    print(json.dumps(SCENARIOS[scenario](context, pipe, **json.loads(given))), flush=True)
    os._exit(0)  # the bridge's threads may outlive a Calc that has ended


main()
