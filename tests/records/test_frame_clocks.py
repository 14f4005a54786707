"""Clocks and sets of frames: what the services grant and refuse, and what becomes of the frames."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from planning.models import CameraClock, Frame
from planning.selectors.frames import best_fit, set_frames, workshop_frames
from planning.services.clocks import forget_clock, release_frames, set_clock, settle_frames
from tests import factories as make
from workshops.errors import Refused
from workshops.models import AuditEntry

pytestmark = pytest.mark.django_db

BODY = "Full-frame body 1"
START = make.SET_START


@pytest.fixture
def office():
    return make.UserFactory()


@pytest.fixture
def planned_set():
    return make.SetFactory(turn_min=5.0)


def frame(workshop, at=START, **more):
    """A frame whose camera showed that hour as though it were UTC."""
    lot = workshop.frame_lots.first() or make.FrameLotFactory(workshop=workshop)
    return make.FrameFactory(lot=lot, clock_at=at, **more)


def local(at):
    """What a camera that keeps British summer time shows: an hour more than UTC (tz database)."""
    return at + timedelta(hours=1)


def noted(planned_set, booking, at):
    return make.EventFactory(
        planned_set=planned_set, kind="turn given", booking=booking, at=at, round=1
    )


def test_a_camera_nobody_looked_at_is_taken_to_keep_the_clock_of_the_place(planned_set):
    one = frame(planned_set.workshop, local(START + timedelta(minutes=30)))
    found = workshop_frames(planned_set.workshop)
    assert found.day.placed[0].shot.at == START + timedelta(minutes=30)
    assert found.day.placed[0].set_id == planned_set.pk
    assert found.lines[one.pk].way == "as the place"
    (body,) = found.bodies
    assert body.ahead_s == 0


def test_a_camera_that_writes_its_offset_is_believed_until_somebody_knows_better(
    planned_set, office
):
    # CIPA DC-008, OffsetTimeOriginal: local time is UTC plus the offset.
    tokyo = START + timedelta(minutes=30, hours=9)
    frame(planned_set.workshop, tokyo, offset_min=540)
    assert workshop_frames(planned_set.workshop).day.placed[0].shot.at == START + timedelta(
        minutes=30
    )
    set_clock(by=office, workshop=planned_set.workshop, body=BODY, add_s=0.0, way="hand")
    assert workshop_frames(planned_set.workshop).day.placed[0].shot.at == tokyo


def test_a_clock_is_set_anew_without_a_second_one_and_every_change_is_kept(planned_set, office):
    one = frame(planned_set.workshop)
    first = set_clock(
        by=office, workshop=planned_set.workshop, body=BODY, add_s=-3661.0, way="shown", frame=one
    )
    again = set_clock(by=office, workshop=planned_set.workshop, body=BODY, add_s=-60.0, way="hand")
    assert first.pk == again.pk
    assert CameraClock.objects.get().frame is None
    entries = AuditEntry.objects.filter(record_type="planning.cameraclock").order_by("pk")
    assert [entry.action for entry in entries] == ["created", "changed"]
    assert entries[1].changes["add_s"] == [-3661.0, -60.0]
    assert Frame.objects.count() == 1


def test_a_forgotten_clock_leaves_the_frames_and_the_guess(planned_set, office):
    frame(planned_set.workshop)
    set_clock(by=office, workshop=planned_set.workshop, body=BODY, add_s=5.0, way="hand")
    forget_clock(by=office, workshop=planned_set.workshop, body=BODY)
    forget_clock(by=office, workshop=planned_set.workshop, body=BODY)
    assert workshop_frames(planned_set.workshop).bodies[0].way == "as the place"
    assert Frame.objects.count() == 1


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"body": "Another body"}, "no frames of this body"),
        ({"body": ""}, "do not say which camera"),
        ({"add_s": float("nan")}, "No clock is that wrong"),
        ({"add_s": 4e9}, "No clock is that wrong"),
    ],
)
def test_a_clock_is_refused_with_the_reason(planned_set, office, wrong, words):
    frame(planned_set.workshop)
    asked = {"body": BODY, "add_s": 0.0, "way": "hand"} | wrong
    with pytest.raises(Refused, match=words):
        set_clock(by=office, workshop=planned_set.workshop, **asked)
    assert not CameraClock.objects.exists()


def test_a_frame_of_another_body_or_workshop_sets_no_clock(planned_set, office):
    frame(planned_set.workshop)
    for other in (frame(planned_set.workshop, body="Other"), make.FrameFactory()):
        with pytest.raises(Refused, match="taken with another body"):
            set_clock(
                by=office,
                workshop=planned_set.workshop,
                body=BODY,
                add_s=0.0,
                way="shown",
                frame=other,
            )


def test_a_set_chosen_by_hand_beats_the_time_and_is_given_back_to_it(planned_set, office):
    workshop = planned_set.workshop
    other = make.SetFactory(
        workshop=workshop,
        location=planned_set.location,
        start_at=START + timedelta(hours=3),
        end_at=START + timedelta(hours=4),
    )
    one = frame(workshop, local(START + timedelta(minutes=30)))
    assert settle_frames(by=office, workshop=workshop, frames=[one.pk], planned_set=other) == 1
    found = set_frames(workshop)
    assert (found[other.pk].frames, found[other.pk].by_hand, found[planned_set.pk].frames) == (
        1,
        1,
        0,
    )
    assert settle_frames(by=office, workshop=workshop, frames=[one.pk], planned_set=None) == 1
    assert workshop_frames(workshop).day.of_no_set[0].frame_id == one.pk
    assert release_frames(by=office, workshop=workshop, frames=[one.pk]) == 1
    assert set_frames(workshop)[planned_set.pk].frames == 1
    assert AuditEntry.objects.filter(record_type="planning.frame").count() == 3


def test_settling_the_same_again_changes_nothing(planned_set, office):
    one = frame(planned_set.workshop)
    for moved in (1, 0):
        assert moved == settle_frames(
            by=office, workshop=planned_set.workshop, frames=[one.pk], planned_set=planned_set
        )


def test_frames_are_not_settled_in_part(planned_set, office):
    one, strange = frame(planned_set.workshop), make.FrameFactory()
    with pytest.raises(Refused, match="not here any more"):
        settle_frames(
            by=office,
            workshop=planned_set.workshop,
            frames=[one.pk, strange.pk],
            planned_set=planned_set,
        )
    with pytest.raises(Refused, match="another workshop"):
        settle_frames(
            by=office,
            workshop=planned_set.workshop,
            frames=[one.pk],
            planned_set=make.SetFactory(),
        )
    with pytest.raises(Refused, match="at least one"):
        settle_frames(by=office, workshop=planned_set.workshop, frames=[], planned_set=planned_set)
    with pytest.raises(Refused, match="at most 5000"):
        settle_frames(
            by=office, workshop=planned_set.workshop, frames=range(5001), planned_set=planned_set
        )
    one.refresh_from_db()
    assert not one.settled


def test_turns_noted_give_frames_to_their_owner_and_flashes_to_the_set(planned_set):
    workshop = planned_set.workshop
    booking = make.BookingFactory(workshop=workshop)
    noted(planned_set, booking, START + timedelta(minutes=40))
    kept = {"booking": booking, "body": BODY}
    frame(workshop, local(START + timedelta(minutes=38)), **kept)  # 1/125, in the turn
    frame(workshop, local(START + timedelta(minutes=39)), shutter_s=1 / 1000, **kept)
    frame(workshop, local(START + timedelta(minutes=50)), **kept)  # over a shoulder
    # Nobody said whose this is, but its body took nobody else's.
    frame(workshop, local(START + timedelta(minutes=37)), body=BODY)
    found = set_frames(workshop)[planned_set.pk]
    assert found.by_booking == {booking.pk: 3}
    assert (found.other, found.other_by_booking) == (1, {booking.pk: 1})
    # The set's own body syncs to 1/160, the slow frame 1/125; 1/1000 shows a band or no flash.
    assert (found.flashed, found.at_or_below_sync) == (2, 3)


def test_where_nothing_was_noted_the_planned_turns_count(planned_set):
    booking = make.BookingFactory(workshop=planned_set.workshop)
    # Rigging 12, briefing 3, demonstration 10 minutes: the first turn is planned from minute 25.
    frame(planned_set.workshop, local(START + timedelta(minutes=27)), booking=booking, body=BODY)
    found = workshop_frames(planned_set.workshop)
    assert found.day.sets[0].by_booking == {booking.pk: 1}
    assert not found.spans[0].turns[0].noted
    assert best_fit(found, BODY).doubt == "planned only"


def test_a_set_that_began_late_takes_its_frames_along(planned_set):
    workshop, late = planned_set.workshop, START + timedelta(hours=2)
    make.EventFactory(planned_set=planned_set, kind="set began", at=late)
    frame(workshop, local(START + timedelta(minutes=10)))
    frame(workshop, local(late + timedelta(minutes=10)))
    assert [one.set_id for one in workshop_frames(workshop).day.placed] == [None, planned_set.pk]


def test_frames_without_a_time_or_a_body_are_listed_and_not_lost(planned_set):
    frame(planned_set.workshop, None, body="")
    found = workshop_frames(planned_set.workshop)
    assert len(found.day.of_no_set) == 1
    assert (found.bodies[0].body, found.bodies[0].way) == ("", "no time")


def test_a_thousand_frames_ask_no_more_than_ten(planned_set, django_assert_num_queries):
    workshop = planned_set.workshop
    lot = make.FrameLotFactory(workshop=workshop)

    def more(first, count):
        Frame.objects.bulk_create(
            make.FrameFactory.build(
                lot=lot, workshop=workshop, digest=f"{number:064x}",
                clock_at=START + timedelta(seconds=number),
            )
            for number in range(first, first + count)
        )  # fmt: skip

    more(0, 10)
    workshop_frames(workshop)  # the first plan of all learns some figures once
    with CaptureQueriesContext(
        connection,
    ) as few:
        workshop_frames(workshop)
    more(10, 990)
    workshop_frames(workshop)  # what new frames teach is read once too
    with django_assert_num_queries(len(few)):
        assert len(workshop_frames(workshop).lines) == 1000


def test_a_night_of_change_keeps_the_camera_on_the_clock_it_began_with(office):
    # Europe/London, 31 October 2027: clocks go back from 02:00 to 01:00 at 01:00 UTC (tz database).
    evening = datetime(2027, 10, 30, 21, 0, tzinfo=UTC)
    workshop = make.WorkshopFactory(start_at=evening, end_at=evening + timedelta(hours=8))
    at = datetime(2027, 10, 31, 2, 30, tzinfo=UTC)
    frame(workshop, at + timedelta(hours=1))  # the camera went on by summer time
    assert workshop_frames(workshop).day.placed[0].shot.at == at


def test_lord_howe_moves_by_half_an_hour(office):
    # Australia/Lord_Howe: UTC+11 in summer, UTC+10:30 in winter (tz database).
    for month, hours in ((1, 11.0), (7, 10.5)):
        begins = datetime(2027, month, 10, 0, 0, tzinfo=UTC)
        workshop = make.WorkshopFactory(
            start_at=begins,
            end_at=begins + timedelta(hours=8),
            timezone_name="Australia/Lord_Howe",
        )
        frame(workshop, begins + timedelta(hours=hours))
        assert workshop_frames(workshop).day.placed[0].shot.at == begins
