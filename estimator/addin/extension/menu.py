"""The commands of the menu and the toolbar, called by URL: fit-out:plan, fit-out:check and so on.

A macro or another program may dispatch them too. With the argument Quiet no message box is shown;
what was said goes to those who listen to the status of fit-out:said.
"""

import traceback
from typing import Any, Dict, List, Tuple

import unohelper
from com.sun.star.frame import XDispatch, XDispatchProvider
from com.sun.star.lang import XInitialization, XServiceInfo
from fit_out import work, workbook
from fit_out.calling import NoAnswerError
from fit_out.talking import PROTOCOL, Listeners, chosen_file, show_box

IMPLEMENTATION = "estimator.fitout.Commands"
SERVICES = ("com.sun.star.frame.ProtocolHandler",)
STOP, SAID = "stop", "said"

listeners = Listeners()


class Commands(unohelper.Base, XServiceInfo, XInitialization, XDispatchProvider):
    """Hands out the commands for a window."""

    def __init__(self, context: Any, *_: Any) -> None:
        self.context = context
        self.frame: Any = None

    def initialize(self, arguments: Tuple[Any, ...]) -> None:
        """Calc says for which frame."""
        self.frame = arguments[0] if arguments else None

    def queryDispatch(self, url: Any, target: str, flags: int) -> Any:
        """The command of this URL; None for one that is not ours."""
        if url.Protocol != PROTOCOL or url.Path not in {*COMMANDS, STOP, SAID}:
            return None
        return Command(self.context, self.frame, url.Path)

    def queryDispatches(self, requests: Tuple[Any, ...]) -> Any:
        """The commands of many URLs."""
        return tuple(
            self.queryDispatch(each.FeatureURL, each.FrameName, each.SearchFlags)
            for each in requests
        )

    def getImplementationName(self) -> str:
        """Of this component."""
        return IMPLEMENTATION

    def supportsService(self, name: str) -> bool:
        """Whether it is of that kind."""
        return name in SERVICES

    def getSupportedServiceNames(self) -> Tuple[str, ...]:
        """Its kinds."""
        return SERVICES


class Command(unohelper.Base, XDispatch):
    """One command for one window."""

    def __init__(self, context: Any, frame: Any, name: str) -> None:
        self.context, self.frame, self.name = context, frame, name

    def dispatch(self, url: Any, arguments: Tuple[Any, ...]) -> None:
        """Carry it out. Arguments: Quiet, to show no box; Path, the workbook to compare with."""
        given = {each.Name: each.Value for each in arguments}

        def say(lines: List[str], is_fault: bool) -> None:
            self._refresh()
            listeners.tell(SAID, self, True, "\n".join(lines))
            if not given.get("Quiet"):
                show_box(self.frame, "\n".join(lines), is_fault)

        try:
            self._carry_out(given, say)
        except NoAnswerError as none:
            say(str(none).splitlines(), True)
        except Exception:  # of ours; without words the menu would seem to do nothing
            say(["The command failed; nothing was changed.", traceback.format_exc(limit=-2)], True)
        self._refresh()

    def _carry_out(self, given: Dict[str, Any], say: work.Say) -> None:
        document = self.frame.Controller.Model
        in_hand = work.running.get(document.RuntimeUID)
        if self.name == STOP:
            _stop(in_hand, say)
        elif not workbook.is_ours(document):
            say([work.NOT_OURS], True)
        elif in_hand:
            say([work.BUSY], True)
        else:
            COMMANDS[self.name](self, document, given, say)

    def plan(self, document: Any, given: Dict[str, Any], say: work.Say) -> None:
        """Plan the sheets for the counts as they stand."""
        work.plan(self.context, self.frame, say).start()

    def check(self, document: Any, given: Dict[str, Any], say: work.Say) -> None:
        """Check the workbook, and go to the first check that fails."""
        self._ask({"command": "check", "path": ""}, say)

    def explain(self, document: Any, given: Dict[str, Any], say: work.Say) -> None:
        """Say what the selected cell is."""
        names = workbook.names_at_selection(document)
        unit = workbook.words_at(document, "project_unit")
        self._ask({"command": "explain", "names": names, "unit": unit}, say)

    def revise(self, document: Any, given: Dict[str, Any], say: work.Say) -> None:
        """Write the next revision beside the workbook."""
        self._beside("revise", document, say)

    def copies(self, document: Any, given: Dict[str, Any], say: work.Say) -> None:
        """Write the copies that leave the office beside the workbook."""
        self._beside("copies", document, say)

    def compare(self, document: Any, given: Dict[str, Any], say: work.Say) -> None:
        """Say what changed between another workbook and this one."""
        other = given.get("Path") or chosen_file(self.context)
        if other:
            self._ask({"command": "compare", "path": "", "other": other}, say)

    def _beside(self, command: str, document: Any, say: work.Say) -> None:
        name = workbook.file_name(document)
        if name:
            self._ask({"command": command, "path": "", "name": name}, say)
        else:
            say([work.NOT_SAVED], True)

    def _ask(self, request: Dict[str, Any], say: work.Say) -> None:
        work.ask(self.context, self.frame, request, say).start()

    def _refresh(self) -> None:
        """Whether there is something to stop may have changed."""
        listeners.tell(STOP, self, self._can_be_chosen(STOP))

    def _can_be_chosen(self, name: str) -> bool:
        return name != STOP or bool(work.running)

    def addStatusListener(self, listener: Any, url: Any) -> None:
        """From now on the listener hears whether the command can be chosen."""
        listeners.add(self.name, listener)
        if self.name != SAID:
            listeners.tell(self.name, self, self._can_be_chosen(self.name))

    def removeStatusListener(self, listener: Any, url: Any) -> None:
        """The listener has heard enough."""
        listeners.remove(self.name, listener)


def _stop(in_hand: Any, say: work.Say) -> None:
    if in_hand is None or in_hand.engine is None:
        say([work.IDLE], True)
    else:
        in_hand.engine.stop()


COMMANDS = {
    "plan": Command.plan,
    "check": Command.check,
    "explain": Command.explain,
    "revise": Command.revise,
    "compare": Command.compare,
    "copies": Command.copies,
}

g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(Commands, IMPLEMENTATION, SERVICES)
