"""The printing process of this process: started ahead, limited, replaced when it dies or sticks.

Django makes the HTML here; ``press`` lays it out there, in a Python of its own that gets no
setting, no environment of ours, no database and no file but our fonts. Whatever a text does to the
renderer ends in SheetFailed, with words, within the limits below.
"""

import atexit
import logging
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

from django.conf import settings
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.sheets import wire

CPU_S = 20  # of computing for one job: a busy side takes half a second, a hostile one for ever
SIDE_CPU_S = 1  # more for each further side of a pack
START_S = 30.0  # for Python, the renderer and the fonts: half a second, more on a busy machine
WAIT_S = 10.0  # for the jobs before: longer, and somebody should rather come back
MOST_HTML_BYTES = 32 << 20  # a sheet has a tenth of a megabyte, a pack of a hundred ten
MOST_PDF_BYTES = 64 << 20  # a sheet has 50 kilobytes
JOBS_EACH = 200  # then it is replaced: memory only ever grows

# Only what the system's loader and the fonts' library need to find their files.
KEPT_VARIABLES = ("PATH", "LD_LIBRARY_PATH", "DYLD_FALLBACK_LIBRARY_PATH", "FONTCONFIG_PATH")
START = """
import socket, sys
descriptor, memory, most, *sys.path[:] = sys.argv[1:]
from planning.sheets import press
press.serve(socket.socket(fileno=int(descriptor)), memory_bytes=int(memory), most_bytes=int(most))
"""

log = logging.getLogger(__name__)
_until_s: ContextVar[float | None] = ContextVar("until_s", default=None)


class SheetFailed(Exception):
    """A sheet that could not be made, with the reason in words fit to show."""


class Busy(SheetFailed):
    """Others are being printed: try again in a while."""


@dataclass(frozen=True)
class Side:
    """What is laid out by itself: one side, or a letter of some pages."""

    html: str
    styles: str


def measured(side: Side, *tried: Side) -> list[dict[str, float]]:
    """Return, for each page of a side, how far below its top edge its anchors stand, in mm.

    ``tried`` are sides that did not fit: they need not be kept. Raises SheetFailed when it cannot
    be laid out, or the renderer has a complaint.
    """
    return POOL.run("measure", [side, *tried])[0]["pages"]


def printed(sides: Sequence[Side], duplex: str, identifier: str) -> bytes:
    """Return the sides as one PDF. Raises SheetFailed as ``measured`` does."""
    return POOL.run("print", sides, duplex=duplex, identifier=identifier)[1]


def warm() -> None:
    """Start the printing process, so that it is there when the first sheet is asked for."""
    POOL.warm()


@contextmanager
def time_limit(seconds: float) -> Iterator[None]:
    """Let all printing inside take so long together: somebody waits for the page."""
    before = _until_s.set(time.monotonic() + seconds)
    try:
        yield
    finally:
        _until_s.reset(before)


class Press:
    """One printing process and the connection to it."""

    def __init__(self):
        self.connection, theirs = socket.socketpair()
        self.folder = tempfile.mkdtemp(prefix="one-stop-under-")
        self.jobs = 0
        bounds = (theirs.fileno(), settings.PRINT_MEMORY_MB << 20, MOST_PDF_BYTES)
        try:
            self.process = subprocess.Popen(
                [sys.executable, "-I", "-c", START, *map(str, bounds), *_paths()],
                env=self._environment(),
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                pass_fds=[theirs.fileno()],
                start_new_session=True,  # a terminal's Ctrl-C is for us to answer
            )
        finally:
            theirs.close()

    def _environment(self) -> dict[str, str]:
        kept = {name: os.environ[name] for name in KEPT_VARIABLES if name in os.environ}
        # A font made static carries the time of its making unless it is set (reproducible builds).
        return {**kept, "TMPDIR": self.folder, "HOME": self.folder, "SOURCE_DATE_EPOCH": "0"}

    def ask(self, message: dict, until_s: float) -> tuple[dict, bytes]:
        """Return the answer to a job. Raises Closed or TimeoutError: then it is of no more use."""
        self.jobs += 1
        self.connection.settimeout(max(0.001, until_s - time.monotonic()))
        wire.send(self.connection, message)
        return wire.receive(self.connection, most_bytes=MOST_PDF_BYTES, until_s=until_s)

    def alive(self) -> bool:
        return self.process.poll() is None

    def end(self) -> int:
        """End the process where it still runs, and return the code it ended with."""
        if self.alive():
            self.process.kill()
        code = self.process.wait()
        self.connection.close()
        shutil.rmtree(self.folder, ignore_errors=True)  # gone already where it ended by itself
        return code


class Pool:
    """The printing processes of this process: as many as PRINT_PROCESSES says, one job each."""

    def __init__(self):
        self._free: list[Press] = []
        self._busy = 0
        self._changed = threading.Condition()

    def warm(self) -> None:
        with self._changed:
            while len(self._free) + self._busy < settings.PRINT_PROCESSES:
                self._free.append(Press())

    def close(self) -> None:
        """End the processes that are not at work."""
        with self._changed:
            while self._free:
                self._free.pop().end()

    def forget(self) -> None:
        """Leave the processes to the one that started them: this one is its copy."""
        for press in self._free:
            press.connection.close()
        self.__init__()

    def run(self, do: str, sides: Sequence[Side], **more) -> tuple[dict, bytes]:
        """Return what a job comes to. Raises SheetFailed, in words, whatever goes wrong."""
        if sum(len(side.html) + len(side.styles) for side in sides) > MOST_HTML_BYTES:
            raise SheetFailed(_("The texts are too long to print: shorten them, or print less."))
        further_s = SIDE_CPU_S * (len(sides) - 1)
        message = {"do": do, "sides": [(side.html, side.styles) for side in sides], **more}
        with self._one() as press:
            wall_s = settings.PRINT_SECONDS + further_s + (START_S if press.jobs == 0 else 0)
            given_s = _left_s(wall_s)
            try:
                answer, body = press.ask(
                    {**message, "cpu_s": CPU_S + further_s}, time.monotonic() + given_s
                )
            except TimeoutError:
                press.end()
                raise SheetFailed(_too_long(given_s)) from None
            except wire.Closed:
                raise SheetFailed(_ended(press.end(), CPU_S + further_s)) from None
            if answer.get("complaint") == "memory":
                press.end()  # what it could not finish may have been its own bookkeeping
        if "complaint" in answer:
            raise SheetFailed(_complaint(answer["complaint"], answer["detail"]))
        return answer, body

    @contextmanager
    def _one(self) -> Iterator[Press]:
        """Lend a process nobody uses; after a job that was broken off it is not used again."""
        press = self._take()
        try:
            yield press
        except BaseException:  # Ctrl-C too: what it answers to this job must not answer the next
            press.end()
            raise
        finally:
            if press.jobs >= JOBS_EACH:
                press.end()
            with self._changed:
                self._busy -= 1
                if press.alive():
                    self._free.append(press)
                self._changed.notify()

    def _take(self) -> Press:
        """Return a live process nobody uses. Raises Busy when there is none within WAIT_S."""
        with self._changed:
            if not self._changed.wait_for(self._may_start, timeout=_left_s(WAIT_S)):
                raise Busy(_("Other sheets are being printed just now: try again in a minute."))
            press = self._free.pop() if self._free else None
            if press and not press.alive():
                log.warning("the printing process ended with %s and is replaced", press.end())
                press = None
            try:
                press = press or Press()
            except OSError as reason:
                text = _("The printing process does not start: %(reason)s")
                raise SheetFailed(text % {"reason": reason}) from reason
            self._busy += 1
            return press

    def _may_start(self) -> bool:
        return bool(self._free) or self._busy < settings.PRINT_PROCESSES


POOL = Pool()
atexit.register(POOL.close)
os.register_at_fork(after_in_child=POOL.forget)


def _left_s(seconds: float) -> float:
    until_s = _until_s.get()
    return seconds if until_s is None else max(0.0, min(seconds, until_s - time.monotonic()))


def _too_long(seconds: float) -> str:
    count = max(1, round(seconds))
    return ngettext(
        "Printing took more than %(count)d second: shorten the texts, or print less at once.",
        "Printing took more than %(count)d seconds: shorten the texts, or print less at once.",
        count,
    ) % {"count": count}


def _ended(code: int, cpu_s: int) -> str:
    """Return in words why a process gave no answer, by the code it ended with."""
    log.warning("the printing process ended with %s in the middle of a job", code)
    if code == -signal.SIGXCPU:
        return _too_long(cpu_s)
    text = _(
        "The printing process ended in the middle (code %(code)s): try again; if it happens "
        "again, shorten the texts."
    )
    return text % {"code": code}


def _complaint(kind: str, detail: str) -> str:
    """Return in words what ``press`` complains of."""
    words = {
        "memory": _("Printing needs more memory than it may have: shorten the texts."),
        "depth": _("The texts are nested too deeply to print."),
        "large": _("The file would be too large: print less at once."),
        "broken": _("The renderer gave up: %(detail)s. Shorten the texts.") % {"detail": detail},
    }
    return words.get(kind, detail)  # what was asked for or warned of is in words already


def _paths() -> list[str]:
    """Return where this process finds its modules: the other one gets no PYTHONPATH."""
    return [str(settings.BASE_DIR), *(os.path.abspath(path) for path in sys.path)]
