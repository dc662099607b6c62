"""The documents as files beside their workbook. Nothing is written over, nothing half written."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from estimator.documents.cut_plan import cut_plan_html
from estimator.documents.labels import cut_list_csv, labels_html
from estimator.documents.quote import quote_html
from estimator.estimate import Estimate


def write_documents(estimate: Estimate, book: Path) -> list[Path]:
    """Quote, cut plan, cut list and labels."""
    return [write_quote(estimate, book), *write_cuts(estimate, book)]


def write_quote(estimate: Estimate, book: Path) -> Path:
    """The quote, as HTML for print."""
    return _written(book, "quote.html", quote_html(estimate))


def write_cuts(estimate: Estimate, book: Path) -> list[Path]:
    """Cut plan and labels as HTML for print, the cut list as CSV."""
    return [
        _written(book, "cut plan.html", cut_plan_html(estimate)),
        # Spreadsheet programs take a CSV file for UTF-8 when it begins with this mark.
        _written(book, "cut list.csv", "\ufeff" + cut_list_csv(estimate)),
        _written(book, "labels.html", labels_html(estimate)),
    ]


def _written(book: Path, what: str, text: str) -> Path:
    """The path written to: the workbook's name and what it is, numbered when that is taken.

    Raises OSError when the folder cannot be written to.
    """
    handle, name = tempfile.mkstemp(suffix=".part", prefix=".", dir=book.parent)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
        temporary.chmod(0o644)
        return _linked(temporary, book.with_name(f"{book.stem} {what}"))
    finally:
        temporary.unlink()


def _linked(temporary: Path, wanted: Path) -> Path:
    """A link fails where a file stands, also one that came this moment; then the next number."""
    path, number = wanted, 1
    while True:
        try:
            os.link(temporary, path)
        except FileExistsError:
            number += 1
            path = wanted.with_stem(f"{wanted.stem} {number}")
        else:
            return path
