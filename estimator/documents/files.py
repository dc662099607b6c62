"""The documents as files beside their workbook. Nothing is written over, nothing half written."""

from __future__ import annotations

from pathlib import Path

from estimator.documents.quote import quote_html
from estimator.estimate import Estimate
from estimator.files import write_text


def write_documents(estimate: Estimate, book: Path) -> list[Path]:
    """Quote, cut plan, cut list and labels."""
    return [write_quote(estimate, book), *write_cuts(estimate, book)]


def write_quote(estimate: Estimate, book: Path) -> Path:
    """The quote, as HTML for print."""
    return write_text(book.with_name(f"{book.stem} quote.html"), quote_html(estimate))


def write_cuts(estimate: Estimate, book: Path) -> list[Path]:
    """Cut plan and labels as HTML for print, the cut list as CSV."""
    from estimator.documents.cut_plan import cut_plan_html  # the quote does without a planner
    from estimator.documents.labels import cut_list_csv, labels_html

    return [
        write_text(book.with_name(f"{book.stem} cut plan.html"), cut_plan_html(estimate)),
        # Spreadsheet programs take a CSV file for UTF-8 when it begins with this mark.
        write_text(book.with_name(f"{book.stem} cut list.csv"), "\ufeff" + cut_list_csv(estimate)),
        write_text(book.with_name(f"{book.stem} labels.html"), labels_html(estimate)),
    ]
