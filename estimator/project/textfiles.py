"""Text files that a person wrote: read whole, or said why not."""

from __future__ import annotations

from pathlib import Path

from estimator.data import data_folder
from estimator.problems import Problem


def read_text(path: Path) -> tuple[str, list[Problem]]:
    """The file's text, which must be UTF-8, or no text and the problem."""
    try:
        return path.read_bytes().decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        return "", [
            Problem(
                shown(path),
                f"byte {error.start:,}: {error.object[error.start : error.start + 1].hex()}",
                "text encoded as UTF-8",
                "Save the file as UTF-8 text.",
            )
        ]
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        return "", [Problem(shown(path), reason, "a file that can be read", "Check its name.")]


def shown(path: Path) -> str:
    """The path as a person knows it: from the data folder for what comes with the tool."""
    for folder in (data_folder("templates"), data_folder("rates")):
        if path.is_relative_to(folder):
            return str(path.relative_to(folder.parent))
    return str(path)
