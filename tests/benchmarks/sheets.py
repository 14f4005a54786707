"""What printing costs beside a browser that prints the same HTML: python -m tests.benchmarks.sheets

Everything is measured side by side in one run; the last column, a ratio, is what counts. Wall time
is what somebody waits, processor time what is left of it on a busy machine. Chromium prints cold
(a process for each file) and warm (one browser, told over its debugging connection). It gets the
finished HTML; "with fitting" is what we do before: plan, drawing, and the layouts to see what fits.
"""

import argparse
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
PARAGRAPH = "Meter the wall with the flash off, close one stop, then bring the octa up. " * 6
_count = 0


@dataclass(frozen=True)
class Took:
    wall_s: float
    cpu_s: float


def sets(count: int) -> list:
    """Return that many sets, no two alike nor like those of another call: nothing is laid out."""
    global _count
    made = []
    for _ in range(count):
        _count += 1
        one = (slate_wall, full_beach)[_count % 2](notes=f"Print {_count}. " + PARAGRAPH[:200])
        made.append(replace(one, title=f"{one.title} {_count}"))
    return made


def fitted(inputs) -> pdf.LaidOut:
    return pdf.lay_out(evaluate(inputs), inputs, A4)


def unlike(sheets: Sequence[pdf.LaidOut]) -> list[Side]:
    """Return the sides again, changed by a remark, so that none of them is laid out already."""
    global _count
    _count += 1
    return [
        Side(side.html.replace("</body>", f"<!-- {_count} --></body>"), side.styles)
        for sheet in sheets
        for side in sheet.sides
    ]


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


def ours(work: Callable[[], object]) -> Took:
    (printer,) = worker.POOL._free
    return took(work, lambda: time.process_time() + tree_cpu_s(printer.process.pid))


def cold(page: Path, out: Path) -> Took:
    def children_s() -> float:
        usage = resource.getrusage(resource.RUSAGE_CHILDREN)
        return usage.ru_utime + usage.ru_stime

    command = [*COLD, f"--print-to-pdf={out}", page.as_uri()]
    return took(lambda: subprocess.run(command, check=True, capture_output=True), children_s)


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
    fit, done, cold_print, warm_print = [], [], [], []
    for _ in range(times):
        made = []
        inputs = sets(count)
        fit.append(ours(lambda inputs=inputs, made=made: made.extend(map(fitted, inputs))))
        sides = unlike(made)
        done.append(ours(lambda sides=sides: worker.printed(sides, "/Simplex", "0" * 64)))
        html = for_browser(made)
        (folder / "cold.html").write_text(html)
        cold_print.append(cold(folder / "cold.html", folder / "cold.pdf"))
        warm_print.append(browser(html, folder))
    base = middle(cold_print)
    for label, one in (
        ("fitting before", middle(fit)),
        ("ours", middle(done)),
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
