"""Pages of the cameras' clocks: the clock to photograph, and three ways to find one."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planning.models import CameraClock, Frame
from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.pages.days import words
from tests.planning import rhythm

pytestmark = pytest.mark.django_db

BODY = "Full-frame body 1"
START = make.SET_START  # 14:10 on the clock of the place, 13:10 UTC


@pytest.fixture
def planned(house):
    return make.LightFactory(planned_set__position=1, planned_set__turn_min=5.0).planned_set


@pytest.fixture
def workshop(planned):
    return planned.workshop


@pytest.fixture
def lot(workshop):
    return make.FrameLotFactory(workshop=workshop)


@pytest.fixture
def instructor(workshop):
    person = make.RoleFactory(workshop=workshop, role="lead").person
    client = Client()
    client.force_login(
        make.UserFactory(role="instructor", person=person, is_staff=False, is_superuser=False)
    )
    return client


def clock_of(workshop):
    return f"{reverse('frames-clock', args=[workshop.pk])}?body={BODY}"


def frame(lot, at, **more):
    return make.FrameFactory(lot=lot, clock_at=at, **more)


def test_the_clock_page_shows_the_time_of_the_place_and_its_date(instructor, workshop):
    # Auckland in January keeps UTC+13 (tz database).
    workshop.timezone_name = "Pacific/Auckland"
    workshop.save()
    answer = instructor.get(reverse("workshop-clock", args=[workshop.pk]))
    page = words(answer)
    at = answer.context["at"]
    assert f"{at:%H:%M:%S}" in page
    assert f"{at:%Y-%m-%d}" in page
    assert at.tzinfo.key == "Pacific/Auckland"
    assert "Photograph this with every camera" in page
    assert "no-store" in answer.headers["Cache-Control"]


def test_the_script_is_told_the_time_of_the_server_in_utc(instructor, workshop):
    before = datetime.now(UTC)
    told = instructor.get(reverse("clock-now", args=[workshop.pk])).json()
    at = datetime.fromtimestamp(told["now_ms"] / 1000, UTC)
    assert before - timedelta(seconds=1) < at < datetime.now(UTC) + timedelta(seconds=1)
    assert told["offset_s"] in (0, 3600)


def test_a_frame_of_the_clock_page_sets_the_body_right(instructor, workshop, lot):
    # The camera kept Tokyo, and 7 s: at 09:58:12 in Britain (08:58:12 UTC) it showed 17:58:19.
    one = frame(lot, datetime(2027, 5, 8, 17, 58, 19, tzinfo=UTC), file_name="IMG_0001.JPG")
    place = clock_of(workshop)
    form = {"do": "shown", "shown-file_name": "img_0001.jpg", "shown-shown_time": "09:58:12"}
    answer = instructor.post(place, form | {"shown-shown_on": "2027-05-08"}, follow=True)
    clock = CameraClock.objects.get()
    assert (clock.add_s, clock.way, clock.frame) == (-9 * 3600 - 7.0, "shown", one)
    assert "8 h 7 s ahead of the clock of the place" in words(answer)
    assert "IMG_0001.JPG; within a second" in words(answer)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"shown-file_name": "other.jpg"}, "No frame of this body is called other.jpg."),
        ({"shown-shown_time": "25:00:00"}, "such as 09:58:12"),
        ({"shown-shown_time": ""}, "required"),
        ({"shown-shown_on": "soon"}, "Enter a date, such as 2027-05-08."),
        (
            {"shown-shown_on": "2027-03-28", "shown-shown_time": "01:30:00"},
            "01:30:00 does not exist on 2027-03-28",
        ),
    ],
)
def test_what_a_frame_cannot_show_is_refused_at_its_field(
    instructor, workshop, lot, typed, sentence
):
    frame(lot, START, file_name="IMG_0001.JPG")
    form = {
        "do": "shown",
        "shown-file_name": "IMG_0001.JPG",
        "shown-shown_time": "09:58:12",
        "shown-shown_on": "2027-05-08",
    }
    answer = instructor.post(clock_of(workshop), form | typed)
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not CameraClock.objects.exists()


def test_the_hour_shown_twice_is_told_apart(instructor, workshop, lot):
    # Europe/London, 31 October 2027: 01:30 comes at 00:30 UTC, and again at 01:30 UTC.
    workshop.start_at = datetime(2027, 10, 30, 20, 0, tzinfo=UTC)
    workshop.end_at = datetime(2027, 10, 31, 6, 0, tzinfo=UTC)
    workshop.save()
    frame(lot, datetime(2027, 10, 31, 1, 30, tzinfo=UTC), file_name="IMG_0001.JPG")
    form = {
        "do": "shown",
        "shown-file_name": "IMG_0001.JPG",
        "shown-shown_time": "01:30:00",
        "shown-shown_on": "2027-10-31",
    }
    assert "the second time that night" in words(instructor.get(clock_of(workshop)))
    instructor.post(clock_of(workshop), form)
    assert CameraClock.objects.get().add_s == -3600
    instructor.post(clock_of(workshop), form | {"shown-second_time": "on"})
    assert CameraClock.objects.get().add_s == 0


@pytest.mark.parametrize(
    ("typed", "add_s", "told"),
    [
        ({"hand-span": "1:02:00"}, -3600 - 3720, "1 h 2 min ahead of the clock of the place"),
        ({"hand-span": "2 min", "hand-way": "behind"}, -3600 + 120, "2 min behind"),
        ({"hand-span": "0:00", "hand-zone": "Asia/Tokyo"}, -9 * 3600, "8 h ahead"),
        ({"hand-days": "365", "hand-way": "behind"}, -3600 + 365 * 86400, "365 days behind"),
        ({}, -3600, "on the clock of the place"),
    ],
)
def test_an_offset_is_set_by_hand(instructor, workshop, lot, typed, add_s, told):
    frame(lot, START)
    form = {"do": "hand", "hand-way": "ahead"} | typed
    answer = instructor.post(clock_of(workshop), form, follow=True)
    assert CameraClock.objects.get().add_s == add_s
    assert told in words(answer)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"hand-span": "62"}, "such as 1:02:00"),
        ({"hand-span": "1:99:00"}, "such as 1:02:00"),
        ({"hand-span": "37:08"}, "such as 1:02:00"),  # minutes and seconds, or hours?
        ({"hand-zone": "Mars/Base"}, "Mars/Base is no time zone"),
    ],
)
def test_an_offset_that_says_nothing_is_refused(instructor, workshop, lot, typed, sentence):
    frame(lot, START)
    answer = instructor.post(clock_of(workshop), {"do": "hand", "hand-way": "ahead"} | typed)
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not CameraClock.objects.exists()


def test_absurd_text_breaks_no_form(instructor, workshop, lot):
    frame(lot, START)
    place = reverse("frames-sets", args=[workshop.pk])
    for text in ABSURD:
        for prefix, names in (
            ("shown", ("file_name", "shown_time", "shown_on")),
            ("hand", ("days", "span", "way", "zone")),
        ):
            typed = {"do": prefix} | {f"{prefix}-{name}": text for name in names}
            assert instructor.post(clock_of(workshop), typed).status_code == 422, text
        typed = dict.fromkeys(("to", "body", "from_time", "to_time", "day", "frame"), text)
        assert instructor.post(place, typed).status_code == 422, text


def test_a_clock_goes_back_to_none(instructor, workshop, lot):
    frame(lot, START)
    make.CameraClockFactory(workshop=workshop, body=BODY, add_s=5.0)
    answer = instructor.post(clock_of(workshop), {"do": "none"}, follow=True)
    assert not CameraClock.objects.exists()
    assert "a guess: it keeps the clock of the place" in words(answer)


def lived(workshop, lot, planned, day):
    """Note a made-up day's turns on sets of the workshop, and bring the frames of booking 1 in."""
    people = {
        number: make.BookingFactory(workshop=workshop)
        for number in sorted({turn.booking_id for span in day.spans for turn in span.turns})
    }
    for number, span in enumerate(day.spans):
        one = make.SetFactory(
            workshop=workshop,
            location=planned.location,
            position=50 + number,
            start_at=span.begins_at,
            end_at=span.ends_at,
            turn_min=5.0,
        )
        for turn in span.turns:
            make.EventFactory(
                planned_set=one,
                kind="turn given",
                booking=people[turn.booking_id],
                at=turn.ends_at,
                round=1,
            )
    for number, shot in enumerate(day.shots):
        frame(lot, shot.clock_at, booking=people[1], file_name=f"{number}.jpg")


def test_a_best_fit_is_shown_with_its_evidence_and_accepted_by_a_press(
    instructor, workshop, lot, planned
):
    day = rhythm.day(2, people=5, sets=4, add_s=-9 * 3600 - 40)
    lived(workshop, lot, planned, day)
    page = instructor.get(clock_of(workshop))
    assert "fall into own turns" in words(page)
    assert page.context["fit"].sure
    form = {"do": "fit", "add_s": f"{page.context['fit'].add_s:.3f}"}
    # What was shown has changed since: nothing is taken.
    refused = instructor.post(clock_of(workshop), form | {"add_s": "0"})
    assert (refused.status_code, CameraClock.objects.count()) == (422, 0)
    instructor.post(clock_of(workshop), form)
    clock = CameraClock.objects.get()
    assert (clock.way, clock.add_s) == ("fit", pytest.approx(day.add_s, abs=180))


def test_a_fit_that_is_not_clear_is_not_offered(instructor, workshop, lot, planned):
    few = rhythm.Habit(a_turn=(1, 1), over_a_set=(0, 0), demo=(0, 0), between=(0, 0))
    day = rhythm.day(7, people=5, sets=4, add_s=-3600, habit=few)
    lived(workshop, lot, planned, day)
    page = instructor.get(clock_of(workshop))
    assert "Not clear enough to use." in words(page)
    assert "Use this" not in words(page)
    assert instructor.post(clock_of(workshop), {"do": "fit", "add_s": "0"}).status_code == 422


def test_no_page_asks_more_for_more_frames(instructor, workshop, planned, lot):
    def asked():
        counts = []
        for name in ("frames-clocks", "frames-sets", "frames-clock"):
            with CaptureQueriesContext(connection) as found:
                assert instructor.get(reverse(name, args=[workshop.pk])).status_code == 200
            counts.append(len(found))
        return counts

    def more(first, count):
        Frame.objects.bulk_create(
            make.FrameFactory.build(
                lot=lot,
                workshop=workshop,
                digest=f"{number:064x}",
                clock_at=START + timedelta(seconds=number),
            )
            for number in range(first, first + count)
        )

    more(0, 5)
    asked()
    more(5, 5)
    few = asked()  # what is kept of a workshop's frames is read anew whenever they change
    more(10, 400)
    assert asked() == few


def test_a_helper_and_a_stranger_find_no_frames(workshop, stranger):
    for name in ("workshop-clock", "clock-now", "frames-clocks", "frames-clock", "frames-sets"):
        assert stranger.get(reverse(name, args=[workshop.pk])).status_code == 403


def test_a_clock_set_anew_on_the_day_is_told_with_the_files_and_what_to_do(
    instructor, lot, workshop
):
    for number, minutes in enumerate((0, 5, -50, -45)):
        frame(lot, START + timedelta(minutes=minutes), body=BODY, file_name=f"IMG_{number:04}.JPG")
    for name in ("workshop-frames", "frames-clocks"):
        shown = words(instructor.get(reverse(name, args=[workshop.pk])))
        assert "Between IMG_0001.JPG and IMG_0002.JPG its clock goes back by" in shown
        assert "into their sets by hand" in shown
    assert "its clock goes back by" in words(instructor.get(clock_of(workshop)))
    Frame.objects.filter(file_name__gte="IMG_0002").delete()
    assert "Look again." not in words(
        instructor.get(reverse("workshop-frames", args=[workshop.pk]))
    )
