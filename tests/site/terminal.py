"""A command of a site in a terminal, typed into as somebody sitting there would."""

import contextlib
import os
import pty
import select
import signal
import sys
import time

from tests.site.running import PATIENCE_S, ROOT, Site


class Terminal:
    """A command of the site in a terminal of its own."""

    def __init__(self, site: Site, *words: str):
        self.shown, self.answered = "", 0
        self.pid, self.end = pty.fork()
        if self.pid == 0:
            # Of tests run in the background Ctrl-C is ignored, and children inherit that.
            signal.signal(signal.SIGINT, signal.SIG_DFL)
            os.execve(
                sys.executable, [sys.executable, str(ROOT / "manage.py"), *words], site.variables
            )

    def answer(self, question: str, words: str) -> None:
        """Wait for a question that was not answered yet, then type."""
        self._read(lambda: question in self.shown[self.answered :])
        self.answered = self.shown.index(question, self.answered) + len(question)
        os.write(self.end, words.encode())

    def close(self) -> int:
        """Wait for the end, and return the exit code."""
        self._read(lambda: False)
        os.close(self.end)
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])

    def _read(self, enough) -> None:
        end = time.monotonic() + PATIENCE_S
        with contextlib.suppress(OSError):  # what a terminal answers whose program has ended
            while not enough():
                left_s = end - time.monotonic()
                ready, _, _ = select.select([self.end], [], [], max(left_s, 0))
                assert ready, self.shown
                piece = os.read(self.end, 4096)
                if not piece:
                    break
                self.shown += piece.decode()
