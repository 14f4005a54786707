"""The printing process: same bytes, hostile pages, and every way it can die or stick.

That a text, whatever it is, ends in a sheet or in words is our own promise; no standard asks it.
"""

import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from planning.plan import evaluate
from planning.sheets import pdf, press, wire, worker
from planning.sheets.options import PrintOptions
from planning.sheets.worker import Pool, SheetFailed, Side
from tests.sheets.example import slate_wall
from tests.sheets.test_pdf import read

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 60
MARK = "0" * 64
STYLES = """
@font-face { font-family: "Source Sans 3"; src: url(app:source-sans-3); }
html { font-family: "Source Sans 3"; }
"""


def side(body: str, styles: str = STYLES) -> Side:
    return Side(f'<html lang="en"><title>t</title><body>{body}', styles)


PLAIN = side("<h1>Plain</h1><p>One line.</p>")


@pytest.fixture(scope="module")
def shared() -> Pool:
    pool = Pool()
    yield pool
    pool.close()


@pytest.fixture
def pool(monkeypatch, shared) -> Pool:
    """A pool used by several tests here: whatever one does to it, the next must find it whole."""
    monkeypatch.setattr(worker, "POOL", shared)
    return shared


@pytest.fixture
def fresh(monkeypatch) -> Pool:
    """A pool of its own, for a test that changes the limits its processes start with."""
    pool = Pool()
    monkeypatch.setattr(worker, "POOL", pool)
    yield pool
    pool.close()


def only(pool: Pool) -> worker.Press:
    pool.warm()
    (found,) = pool._free
    return found


def until(answer, what: str) -> None:
    """Return once it is true: what another process does has no event to wait for."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        if answer():
            return
        os.sched_yield()
    raise AssertionError(f"not in {PATIENCE_S} s: {what}")


def came_to(body: str) -> str:
    """Return how many pages a file has, or in words why there is none."""
    try:
        content = worker.printed([side(body)], "/Simplex", MARK)
    except SheetFailed as reason:
        return str(reason)
    return f"{len(read(content).pages)} pages"


def gone(pid: int) -> bool:
    """Whether a process has ended, be it not yet buried."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return True
    return state in "ZX"


def test_it_makes_the_bytes_that_are_made_without_it(pool, monkeypatch):
    inputs, options = slate_wall(), PrintOptions(house="Slate & Tide")
    sheet = pdf.lay_out(evaluate(inputs), inputs, options)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "0")
    here = press.printed(
        [(one.html, one.styles) for one in sheet.sides], "/DuplexFlipLongEdge", MARK
    )
    assert pdf.write([sheet], options, mark=MARK) == here


def test_what_was_only_tried_out_is_not_kept(monkeypatch):
    kept: dict = {}
    monkeypatch.setattr(press, "_sides", kept)
    one, other = ("<p>one", ""), ("<p>other", "")
    job = {"do": "measure", "cpu_s": 1}
    press._answer({**job, "sides": [one]}, 0)
    press._answer({**job, "sides": [other, one]}, 0)
    assert list(kept) == [other]


def test_of_the_sides_kept_the_one_asked_for_longest_ago_goes_first(monkeypatch):
    kept: dict = {}
    monkeypatch.setattr(press, "_sides", kept)
    monkeypatch.setattr(press, "SIDES_KEPT", 2)
    for text in ("<p>one", "<p>two", "<p>one", "<p>three"):
        press.laid_out(text, "")
    assert [html for html, _styles in kept] == ["<p>one", "<p>three"]


def test_it_is_told_nothing_of_the_site(fresh, monkeypatch):
    secrets = {"SECRET_KEY": "s3cret", "DATABASE_URL": "postgres://u:p@h/n", "FIELD_KEYS": "k3y"}
    for name, value in secrets.items():
        monkeypatch.setenv(name, value)
    seen = Path(f"/proc/{only(fresh).process.pid}/environ").read_bytes()
    assert not [name for name, value in secrets.items() if value.encode() in seen]
    assert b"DJANGO_SETTINGS_MODULE" not in seen


def test_it_holds_no_file_of_the_site_open(pool):
    worker.measured(PLAIN)
    own = only(pool)
    names = [os.readlink(link) for link in Path(f"/proc/{own.process.pid}/fd").iterdir()]
    sockets = [name for name in names if name.startswith("socket:")]
    assert len(sockets) == 1
    rest = {name for name in names if not name.startswith(("socket:", own.folder, "pipe:"))}
    assert rest - {"/dev/null", os.readlink("/proc/self/fd/2")} == set()


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ('<img src="file:///etc/passwd" alt="x">', "asked for 'file:///etc/passwd'"),
        ('<img src="http://127.0.0.1:1/" alt="x">', "asked for 'http://127.0.0.1:1/'"),
        ('<p style="background: url(https://example.org/a)">x', "asked for"),
        ('<svg><image href="file:///etc/passwd"/></svg>', "Failed to render SVG"),
        ('<a rel=attachment href="file:///etc/passwd">x</a>', "asked for"),
        ('<object data="file:///etc/passwd"></object>', "asked for"),
        ("<p style='font-variant-nonsense: 1'>x", "font-variant-nonsense"),
    ],
)
def test_what_it_may_not_read_or_know_ends_in_words(pool, body, said):
    with pytest.raises(SheetFailed, match=re.escape(said)):
        worker.printed([side(body)], "/Simplex", MARK)
    assert worker.measured(PLAIN)


@pytest.mark.parametrize(
    ("name", "body"),
    [
        ("long notes", "<p>" + "walk the ladder once " * 2400),
        ("one long word", "<p>" + "w" * 50_000),
        ("script", "<script>while (true) {}</script><p onclick='x'>x"),
        ("right to left", "<p dir=rtl>שלום مرحبا</p><p>‮abc‬"),
        ("emoji", "<p>📸👨‍👩‍👧‍👦 🏳️‍🌈"),
        ("numbers", "<svg width=1e9 height=1e9 viewBox='0 0 1e300 -1'><title>t</title></svg>"),
        ("endless", f"<svg width=9 height=9><title>t</title><path d='M0 0 L{'9' * 400} 9e999'/>"),
        ("a broken tag", "<table><tr><td><p></table></td></tr><ul><svg><b>"),
        ("signs", "&#0;&#xFFFF;&#x110000;\x07\x1b[0m"),
    ],
)
def test_hostile_text_ends_in_a_file_or_in_words_and_the_next_sheet_prints(pool, name, body):
    assert came_to(body)
    assert len(worker.measured(PLAIN)) == 1


def test_deep_nesting_ends_in_words(pool):
    with pytest.raises(SheetFailed, match="nested too deeply"):
        worker.measured(side("<div>" * 5000))
    assert worker.measured(PLAIN)


@pytest.mark.slow
@pytest.mark.parametrize(
    "body",
    [
        "<table>" + "<tr><td>a<td>b<td>c<td>d<td>e" * 5000 + "</table>",
        "<div style='display: grid'>" + "<p>x</p>" * 6000 + "</div>",
        "<style>@page { size: 1px }</style>" + "<p>x</p>" * 2000,
        "<table><tr><td colspan=65534>x<td rowspan=65534>y</table>",
        "<div style='columns: 9999'>" + "<p>x</p>" * 2000,
    ],
    ids=["rows", "grid", "tiny pages", "spans", "columns"],
)
def test_a_heavy_page_ends_in_a_file_or_in_words_within_its_limits(fresh, settings, body):
    settings.PRINT_SECONDS = 30
    began = time.monotonic()
    assert re.search(r"page|took more than|memory|ended in the middle|gave up", came_to(body))
    assert time.monotonic() - began < settings.PRINT_SECONDS + worker.START_S + 5
    assert worker.measured(PLAIN)


def test_computing_for_ever_is_stopped_by_the_system(fresh, monkeypatch):
    monkeypatch.setattr(worker, "CPU_S", 1)
    endless = side("<div style='display: grid'>" + "<p>x</p>" * 6000 + "</div>")
    with pytest.raises(SheetFailed, match="took more than 1 second"):
        worker.measured(endless)
    monkeypatch.setattr(worker, "CPU_S", 20)
    assert worker.measured(PLAIN)


def test_a_process_that_does_not_answer_is_ended_and_replaced(pool, settings, monkeypatch):
    worker.measured(PLAIN)
    stuck = only(pool)
    settings.PRINT_SECONDS = 1
    os.kill(stuck.process.pid, signal.SIGSTOP)
    with pytest.raises(SheetFailed, match="took more than 1 second"):
        worker.measured(PLAIN)
    assert not stuck.alive()
    assert not Path(stuck.folder).exists()
    assert worker.measured(PLAIN)


def test_all_printing_for_one_page_together_may_take_so_long(pool):
    worker.measured(PLAIN)
    os.kill(only(pool).process.pid, signal.SIGSTOP)
    with worker.time_limit(0.2), pytest.raises(SheetFailed, match="took more than"):
        worker.measured(PLAIN)
    assert worker.measured(PLAIN)


def test_needing_too_much_memory_ends_in_words(fresh, settings, monkeypatch):
    monkeypatch.setattr(worker, "CPU_S", 600)
    settings.PRINT_MEMORY_MB = 400  # its libraries alone take 370 of address space
    with pytest.raises(SheetFailed, match=r"more memory|ended in the middle"):
        worker.measured(side("<p>x</p>" * 50_000))
    assert worker.measured(PLAIN)


def test_too_large_a_file_ends_in_words(fresh, monkeypatch):
    monkeypatch.setattr(worker, "MOST_PDF_BYTES", 2000)
    with pytest.raises(SheetFailed, match="file would be too large"):
        worker.printed([PLAIN], "/Simplex", MARK)


def test_too_much_text_is_not_even_sent(pool, monkeypatch):
    monkeypatch.setattr(worker, "MOST_HTML_BYTES", 1000)
    with pytest.raises(SheetFailed, match="too long to print"):
        worker.measured(side("x" * 1000))


def test_a_process_killed_between_two_jobs_is_not_noticed(pool):
    worker.measured(PLAIN)
    before = only(pool)
    os.kill(before.process.pid, signal.SIGKILL)
    before.process.wait()
    assert worker.measured(PLAIN)
    assert only(pool) is not before


def test_a_process_killed_in_the_middle_of_a_job_is_told_and_replaced(pool):
    worker.measured(PLAIN)
    before = only(pool)
    earlier = before.jobs  # other tests' too: which ran before on this process is not ours to say
    os.kill(before.process.pid, signal.SIGSTOP)  # so that the job is surely not over
    with ThreadPoolExecutor() as threads:
        job = threads.submit(worker.measured, side("<p>another"))
        until(lambda: before.jobs > earlier, "the job has begun")
        os.kill(before.process.pid, signal.SIGKILL)
        with pytest.raises(SheetFailed, match=r"ended in the middle \(code -9\): try again"):
            job.result()
    assert worker.measured(PLAIN)


def test_whoever_waits_too_long_for_others_is_asked_to_come_back(pool, monkeypatch):
    monkeypatch.setattr(worker, "WAIT_S", 0.05)
    worker.measured(PLAIN)
    held = only(pool)
    with pool._one(), pytest.raises(worker.Busy, match="try again in a minute"):
        worker.measured(PLAIN)
    assert only(pool) is held


def test_many_threads_at_once_get_each_their_own_sheet(pool, monkeypatch):
    monkeypatch.setattr(worker, "WAIT_S", PATIENCE_S)

    def title(number: int) -> str:
        html = f"<html lang=en><title>sheet {number}</title><p>x"
        content = worker.printed([Side(html, STYLES)], "/Simplex", MARK)
        return read(content).metadata.title

    with ThreadPoolExecutor(12) as threads:
        titles = list(threads.map(title, range(24)))
    assert titles == [f"sheet {number}" for number in range(24)]
    assert len(pool._free) == 1


def test_a_process_that_has_done_its_share_is_replaced(fresh, monkeypatch):
    monkeypatch.setattr(worker, "JOBS_EACH", 2)
    first = only(fresh)
    worker.measured(PLAIN)
    assert first.alive()
    worker.measured(PLAIN)
    assert not first.alive()
    assert worker.measured(PLAIN)


def test_an_interrupted_job_never_answers_the_next_one(pool, monkeypatch):
    def interrupted(*_arguments, **_options):
        raise KeyboardInterrupt

    worker.measured(PLAIN)
    before = only(pool)
    with monkeypatch.context() as patch:
        patch.setattr(wire, "receive", interrupted)
        with pytest.raises(KeyboardInterrupt):
            worker.measured(side("<p>another"))
    assert not before.alive()
    assert len(worker.measured(PLAIN)) == 1


PARENT = """
import os, sys, threading
import django
django.setup()
from planning.sheets import worker
from planning.sheets.worker import Side
worker.measured(Side("<p>x", ""))
(press,) = worker.POOL._free
if sys.argv[1] == "busy":
    long = Side("<div style='display: grid'>" + "<p>x</p>" * 6000, "")
    threading.Thread(target=worker.measured, args=(long,), daemon=True).start()
    while press.jobs < 2:
        os.sched_yield()
print(press.process.pid, press.folder, flush=True)
sys.stdin.read()
"""


@pytest.mark.parametrize("doing", ["idle", "busy"])
def test_it_ends_with_the_process_that_started_it_however_that_ended(doing):
    parent = subprocess.Popen(
        [sys.executable, "-c", PARENT, doing],
        cwd=ROOT,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "workshops.settings"},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        pid, folder = parent.stdout.readline().split()
    finally:
        parent.kill()
        parent.communicate()
    until(lambda: gone(int(pid)), "the printing process ended")
    assert not Path(folder).exists()


FORK = """
import os, sys
import django
django.setup()
from planning.sheets import worker
from planning.sheets.worker import Side
page = Side("<html lang=en><title>t</title><p>x", "")
before = worker.printed([page], "/Simplex", "m")
copy = os.fork()
after = worker.printed([page], "/Simplex", "m")
if copy == 0:
    os._exit(0 if after == before else 1)
_pid, status = os.waitpid(copy, 0)
print(os.waitstatus_to_exitcode(status), after == before, worker.POOL._free[0].jobs)
"""


def test_a_copy_of_the_process_prints_by_a_printing_process_of_its_own():
    # The server loads the site once, then parts into workers (gunicorn's preload_app).
    done = subprocess.run(
        [sys.executable, "-c", FORK],
        cwd=ROOT,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "workshops.settings"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == ["0", "True", "2"]


@pytest.fixture
def line() -> tuple[socket.socket, socket.socket]:
    ends = socket.socketpair()
    yield ends
    for end in ends:
        end.close()


def test_a_message_arrives_as_it_was_sent(line):
    ours, theirs = line
    sent = threading.Thread(target=wire.send, args=(theirs, {"a": "é"}, b"x" * 500_000))
    sent.start()
    assert wire.receive(ours, most_bytes=500_000) == ({"a": "é", "bytes": 500_000}, b"x" * 500_000)
    sent.join()


@pytest.mark.parametrize(
    "sent",
    [
        b"",
        b"\x00",
        wire.LENGTH.pack(1 << 31),
        wire.LENGTH.pack(9) + b'{"byt',
        wire.LENGTH.pack(2) + b"[]",
        wire.LENGTH.pack(2) + b"{}",
        wire.LENGTH.pack(2) + b"{x",
        wire.LENGTH.pack(11) + b'{"bytes":-}',
        wire.LENGTH.pack(13) + b'{"bytes": -1}',
        wire.LENGTH.pack(13) + b'{"bytes": 11}',
        wire.LENGTH.pack(13) + b'{"bytes": 10}' + b"123",
        wire.LENGTH.pack(14) + b'{"bytes": "1"}',
    ],
)
def test_half_a_message_and_no_message_are_a_closed_line(line, sent):
    ours, theirs = line
    theirs.sendall(sent)
    theirs.close()
    with pytest.raises(wire.Closed):
        wire.receive(ours, most_bytes=10)


def test_a_message_that_does_not_come_is_not_waited_for(line):
    ours, theirs = line
    theirs.sendall(wire.LENGTH.pack(13) + b'{"by')
    with pytest.raises(TimeoutError):
        wire.receive(ours, until_s=time.monotonic() + 0.01)
