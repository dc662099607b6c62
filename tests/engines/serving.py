"""Starts a Calc and does in it what is asked for, until nobody asks any more.

Run by Calc's own Python: serving.py PIPE COMMAND..., where the command makes Calc listen on the
pipe. Each line of standard input is a JSON list of a script and what it is given: its function
`do(desktop, **given)` is called. The line that answers is a JSON list of the traceback, if it
failed, and of what it returned.
"""

import json
import runpy
import subprocess
import sys
import traceback
from pathlib import Path

sys.path.append(str(Path(__file__).parent))
from over_uno import connect, desktop


def answer(shown, script, given):
    """The traceback, or None, and what the script returned; no document stays open."""
    try:
        return [None, runpy.run_path(script)["do"](shown, **given)]
    except Exception:
        return [traceback.format_exc(), None]
    finally:
        documents = shown.Components.createEnumeration()
        while documents.hasMoreElements():
            documents.nextElement().close(True)


def main(pipe, *command):
    """Answer line by line."""
    calc = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=sys.stderr)
    try:
        shown = desktop(connect(pipe))
        for line in sys.stdin:
            print(json.dumps(answer(shown, *json.loads(line))), flush=True)
    finally:
        calc.terminate()
        calc.wait()


main(*sys.argv[1:])
