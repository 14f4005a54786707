"""The page frames come in by: one or six hundred, with scripts and without, and nothing kept."""

import io
import json
import os
import zipfile
from datetime import UTC, datetime, timedelta

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.db import connection
from django.test import Client, override_settings
from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planning.after.jpeg import FIRST_BYTES
from planning.frames_in import store
from planning.models import Frame, FrameLot
from planning.views import frames as views
from tests import factories as make
from tests.jpegs import (
    GPS_IFD,
    JFIF,
    LITTLE,
    TAGS,
    ascii,
    block,
    camera,
    exif_segment,
    frame,
    jpeg,
    rational,
    segment,
    tags,
    undefined,
)
from workshops.due import due

pytestmark = pytest.mark.django_db

CSV = b"FileName,DateTimeOriginal,ExposureTime\nA.jpg,2027:05:08 19:31:05,1/125\nB.jpg,,\n"


@pytest.fixture(autouse=True)
def place(tmp_path):
    """A data folder of its own: what a test leaves there is seen."""
    with override_settings(DATA_DIR=tmp_path):
        yield tmp_path


@pytest.fixture
def workshop():
    make.HouseFactory()
    return make.WorkshopFactory()


@pytest.fixture
def booking(workshop):
    person = make.PersonFactory(name="Ada")
    make.CameraFactory(owner=person, name="Maker Model One")
    return make.BookingFactory(workshop=workshop, person=person)


@pytest.fixture
def office(client):
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def upload(name: str, content: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


def zipped(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return out.getvalue()


def page_of(workshop) -> str:
    return reverse("workshop-frames", args=[workshop.pk])


def sent(client, workshop, *files, **more):
    return client.post(page_of(workshop), {"files": list(files), **more})


def part(client, workshop, *files, sizes=None, **more):
    sizes = [one.size for one in files] if sizes is None else sizes
    told = {"files": list(files), "sizes": json.dumps(sizes), "start": 0, "expected": len(files)}
    headers = {"Accept": "application/json"}
    return client.post(page_of(workshop), {**told, **more}, headers=headers)


def left_in(place) -> list:
    folder = place / store.FOLDER
    return sorted(folder.iterdir()) if folder.exists() else []


def test_many_jpegs_come_in_at_once_and_each_is_told_of(office, workshop, booking, place):
    files = [upload(f"IMG_{n}.JPG", frame()) for n in range(150)]
    files += [upload("notes.txt.jpg", b"text"), upload("EMPTY.JPG", b"")]
    answer = sent(office, workshop, *files, booking=booking.pk)
    assert answer.status_code == 302
    assert Frame.objects.filter(booking=booking).count() == 150
    shown = office.get(answer.headers["Location"]).content.decode()
    assert "150 frames taken" in shown
    assert "This is no JPEG" in shown
    assert "notes.txt.jpg" in shown
    assert left_in(place) == []


def test_the_same_files_again_are_known(office, workshop):
    for _round in range(2):
        sent(office, workshop, upload("A.jpg", frame()), upload("B.jpg", frame()))
    assert Frame.objects.count() == 2
    assert [lot.known for lot in FrameLot.objects.order_by("pk")] == [0, 2]


def test_a_zip_comes_in_and_is_gone(office, workshop, place):
    pictures = {f"day/IMG_{n}.JPG": frame() for n in range(5)} | {"day/notes.pdf": b"%PDF-1.7"}
    answer = sent(office, workshop, upload("day.zip", zipped(pictures)))
    shown = office.get(answer.headers["Location"], follow=True).content.decode()
    lot = FrameLot.objects.get()
    assert (lot.done, lot.taken, lot.name) == (6, 5, "day.zip")
    assert lot.ended_at is not None
    assert "day/notes.pdf" in shown
    assert left_in(place) == []


def test_a_csv_comes_in_and_its_rows_are_told_of(office, workshop, place):
    answer = sent(office, workshop, upload("tags.csv", CSV))
    shown = office.get(answer.headers["Location"]).content.decode()
    assert Frame.objects.get().shutter_s == 0.008
    assert "row 3, B.jpg" in shown
    assert left_in(place) == []


def test_a_zip_that_takes_long_says_how_far_it_has_come_and_goes_on(
    office, workshop, place, monkeypatch
):
    monkeypatch.setattr(views, "GO_ON_S", -1)  # one batch a visit
    monkeypatch.setattr("planning.bringing.BATCH", 2)
    pictures = {f"IMG_{n}.JPG": frame() for n in range(5)}
    then = sent(office, workshop, upload("day.zip", zipped(pictures))).headers["Location"]
    first = office.get(then).content.decode()
    assert "2 of 5 files of day.zip are in" in first
    assert 'http-equiv="refresh" content="0; url=?go=1"' in first
    assert left_in(place) != []
    # Looked at without going on, nothing moves, and the page says how to go on.
    still = office.get(page_of(workshop)).content.decode()
    assert "2 of 5 files" in still
    assert "http-equiv" not in still
    assert Frame.objects.count() == 2
    office.get(then)
    last = office.get(then).content.decode()
    assert "http-equiv" not in last
    assert Frame.objects.count() == 5
    assert left_in(place) == []


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("day.zip", b"PK\3\4 and then nothing", "damaged or cut off"),
        ("day.zip", zipped({}), "holds no files"),
        ("day.zip", zipped({"a.jpg": frame()})[:-10], "damaged or cut off"),
        ("tags.csv", b"", "empty"),
        ("tags.csv", b"FileName,ISO\nA.jpg,100\n", "lacks DateTimeOriginal"),
        ("tags.csv", b"\x89PNG\0\0\0\0", "no text file"),
    ],
)
def test_a_file_that_cannot_be_read_at_all_is_refused_and_gone(
    office, workshop, place, name, content, why
):
    answer = sent(office, workshop, upload(name, content))
    shown = answer.content.decode() if answer.status_code == 422 else ""
    if answer.status_code == 302:  # an empty file is a file of which nothing comes
        shown = office.get(answer.headers["Location"]).content.decode()
    assert why in shown
    assert Frame.objects.count() == 0
    assert left_in(place) == []


def test_of_several_files_each_that_cannot_be_read_is_named_and_the_others_come_in(
    office, workshop
):
    bad = upload("notes.txt", b"FileName,DateTimeOriginal\n")
    worse = upload("day.zip", b"PK\x03\x04 cut off")
    files = [bad, upload("tags.csv", CSV), worse, upload("A.jpg", frame())]
    page = sent(office, workshop, *files)
    assert page.status_code == 422
    said = page.content.decode()
    assert "notes.txt: " in said
    assert "day.zip: " in said
    assert "tags.csv: " not in said
    assert FrameLot.objects.count() == 2  # the JPEG, and the table


def test_a_form_without_files_is_refused(office, workshop):
    answer = office.post(page_of(workshop), {"booking": ""})
    assert answer.status_code == 422
    assert "Choose the files first" in answer.content.decode()
    answer = sent(office, workshop, upload("A.jpg", frame()), booking=999)
    assert answer.status_code == 422
    assert "Whose: choose one of this workshop" in answer.content.decode()
    assert FrameLot.objects.count() == 0


def test_more_files_than_a_form_may_send_are_refused_in_words(office, workshop):
    files = [upload(f"{n}.jpg", b"x") for n in range(6)]
    with override_settings(DATA_UPLOAD_MAX_NUMBER_FILES=5):
        answer = sent(office, workshop, *files)
    assert answer.status_code == 413
    assert "at most 5 files at a time, or bring in a ZIP" in answer.content.decode()


def test_every_other_form_takes_few_files(office):
    # The limit Django ships with, 100, holds wherever files are kept in memory.
    files = [upload(f"{n}.csv", b"x") for n in range(101)]
    assert settings.DATA_UPLOAD_MAX_NUMBER_FILES > 101
    assert office.post(reverse("people-in"), {"file": files}).status_code == 400
    assert office.post(reverse("people-in"), {"file": files[:1]}).status_code in (200, 302, 422)


def test_a_browser_sends_first_parts_and_a_part_sent_twice_is_once(office, workshop, booking):
    heads = [upload(f"IMG_{n}.JPG", frame()[:FIRST_BYTES]) for n in range(3)]
    sizes = [12_000_000] * 3
    first = part(office, workshop, *heads, sizes=sizes, booking=booking.pk, expected=4).json()
    assert (first["done"], first["taken"], first["known"]) == (3, 3, 0)
    again = [upload(f"IMG_{n}.JPG", frame()) for n in range(3)]
    second = part(office, workshop, *again, sizes=sizes, lot=first["lot"], expected=4).json()
    assert second == first
    last = part(
        office, workshop, upload("X.JPG", b"text"), lot=first["lot"], start=3, expected=4, end=1
    ).json()
    assert (last["done"], last["taken"]) == (4, 3)
    lot = FrameLot.objects.get()
    assert lot.ended_at is not None
    assert [frame.booking for frame in Frame.objects.all()] == [booking] * 3


def test_a_browser_is_asked_for_more_of_a_file_where_the_file_says_so(office, workshop):
    exif = exif_segment(block(camera(), tags()))
    late = jpeg(JFIF, segment(0xE2, b"\0" * 60_000), segment(0xE2, b"\0" * 60_000), exif)
    usual, size = upload("A.JPG", frame()[:FIRST_BYTES]), 9_000_000
    short = upload("B.JPG", late[:FIRST_BYTES])
    asked = part(office, workshop, usual, short, sizes=[size, size]).json()
    assert list(asked) == ["more"]
    assert FrameLot.objects.count() == 0
    upto = asked["more"]["1"]
    assert list(asked["more"]) == ["1"]
    heads = [upload("A.JPG", frame()[:FIRST_BYTES]), upload("B.JPG", late[:upto])]
    assert part(office, workshop, *heads, sizes=[size, size]).json()["taken"] == 2


def test_a_file_that_ends_before_its_exif_is_not_asked_for_again(office, workshop):
    cut = frame()[:100]
    told = part(office, workshop, upload("A.JPG", cut)).json()
    assert (told["done"], told["taken"]) == (1, 0)
    assert "cut off" in FrameLot.objects.get().faults[0][1]


@pytest.mark.parametrize(
    "more",
    [
        {"sizes": [1, 2, 3]},
        {"sizes": "x"},
        {"lot": 999},
        {"start": -1},
        {"start": 50},
        {"booking": 999},
        {"expected": 20_001},
    ],
)
def test_parts_that_do_not_fit_are_refused_and_nothing_is_kept(office, workshop, more):
    answer = part(office, workshop, upload("A.JPG", frame()), **more)
    assert answer.status_code in (404, 422)
    assert Frame.objects.count() == 0


def test_a_body_that_is_nobodys_names_whose_camera_is_alike_and_is_settled(
    office, workshop, booking
):
    sent(office, workshop, upload("A.jpg", frame(BodySerialNumber=ascii("42"))))
    shown = office.get(page_of(workshop)).content.decode()
    assert "Same make and model as the camera of Ada" in shown
    assert Frame.objects.get().booking is None  # in words only
    told = {"body": "Maker Model One 42", "booking": booking.pk}
    settle = reverse("frames-settle", args=[workshop.pk])
    answer = office.post(settle, told, follow=True)
    assert "Maker Model One 42: 1 frames are now Ada" in answer.content.decode()
    assert Frame.objects.get().booking == booking
    assert "Same make" not in answer.content.decode()
    stranger = make.BookingFactory(workshop=make.WorkshopFactory())
    office.post(settle, told | {"booking": stranger.pk})
    assert Frame.objects.get().booking == booking


def test_a_lot_is_deleted_with_its_frames_and_its_file(office, workshop, place, monkeypatch):
    monkeypatch.setattr(views, "GO_ON_S", -1)
    monkeypatch.setattr("planning.bringing.BATCH", 1)
    then = sent(office, workshop, upload("d.zip", zipped({"a.jpg": frame(), "b.jpg": frame()})))
    office.get(then.headers["Location"])
    lot = FrameLot.objects.get()
    assert len(left_in(place)) == 1
    office.post(reverse("frame-lot-delete", args=[lot.pk]))
    assert not Frame.objects.exists()
    assert not FrameLot.objects.exists()
    assert left_in(place) == []


def test_a_zip_nobody_came_back_for_is_forgotten_after_a_day(office, workshop, place, monkeypatch):
    monkeypatch.setattr(views, "GO_ON_S", -1)
    monkeypatch.setattr("planning.bringing.BATCH", 1)
    files = {"a.jpg": frame(), "b.jpg": frame()}
    then = sent(office, workshop, upload("d.zip", zipped(files))).headers["Location"]
    office.get(then)
    (kept,) = left_in(place)
    assert kept.stat().st_mode & 0o777 == 0o600  # for nobody else on the machine
    assert kept.parent.stat().st_mode & 0o777 == 0o700
    brought = datetime.fromtimestamp(kept.stat().st_mtime, UTC)
    due(brought + timedelta(hours=23))
    assert left_in(place) == [kept]
    assert any("1 file of frames" in did for did in due(brought + timedelta(hours=25)))
    assert left_in(place) == []
    office.force_login(make.UserFactory(email="later@example.org"))  # the log-in ran out meanwhile
    shown = office.get(then).content.decode()
    assert "broken off: bring in the same files again" in shown
    assert Frame.objects.count() == 1


def test_where_it_was_taken_and_what_is_written_into_it_leave_no_trace(
    office, workshop, place, tmp_path
):
    secret = {
        TAGS["UserComment"]: undefined(b"ASCII\0\0\0canary in the comment"),
        TAGS["MakerNote"]: undefined(b"canary of the maker" * 20),
        0xA430: ascii("canary the owner"),  # CameraOwnerName
    }
    first = {
        **camera(),
        TAGS["Artist"]: ascii("canary the artist"),
        TAGS["ImageDescription"]: ascii("canary described"),
    }
    gps = {0x0002: rational(38_712_345, 1_000_000), 0x001D: ascii("2027:05:08 canary")}
    tiff = block(first, {**tags(), **secret}, gps=gps, order=LITTLE)
    assert GPS_IFD.to_bytes(2, "little") in tiff
    content = jpeg(exif_segment(tiff), segment(0xFE, b"canary the comment segment"))
    assert content.count(b"canary") == 26
    sent(office, workshop, upload("A.jpg", content))
    sent(office, workshop, upload("d.zip", zipped({"B.jpg": content})))
    office.get(page_of(workshop) + "?go=1")
    assert Frame.objects.count() == 2
    call_command("dumpdata", output=str(tmp_path / "all.json"))
    kept = (tmp_path / "all.json").read_text(encoding="utf-8")
    assert "A.jpg" in kept
    assert "Model One" in kept
    for trace in ("canary", "38.71", "38712345", 'longitude_deg": 38'):
        assert trace not in kept, trace
    assert left_in(place) == []


def test_nothing_of_a_picture_stays_anywhere(office, workshop, place, tmp_path):
    canary = b"picture-canary-" * 50_000  # 750 KB: longer than any head, larger than memory files
    content = frame() + canary
    sent(office, workshop, upload("A.jpg", content), upload("B.jpg", content))
    sent(office, workshop, upload("d.zip", zipped({"C.jpg": content})))
    office.get(page_of(workshop) + "?go=1")
    assert Frame.objects.count() == 3
    assert left_in(place) == []
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


class Torn(io.BytesIO):
    """A connection that breaks off after its last byte."""

    def read(self, *size):
        if data := super().read(*size):
            return data
        raise OSError("connection reset")


@pytest.mark.parametrize("stream", [io.BytesIO, Torn])
@pytest.mark.parametrize("name", ["d.zip", "tags.csv", "A.jpg"])
def test_an_upload_that_breaks_off_leaves_nothing(office, workshop, place, stream, name):
    packed = zipped({"a.jpg": frame() + os.urandom(400_000)})
    content = {"d.zip": packed, "tags.csv": CSV * 9000, "A.jpg": frame() + b"\0" * 400_000}[name]
    files = [upload("first.zip", packed), upload(name, content)]
    whole = encode_multipart(BOUNDARY, {"files": files})
    cut = whole[: len(whole) - 200_000]
    length = str(len(whole) if stream is Torn else len(cut))
    told = {"wsgi.input": stream(cut), "CONTENT_LENGTH": length, "CONTENT_TYPE": MULTIPART_CONTENT}
    office.generic("POST", page_of(workshop), **told)
    office.get(page_of(workshop) + "?go=1")  # what came whole before it may come in
    assert left_in(place) == []
    assert not Frame.objects.exclude(file_name="a.jpg").exists()


def test_the_page_asks_no_more_of_many_frames_than_of_few(office, workshop, booking):
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            assert office.get(page_of(workshop)).status_code == 200
        return len(queries)

    sent(office, workshop, upload("A.jpg", frame()), booking=booking.pk)
    office.get(page_of(workshop))
    few = asked()
    for body in range(3):
        files = [
            upload(f"{body}{number}.jpg", frame(BodySerialNumber=ascii(str(body))))
            for number in range(20)
        ]
        sent(office, workshop, *files, booking=booking.pk)
    assert asked() == few


def test_frames_are_for_those_who_teach_and_taken_from_this_site_alone(workshop, place):
    strict = Client(enforce_csrf_checks=True)
    assert sent(strict, workshop, upload("A.jpg", frame())).status_code == 302  # to the log-in
    strict.force_login(make.UserFactory(email="office@example.org"))
    assert sent(strict, workshop, upload("A.jpg", frame())).status_code == 403
    assert sent(strict, workshop, upload("d.zip", zipped({"a.jpg": frame()}))).status_code == 403
    assert Frame.objects.count() == 0
    assert left_in(place) == []
