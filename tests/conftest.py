"""Settings that every test shares."""

import os

import pytest
from hypothesis import settings

# No test is timed.  Where nobody watches, the same examples are tried every time.
settings.register_profile("here", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "here")

# No test finds what another kept, or leaves anything in the user's own folders.
os.environ["XDG_CACHE_HOME"] = os.path.join(os.devnull, "none")


# Nor is any output as wide as whoever runs the tests has their own.
# GNU readline, which pytest imports, sets it where Python's own list of them does not see it.
os.environ.pop("COLUMNS", None)
os.unsetenv("COLUMNS")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Slow tests begin first: one that begins last keeps one core busy and leaves the others idle.

    Otherwise the order stays, so that what a file's tests share is still made once.
    """
    items.sort(key=lambda item: item.get_closest_marker("slow") is None)
