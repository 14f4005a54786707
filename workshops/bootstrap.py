"""From a bare Python to one that can run the project. Standard library only.

``manage.py demo``, ``serve`` and ``test`` come through here. An environment of the user's own that
holds the pinned versions is used as it is; otherwise ``.venv`` beside manage.py is made or brought
up to date, and manage.py starts again inside it.
"""

import importlib.metadata
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import NoReturn

from workshops import native

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
VENV_PYTHON = VENV / "bin" / "python"
VAR = ROOT / "var"
# Present while .venv is being changed: found at the next start, the work was interrupted.
UNFINISHED = VAR / "venv-unfinished"
# Set on the way into .venv, so that an environment that cannot be mended is told, not retried.
RESTARTED = "ONE_STOP_UNDER_RESTARTED"
PIN = re.compile(r"^([A-Za-z0-9._-]+)(?:\[[^\]]*\])?==([^\s;]+)$")
# A file's tests stay together: what they build once is then built once.
WHOLE_SUITE = ("-n", "auto", "--dist", "loadfile", "--no-loadscope-reorder")
EXTRAS = {"demo": (), "serve": (), "test": ("test",)}
# Of a site that is served: the variable, and how to set it.
REQUIRED = {
    "SITE_URL": (
        "the address people type: export SITE_URL=https://workshops.example.org, or, to use it on "
        "this machine only, export SITE_URL=http://localhost:8000"
    ),
    "SECRET_KEY": (
        "50 or more random characters, made once and kept, for they guard every log-in. "
        'python3 -c "import secrets; print(secrets.token_urlsafe(50))" prints such a key; '
        "then: export SECRET_KEY=that-key"
    ),
}


def prepare(command: str) -> None:
    """Return once this process can run ``manage.py demo``, ``serve`` or ``test``.

    Otherwise the process is replaced by one inside ``.venv``, or ends with the line to type.
    """
    requirements = pinned(ROOT / "pyproject.toml", EXTRAS[command])
    wrong = differing(requirements)
    just_installed = os.environ.pop(RESTARTED, "")
    if not wrong and not (inside_venv() and UNFINISHED.exists()):
        if not just_installed:
            native.provide()
        return
    if just_installed:
        sys.exit(
            f"One Stop Under: {VENV} still differs after installing: {'; '.join(wrong)}. "
            f"Delete that folder and run the command again."
        )
    usable = starts(VENV_PYTHON) and not UNFINISHED.exists()
    if usable and not inside_venv():
        restart_inside()
    say("not as pyproject.toml pins it: " + "; ".join(wrong[:3]) + ("; ..." if wrong[3:] else ""))
    native.provide(venv=not usable)
    with only_one_at_a_time() as lock:
        make_venv(requirements, lock.fileno())
    restart_inside(just_installed=True)


def demand_site() -> None:
    """Return if the environment says which site to serve; otherwise end with what to set."""
    lines = [
        f"  {name}: {how}" for name, how in REQUIRED.items() if not os.environ.get(name, "").strip()
    ]
    if lines:
        sys.exit(
            "\n".join(
                (
                    "One Stop Under: to serve a site of your own, first set",
                    *lines,
                    "To only look round, python3 manage.py demo needs no setting.",
                )
            )
        )


def pinned(pyproject: Path, extras: tuple[str, ...] = ()) -> list[str]:
    """Return the requirements of pyproject.toml, those of the extras after them.

    Raises ValueError for one that is not pinned with ``==``.
    """
    project = tomllib.loads(pyproject.read_text(encoding="utf-8"))["project"]
    requirements = list(project["dependencies"])
    for extra in extras:
        requirements += project["optional-dependencies"][extra]
    for requirement in requirements:
        if not PIN.match(requirement):
            raise ValueError(f"{pyproject.name}: {requirement!r} is not pinned with ==")
    return requirements


def differing(requirements: list[str]) -> list[str]:
    """Return one phrase for each requirement this interpreter does not meet exactly."""
    phrases = []
    for requirement in requirements:
        name, version = PIN.match(requirement).groups()
        try:
            found = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            phrases.append(f"{name} {version} is missing")
            continue
        if found != version:
            phrases.append(f"{name} is {found}, not {version}")
    return phrases


def inside_venv() -> bool:
    """Return whether this interpreter is the one of ``.venv``."""
    return VENV.exists() and Path(sys.prefix).resolve() == VENV.resolve()


def only_one_at_a_time():
    """Return an open lock file: a second command waits here until the first has its ``.venv``.

    The programs started meanwhile hold it too: pip may outlive a command that was killed.
    """
    import fcntl  # not on every system, and only needed on the way into .venv

    VAR.mkdir(exist_ok=True)
    file = open(VAR / "venv-lock", "w")  # noqa: SIM115 - the caller closes it
    fcntl.flock(file, fcntl.LOCK_EX)
    return file


def make_venv(requirements: list[str], lock: int) -> None:
    """Make ``.venv`` or bring it up to date, and install the requirements there.

    One that was left half made, or whose interpreter no longer starts, is made anew.
    """
    interrupted = UNFINISHED.exists()
    if VENV.exists() and not inside_venv() and (interrupted or not starts(VENV_PYTHON)):
        say("removing the unfinished .venv")
        shutil.rmtree(VENV)
    UNFINISHED.write_text("Delete .venv and run the command again, or just run it again.\n")
    if not VENV.exists():
        say(f"making a private environment in {VENV}")
        run([sys.executable, "-m", "venv", str(VENV)], lock, "the environment cannot be made")
    if not starts(VENV_PYTHON, "-m", "pip"):
        run([str(VENV_PYTHON), "-m", "ensurepip"], lock, "pip cannot be put into .venv")
    say(f"installing {len(requirements)} pinned packages and what they need")
    pip = [str(VENV_PYTHON), "-m", "pip", "install", "--no-input", "--disable-pip-version-check"]
    failure = "the packages could not be installed: is the network up? Run the command again"
    run(pip + requirements, lock, failure)
    UNFINISHED.unlink()
    say("the environment is ready")


def starts(python: Path, *arguments: str) -> bool:
    """Return whether an interpreter starts (and, with ``-m pip``, has that module)."""
    try:
        probe = [str(python), *arguments, "--version"]
        return subprocess.run(probe, capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def restart_inside(*, just_installed: bool = False) -> NoReturn:
    """Replace this process by the same command in ``.venv``."""
    environment = {**os.environ, RESTARTED: "1"} if just_installed else os.environ
    sys.stdout.flush()
    os.execve(VENV_PYTHON, [str(VENV_PYTHON), *sys.argv], environment)


def find_django() -> None:
    """Return if this interpreter has what the project needs; otherwise go on in ``.venv``.

    Where there is no ``.venv`` either, other versions are let through, and without any Django the
    process ends with the command to run.
    """
    if not differing(pinned(ROOT / "pyproject.toml")):
        return
    if VENV_PYTHON.exists() and not inside_venv():
        restart_inside()
    if not importlib.util.find_spec("django"):
        sys.exit(
            "Django is not installed for this Python. Run python3 manage.py demo once: it makes a "
            "private environment. Or, in an environment of your own: pip install -e '.[test]'"
        )


def run_tests(arguments: list[str]) -> NoReturn:
    """Replace this process by pytest in the repository root, the arguments handed through.

    Without any the whole suite runs, on every processor of the machine.
    """
    os.chdir(ROOT)
    sys.stdout.flush()
    os.execv(sys.executable, [sys.executable, "-m", "pytest", *(arguments or WHOLE_SUITE)])


def use_demo_data() -> None:
    """Point the settings at the demo's own folder, whatever site this machine also serves."""
    for name in ("SITE_URL", "DATABASE_URL", "BEHIND_PROXY", "DEBUG", "EMAIL_URL", "MAIL_FROM"):
        os.environ.pop(name, None)
    os.environ["DATA_DIR"] = str(VAR / "demo")


def run(command: list[str], lock: int, failure: str) -> None:
    """Run a program with its output shown; end with the failure's sentence if it fails."""
    try:
        code = subprocess.run(command, pass_fds=(lock,), check=False).returncode
    except KeyboardInterrupt:
        sys.exit("\nOne Stop Under: interrupted. Run the same command again to go on.")
    if code:
        sys.exit(f"One Stop Under: {failure} (exit code {code}).")


def say(line: str) -> None:
    """Print one line of progress at once, even into a pipe."""
    print(f"One Stop Under: {line}", flush=True)
