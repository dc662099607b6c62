"""Pages as PDF, where the optional library for it is installed."""

from __future__ import annotations

from pathlib import Path

from estimator.files import free_names, whole_file
from estimator.problems import Problem, ProblemsFound


def has_pdf() -> bool:
    """Whether the extra `pdf`, and the libraries that it needs itself, are there."""
    try:
        import weasyprint  # noqa: F401
    except (ImportError, OSError):
        return False
    return True


def require_pdf() -> None:
    """Raise ProblemsFound when the extra `pdf`, or a library that it needs itself, is missing."""
    if not has_pdf():
        fix = "In its checkout: pip install '.[pdf]'. Or print the HTML page from a browser."
        raise ProblemsFound([Problem("PDF", "", "the extra pdf of this tool", fix)])


def pdf_of(page: str) -> bytes:
    """An HTML page of ours as a PDF file's bytes. Raises ProblemsFound without the extra `pdf`."""
    require_pdf()
    from weasyprint import HTML

    content: bytes = HTML(string=page, url_fetcher=_fetch_nothing).write_pdf()
    return content


def write_pdf(page: Path) -> Path:
    """An HTML page of ours as a PDF file of the same name, or the first free numbered one.

    Raises ProblemsFound when the extra `pdf` is not installed.
    """
    content = pdf_of(page.read_text(encoding="utf-8"))
    for path in free_names(page.with_suffix(".pdf")):
        if not path.exists():
            with whole_file(path) as temporary:
                temporary.write_bytes(content)
            return path
    raise AssertionError("there is always a further number")


def _fetch_nothing(address: str) -> dict[str, object]:
    raise ValueError(f"pages fetch nothing: {address}")
