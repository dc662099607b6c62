"""The examples in the package's docstrings run, and give what stands below them."""

from __future__ import annotations

import doctest
from importlib import import_module

import pytest

from tests.architecture import package_files

WITH_EXAMPLES = [
    f"estimator.{file.removesuffix('.py').replace('/', '.')}"
    for file, source in package_files().items()
    if ">>> " in source
]


def test_there_are_examples() -> None:
    assert "estimator.expressions.tables" in WITH_EXAMPLES


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_the_examples_are_so(name: str) -> None:
    found = doctest.testmod(import_module(name))
    assert found.attempted > 0
    assert found.failed == 0
