"""The system's own libraries that a sheet needs, and the line that installs them.

Standard library only: this runs before anything else is installed.
"""

import ctypes
import ctypes.util
import importlib.util
import os
import platform
import subprocess
import sys
from dataclasses import dataclass


@dataclass(frozen=True)
class Library:
    files: tuple[str, ...]  # names to load, Linux then macOS
    short_name: str  # as the linker knows it
    debian_package: str
    required: bool = True


# Source: the libraries WeasyPrint 70 loads when it is imported (weasyprint/text/ffi.py).
LIBRARIES = (
    Library(("libpango-1.0.so.0", "libpango-1.0.dylib"), "pango-1.0", "libpango-1.0-0"),
    Library(("libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib"), "pangoft2-1.0", "libpangoft2-1.0-0"),
    Library(("libharfbuzz.so.0", "libharfbuzz.0.dylib"), "harfbuzz", "libharfbuzz0b"),
    Library(
        ("libharfbuzz-subset.so.0", "libharfbuzz-subset.0.dylib"),
        "harfbuzz-subset",
        "libharfbuzz-subset0",
        required=False,  # without it a sheet takes more than twice as long
    ),
)


def provide(*, venv: bool = False, libraries: tuple[Library, ...] = LIBRARIES) -> None:
    """Return once sheets can be rendered and, if ``venv`` is asked for, an environment made.

    Root on Debian or Ubuntu gets what is missing from apt-get. Anybody else is told the one line
    to type, and the process ends unless only speed is lost.
    """
    packages, vital = missing(libraries, venv=venv)
    if packages and system() == "debian" and os.geteuid() == 0:
        apt_install(packages)
        packages, vital = missing(libraries, venv=venv)
    if not packages:
        return
    line = f"type once: {install_line(system(), packages)}"
    if vital:
        sys.exit(f"One Stop Under: this machine lacks {', '.join(packages)}. To install, {line}")
    print(
        f"One Stop Under: sheets will render slowly without {packages[0]}. To install, {line}",
        flush=True,
    )


def missing(libraries: tuple[Library, ...], *, venv: bool) -> tuple[list[str], bool]:
    """Return what is missing, by Debian's package names, and whether any of it is vital."""
    absent = [library for library in libraries if not loads(library)]
    packages = [library.debian_package for library in absent]
    vital = any(library.required for library in absent)
    if venv and not (importlib.util.find_spec("ensurepip") and importlib.util.find_spec("venv")):
        packages.append(f"python{sys.version_info.major}.{sys.version_info.minor}-venv")
        vital = True
    return packages, vital


def loads(library: Library) -> bool:
    """Return whether this interpreter can load a library, by its file or by the linker's name."""
    found = ctypes.util.find_library(library.short_name)
    for name in (*library.files, *([found] if found else [])):
        try:
            ctypes.CDLL(name)
        except OSError:
            continue
        return True
    return False


def system() -> str:
    """Return the family of the system this runs on, as ``family`` names it."""
    if platform.system() == "Darwin":
        return "macos"
    try:
        return family(platform.freedesktop_os_release())
    except OSError:
        return "other"


def family(release: dict[str, str]) -> str:
    """Return "debian" or "fedora", also for their descendants, otherwise "other".

    Source: freedesktop.org os-release(5), fields ID and ID_LIKE.
    """
    names = [release.get("ID", ""), *release.get("ID_LIKE", "").split()]
    return next((name for name in ("debian", "fedora") if name in names), "other")


def install_line(name: str, packages: list[str]) -> str:
    """Return the one line that installs everything on a system named by ``system``."""
    if name == "debian":
        return f"sudo apt update && sudo apt install {' '.join(packages)}"
    if name == "fedora":
        return "sudo dnf install pango harfbuzz"
    if name == "macos":
        return "brew install pango"
    return "your system's command to install Pango, HarfBuzz and Python's venv module"


def apt_install(packages: list[str]) -> None:
    """Install Debian packages; where the package lists are missing or old, fetch them first.

    A failure is not raised: what is still missing afterwards is told by ``provide``.
    """
    print(f"One Stop Under: installing {', '.join(packages)} with apt-get", flush=True)
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    install = ["apt-get", "install", "--yes", "--no-install-recommends", *packages]
    if subprocess.run(install, env=environment, check=False).returncode:
        subprocess.run(["apt-get", "update"], env=environment, check=False)
        subprocess.run(install, env=environment, check=False)
