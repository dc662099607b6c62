"""Drive the real LibreOffice Calc: recalculate workbooks, print them, look at their pages."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from tests.engines import programs

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

QUIET = ("--headless", "--norestore", "--nologo", "--nodefault", "--nolockcheck")
START_SECONDS = 120
SECONDS_PER_FILE = 20


def recalculate(paths: Iterable[Path], out_folder: Path) -> dict[Path, Path]:
    """Recalculate every formula of many xlsx files in one Calc process.

    Returns for each path the recalculated copy in `out_folder`. Raises ProgramMissingError or
    ProgramFailedError.
    """
    return convert(paths, out_folder, "xlsx:Calc MS Excel 2007 XML")


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
    paths: Iterable[Path], out_folder: Path, file_filter: str, profile: str = ALWAYS_RECALCULATE
) -> dict[Path, Path]:
    """Convert many files in one Calc process; `file_filter` is `extension:filter name`.

    Copies are numbered, so that files of one name from different folders stay apart; a later call
    into the same `out_folder` may write over them.
    """
    out_folder.mkdir(parents=True, exist_ok=True)
    extension = file_filter.split(":")[0]
    copies = {path: f"{number:04d}-{path.stem}" for number, path in enumerate(paths)}
    with _scratch(profile) as scratch:
        staged = [scratch / "in" / f"{copy}{path.suffix}" for path, copy in copies.items()]
        for path, copy in zip(copies, staged, strict=True):
            shutil.copyfile(path, copy)
        printed = _run_calc(scratch, file_filter, staged)
        made = {path: scratch / "out" / f"{copy}.{extension}" for path, copy in copies.items()}
        missing = [str(path) for path, file in made.items() if not file.exists()]
        if missing:
            raise programs.ProgramFailedError(
                f"Calc did not convert {missing}; it said:\n{printed}"
            )
        return {
            path: Path(shutil.move(file, out_folder / file.name)) for path, file in made.items()
        }


@contextmanager
def _scratch(profile: str) -> Iterator[Path]:
    """A throwaway folder with a Calc profile and an empty `in` folder."""
    with tempfile.TemporaryDirectory(prefix="calc-", ignore_cleanup_errors=True) as name:
        scratch = Path(name)
        (scratch / "in").mkdir()
        (scratch / "profile" / "user").mkdir(parents=True)
        (scratch / "profile" / "user" / "registrymodifications.xcu").write_text(profile)
        yield scratch


def _run_calc(scratch: Path, file_filter: str, staged: Sequence[Path]) -> str:
    home = f"-env:UserInstallation={(scratch / 'profile').as_uri()}"
    target = ["--convert-to", file_filter, "--outdir", str(scratch / "out")]
    command = [programs.program("soffice"), home, *QUIET, *target, *map(str, staged)]
    surroundings = programs.environment(str(scratch)) | {"SAL_USE_VCLPLUGIN": "svp"}
    return programs.run(command, START_SECONDS + SECONDS_PER_FILE * len(staged), surroundings)
