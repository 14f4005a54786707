"""A site as somebody runs it: processes of its own, a folder of its own, asked over the wire."""

import contextlib
import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
KEY = "a-key-for-these-tests-only-of-more-than-fifty-characters-0123456789"
PATIENCE_S = 120  # a loaded machine is slow; a site that works is there long before


def until(answer, what: str):
    """Return the first true answer; fail when there is none in time."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        if found := answer():
            return found
        time.sleep(0.05)
    raise AssertionError(f"not in {PATIENCE_S} s: {what}")


class Answer:
    """One answer of the site: status, headers, body as text. Redirects are not followed."""

    def __init__(self, status, headers, body):
        self.status, self.headers, self.body = status, headers, body

    @property
    def json(self) -> dict:
        return json.loads(self.body)


class _Stay(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *_):
        return None


OPENER = urllib.request.build_opener(urllib.request.ProxyHandler({}), _Stay)


class Site:
    """A site of its own in a folder; ``variables`` are its settings."""

    def __init__(self, data_dir: Path, **variables: str):
        self.data_dir = data_dir
        self.port = _free_port()
        self.log = data_dir / "log.txt"
        self.variables = {
            "PATH": os.environ["PATH"],
            "HOME": str(data_dir),
            "PYTHONUNBUFFERED": "1",
            "SITE_URL": f"http://localhost:{self.port}",
            "SECRET_KEY": KEY,
            "DATA_DIR": str(data_dir),
            **variables,
        }
        self.process = None

    def manage(self, *words: str, **variables: str) -> subprocess.CompletedProcess:
        """Run a command of the site to its end, without a terminal."""
        return subprocess.run(
            [sys.executable, str(ROOT / "manage.py"), *words],
            cwd=self.data_dir,
            env=self.variables | variables,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
            timeout=PATIENCE_S,
        )

    def start(self, *words: str) -> None:
        """Start ``serve`` and return once it answers."""
        command = (sys.executable, str(ROOT / "manage.py"), "serve")
        with open(self.log, "w") as log:
            self.process = subprocess.Popen(
                [*command, "--bind", f"127.0.0.1:{self.port}", *words],
                cwd=self.data_dir,
                env=self.variables,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        try:
            until(self._there, "an answer of the site")
        except AssertionError as late:
            raise AssertionError(f"{late}, which says: {self.log.read_text()}") from None

    def _there(self) -> bool:
        assert self.process.poll() is None, self.log.read_text()
        with contextlib.suppress(OSError):
            return bool(self.get("/healthz"))
        return False

    def get(self, path: str, sent: dict[str, str] | None = None, **headers: str) -> Answer:
        """Return the answer to a GET, or to a POST of what is ``sent``.

        ``X_Forwarded_Proto`` names a header.
        """
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        body = urllib.parse.urlencode(sent).encode() if sent else None
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}{path}", body, named)
        try:
            found = OPENER.open(request, timeout=PATIENCE_S)
        except urllib.error.HTTPError as refusal:
            found = refusal
        with found:
            return Answer(found.status, found.headers, found.read().decode())

    def worker(self) -> int:
        """Return the process that does each minute what is due."""
        return int((self.data_dir / "due-beat").read_text() or 0)

    def end(self, how: int = signal.SIGTERM) -> int:
        """End the server, and return its exit code."""
        if self.process.poll() is None:
            self.process.send_signal(how)
        return self.process.wait(PATIENCE_S)

    def kill(self) -> None:
        """Leave nothing behind, whatever happened."""
        if self.process:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait(PATIENCE_S)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
