"""``manage.py frames_in``: a card read by its Exif, and clear words for everything else."""

import resource
import time
import zipfile
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from planning.models import Frame, FrameLot
from tests import factories as make
from tests.jpegs import ascii, frame, undefined
from workshops.models import AuditEntry

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop():
    return make.WorkshopFactory()


@pytest.fixture
def card(tmp_path) -> Path:
    """A card as cameras leave it: folders, raw files beside the JPEGs, what systems add."""
    inside = tmp_path / "card" / "100MEDIA"
    inside.mkdir(parents=True)
    for number in range(3):
        (inside / f"IMG_{number}.JPG").write_bytes(frame() + b"\0" * 100_000)
        (inside / f"IMG_{number}.RAW").write_bytes(b"II*\0")
    (inside / "._IMG_0.JPG").write_bytes(b"of a system")
    (inside.parent / "Thumbs.db").write_bytes(b"of a system")
    (inside / "elsewhere.jpg").symlink_to("/etc/hostname")
    return tmp_path / "card"


def run(*words: object) -> tuple[str, str]:
    out, err = StringIO(), StringIO()
    call_command("frames_in", *(str(word) for word in words), stdout=out, stderr=err)
    return out.getvalue(), err.getvalue()


def refused(*words: object) -> tuple[str, int, str]:
    out, err = StringIO(), StringIO()
    with pytest.raises(CommandError) as refusal:
        call_command("frames_in", *(str(word) for word in words), stdout=out, stderr=err)
    return str(refusal.value), refusal.value.returncode, err.getvalue()


def test_a_card_comes_in_and_again_changes_nothing(workshop, card):
    booking = make.BookingFactory(workshop=workshop)
    out, err = run(workshop.pk, card, "--booking", booking.pk)
    assert out == "3 frames taken, 0 here before, 0 files not taken\n"
    assert "left aside: 3 other files of the folders (3 .raw)" in err
    assert f"3 of 3  {card}" in err
    assert [one.booking for one in Frame.objects.all()] == [booking] * 3
    out, _err = run(workshop.pk, card)
    assert out == "0 frames taken, 3 here before, 0 files not taken\n"
    assert Frame.objects.count() == 3
    entry = AuditEntry.objects.filter(record_type="planning.frame").first()
    assert entry.who_text == "manage.py frames_in"


def test_a_zip_and_a_table_come_in_beside_single_files(workshop, tmp_path):
    single = tmp_path / "A.jpg"
    single.write_bytes(frame())
    archive = tmp_path / "b.zip"
    with zipfile.ZipFile(archive, "w") as made:
        made.writestr("B.jpg", frame())
    table = tmp_path / "c.csv"
    table.write_text("FileName;DateTimeOriginal;FNumber\nC.jpg;2027:05:08 19:31:05;5,6\n")
    out, _err = run(workshop.pk, single, archive, table)
    assert out.startswith("3 frames taken")
    assert Frame.objects.get(file_name="C.jpg").f_number == 5.6
    assert FrameLot.objects.filter(ended_at=None).count() == 0


def test_files_that_are_not_taken_are_named_and_the_exit_says_so(workshop, tmp_path):
    (tmp_path / "A.jpg").write_bytes(frame())
    (tmp_path / "B.jpg").write_bytes(b"")
    (tmp_path / "c.zip").write_bytes(b"PK\3\4")
    said, code, err = refused(workshop.pk, tmp_path)
    assert (said, code) == ("not all files were taken", 1)
    assert f"not taken: {tmp_path}/B.jpg: The file is empty." in err
    assert "c.zip: The ZIP is damaged" in err
    assert Frame.objects.count() == 1


def test_where_nothing_can_be_taken_the_exit_is_another(workshop, tmp_path):
    (tmp_path / "A.jpg").write_bytes(b"text")
    said, code, _err = refused(workshop.pk, tmp_path)
    assert (said, code) == ("nothing was taken", 2)


@pytest.mark.parametrize("number", ["99999", "coast", "-1", "1" * 40])
def test_a_workshop_there_is_none_of_is_refused_with_those_there_are(workshop, tmp_path, number):
    argument = ("--", number) if number.startswith("-") else (number,)
    said, code, _err = refused(*argument, tmp_path)
    assert code == 2
    assert f"{workshop.pk} {workshop}" in said


def test_what_cannot_be_brought_in_at_all_is_refused_before_anything_is_kept(workshop, tmp_path):
    for words, why in (
        ([tmp_path], "no JPEG, ZIP or CSV"),
        ([tmp_path / "gone"], "cannot be read: No such file"),
        ([tmp_path, "--booking", 99999], "--booking 99999: there is none"),
    ):
        said, code, _err = refused(workshop.pk, *words)
        assert why in said
        assert code == 2
    stranger = make.BookingFactory(workshop=make.WorkshopFactory())
    assert "--booking" in refused(workshop.pk, tmp_path, "--booking", stranger.pk)[0]
    assert FrameLot.objects.count() == 0


def test_an_interrupted_run_says_how_to_go_on(workshop, card, monkeypatch):
    from planning.frames_in import paths

    real, count = paths.read, []

    def read(path):
        count.append(path)
        if len(count) == 3:
            raise KeyboardInterrupt
        return real(path)

    monkeypatch.setattr(paths, "read", read)
    monkeypatch.setattr("planning.bringing.BATCH", 1)
    said, code, _err = refused(workshop.pk, card)
    assert said.startswith("interrupted: 2 frames taken")
    assert code == 130
    monkeypatch.undo()
    assert run(workshop.pk, card)[0].startswith("1 frame taken, 2 here before")


def test_only_the_head_of_a_large_file_is_read(workshop, tmp_path, monkeypatch):
    large = tmp_path / "A.jpg"
    with open(large, "wb") as file:
        file.write(frame(BodySerialNumber=ascii("7")))
        file.truncate(20 << 30)  # 20 GB, of which a disk keeps nothing
    out, _err = run(workshop.pk, large)
    assert out.startswith("1 frame taken")


def test_names_no_database_could_keep_come_in_all_the_same(workshop, tmp_path):
    odd = tmp_path / ("x" * 240 + ".jpg")
    odd.write_bytes(frame())
    bytes_name = bytes(tmp_path) + b"/caf\xe9.jpg"
    with open(bytes_name, "wb") as file:
        file.write(frame())
    out, _err = run(workshop.pk, tmp_path)
    assert out.startswith("2 frames taken")
    assert sorted(len(one.file_name) for one in Frame.objects.all()) == [8, 200]


@pytest.mark.slow
def test_ten_thousand_frames_come_in_without_filling_the_memory(workshop, tmp_path):
    for number in range(10_000):
        fraction = ascii(f"{number:05}")
        content = frame(SubSecTimeOriginal=fraction, MakerNote=undefined(b"\1" * 20_000))
        (tmp_path / f"IMG_{number:05}.JPG").write_bytes(content)
    before_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    began_s = time.monotonic()
    out, _err = run(workshop.pk, tmp_path)
    more_mb = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before_kb) >> 10
    print(f"{time.monotonic() - began_s:.1f} s, {more_mb} MB more than before")
    assert out.startswith("10000 frames taken")
    assert more_mb < 64  # a batch of heads, and no more for 10,000 files than for 100
