"""What each command does: ask the engine in a thread of its own, then act on the main thread."""

import shutil
import tempfile
import threading
from typing import Any, Callable, Dict, List, Optional

import unohelper
from com.sun.star.document import XUndoManagerListener

from . import renewing, workbook
from .calling import Engine, Fields, GivenUpError, NoAnswerError, engine_command
from .talking import StatusBar, on_main_thread

Say = Callable[[List[str], bool], None]
"""Called with lines of words, and whether they tell of a fault."""

NOT_OURS = "This is no workbook of the estimator. Open one that it made, such as its demo."
NOT_SAVED = "Save this workbook first, so that there is a place beside it."
CHANGED = "The workbook was changed while it was planned, so the plan was not entered. Plan again."
GIVEN_UP = "Planning was given up; nothing was changed."
BUSY = "The estimator is still at work on this workbook; wait for it or stop it."
IDLE = "Nothing is being planned."

running: Dict[str, "Work"] = {}
"""The work in hand, by the document's number; one piece of work for each document."""


class Work:
    """One question about a document, from asking it to acting on the answer.

    act: called on the main thread with what the engine answered.
    """

    def __init__(
        self,
        context: Any,
        frame: Any,
        request: Fields,
        say: Say,
        act: Callable[[Fields], List[str]],
    ) -> None:
        self.context, self.frame, self.request, self.say, self.act = (
            context,
            frame,
            request,
            say,
            act,
        )
        self.document = frame.Controller.Model
        self.number = self.document.RuntimeUID
        self.engine: Optional[Engine] = None
        self.folder = tempfile.mkdtemp(prefix="fit-out-")

    def start(self) -> None:
        """Ask about the document as it stands; returns at once.

        Raises NoAnswerError when there is no engine to ask.
        """
        try:
            path = workbook.as_file(self.document, self.folder) if "path" in self.request else ""
            self.engine = Engine(engine_command())
        except NoAnswerError:
            shutil.rmtree(self.folder, ignore_errors=True)
            raise
        self.request = dict(self.request, path=path)
        self.changes = _Changes(self.document.UndoManager, self.engine)
        self.bar = StatusBar(self.frame, "asking the estimator")
        running[self.number] = self
        threading.Thread(target=self._ask, args=(self.engine,), daemon=True).start()

    def _ask(self, engine: Engine) -> None:
        """Off the main thread."""
        try:
            said = engine.ask(self.request, self._report)
        except GivenUpError:
            said = {"refused": {"words": [GIVEN_UP], "place": None}}
        except NoAnswerError as none:
            said = {"refused": {"words": str(none).splitlines(), "place": None}}
        finally:
            shutil.rmtree(self.folder, ignore_errors=True)
        on_main_thread(self.context, lambda: self._finish(said))

    def _report(self, share: float, words: str) -> None:
        def show() -> None:
            if self.number in running and not self.changes.is_gone:
                self.bar.show(share, words)

        on_main_thread(self.context, show)

    def _finish(self, said: Fields) -> None:
        """On the main thread: act on the answer, and say what came of it."""
        running.pop(self.number, None)
        if self.changes.is_gone:
            return
        self.bar.clear()
        self.changes.forget()
        try:
            answer = said["done"] if "done" in said else said["refused"]
            words = self.act(answer) if "done" in said else list(answer["words"])
            if answer.get("place"):
                workbook.go_to(self.document, *answer["place"])
            self.say(words, "refused" in said)
        except renewing.NotEnteredError as refused:
            self.say([str(refused)], True)


class _Changes(unohelper.Base, XUndoManagerListener):
    """Notices whether the person changed anything meanwhile: every change is a step to undo."""

    def __init__(self, steps: Any, engine: Engine) -> None:
        self.steps, self.engine = steps, engine
        self.any = self.is_gone = False
        steps.addUndoManagerListener(self)

    def forget(self) -> None:
        self.steps.removeUndoManagerListener(self)

    def _noticed(self, event: Any) -> None:
        self.any = True

    undoActionAdded = actionUndone = actionRedone = _noticed
    allActionsCleared = resetAll = enteredContext = _noticed
    enteredHiddenContext = leftContext = leftHiddenContext = _noticed
    cancelledContext = redoActionsCleared = _noticed

    def disposing(self, event: Any) -> None:
        """The document was closed: nobody waits for the answer."""
        self.any = self.is_gone = True
        self.engine.give_up()


def plan(context: Any, frame: Any, say: Say) -> Work:
    """The sheets planned anew, entered as one undo step."""

    def act(answer: Fields) -> List[str]:
        if work.changes.any:
            raise renewing.NotEnteredError(CHANGED)
        renewing.enter(context, work.document, answer)
        return list(answer["words"])

    work = Work(context, frame, {"command": "plan", "path": ""}, say, act)
    return work


def ask(context: Any, frame: Any, request: Fields, say: Say) -> Work:
    """A question whose answer is said, and shown at its place."""
    return Work(context, frame, request, say, lambda answer: list(answer["words"]))
