"""`estimator addin …`: build or install the add-in for LibreOffice Calc, or be its engine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from estimator.addin.build import NAME

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
