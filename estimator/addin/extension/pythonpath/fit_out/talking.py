"""To and from the person at the window: messages, a choice of file, the status bar."""

from typing import Any, Callable, Dict, List, Optional

import uno
import unohelper
from com.sun.star.awt import XCallback
from com.sun.star.awt.MessageBoxButtons import BUTTONS_OK
from com.sun.star.awt.MessageBoxType import INFOBOX, WARNINGBOX
from com.sun.star.frame import FeatureStateEvent
from com.sun.star.ui.dialogs.TemplateDescription import FILEOPEN_SIMPLE
from com.sun.star.util import URL

TITLE, PROTOCOL = "Fit-out", "fit-out:"


class _OnMain(unohelper.Base, XCallback):
    def __init__(self, act: Callable[[], None]) -> None:
        self.act = act

    def notify(self, data: Any) -> None:
        self.act()


def on_main_thread(context: Any, act: Callable[[], None]) -> None:
    """Have Calc call `act` from its main thread, where documents may be changed."""
    calls = context.ServiceManager.createInstanceWithContext(
        "com.sun.star.awt.AsyncCallback", context
    )
    calls.addCallback(_OnMain(act), None)


def show_box(frame: Any, words: str, is_fault: bool) -> None:
    """A message box over the frame's window, until the person closes it."""
    window = frame.ContainerWindow
    kind = WARNINGBOX if is_fault else INFOBOX
    window.Toolkit.createMessageBox(window, kind, BUTTONS_OK, TITLE, words).execute()


def chosen_file(context: Any) -> Optional[str]:
    """The path of a workbook that the person chooses; None if they choose none."""
    picker = context.ServiceManager.createInstanceWithContext(
        "com.sun.star.ui.dialogs.FilePicker", context
    )
    picker.initialize((FILEOPEN_SIMPLE,))
    picker.setTitle("Compare with which workbook?")
    picker.appendFilter("Workbooks (.xlsx)", "*.xlsx")
    files = picker.getSelectedFiles() if picker.execute() else ()
    return str(uno.fileUrlToSystemPath(files[0])) if files else None


class StatusBar:
    """How far the work is, at the foot of the window."""

    STEPS = 1000

    def __init__(self, frame: Any, words: str) -> None:
        self._indicator = frame.createStatusIndicator()
        self._indicator.start(words, self.STEPS)

    def show(self, share: float, words: str) -> None:
        """share: 0 to 1."""
        self._indicator.setText(f"{TITLE}: {words}")
        self._indicator.setValue(int(share * self.STEPS))

    def clear(self) -> None:
        """Give the status bar back."""
        self._indicator.end()


def url_of(command: str) -> Any:
    """The command's URL in its parts."""
    url = URL()
    url.Complete, url.Main = PROTOCOL + command, PROTOCOL + command
    url.Protocol, url.Path = PROTOCOL, command
    return url


class Listeners:
    """Those who follow a command: whether it can be chosen, and what was said."""

    def __init__(self) -> None:
        self._by_command: Dict[str, List[Any]] = {}

    def add(self, command: str, listener: Any) -> None:
        """From now on the listener hears of the command."""
        self._by_command.setdefault(command, []).append(listener)

    def remove(self, command: str, listener: Any) -> None:
        """The listener has heard enough."""
        listeners = self._by_command.get(command, [])
        if listener in listeners:
            listeners.remove(listener)

    def tell(self, command: str, source: Any, enabled: bool, state: Any = None) -> None:
        """Tell all who follow the command; those who are gone are forgotten."""
        event = FeatureStateEvent()
        event.Source, event.FeatureURL = source, url_of(command)
        event.IsEnabled, event.State = enabled, state
        for listener in list(self._by_command.get(command, ())):
            try:
                listener.statusChanged(event)
            except Exception:  # a window that was closed; of whatever kind, it hears no more
                self.remove(command, listener)
