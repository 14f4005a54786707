"""Frames come in once, whoever's they are, and go again with their lot."""

import pytest

from planning.frames_in import read_jpeg
from planning.models import CameraClock, Frame, FrameLot
from planning.services import frames
from planning.services.frames import delete_lot, end_lot, open_lot, settle_body, take_frames
from tests import factories as make
from tests.jpegs import ascii, frame, rational, short
from workshops.errors import Refused
from workshops.models import AuditEntry

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def workshop():
    return make.WorkshopFactory()


@pytest.fixture
def booking(workshop):
    return make.BookingFactory(workshop=workshop)


def lot_of(workshop, booking=None, **changes) -> FrameLot:
    asked = {"name": "card", "expected": None, "now": make.NOW}
    return open_lot(by=None, workshop=workshop, booking=booking, **asked | changes)


def files(*names: str, **changes):
    return [read_jpeg(name, frame(**changes)) for name in names]


def counts(lot: FrameLot) -> tuple[int, int, int, int]:
    lot.refresh_from_db()
    return lot.done, lot.taken, lot.known, len(lot.faults)


def test_a_frame_is_kept_as_its_file_says_it_and_not_on_the_marks(workshop, booking):
    lot = take_frames(by=None, lot=lot_of(workshop, booking), files=files("a/IMG_1.JPG"))
    kept = Frame.objects.get()
    assert counts(lot) == (1, 1, 0, 0)
    assert (kept.file_name, kept.body, kept.booking) == ("IMG_1.JPG", "Maker Model One", booking)
    # 1/125 and f/5.6 as written; the exact marks are 1/128 s and 2^2.5.
    assert (kept.shutter_s, kept.f_number, kept.iso, kept.focal_mm) == (0.008, 5.6, 200, 85)
    assert kept.flash_bits == 0x10
    assert kept.clock_at.isoformat() == "2027-05-08T19:31:05+00:00"


def test_the_same_frame_twice_is_once_whatever_folder_or_lot_it_comes_with(workshop):
    first = take_frames(by=None, lot=lot_of(workshop), files=files("A.jpg", "B.jpg", "card/a.JPG"))
    second = take_frames(by=None, lot=lot_of(workshop), files=files("A.jpg", "C.jpg"))
    assert counts(first) == (3, 2, 1, 0)
    assert counts(second) == (2, 1, 1, 0)
    assert sorted(Frame.objects.values_list("file_name", flat=True)) == ["A.jpg", "B.jpg", "C.jpg"]


@pytest.mark.parametrize(
    "other",
    [
        {"SubSecTimeOriginal": ascii("51")},
        {"ExposureTime": rational(1, 160)},
        {"PhotographicSensitivity": short(400)},
        {"BodySerialNumber": ascii("2")},
    ],
)
def test_frames_that_differ_in_anything_read_are_two(workshop, other):
    lot = lot_of(workshop)
    usual = {"SubSecTimeOriginal": ascii("50"), "BodySerialNumber": ascii("1")}
    take_frames(by=None, lot=lot, files=files("A.jpg", "B.jpg", **usual))
    take_frames(by=None, lot=lot, files=files("A.jpg", **usual | other))
    assert counts(lot) == (3, 3, 0, 0)


# CIPA DC-008 table 8: SubSecTimeOriginal holds the digits of the fraction, as many as there are.
HUNDREDTHS = {"SubSecTimeOriginal": ascii("37")}


@pytest.mark.parametrize(
    ("first", "again", "known"),
    [
        # A copy under another name, the day after too: the clock's hundredths tell.
        (("A.jpg", HUNDREDTHS), ("A (1).jpg", HUNDREDTHS), 1),
        (("A.jpg", HUNDREDTHS), ("A.jpg", {"SubSecTimeOriginal": ascii("38")}), 0),
        # Whole seconds and tenths: a burst shares them, so only the name tells.
        (("A.jpg", {}), ("B.jpg", {}), 0),
        (
            ("A.jpg", {"SubSecTimeOriginal": ascii("3")}),
            ("B.jpg", {"SubSecTimeOriginal": ascii("3")}),
            0,
        ),
        # Made anew by a converter: the fraction dropped, 10/1250 written as 1/125, no focal length.
        (("A.jpg", HUNDREDTHS), ("a.JPG", {"FocalLength": None}), 1),
        (
            ("A.jpg", {"ExposureTime": rational(10, 601)}),
            ("A.jpg", {"ExposureTime": rational(1, 60)}),
            1,
        ),
        # A table knows a serial number the picture does not state; another one is another body.
        (("A.jpg", {}), ("A.jpg", {"BodySerialNumber": ascii("7")}), 1),
        (
            ("A.jpg", HUNDREDTHS | {"BodySerialNumber": ascii("7")}),
            ("B.jpg", HUNDREDTHS | {"BodySerialNumber": ascii("77")}),
            0,
        ),
        # Two bodies of one model without serial numbers, pressed in the same second.
        (("A.jpg", HUNDREDTHS), ("B.jpg", {"SubSecTimeOriginal": ascii("52")}), 0),
        # Without a time nothing but all of it being equal makes two files one.
        (("A.jpg", {"DateTimeOriginal": None}), ("B.jpg", {"DateTimeOriginal": None}), 0),
    ],
)
def test_one_frame_under_two_names_is_once_and_two_frames_are_two(workshop, first, again, known):
    lots = [lot_of(workshop), lot_of(workshop)]
    for lot, (name, changes) in zip(lots, (first, again), strict=True):
        take_frames(by=None, lot=lot, files=files(name, **changes))
    assert counts(lots[1])[1:3] == (1 - known, known)
    # And in one lot it is no other.
    both = [one for name, changes in (first, again) for one in files(name, **changes)]
    lot = take_frames(by=None, lot=lot_of(make.WorkshopFactory()), files=both)
    assert counts(lot)[1:3] == (2 - known, known)


def test_a_burst_within_a_second_is_as_many_frames_as_it_has_files(workshop):
    names = [f"IMG_{number}.jpg" for number in range(20)]
    lot = take_frames(by=None, lot=lot_of(workshop), files=files(*names))
    assert counts(lot) == (20, 20, 0, 0)


def test_a_renamed_copy_gives_a_frame_to_whoever_brings_it_in(workshop, booking):
    take_frames(by=None, lot=lot_of(workshop), files=files("A.jpg", **HUNDREDTHS))
    take_frames(by=None, lot=lot_of(workshop, booking), files=files("mine.jpg", **HUNDREDTHS))
    assert Frame.objects.get().booking == booking


def test_the_same_file_may_come_in_at_two_workshops(workshop):
    for one in (workshop, make.WorkshopFactory()):
        take_frames(by=None, lot=lot_of(one), files=files("A.jpg"))
    assert Frame.objects.count() == 2


def test_a_batch_sent_twice_changes_nothing(workshop):
    lot = lot_of(workshop, expected=3)
    take_frames(by=None, lot=lot, files=files("A.jpg", "B.jpg"), start=0)
    before = counts(lot)
    take_frames(by=None, lot=lot, files=files("A.jpg", "B.jpg"), start=0)
    assert counts(lot) == before == (2, 2, 0, 0)
    # What overlaps is passed over, what follows comes in.
    take_frames(by=None, lot=lot, files=files("B.jpg", "C.jpg"), start=1)
    assert counts(lot) == (3, 3, 0, 0)
    with pytest.raises(Refused, match="have not come in"):
        take_frames(by=None, lot=lot, files=files("D.jpg"), start=7)


def test_what_is_not_taken_is_told_and_beyond_a_thousand_counted(workshop, monkeypatch):
    monkeypatch.setattr(frames, "MOST_FAULTS", 2)
    lot = lot_of(workshop)
    take_frames(by=None, lot=lot, files=[read_jpeg(f"{n}.txt", b"text") for n in range(3)])
    assert counts(lot) == (3, 0, 0, 2)
    name, why = lot.faults[0]
    assert name == "0.txt"
    assert "no JPEG" in why


def test_a_lot_holds_so_many_files_and_no_more(workshop, monkeypatch):
    monkeypatch.setattr(frames, "MOST_FILES", 2)
    lot = lot_of(workshop)
    take_frames(by=None, lot=lot, files=files("A.jpg"))
    with pytest.raises(Refused, match="at most 2 files"):
        take_frames(by=None, lot=lot, files=files("B.jpg", "C.jpg"))
    with pytest.raises(Refused, match="at most 2 files"):
        lot_of(workshop, expected=3)
    assert counts(lot) == (1, 1, 0, 0)


def test_nothing_comes_into_a_lot_that_has_ended(workshop):
    lot = end_lot(by=None, lot=lot_of(workshop), now=make.NOW)
    with pytest.raises(Refused, match="bring in others anew"):
        take_frames(by=None, lot=lot, files=files("A.jpg"))
    assert end_lot(by=None, lot=lot, now=make.SET_START).ended_at == make.NOW


def test_a_frame_that_was_nobodys_becomes_the_one_who_brings_it_in_again(workshop, booking):
    take_frames(by=None, lot=lot_of(workshop), files=files("A.jpg"))
    lot = take_frames(by=None, lot=lot_of(workshop, booking), files=files("A.jpg"))
    assert counts(lot) == (1, 0, 1, 0)
    assert Frame.objects.get().booking == booking
    # And stays theirs, whoever brings it in next.
    other = make.BookingFactory(workshop=workshop)
    take_frames(by=None, lot=lot_of(workshop, other), files=files("A.jpg"))
    assert Frame.objects.get().booking == booking


def test_a_body_is_settled_by_one_press_and_given_back_by_another(workshop, booking):
    lot = lot_of(workshop)
    take_frames(by=None, lot=lot, files=files("A.jpg", "B.jpg"))
    take_frames(by=None, lot=lot, files=files("C.jpg", BodySerialNumber=ascii("77")))
    body = "Maker Model One"
    assert settle_body(by=None, workshop=workshop, body=body, booking=booking) == 2
    assert Frame.objects.filter(booking=booking).count() == 2
    assert settle_body(by=None, workshop=workshop, body=body, booking=booking) == 0
    assert settle_body(by=None, workshop=workshop, body=body, booking=None) == 2
    with pytest.raises(Refused, match="no frames of this body"):
        settle_body(by=None, workshop=workshop, body="another", booking=booking)


def test_nobody_of_another_workshop_owns_frames_here(workshop):
    stranger = make.BookingFactory(workshop=make.WorkshopFactory())
    with pytest.raises(Refused, match="no seat"):
        lot_of(workshop, stranger)
    take_frames(by=None, lot=lot_of(workshop), files=files("A.jpg"))
    with pytest.raises(Refused, match="no seat"):
        settle_body(by=None, workshop=workshop, body="Maker Model One", booking=stranger)


def test_a_lot_goes_with_its_frames_and_leaves_a_clock_found_by_one_of_them(workshop):
    keep, lot = lot_of(workshop), lot_of(workshop)
    take_frames(by=None, lot=keep, files=files("A.jpg"))
    take_frames(by=None, lot=lot, files=files("B.jpg"))
    shown = Frame.objects.get(file_name="B.jpg")
    make.CameraClockFactory(workshop=workshop, body=shown.body, frame=shown, add_s=37.5)
    user = make.UserFactory()
    delete_lot(by=user, lot=lot)
    assert Frame.objects.get().file_name == "A.jpg"
    assert (CameraClock.objects.get().add_s, CameraClock.objects.get().frame) == (37.5, None)
    gone = AuditEntry.objects.filter(action=AuditEntry.Action.DELETED, who=user)
    assert set(gone.values_list("record_type", flat=True)) == {
        "planning.framelot",
        "planning.frame",
    }
