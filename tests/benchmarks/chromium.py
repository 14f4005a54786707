"""Chromium printing HTML, cold and warm, and the processor time that it takes, all of it."""

import ctypes
import os
import resource
import statistics
import subprocess
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import sync_playwright

CHROMIUM = "/usr/bin/chromium"
COLD = [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
TICKS = os.sysconf("SC_CLK_TCK")
BURY_ORPHANS = 36  # PR_SET_CHILD_SUBREAPER of prctl(2)


@dataclass(frozen=True)
class Took:
    wall_s: float
    cpu_s: float


def tree_cpu_s(pid: int) -> float:
    """Return the processor time of a process and all below it, also of those that have ended."""
    while True:
        try:
            return _tree_cpu_s(pid)
        except (FileNotFoundError, ProcessLookupError):
            # One below ended meanwhile: it counts with the one above now.
            if not Path(f"/proc/{pid}").exists():
                raise


def _tree_cpu_s(pid: int) -> float:
    stat = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    below = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return sum(map(int, stat[11:15])) / TICKS + sum(map(_tree_cpu_s, map(int, below)))


def took(work: Callable[[], object], cpu_s: Callable[[], float]) -> Took:
    wall, cpu = time.perf_counter(), cpu_s()
    work()
    return Took(time.perf_counter() - wall, cpu_s() - cpu)


def middle(measured: Sequence[Took]) -> Took:
    return Took(
        statistics.median(one.wall_s for one in measured),
        statistics.median(one.cpu_s for one in measured),
    )


def bury_orphans() -> None:
    """Have what chromium leaves behind handed to this process, so that its time is counted."""
    ctypes.CDLL(None).prctl(BURY_ORPHANS, 1, 0, 0, 0)


def cold(page: Path, out: Path) -> Took:
    def children_s() -> float:
        usage = resource.getrusage(resource.RUSAGE_CHILDREN)
        return usage.ru_utime + usage.ru_stime

    def print_one() -> None:
        before = children()
        command = [*COLD, f"--print-to-pdf={out}", page.as_uri()]
        subprocess.run(command, check=True, capture_output=True)
        while left := children() - before:  # it does not wait for all of its own to end
            for pid in left:
                os.waitpid(pid, 0)

    return took(print_one, children_s)


def children() -> set[int]:
    below = Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()
    return set(map(int, below))


@contextmanager
def warm_browser() -> Iterator[Callable[[str, Path], Took]]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"]
        )

        def print_one(html: str, folder: Path) -> None:
            (folder / "warm.html").write_text(html)
            page = browser.new_page()
            page.goto((folder / "warm.html").as_uri())
            page.pdf(path=folder / "warm.pdf", prefer_css_page_size=True)
            page.close()

        own = os.getpid()
        yield lambda html, folder: took(lambda: print_one(html, folder), lambda: tree_cpu_s(own))
        browser.close()
