"""What scripts share that talk to a running Calc; imported by Calc's own Python, beside them.

Such a script puts this folder on its path: sys.path.append(".../tests/engines").
"""

import threading
import time

import uno  # type: ignore[import-not-found]
import unohelper  # type: ignore[import-not-found]
from com.sun.star.awt import XCallback  # type: ignore[import-not-found]
from com.sun.star.beans import PropertyValue  # type: ignore[import-not-found]
from com.sun.star.connection import NoConnectException  # type: ignore[import-not-found]

PATIENCE = 500
"""Seconds."""


def option(name, value):
    """A named argument."""
    made = PropertyValue()
    made.Name, made.Value = name, value
    return made


def listening(pipe):
    """The context of the Calc that listens on the pipe, once it does."""
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext(
        "com.sun.star.bridge.UnoUrlResolver", local
    )
    until = time.monotonic() + PATIENCE
    while True:
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except NoConnectException:
            if time.monotonic() > until:
                raise
            time.sleep(0.2)


def connect(pipe):
    """The context, once Calc's main thread attends to things.

    It listens earlier than that, and opening a document then can bring both to a standstill.
    """
    context = listening(pipe)
    attends = _Attends()
    calls = context.ServiceManager.createInstanceWithContext(
        "com.sun.star.awt.AsyncCallback", context
    )
    calls.addCallback(attends, None)
    if not attends.event.wait(PATIENCE):
        raise TimeoutError("Calc did not start")
    return context


class _Attends(unohelper.Base, XCallback):
    """Called from Calc's main thread."""

    def __init__(self):
        self.event = threading.Event()

    def notify(self, data):
        self.event.set()


def desktop(context):
    """Where documents are opened and found."""
    return context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
