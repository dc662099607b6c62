"""The open workbook: where its names point, what is selected, a copy of it as it stands."""

import tempfile
from pathlib import Path
from typing import Any, List, Optional

import uno
from com.sun.star.beans import PropertyValue

XLSX = "Calc MS Excel 2007 XML"
KNOWN_BY = "counts_rooms"
"""A name that every workbook of the estimator has."""

HEADER_ROWS, FORM_COLUMNS = 2, 5


def is_ours(document: Any) -> bool:
    """Whether the document is a workbook of the estimator."""
    return hasattr(document, "NamedRanges") and document.NamedRanges.hasByName(KNOWN_BY)


def file_name(document: Any) -> str:
    """The path of the document's file; empty while it was never saved."""
    url = document.getURL()
    return str(uno.fileUrlToSystemPath(url)) if url.startswith("file:") else ""


def write_copy(document: Any, folder: str) -> str:
    """Write the document as it stands, unsaved changes too, into a folder; the copy's path."""
    name = Path(file_name(document) or "workbook").stem + ".xlsx"
    path = Path(folder) / name
    document.storeToURL(uno.systemPathToFileUrl(str(path)), (option("FilterName", XLSX),))
    return str(path)


def folder_for_copy() -> "tempfile.TemporaryDirectory[str]":
    """A folder that goes away with what is in it."""
    return tempfile.TemporaryDirectory(prefix="fit-out-", ignore_cleanup_errors=True) if _CLEANS else (
        tempfile.TemporaryDirectory(prefix="fit-out-")
    )


def option(name: str, value: Any) -> Any:
    """A named value, as UNO's calls take them."""
    made = PropertyValue()
    made.Name, made.Value = name, value
    return made
