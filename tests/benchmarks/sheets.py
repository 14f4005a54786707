"""What printing costs beside a browser that prints the same HTML: python -m tests.benchmarks.sheets

Everything is measured side by side in one run; the last column, a ratio of processor times, is
what counts. Chromium prints cold (a process for each file) and warm (one browser, told over its
debugging connection); all its processes count, also those it leaves for the system to bury. It
gets the finished HTML, as "the same HTML" of ours does, in a printing process that has never seen
these texts; "from its inputs" is plan, drawings, the layouts to see what fits, and the file.
"""

import argparse
import ctypes
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

import django
import fontpkg

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshops.settings")
django.setup()

from django.conf import settings  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from planning.plan import evaluate  # noqa: E402
from planning.sheets import pdf, press, worker  # noqa: E402
from planning.sheets.handout import own_side  # noqa: E402
from planning.sheets.options import PrintOptions  # noqa: E402
from planning.sheets.worker import Side  # noqa: E402
from tests.sheets import test_handouts as handed  # noqa: E402
from tests.sheets.example import full_beach, slate_wall  # noqa: E402

A4 = PrintOptions(house="Slate & Tide")
CHROMIUM = "/usr/bin/chromium"
COLD = [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
TICKS = os.sysconf("SC_CLK_TCK")
BURY_ORPHANS = 36  # PR_SET_CHILD_SUBREAPER of prctl(2)
PARAGRAPH = "Meter the wall with the flash off, close one stop, then bring the octa up. " * 6
_count = 0


@dataclass(frozen=True)
class Took:
    wall_s: float
    cpu_s: float


def sets(count: int) -> list:
    """Return that many sets, each with its own hour, distances, wind and words."""
    global _count
    made = []
    for _ in range(count):
        _count += 1
        one = (slate_wall, full_beach)[_count % 2](notes=f"Print {_count}. " + PARAGRAPH[:200])
        later = timedelta(minutes=7 * (_count % 11))
        lights = [
            replace(
                light,
                distance_m=light.distance_m + _count % 7 / 10,
                lamp_height_m=2 + _count % 9 / 10,
            )
            for light in one.lights
        ]
        gust_m_s = one.forecast.gust_m_s + _count % 5 / 2
        made.append(
            replace(
                one,
                title=f"{one.title} {_count}",
                start_at=one.start_at + later,
                end_at=one.end_at + later,
                lights=tuple(lights),
                forecast=replace(one.forecast, gust_m_s=gust_m_s),
                attendees=one.attendees[_count % 3 :] + one.attendees[: _count % 3],
            )
        )
    return made


def fitted(inputs) -> pdf.LaidOut:
    return pdf.lay_out(evaluate(inputs), inputs, A4)


def sides_of(sheets: Sequence[pdf.LaidOut]) -> list[Side]:
    return [side for sheet in sheets for side in sheet.sides]


def for_browser(sheets: Sequence[pdf.LaidOut]) -> str:
    """Return the sheets as one page a browser can print, with the same styles and fonts."""
    styles = sheets[0].sides[0].styles
    for address, family in press.FONTS.items():
        styles = styles.replace(f"url({address})", f"url({fontpkg.path(family).as_uri()!r})")
    bodies = [
        side.html.partition("<body>")[2].partition("</body>")[0]
        for sheet in sheets
        for side in sheet.sides
    ]
    broken = "<div style='break-after: page'></div>".join(bodies)
    return f"<!DOCTYPE html><html lang=en><title>t</title><style>{styles}</style><body>{broken}"


def tree_cpu_s(pid: int) -> float:
    """Return the processor time of a process and all below it, also of those that have ended."""
    stat = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    below = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return sum(map(int, stat[11:15])) / TICKS + sum(map(tree_cpu_s, map(int, below)))


def took(work: Callable[[], object], cpu_s: Callable[[], float]) -> Took:
    wall, cpu = time.perf_counter(), cpu_s()
    work()
    return Took(time.perf_counter() - wall, cpu_s() - cpu)


def middle(measured: Sequence[Took]) -> Took:
    return Took(
        statistics.median(one.wall_s for one in measured),
        statistics.median(one.cpu_s for one in measured),
    )


def ours(work: Callable[[], object], *pools: worker.Pool) -> Took:
    printers = [one.process.pid for pool in pools or (worker.POOL,) for one in pool._free]
    return took(work, lambda: time.process_time() + sum(map(tree_cpu_s, printers)))


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


def bare() -> Side:
    """Return a page of plain text: what printing costs at the least."""
    global _count
    _count += 1
    styles = '@font-face { font-family: "Source Sans 3"; src: url(app:source-sans-3) }'
    styles += 'html { font-family: "Source Sans 3" } @page { size: A4 }'
    text = f"<p>{_count} {PARAGRAPH}</p>" * 6
    return Side(f"<!DOCTYPE html><html lang=en><title>t</title><body>{text}</body>", styles)


def compare(name: str, count: int, times: int, folder: Path, browser, bare_page: Took) -> None:
    """Print that many sheets as one file each way, and show it beside chromium's cold print."""
    whole, done, cold_print, warm_print = [], [], [], []
    other = worker.Pool()  # it has laid out other sets, and prints these from their HTML alone
    other.run("print", sides_of(map(fitted, sets(2))), duplex="/Simplex", identifier="0" * 64)
    for _ in range(times):
        made, inputs = [], sets(count)

        def from_inputs(inputs=inputs, made=made) -> None:
            made += map(fitted, inputs)
            pdf.write(made, A4)

        whole.append(ours(from_inputs))
        sides = sides_of(made)
        done.append(
            ours(
                lambda sides=sides: other.run(
                    "print", sides, duplex="/Simplex", identifier="0" * 64
                ),
                other,
            )
        )
        html = for_browser(made)
        (folder / "cold.html").write_text(html)
        cold_print.append(cold(folder / "cold.html", folder / "cold.pdf"))
        warm_print.append(browser(html, folder))
    other.close()
    base = middle(cold_print)
    for label, one in (
        ("ours, from its inputs", middle(whole)),
        ("ours, the same HTML", middle(done)),
        ("chromium, cold", base),
        ("chromium, warm", middle(warm_print)),
    ):
        show(f"{name}: {label}", one, base, bare_page)


def compare_handouts(count: int, folder: Path, browser, bare_page: Took) -> None:
    """Print a handout of six sets for each of so many, a file each: the sets are laid out once."""
    day = handed.a_day(*map(handed.taught, sets(6)))
    people = [replace(handed.attendees(8)[n % 8], name=f"Attendee {n}") for n in range(count)]
    lessons = handed.lesson_sides(day, A4)
    mine = [handed.mine(day, person, person.name) for person in people]
    done = ours(lambda: [handed.handout_pdf(one, day, A4, lessons) for one in mine])
    pages = [for_browser([pdf.LaidOut((own_side(one, day, A4), *lessons), 0)]) for one in mine]
    (folder / "cold.html").write_text(pages[0])
    one = cold(folder / "cold.html", folder / "cold.pdf")
    base = Took(one.wall_s * count, one.cpu_s * count)
    warm_print = [browser(html, folder) for html in pages]
    warm = Took(sum(one.wall_s for one in warm_print), sum(one.cpu_s for one in warm_print))
    name = f"{count} handouts"
    show(f"{name}: ours", done, base, bare_page)
    show(f"{name}: chromium, cold, one times {count}", base, base, bare_page)
    show(f"{name}: chromium, warm", warm, base, bare_page)


def show(name: str, one: Took, base: Took, bare_page: Took) -> None:
    print(
        f"{name:44} {one.wall_s:7.2f} s {one.cpu_s:7.2f} s cpu "
        f"{one.cpu_s / bare_page.cpu_s:8.1f} bare pages {one.cpu_s / base.cpu_s:7.2f}",
        flush=True,
    )


def peak_mb(pid: int) -> float:
    line = next(
        line
        for line in Path(f"/proc/{pid}/status").read_text().splitlines()
        if line.startswith("VmHWM")
    )
    return int(line.split()[1]) / 1024


def main(arguments: Sequence[str]) -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--handouts", type=int, nargs="*", default=[24], help="24, and 240 by hand")
    parser.add_argument("--times", type=int, default=5, help="of which the middle one is shown")
    chosen = parser.parse_args(arguments)
    settings.PRINTED_DIR = None
    settings.PRINT_SECONDS = 600
    ctypes.CDLL(None).prctl(BURY_ORPHANS, 1, 0, 0, 0)
    with tempfile.TemporaryDirectory() as name, warm_browser() as browser:
        folder = Path(name)
        worker.printed([bare()], "/Simplex", "0" * 64)
        page = middle(
            [
                ours(lambda: worker.printed([bare()], "/Simplex", "0" * 64))
                for _ in range(chosen.times)
            ]
        )
        fitted(sets(1)[0])
        browser("<p>x", folder)
        print(f"{'':44} {'wall':>9} {'':>13} {'':>19} {'of chromium, cold':>7}")
        show("a page of plain text: ours", page, page, page)
        compare("one set sheet", 1, chosen.times, folder, browser, page)
        compare("a pack of 8", 8, max(1, chosen.times // 2), folder, browser, page)
        for count in chosen.handouts:
            compare_handouts(count, folder, browser, page)
        (printer,) = worker.POOL._free
        print(f"peak memory: printing process {peak_mb(printer.process.pid):.0f} MB", end=", ")
        largest = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        print(f"chromium's largest process {largest:.0f} MB")


if __name__ == "__main__":
    main(sys.argv[1:])
