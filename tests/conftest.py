"""Settings for the whole test suite."""

from __future__ import annotations

import os
from collections import Counter

import pytest
from hypothesis import settings

from tests.engines.running_calc import end_all

# Time never decides whether a test passes. A CI run repeats the same examples, so that a red run
# can be repeated anywhere; other runs look for new ones.
settings.register_profile("look for new examples", deadline=None, print_blob=True)
settings.register_profile("repeat", deadline=None, derandomize=True)
settings.load_profile("repeat" if os.environ.get("CI") else "look for new examples")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The files with most slow tests first, so that none is begun when the rest is done."""
    slow = Counter(item.path for item in items if item.get_closest_marker("slow"))
    items.sort(key=lambda item: -slow[item.path])


def pytest_sessionfinish() -> None:
    """End what runs as long as the tests do."""
    end_all()
