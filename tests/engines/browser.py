"""Look at a page as a reader would: headless Chromium to a picture or to paper."""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.engines import programs

QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--hide-scrollbars",
)
SECONDS = 120


def screenshot(page: Path, picture: Path, width: int = 1280, height: int = 1600) -> Path:
    """Save an HTML file as a PNG picture of width x height pixels."""
    return _show(page, picture, f"--screenshot={picture}", f"--window-size={width},{height}")


def print_to_pdf(page: Path, pdf: Path) -> Path:
    """Print an HTML file to PDF; the page's own style sheet chooses paper and margins."""
    return _show(page, pdf, f"--print-to-pdf={pdf}", "--no-pdf-header-footer")


def _show(page: Path, made: Path, *wishes: str) -> Path:
    with tempfile.TemporaryDirectory(prefix="chromium-", ignore_cleanup_errors=True) as home:
        profile = f"--user-data-dir={home}/profile"
        command = [programs.program("chromium"), *QUIET, profile, *wishes, page.resolve().as_uri()]
        printed = programs.run(command, SECONDS, programs.environment(home))
    if not made.exists():
        raise programs.ProgramFailedError(f"Chromium did not write {made}; it printed:\n{printed}")
    return made
