"""The direction of imports, and what may lie at the top of the repository."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
OURS = ("workshops", "planning")
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "manage.py",
    "pyproject.toml",
    "workshops",
    "planning",
    "templates",
    "tests",
    "fixtures",
}

# Where: what its modules must not import. One row for each arrow that must not point upwards.
FORBIDDEN = {
    "workshops": ("planning", "weasyprint", "astral", "tests"),
    "workshops/models": (
        "workshops.selectors",
        "workshops.services",
        "workshops.forms",
        "workshops.views",
        "workshops.admin",
    ),
    "workshops/services": (
        "workshops.forms",
        "workshops.views",
        "workshops.admin",
        "django.http",
        "django.shortcuts",
    ),
    "workshops/admin": ("workshops.views",),
    "workshops/lists/cells": ("django",),
    "workshops/lists/dates": ("django",),
    "workshops/lists/decoding": ("django",),
    "workshops/lists/headings": ("django",),
    "workshops/lists/reading": ("django",),
    "workshops/lists/writing": ("django",),
    "planning": ("tests",),
    "planning/models": ("planning.sheets", "planning.admin", "planning.services"),
    "planning/selectors": ("planning.sheets", "planning.admin", "planning.services"),
    "planning/physics": ("django",),
    "planning/lesson": ("django",),
    "planning/after": ("django",),
    "planning/learn": ("django",),
    "planning/plan": ("django",),
    "planning/drawings": ("django", "weasyprint"),
    "planning/sheets": ("planning.physics", "planning.models", "workshops.models"),
    # They run in the printing process, which has no settings.
    "planning/sheets/press": ("django", "workshops"),
    "planning/sheets/renderer": ("django", "workshops"),
    "planning/sheets/wire": ("django", "workshops"),
}
# Where: the only ones of our own packages its modules may import.
ONLY_OURS = {
    "planning/physics": ("planning.physics",),
    "planning/lesson": ("planning.physics", "planning.lesson"),
    "planning/learn": ("planning.physics", "planning.learn", "planning.after.counts"),
    "planning/after": ("planning.physics", "planning.lesson", "planning.plan", "planning.after"),
    # The group's sync and the turns are worked out in the lesson's part, as pure as the physics.
    "planning/plan": ("planning.physics", "planning.lesson", "planning.plan"),
    "planning/drawings": ("planning.physics", "planning.plan", "planning.drawings"),
    "planning/sheets/press": ("planning.sheets.wire", "planning.sheets.renderer"),
    "planning/sheets/renderer": ("planning.sheets.renderer",),
    "planning/sheets/wire": (),
}
# A library: the only module that may import it, and, for one, the folder behind it.
ONE_DOOR = {
    "weasyprint": "planning/sheets/press.py",
    "astral": "planning/physics/sun.py",
    "PIL": "planning/pictures.py",
    "tzfpy": "workshops/zones.py",
    "utm": "workshops/grids.py",
    "gunicorn": "workshops/server.py",
    "xlsxwriter": "workshops/lists/writing.py",
    "whitenoise": "workshops/static_files.py",
    "procrastinate": "workshops/tasks.py",
}
BEHIND = {"weasyprint": "planning/sheets/renderer"}
# These must start before anything is installed.
STANDARD_LIBRARY_ONLY = ("workshops/__init__", "workshops/bootstrap", "workshops/native")
# These know no clock: the same inputs give the same numbers.
TIMELESS = (
    "planning/physics",
    "planning/lesson",
    "planning/plan",
    "planning/after",
    "planning/learn",
    "planning/drawings",
)
CLOCK = ("now", "today", "utcnow", "time", "time_ns", "localtime", "gmtime")


def modules(where: str) -> list[Path]:
    """Return the Python files under a folder of the repository, or the module of that name."""
    folder = ROOT / where
    return sorted(folder.rglob("*.py")) if folder.is_dir() else [folder.with_suffix(".py")]


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def imports(path: Path) -> tuple[tuple[str, int], ...]:
    """Return every module an import statement of a file may name, with the level of its dots.

    ``from a import b`` names ``a`` and perhaps the module ``a.b``: both are there.
    """
    return tuple(_named(parsed(path)))


def _named(tree: ast.Module) -> Iterator[tuple[str, int]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, 0
        elif isinstance(node, ast.ImportFrom):
            module = node.module or ""
            yield module, node.level
            for alias in node.names:
                yield f"{module}.{alias.name}".lstrip("."), node.level


def within(name: str, prefixes: tuple[str, ...]) -> bool:
    return any(name == prefix or name.startswith(prefix + ".") for prefix in prefixes)


def shown(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


@pytest.mark.parametrize("where", sorted({*FORBIDDEN, *ONLY_OURS, *TIMELESS}))
def test_every_place_in_the_tables_exists(where):
    assert all(path.exists() for path in modules(where)), f"{where}: the table is out of date"
    assert modules(where), f"{where} has no files: the table is out of date"


@pytest.mark.parametrize("where", FORBIDDEN)
def test_no_import_points_upwards(where):
    wrong = [
        f"{shown(path)} imports {name}"
        for path in modules(where)
        for name, _ in imports(path)
        if within(name, FORBIDDEN[where])
    ]
    assert not wrong


@pytest.mark.parametrize("where", ONLY_OURS)
def test_pure_modules_import_only_pure_modules_of_ours(where):
    wrong = [
        f"{shown(path)} imports {name}"
        for path in modules(where)
        for name, _ in imports(path)
        # ``from planning import physics`` yields "planning" too, which by itself is empty.
        if within(name, OURS) and name != "planning" and not within(name, ONLY_OURS[where])
    ]
    assert not wrong


@pytest.mark.parametrize("library", ONE_DOOR)
def test_each_library_comes_in_by_one_door(library):
    users = {
        shown(path)
        for package in OURS
        for path in modules(package)
        for name, _ in imports(path)
        if within(name, (library,))
    }
    behind = {shown(path) for path in modules(BEHIND[library])} if library in BEHIND else set()
    assert users - behind == {ONE_DOOR[library]}


def test_no_import_is_relative():
    wrong = {
        shown(path)
        for package in (*OURS, "tests")
        for path in modules(package)
        for _, level in imports(path)
        if level
    }
    assert not wrong


@pytest.mark.parametrize("where", STANDARD_LIBRARY_ONLY)
def test_the_start_needs_nothing_installed(where):
    (path,) = modules(where)
    allowed = (*sys.stdlib_module_names, "workshops.native")
    wrong = [name for name, _ in imports(path) if name != "workshops" and not within(name, allowed)]
    assert not wrong


@pytest.mark.parametrize("where", TIMELESS)
def test_no_number_depends_on_when_it_is_asked_for(where):
    wrong = [
        f"{shown(path)}:{node.lineno} reads the clock"
        for path in modules(where)
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in CLOCK
        and isinstance(node.func.value, ast.Name)
        and node.func.value.id in ("datetime", "date", "time", "timezone")
    ]
    assert not wrong


def test_the_top_level_holds_only_what_the_map_shows(need):
    git = need("git")
    if not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    tracked = subprocess.run(
        [git, "-C", str(ROOT), "ls-files"], capture_output=True, text=True, check=True
    ).stdout.split("\n")
    names = {path.split("/")[0] for path in tracked if path}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL
