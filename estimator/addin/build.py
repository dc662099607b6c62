"""The add-in as one file that Calc installs (.oxt): a zip archive, the same bytes each time."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Sequence
from pathlib import Path

from estimator import __version__
from estimator.project import lengths

EXTENSION = Path(__file__).with_name("extension")
SOURCES = (".py", ".xcu", ".xml", ".components", ".rdb")
PACKAGE = "pythonpath/fit_out"
EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The date of every part: the archive depends on its contents only."""


def build_extension(path: Path, engine: Sequence[str] = ()) -> None:
    """Write the add-in to a path where no file stands yet.

    engine: the command that starts the engine; without one the add-in looks on the search path.
    Raises FileExistsError.
    """
    with path.open("xb") as file, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in sorted(_contents(engine).items()):
            entry = zipfile.ZipInfo(name, EARLIEST)
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, content, zipfile.ZIP_DEFLATED, 9)


def _contents(engine: Sequence[str]) -> dict[str, bytes]:
    """Every part by its name. How lengths are read is the estimator's own module."""
    parts = {
        each.relative_to(EXTENSION).as_posix(): each.read_bytes()
        for each in EXTENSION.rglob("*")
        if each.suffix in SOURCES
    }
    description = parts["description.xml"].decode().replace("@version@", __version__)
    written = json.dumps({"version": __version__, "engine": list(engine)})
    return parts | {
        "description.xml": description.encode(),
        f"{PACKAGE}/written.json": written.encode(),
        f"{PACKAGE}/lengths.py": Path(lengths.__file__).read_bytes(),
    }
