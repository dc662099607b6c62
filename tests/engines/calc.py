"""Drive the real LibreOffice Calc: recalculate workbooks, print them, look at their pages."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from tests.engines import programs
from tests.engines.running_calc import running_calc

# Without this, Calc trusts the cached values of a converted file. 0 means: always recalculate.
# https://help.libreoffice.org/latest/en-US/text/shared/optionen/01060900.html
ALWAYS_RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop>
</item>
</oor:items>
"""
NEVER_RECALCULATE = ALWAYS_RECALCULATE.replace("<value>0</value>", "<value>1</value>")

SAVING = Path(__file__).with_name("saving.py")
SECONDS_PER_FILE = 60
XLSX = "xlsx:Calc MS Excel 2007 XML"


def do(script: Path, seconds: float, **given: Any) -> Any:
    """Have a script work in the running Calc: see serving.py."""
    return running_calc(ALWAYS_RECALCULATE).do(script, seconds, **given)


def recalculate(paths: Iterable[Path], out_folder: Path) -> dict[Path, Path]:
    """Recalculate every formula of many xlsx files, and save them.

    Returns for each path the recalculated copy in `out_folder`. Raises ProgramMissingError or
    ProgramFailedError.
    """
    return convert(paths, out_folder, XLSX)


def to_pdf(path: Path, out_folder: Path) -> Path:
    """Print a workbook (recalculated) to a PDF file in `out_folder`."""
    return convert([path], out_folder, "pdf:calc_pdf_Export")[path]


def to_png_pages(path: Path, out_folder: Path, dots_per_inch: int = 80) -> list[Path]:
    """Print a workbook and turn its pages into pictures, in page order."""
    return pdf_pages(to_pdf(path, out_folder), out_folder, dots_per_inch)


def pdf_pages(pdf: Path, out_folder: Path, dots_per_inch: int = 80) -> list[Path]:
    """Turn the pages of a PDF file into pictures `<name>-<page>.png`, in page order."""
    command = [programs.program("pdftoppm"), "-r", str(dots_per_inch), "-png"]
    stem = out_folder / pdf.stem
    programs.run([*command, str(pdf), str(stem)], 120, programs.environment(str(out_folder)))
    return sorted(out_folder.glob(f"{pdf.stem}-*.png"))


def convert(
    paths: Iterable[Path], out_folder: Path, file_filter: str, settings: str = ALWAYS_RECALCULATE
) -> dict[Path, Path]:
    """Convert files in a running Calc; `file_filter` is `extension:filter name[:options]`.

    Copies are numbered, so that files of one name from different folders stay apart; a later call
    into the same `out_folder` may write over them.
    """
    out_folder.mkdir(parents=True, exist_ok=True)
    extension, filter_name, options = (*file_filter.split(":", 2), "")[:3]
    made = {
        path: (out_folder / f"{number:04d}-{path.stem}.{extension}").resolve()
        for number, path in enumerate(paths)
    }
    faults = running_calc(settings).do(
        SAVING,
        SECONDS_PER_FILE * len(made),
        files=[[str(path.resolve()), str(file)] for path, file in made.items()],
        filter_name=filter_name,
        filter_options=options,
    )
    if faults:
        raise programs.ProgramFailedError(
            f"Calc did not convert {[*faults]}; it said:\n{[*faults.values()]}"
        )
    return made
