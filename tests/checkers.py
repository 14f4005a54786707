"""Where the checkers of pages are, which no Python package brings."""

import os
from pathlib import Path

import pytest

FOLDER = "PAGE_CHECKERS"
HOW = (
    "npm pack axe-core@4.14.1 vnu-jar@26.9.27, put axe.min.js and vnu.jar out of them "
    f"into a folder, and name it in {FOLDER}"
)


def checker(name: str) -> Path:
    """Return the path of a checker in the folder PAGE_CHECKERS names, or skip with the reason.

    With CI=true a missing checker is a failure, as with ``need`` in tests/conftest.py.
    """
    folder = os.environ.get(FOLDER)
    if folder and (path := Path(folder) / name).exists():
        return path
    reason = f"{name} is not there: {HOW}"
    if os.environ.get("CI") == "true":
        pytest.fail(f"{reason}; CI must not skip")
    return pytest.skip(reason)
