"""`estimator addin …` for LibreOffice Calc, and `estimator watch` for other programs."""

from __future__ import annotations

import time
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from estimator.addin import NAME

BETWEEN_LOOKS = 0.5
"""Seconds."""

app = typer.Typer(
    help="The menu and the cell functions inside LibreOffice Calc.", no_args_is_help=True
)


@app.command()
def build(
    path: Annotated[Path, typer.Argument(help="The file to write.")] = Path(NAME),
) -> None:
    """Write the add-in as a file, to be added by hand under Tools, Extension Manager."""
    from estimator.addin.build import build_extension

    build_extension(path)
    typer.echo(f"Wrote {path}. In LibreOffice: Tools, Extension Manager, Add; then start it again.")


@app.command()
def install() -> None:
    """Put the add-in into LibreOffice; it will call this estimator."""
    from estimator.addin.install import install_extension

    said = install_extension()
    typer.echo("\n".join(part for part in (said, "Installed. Start LibreOffice again.") if part))


@app.command()
def engine() -> None:
    """Answer the add-in: a JSON request a line on standard input, answers on standard output."""
    from estimator.addin.engine import main

    main()


def watch(
    book: Annotated[Path, typer.Argument(metavar="BOOK.xlsx", help="The workbook.")],
) -> None:
    """Write the next revision, planned anew, each time another program saves the workbook."""
    from estimator.addin.watch import watch as watched
    from estimator.revise.revise import revise

    def revised(saved: Path) -> Path:
        made = revise(saved, today=date.today(), pass_over_taken=True)
        for each in made.left_behind:
            typer.echo(f"Not carried over: {each}")
        return made.path

    typer.echo(f"Watching {book}. End with Ctrl-C.")
    try:
        watched(book, revised, typer.echo, lambda: time.sleep(BETWEEN_LOOKS))
    except KeyboardInterrupt:
        typer.echo("Ended.")
