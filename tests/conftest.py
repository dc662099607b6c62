"""Settings for the whole test suite."""

from __future__ import annotations

import os

from hypothesis import settings

from tests.engines.running_calc import end_all

# Time never decides whether a test passes. A CI run repeats the same examples, so that a red run
# can be repeated anywhere; other runs look for new ones.
settings.register_profile("look for new examples", deadline=None, print_blob=True)
settings.register_profile("repeat", deadline=None, derandomize=True)
settings.load_profile("repeat" if os.environ.get("CI") else "look for new examples")


def pytest_sessionfinish() -> None:
    """End what runs as long as the tests do."""
    end_all()
