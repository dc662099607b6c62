"""The one place where templates become pages: every text is escaped, every gap is an error."""

from __future__ import annotations

from functools import cache
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from estimator.data import data_folder


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(data_folder("templates").joinpath("documents")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page(template: str, **facts: Any) -> str:
    """The HTML page that a template of the documents makes of these facts."""
    return _environment().get_template(template).render(**facts)
