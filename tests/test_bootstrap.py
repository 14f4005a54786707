"""From a bare Python to a running project: the whole way, offline, in a project of two pins."""

import importlib.metadata
import importlib.util
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from workshops import bootstrap, native

ROOT = Path(__file__).resolve().parent.parent
START = ("manage.py", "workshops/__init__.py", "workshops/bootstrap.py", "workshops/native.py")
PYPROJECT = """
[project]
dependencies = ["lamp=={version}"]
[project.optional-dependencies]
test = ["pytest==0.0.1"]
"""
# Stands where pytest would: says with which arguments it was started, and where.
FAKE_PYTEST = "import os, sys; print('arguments', sys.argv[1:], 'in', os.getcwd())"

FAKE_DJANGO = """
import sys
def execute_from_command_line(argv): print("django runs", argv[1:], "in", sys.prefix)
"""
FAKE_EXCEPTIONS = "class ImproperlyConfigured(Exception): pass"


def write_wheel(folder: Path, name: str, version: str, modules: dict[str, str]) -> None:
    """Write the smallest wheel pip accepts, of modules by path.

    Source: Python Packaging User Guide, binary distribution format.
    """
    info = f"{name}-{version}.dist-info"
    with zipfile.ZipFile(folder / f"{name}-{version}-py3-none-any.whl", "w") as wheel:
        for module, source in modules.items():
            wheel.writestr(module, source)
        wheel.writestr(
            f"{info}/METADATA", f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}"
        )
        wheel.writestr(
            f"{info}/WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any"
        )
        wheel.writestr(f"{info}/RECORD", "")


class Project:
    """A copy of the start of this project, with pins that come from wheels of our own."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.wheels = folder / "wheels"
        self.wheels.mkdir()
        django = {
            "django/core/management.py": FAKE_DJANGO,
            "django/core/exceptions.py": FAKE_EXCEPTIONS,
        }
        for version in ("1.0", "2.0"):
            write_wheel(self.wheels, "lamp", version, django)
        write_wheel(self.wheels, "pytest", "0.0.1", {"pytest/__main__.py": FAKE_PYTEST})
        for name in START:
            (folder / name).parent.mkdir(exist_ok=True)
            shutil.copy(ROOT / name, folder / name)
        self.pin("1.0")

    def pin(self, version: str) -> None:
        (self.folder / "pyproject.toml").write_text(PYPROJECT.format(version=version))

    def manage(self, *arguments: str, **environment: str) -> subprocess.CompletedProcess:
        """Run manage.py from another folder, seeing neither the network nor this site's pins."""
        return subprocess.run(
            [sys.executable, str(self.folder / "manage.py"), *arguments],
            cwd=self.wheels,
            env={
                "PATH": os.environ["PATH"],
                "PIP_NO_INDEX": "1",
                "PIP_FIND_LINKS": str(self.wheels),
                "PIP_CONFIG_FILE": os.devnull,
                **environment,
            },
            capture_output=True,
            text=True,
            check=False,
        )


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    if importlib.util.find_spec("ensurepip") is None:
        pytest.skip("this Python has no ensurepip, so it cannot make an environment")
    return Project(tmp_path_factory.mktemp("project"))


def test_one_command_makes_the_environment_and_hands_every_argument_through(project):
    shutil.rmtree(project.folder / ".venv", ignore_errors=True)  # another test's, run before this
    first = project.manage("test", "-x", "-k", "sun and not moon", "-h")
    assert first.returncode == 0, first.stderr
    assert "lamp 1.0 is missing" in first.stdout
    assert "making a private environment" in first.stdout
    assert f"arguments ['-x', '-k', 'sun and not moon', '-h'] in {project.folder}" in first.stdout


def test_a_second_run_changes_nothing(project):
    project.manage("test")
    second = project.manage("test")
    assert second.returncode == 0, second.stderr
    whole = list(bootstrap.WHOLE_SUITE)
    assert second.stdout == f"arguments {whole} in {project.folder}\n"


def test_an_interrupted_environment_is_made_anew(project):
    project.manage("test")
    shutil.rmtree(next((project.folder / ".venv").glob("lib/python*/site-packages/pip")))
    (project.folder / "var" / "venv-unfinished").touch()
    again = project.manage("test", "--co")
    assert again.returncode == 0, again.stderr
    assert "removing the unfinished .venv" in again.stdout
    assert "arguments ['--co']" in again.stdout


def test_another_version_is_replaced_by_the_pinned_one(project):
    project.manage("test")
    project.pin("2.0")
    moved = project.manage("test")
    project.pin("1.0")
    assert "Successfully installed lamp-2.0" in moved.stdout, moved.stderr


def test_without_the_packages_the_refusal_says_what_to_do_and_the_next_run_mends_it(project):
    project.pin("3.0")
    refused = project.manage("test")
    project.pin("1.0")
    assert refused.returncode == 1
    assert "the packages could not be installed: is the network up?" in refused.stderr
    assert project.manage("test").returncode == 0


def test_other_commands_go_on_inside_the_environment(project):
    project.manage("test")
    done = project.manage("set_plan", "7", "--json")
    assert done.returncode == 0, done.stderr
    # Nothing of ours may stand before the JSON.
    assert done.stdout == f"django runs ['set_plan', '7', '--json'] in {project.folder / '.venv'}\n"


def test_without_any_django_other_commands_say_what_to_run(tmp_path):
    (tmp_path / "workshops").mkdir()
    for name in START:
        shutil.copy(ROOT / name, tmp_path / name)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    bare = [sys.executable, "-S", str(tmp_path / "manage.py"), "migrate"]  # -S: no site-packages
    done = subprocess.run(bare, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "Run python3 manage.py demo once" in done.stderr
    assert "pip install -e '.[test]'" in done.stderr


def test_serve_asks_for_its_settings_before_it_makes_anything(tmp_path):
    (tmp_path / "workshops").mkdir()
    for name in START:
        shutil.copy(ROOT / name, tmp_path / name)
    bare = [sys.executable, "-S", str(tmp_path / "manage.py"), "serve"]
    done = subprocess.run(bare, env={}, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "to serve a site of your own, first set" in done.stderr
    assert not (tmp_path / ".venv").exists()


def test_an_old_python_gets_one_clear_sentence():
    pretend = (
        "import runpy, sys; sys.version_info = (3, 9, 2); sys.version = '3.9.2 (main)';"
        "sys.argv = ['manage.py', 'demo']; runpy.run_path('manage.py', run_name='__main__')"
    )
    done = subprocess.run(
        [sys.executable, "-c", pretend], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert done.stderr.strip() == (
        "One Stop Under needs Python 3.11 or newer, and this is Python 3.9.2: "
        "start it with a newer one, such as python3.11 manage.py demo."
    )


def test_every_requirement_of_the_project_is_pinned():
    plain = bootstrap.pinned(ROOT / "pyproject.toml")
    with_tests = bootstrap.pinned(ROOT / "pyproject.toml", ("test",))
    assert "Django==5.2.19" in plain
    assert with_tests[: len(plain)] == plain
    assert any(requirement.startswith("pytest==") for requirement in with_tests)


def test_a_requirement_without_a_pin_is_refused(tmp_path):
    loose = tmp_path / "pyproject.toml"
    loose.write_text('[project]\ndependencies = ["lamp>=1.0"]')
    with pytest.raises(ValueError, match=r"'lamp>=1\.0' is not pinned with =="):
        bootstrap.pinned(loose)


def test_a_missing_package_and_another_version_are_told_apart():
    found = importlib.metadata.version("pytest")
    requirements = [f"pytest=={found}", "pytest==0.0.1", "no-such-lamp[bulb]==1.0"]
    assert bootstrap.differing(requirements) == [
        f"pytest is {found}, not 0.0.1",
        "no-such-lamp 1.0 is missing",
    ]


def test_the_demo_never_touches_the_site_of_the_machine(monkeypatch):
    monkeypatch.setenv("SITE_URL", "https://workshops.example.org")
    monkeypatch.setenv("DATABASE_URL", "postgres://office@db/workshops")
    monkeypatch.setenv("DATA_DIR", "/srv/workshops")
    bootstrap.use_demo_data()
    assert "SITE_URL" not in os.environ
    assert "DATABASE_URL" not in os.environ
    assert os.environ["DATA_DIR"] == str(ROOT / "var" / "demo")


@pytest.mark.parametrize(
    ("release", "family"),
    [
        # ID and ID_LIKE as these systems ship them in /etc/os-release (from memory).
        ({"ID": "debian"}, "debian"),
        ({"ID": "ubuntu", "ID_LIKE": "debian"}, "debian"),
        ({"ID": "linuxmint", "ID_LIKE": "ubuntu debian"}, "debian"),
        ({"ID": "fedora"}, "fedora"),
        ({"ID": "almalinux", "ID_LIKE": "rhel centos fedora"}, "fedora"),
        ({"ID": "alpine"}, "other"),
        ({}, "other"),
    ],
)
def test_descendants_of_a_system_count_as_that_system(release, family):
    assert native.family(release) == family


@pytest.mark.parametrize(
    ("system", "line"),
    [
        ("debian", "sudo apt update && sudo apt install libpango-1.0-0 python3.11-venv"),
        ("fedora", "sudo dnf install pango harfbuzz"),
        ("macos", "brew install pango"),
    ],
)
def test_one_line_to_type_on_each_system(system, line):
    assert native.install_line(system, ["libpango-1.0-0", "python3.11-venv"]) == line


def absent(*, required: bool) -> native.Library:
    return native.Library(("libnosuchlamp.so.0",), "nosuchlamp", "libnosuchlamp0", required)


@pytest.fixture
def apt_log(tmp_path, monkeypatch):
    """The log of an apt-get that installs nothing, first in PATH."""
    log = tmp_path / "log"
    program = tmp_path / "apt-get"
    program.write_text(f'#!/bin/sh\necho "$@" >> {log}\nexit 100\n')
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}{os.pathsep}{os.environ['PATH']}")
    log.touch()
    return log


def test_a_library_that_is_not_there_does_not_load():
    assert not native.loads(absent(required=True))


def test_without_a_vital_library_the_refusal_names_it_and_the_line_to_type(apt_log):
    with pytest.raises(SystemExit, match="this machine lacks libnosuchlamp0") as refusal:
        native.provide(libraries=(absent(required=True),))
    line = native.install_line(native.system(), ["libnosuchlamp0"])
    assert str(refusal.value).endswith(f"To install, type once: {line}")


def test_without_a_library_that_only_saves_time_the_work_goes_on(apt_log, capsys):
    native.provide(libraries=(absent(required=False),))
    assert "sheets will render slowly without libnosuchlamp0" in capsys.readouterr().out


def test_root_on_debian_fetches_the_package_lists_when_the_first_try_fails(apt_log):
    if native.system() != "debian" or os.geteuid() != 0:
        pytest.skip("only root on Debian installs by itself")
    native.provide(libraries=(absent(required=False),))
    words = [line.split() for line in apt_log.read_text().splitlines()]
    assert [line[0] for line in words] == ["install", "update", "install"]
    assert words[0][-1] == "libnosuchlamp0"
