"""``manage.py print_sheets``: any selection, gone on with where it was, every file whole."""

import fcntl
import io
import os
import shutil
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import transaction

from planning.files import _part, clear_leftovers, put
from planning.management.selection import Selection, selected
from planning.models import PlannedSet
from tests import factories as make
from tests.sheets.test_print_sheets import day_of_two, printed
from workshops.models import Workshop

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def printed_day(django_db_setup, django_db_blocker, tmp_path_factory):
    """A workshop of two sets and the folder it was printed into once, with what was kept of it."""
    kept, folder = tmp_path_factory.mktemp("kept"), tmp_path_factory.mktemp("sheets")
    settings.PRINTED_DIR = kept
    with django_db_blocker.unblock(), transaction.atomic():
        make.number_from(1000)  # what a test makes beside it begins at the start again
        workshop = day_of_two()
        printed(str(workshop.pk), out=str(folder))
        yield workshop, folder
        transaction.set_rollback(True)
    settings.PRINTED_DIR = None


@pytest.fixture
def day(printed_day, tmp_path):
    """The same, to change: the workshop and a copy of the folder."""
    workshop, folder = printed_day
    return workshop, Path(shutil.copytree(folder, tmp_path / "sheets"))


@pytest.fixture
def other_day(day):
    """A second workshop, of one set, a month later."""
    workshop, _folder = day
    later = make.WorkshopFactory(
        start_at=workshop.start_at + timedelta(days=30), end_at=workshop.end_at + timedelta(days=30)
    )
    first = workshop.sets.get(position=1)
    planned = make.SetFactory(
        workshop=later,
        location=first.location,
        position=1,
        title="Weir",
        start_at=first.start_at + timedelta(days=30),
        end_at=first.end_at + timedelta(days=30),
    )
    make.LightFactory(planned_set=planned)
    return later


def files(folder: Path) -> dict[str, tuple[int, bytes]]:
    """Return every file below a folder, hidden ones too, with when it was written."""
    return {
        str(path.relative_to(folder)): (path.stat().st_mtime_ns, path.read_bytes())
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_what_is_up_to_date_is_left_alone_and_said(day):
    workshop, folder = day
    before = files(folder)
    said, _ = printed(str(workshop.pk), out=str(folder))
    assert files(folder) == before
    assert "1 of 2  set-1-slate-wall.pdf, up to date" in said
    assert "2 of 2 sheets" in said
    assert "2 of them up to date before" in said


def test_what_changed_is_printed_anew_and_nothing_else(day):
    workshop, folder = day
    before = files(folder)
    PlannedSet.objects.filter(workshop=workshop, position=2).update(notes="Mind the ladder.")
    said, _ = printed(str(workshop.pk), out=str(folder))
    after = files(folder)
    assert {name for name in after if after[name] != before[name]} == {
        "all-sets.pdf",
        "set-2-pier-dusk.pdf",
    }
    assert "2 of 2  set-2-pier-dusk.pdf, 2 pages" in said


def test_another_paper_is_no_up_to_date_one(day):
    workshop, folder = day
    said, _ = printed(str(workshop.pk), out=str(folder), paper="letter")
    assert "up to date" not in said


def test_all_can_be_printed_again(day):
    workshop, folder = day
    before = files(folder)
    said, _ = printed(str(workshop.pk), out=str(folder), again=True)
    after = files(folder)
    assert "up to date" not in said
    assert all(after[name][0] > before[name][0] for name in before)
    assert {name: content for name, (_at, content) in after.items()} == {
        name: content for name, (_at, content) in before.items()
    }


def test_half_a_file_is_printed_anew(day):
    workshop, folder = day
    sheet = folder / "set-1-slate-wall.pdf"
    whole = sheet.read_bytes()
    sheet.write_bytes(whole[: len(whole) // 2])
    said, _ = printed(str(workshop.pk), out=str(folder))
    assert sheet.read_bytes() == whole
    assert "1 of 2  set-1-slate-wall.pdf, 2 pages" in said
    assert "2 of 2  set-2-pier-dusk.pdf, up to date" in said


def test_a_run_that_was_interrupted_says_how_to_go_on_and_goes_on(day, tmp_path):
    workshop, tmp_path = day[0], tmp_path / "new"

    class Interrupted(io.StringIO):
        def write(self, line):
            super().write(line)
            if line.startswith("1 of 2"):
                raise KeyboardInterrupt

    with pytest.raises(CommandError, match=r"1 of 2 sheets are in .*same command again") as stop:
        call_command("print_sheets", str(workshop.pk), out=str(tmp_path), stdout=Interrupted())
    assert stop.value.returncode == 130
    assert list(files(tmp_path)) == ["set-1-slate-wall.pdf"]
    said, _ = printed(str(workshop.pk), out=str(tmp_path))
    assert "1 of 2  set-1-slate-wall.pdf, up to date" in said
    assert list(files(tmp_path)) == ["all-sets.pdf", "set-1-slate-wall.pdf", "set-2-pier-dusk.pdf"]


def test_several_workshops_get_a_folder_each(day, other_day, tmp_path):
    workshop, tmp_path = day[0], tmp_path / "several"
    said, _ = printed(str(workshop.pk), str(other_day.pk), out=str(tmp_path))
    assert list(files(tmp_path)) == [
        f"workshop-{workshop.pk}/all-sets.pdf",
        f"workshop-{workshop.pk}/set-1-slate-wall.pdf",
        f"workshop-{workshop.pk}/set-2-pier-dusk.pdf",
        f"workshop-{other_day.pk}/all-sets.pdf",
        f"workshop-{other_day.pk}/set-1-weir.pdf",
    ]
    assert "3 of 3 sheets" in said


def test_sets_can_be_chosen_and_leave_the_file_of_all_alone(day):
    workshop, folder = day
    before = files(folder)
    ids = [str(pk) for pk in workshop.sets.values_list("pk", flat=True)]
    printed(out=str(folder), set=ids[:1])
    after = files(folder)
    assert after.pop("chosen-sets.pdf")[1] == after["set-1-slate-wall.pdf"][1]
    assert after == before


@pytest.mark.parametrize(
    ("first", "last", "count"), [(0, None, 3), (1, None, 1), (None, 0, 2), (30, 30, 1)]
)
def test_workshops_can_be_chosen_by_the_day_they_begin(
    day, other_day, tmp_path, first, last, count
):
    workshop, _folder = day
    begins = workshop.start_at.astimezone(ZoneInfo(workshop.timezone_name)).date()
    span = {
        name: begins + timedelta(days=days)
        for name, days in (("first", first), ("last", last))
        if days is not None
    }
    wanted = Selection(**span)
    assert sum(map(len, selected(wanted, tmp_path).values())) == count


def test_a_day_begins_at_midnight_of_the_place(day, tmp_path):
    # 10 October 2026, 13:00 UTC is 02:00 of the 11th in Auckland (UTC+13, daylight saving time).
    at = datetime(2026, 10, 10, 13, tzinfo=UTC)
    Workshop.objects.update(
        start_at=at, end_at=at + timedelta(hours=4), timezone_name="Pacific/Auckland"
    )
    assert selected(Selection(first=date(2026, 10, 11)), tmp_path)
    with pytest.raises(CommandError, match="no workshop that begins then has sets"):
        selected(Selection(last=date(2026, 10, 10)), tmp_path)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({}, "name what to print"),
        ({"all": True, "set": ["1"]}, "name what to print"),
        ({"set": ["999"]}, "--set: there is no set '999'"),
        ({"set": ["²", "1"]}, "--set: there is no set '²'"),
    ],
)
def test_what_is_not_there_is_refused_before_anything_is_printed(day, tmp_path, arguments, said):
    with pytest.raises(CommandError, match=said) as failure:
        printed(out=str(tmp_path / "new"), **arguments)
    assert failure.value.returncode == 2
    assert not (tmp_path / "new").exists()


def test_a_day_that_is_none_is_refused(tmp_path):
    with pytest.raises(CommandError, match="--from: invalid day like 2026-10-11 value: 'today'"):
        call_command("print_sheets", "--from", "today", "--out", str(tmp_path))


def test_what_a_killed_run_left_is_cleared_away_and_what_another_writes_is_not(tmp_path):
    left = tmp_path / ".set-1.pdf.77-1.part"
    left.write_bytes(b"half")
    with _part(tmp_path / "set-2.pdf") as (at_work, _file):
        clear_leftovers(tmp_path)
        assert at_work.exists()
    assert not left.exists()
    assert not at_work.exists()


def test_a_part_begun_since_a_leftover_was_looked_at_is_not_cleared_away(tmp_path, monkeypatch):
    target, locked = tmp_path / "set-1.pdf", fcntl.flock

    def put_in_place_first(file, operation):
        """Between opening a part and locking it, whoever wrote it is done and at the next one."""
        monkeypatch.setattr(fcntl, "flock", locked)
        os.replace(part, target)
        part.write_bytes(b"the next one")
        locked(file, operation)

    part = tmp_path / ".set-1.pdf.77-1.part"
    part.write_bytes(b"whole")
    monkeypatch.setattr(fcntl, "flock", put_in_place_first)
    clear_leftovers(tmp_path)
    assert part.read_bytes() == b"the next one"
    assert target.read_bytes() == b"whole"


def test_many_at_once_put_each_a_whole_file(tmp_path):
    contents = [bytes([number]) * 200_000 for number in range(8)]

    def write(content):
        for _ in range(20):
            put(tmp_path / "sheet.pdf", content)
            clear_leftovers(tmp_path)
            assert (tmp_path / "sheet.pdf").read_bytes() in contents

    with ThreadPoolExecutor(8) as threads:
        list(threads.map(write, contents))
    assert list(files(tmp_path)) == ["sheet.pdf"]
