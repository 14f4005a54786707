"""What printing costs beside a browser that prints the same HTML: python -m tests.benchmarks.sheets

Everything is measured side by side in one run; the last column, a ratio of processor times, is
what counts. Chromium prints cold (a process for each file) and warm (one browser, told over its
debugging connection); all its processes count, also those it leaves for the system to bury. It
gets the finished HTML, as "the same HTML" of ours does, in a printing process that has never seen
these texts; "from its inputs" is plan, drawings, the layouts to see what fits, and the file. A bare
page is plain text printed by WeasyPrint as it comes; ours has the same words to print.
"""

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import django
import fontpkg

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshops.settings")
django.setup()

from django.conf import settings  # noqa: E402

from planning.plan import evaluate  # noqa: E402
from planning.sheets import pdf, press, worker  # noqa: E402
from planning.sheets.handout import own_side  # noqa: E402
from planning.sheets.options import PrintOptions  # noqa: E402
from planning.sheets.worker import Side  # noqa: E402
from tests.benchmarks.chromium import (  # noqa: E402
    Took,
    bury_orphans,
    cold,
    middle,
    took,
    tree_cpu_s,
    warm_browser,
)
from tests.sheets import test_handouts as handed  # noqa: E402
from tests.sheets.example import full_beach, slate_wall  # noqa: E402

A4 = PrintOptions(house="Slate & Tide")
PARAGRAPH = "Meter the wall with the flash off, close one stop, then bring the octa up. " * 6
FILE = {"duplex": "/Simplex", "identifier": "0" * 64}
BARE_PAGES = 20  # at once: the system counts processor time in hundredths of a second
MOST_BY_BROWSER = 24  # further ones cost it the same again
# What may take at most how much of what: with room for a busy machine.
MOST = (
    ("one set sheet: ours, the same HTML", "one set sheet: chromium, cold", 0.4),
    ("a pack of 8: ours, the same HTML", "a pack of 8: chromium, cold", 1.2),
    ("one set sheet: ours, the same HTML", "a page of plain text: WeasyPrint by itself", 10.0),
    ("24 handouts: ours", "24 handouts: chromium, warm", 0.4),
)
# Prints each page in a process that never meets our changes of WeasyPrint; the first one warms up.
BY_ITSELF = """
import json, sys, time
import fontpkg
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration

fonts = FontConfiguration()
face = fontpkg.path("Source Sans 3").as_uri()
for html, styles in json.load(sys.stdin):
    started = time.perf_counter(), time.process_time()
    styles = CSS(string=styles.replace("app:source-sans-3", face), font_config=fonts)
    page = HTML(string=html).render(stylesheets=[styles], font_config=fonts, pdf_variant="pdf/ua-1")
    page.write_pdf(pdf_variant="pdf/ua-1")
    print(time.perf_counter() - started[0], time.process_time() - started[1])
"""
shown: dict[str, float] = {}
_count = 0


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


def ours(work: Callable[[], object]) -> Took:
    """Return what work of ours takes, in this process and in the printing processes it starts."""
    return took(work, lambda: tree_cpu_s(os.getpid()))


def bare() -> Side:
    """Return a page of plain text: what printing costs at the least.

    Its words stand in another order each time: like the sheets, it is one not seen before.
    """
    global _count
    _count += 1
    words, order = PARAGRAPH.split(), random.Random(_count)
    styles = '@font-face { font-family: "Source Sans 3"; src: url(app:source-sans-3) }'
    styles += 'html { font-family: "Source Sans 3" } @page { size: A4 }'
    text = "".join(f"<p>{' '.join(order.sample(words, len(words)))}</p>" for _ in range(6))
    return Side(f"<!DOCTYPE html><html lang=en><title>t</title><body>{text}</body>", styles)


def by_itself() -> Took:
    """Return what WeasyPrint as it comes takes for a page of plain text, once it is warm."""
    pages = json.dumps([(side.html, side.styles) for side in (bare() for _ in range(BARE_PAGES))])
    told = subprocess.run(
        [sys.executable, "-c", BY_ITSELF], input=pages, capture_output=True, text=True, check=True
    )
    rows = [Took(*map(float, line.split())) for line in told.stdout.splitlines()]
    return middle(rows[1:])


def compare(name: str, count: int, times: int, folder: Path, browser, bare_page: Took) -> None:
    """Print that many sheets as one file each way, and show it beside chromium's cold print."""
    whole, done, cold_print, warm_print = [], [], [], []
    other = worker.Pool()  # it has laid out other sets, and prints these from their HTML alone
    other.run("print", sides_of(map(fitted, sets(2))), **FILE)
    for _ in range(times):
        made, inputs = [], sets(count)

        def from_inputs(inputs=inputs, made=made) -> None:
            made += map(fitted, inputs)
            pdf.write(made, A4)

        whole.append(ours(from_inputs))
        sides = sides_of(made)
        done.append(ours(lambda sides=sides: other.run("print", sides, **FILE)))
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
    largest_mb = 0.0

    def print_all() -> None:
        nonlocal largest_mb
        for one in mine:
            handed.handout_pdf(one, day, A4, lessons)
            for press_ in worker.POOL._free:
                largest_mb = max(largest_mb, peak_mb(press_.process.pid))

    done = ours(print_all)
    pages = [
        for_browser([pdf.LaidOut((own_side(one, day, A4), *lessons), 0)])
        for one in mine[:MOST_BY_BROWSER]
    ]
    (folder / "cold.html").write_text(pages[0])
    base = times(cold(folder / "cold.html", folder / "cold.pdf"), count)
    warm = [browser(html, folder) for html in pages]
    each = Took(sum(one.wall_s for one in warm), sum(one.cpu_s for one in warm))
    name = f"{count} handouts"
    show(f"{name}: ours", done, base, bare_page)
    show(f"{name}: chromium, cold, one times {count}", base, base, bare_page)
    show(f"{name}: chromium, warm", times(each, count / len(pages)), base, bare_page)
    print(f"{name}: largest printing process {largest_mb:.0f} MB")


def times(one: Took, count: float) -> Took:
    return Took(one.wall_s * count, one.cpu_s * count)


def show(name: str, one: Took, base: Took, bare_page: Took) -> None:
    shown[name] = one.cpu_s
    print(
        f"{name:44} {one.wall_s:7.2f} s {one.cpu_s:7.2f} s cpu "
        f"{one.cpu_s / bare_page.cpu_s:8.1f} bare pages {one.cpu_s / base.cpu_s:7.2f}",
        flush=True,
    )


def peak_mb(pid: int) -> float:
    status = Path(f"/proc/{pid}/status").read_text()
    return int(status.partition("VmHWM:")[2].split()[0]) / 1024


def check() -> list[str]:
    """Return in words which of the ratios that were measured are worse than they may be."""
    return [
        f"{ours_} takes {shown[ours_] / shown[theirs]:.2f} of {theirs}, and may take {most}"
        for ours_, theirs, most in MOST
        if ours_ in shown and shown[ours_] > most * shown[theirs]
    ]


def main(arguments: Sequence[str]) -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--handouts", type=int, nargs="*", default=[24], help="24, and 240 by hand")
    parser.add_argument("--times", type=int, default=5, help="of which the middle one is shown")
    parser.add_argument("--check", action="store_true", help="fail where a ratio is far off")
    chosen = parser.parse_args(arguments)
    settings.PRINTED_DIR = None
    settings.PRINT_SECONDS = 600
    bury_orphans()
    with tempfile.TemporaryDirectory() as name, warm_browser() as browser:
        folder = Path(name)
        fitted(sets(1)[0])
        browser("<p>x", folder)
        worker.printed([bare()], **FILE)
        many = ours(lambda: [worker.printed([bare()], **FILE) for _ in range(BARE_PAGES)])
        page = by_itself()
        print(f"{'':44} {'wall':>9} {'':>13} {'':>19} {'of chromium, cold':>7}")
        show("a page of plain text: WeasyPrint by itself", page, page, page)
        show("a page of plain text: ours", times(many, 1 / BARE_PAGES), page, page)
        compare("one set sheet", 1, chosen.times, folder, browser, page)
        compare("a pack of 8", 8, max(1, chosen.times // 2), folder, browser, page)
        for count in chosen.handouts:
            compare_handouts(count, folder, browser, page)
    if chosen.check and (worse := check()):
        sys.exit("\n".join(worse))


if __name__ == "__main__":
    main(sys.argv[1:])
