"""Turns, frames and daylight of earlier days, in the plans of the next ones."""

from dataclasses import replace
from datetime import timedelta

import pytest

from planning.models import PlannedSet
from planning.plan import evaluate
from planning.selectors import set_inputs
from planning.selectors.own_turns import FRAME_FIGURE, turns_seen
from tests import factories as make

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def light():
    """A set that leaves minutes and frames to the house's own days."""
    light = make.LightFactory(name="octa")
    PlannedSet.objects.filter(pk=light.planned_set_id).update(
        turn_min=None, frames_per_attendee=None
    )
    return light


@pytest.fixture
def south():
    return make.LocationFactory(
        name="Jetty", latitude_deg=-43.6, longitude_deg=172.7, timezone_name="Pacific/Auckland"
    )


def earlier(south, days, **more):
    # 23:10 UTC is 11:10 the next morning in New Zealand: full sun from the north
    start = make.SET_START.replace(hour=23) - timedelta(days=days)
    return make.SetFactory(
        location=south,
        start_at=start,
        end_at=start + timedelta(hours=1),
        changeover_min=1.0,
        camera_facing_deg=180.0,
        **more,
    )


def turns(planned, every_min, count=5):
    for number in range(count):
        make.EventFactory(
            planned_set=planned,
            kind="turn given",
            booking=make.BookingFactory(workshop=planned.workshop),
            at=planned.start_at + timedelta(minutes=10 + every_min * number),
        )


def inputs(light):
    return set_inputs(light.planned_set_id)


def test_a_turn_lasts_what_turns_lasted_less_the_changeover(light, south):
    usual = inputs(light)
    assert (usual.turn_min, usual.turn_own) == (5.0, None)
    for days in range(2, 10):
        turns(earlier(south, days), 9.0)  # nine minutes from end to end, one of them changeover
    found = inputs(light)
    assert found.turn_min == pytest.approx(8.0, abs=0.4)
    assert (found.turn_own.readings, found.turn_own.days) == (8, 8)
    row = next(row for row in evaluate(found).own if str(row.figure) == "minutes of one turn")
    assert str(row.told).startswith("own measurement, 8 sets, 7.")
    assert row.value == found.turn_min


def test_what_was_entered_on_the_set_beats_what_was_learned(light, south):
    turns(earlier(south, 2), 9.0)
    PlannedSet.objects.filter(pk=light.planned_set_id).update(turn_min=3.0, frames_per_attendee=12)
    found = inputs(light)
    assert (found.turn_min, found.turn_own) == (3.0, None)
    assert (found.frames_per_attendee, found.frames_own) == (12, None)


def test_the_sets_own_turns_do_not_move_it_while_they_are_given(light):
    turns(light.planned_set, 9.0)
    assert inputs(light).turn_own is None


def test_one_day_with_a_break_in_it_hardly_counts(light, south):
    for days in range(2, 8):
        turns(earlier(south, days), 6.0)
    before = inputs(light).turn_min
    turns(earlier(south, 9), 28.0)
    assert inputs(light).turn_min == pytest.approx(before, rel=0.12)


def test_frames_each_come_from_what_was_counted(light, south):
    for days in range(2, 8):
        planned = earlier(south, days)
        for count in (8, 12):
            booking = make.BookingFactory(workshop=planned.workshop)
            for half in (count // 2, count // 2):  # counted twice: since the last count
                make.EventFactory(
                    planned_set=planned,
                    kind="frames",
                    booking=booking,
                    count=half,
                    at=planned.start_at,
                )
    found = inputs(light)
    assert found.frames_per_attendee == pytest.approx(10, abs=1)
    assert found.frames_own.readings == 6


def read(planned, stops_over, **more):
    """An incident reading of the face, so far over what the plan estimates there."""
    at = planned.start_at + timedelta(minutes=20)
    before = evaluate(set_inputs(make.LightFactory(planned_set=planned).planned_set_id))
    ev100 = before.ambient[0].subject_ev100 + stops_over
    return make.ReadingFactory(
        planned_set=planned,
        at=at,
        kind="incident",
        plane="face",
        ev=ev100,
        f_mark=None,
        shutter_s=None,
        **more,
    )


def test_readings_under_a_sky_move_the_next_estimate_under_it_and_no_other(light, south):
    plain = evaluate(inputs(light)).ambient[0]
    for days in range(2, 9):
        planned = earlier(south, days)
        read(planned, 0.8)
        make.EventFactory(planned_set=planned, kind="sky seen", sky="clear", at=planned.start_at)
    found = inputs(light)
    (clear,) = found.daylight
    assert (clear.sky, clear.own.readings, clear.own.days) == ("clear", 7, 7)
    assert 0.5 < clear.moved_stops < 1.0
    moved = evaluate(found).ambient[0]
    assert moved.subject_ev100 - plain.subject_ev100 == pytest.approx(clear.moved_stops)
    assert moved.background_ev100 - plain.background_ev100 == pytest.approx(clear.moved_stops)
    assert moved.sky_ev100 == pytest.approx(plain.sky_ev100)
    assert moved.source == "estimate"
    assert moved.low_stops < plain.low_stops
    make.ForecastFactory(location=light.planned_set.location, sky="overcast")
    grey = inputs(light)
    assert grey.daylight == found.daylight
    unmoved = evaluate(replace(grey, daylight=())).ambient[0]
    assert evaluate(grey).ambient[0] == unmoved


def test_a_reading_on_the_set_itself_beats_all_of_it(light, south):
    for days in range(2, 9):
        planned = earlier(south, days)
        read(planned, 0.8)
        make.EventFactory(planned_set=planned, kind="sky seen", sky="clear", at=planned.start_at)
    metered = make.ReadingFactory(planned_set=light.planned_set, at=light.planned_set.start_at)
    plan = evaluate(inputs(light))
    assert plan.exposure.base_source == "metered"
    assert plan.exposure.base_exact_f_number == pytest.approx(
        metered.f_number * (plan.exposure.start_s / metered.shutter_s) ** 0.5, rel=0.02
    )


def test_a_reading_under_a_sky_nobody_noted_says_nothing_and_spots_neither(light, south):
    read(earlier(south, 2), 0.8)
    planned = earlier(south, 3)
    make.EventFactory(planned_set=planned, kind="sky seen", sky="clear", at=planned.start_at)
    make.ReadingFactory(planned_set=planned, at=planned.start_at, kind="spot")
    make.ReadingFactory(planned_set=planned, at=planned.start_at, flash_in=True)
    assert inputs(light).daylight == ()


def filed(planned, booking, count, body):
    """Frames of a camera that keeps the workshop's clock, a second apart up to the turn's end."""
    zone_min = 60  # British summer time (tz database), where the workshop is sold
    lot = make.FrameLotFactory(workshop=planned.workshop)
    for number in range(count):
        at = planned.start_at + timedelta(minutes=20 + zone_min, seconds=-number)
        make.FrameFactory(lot=lot, clock_at=at, booking=booking, body=body)


def test_frames_each_come_from_files_where_nobody_counted(light, south):
    for days in range(2, 8):
        planned = earlier(south, days)
        for name, count in (("a", 8), ("b", 12)):
            booking = make.BookingFactory(workshop=planned.workshop)
            make.EventFactory(
                planned_set=planned,
                kind="turn given",
                booking=booking,
                at=planned.start_at + timedelta(minutes=21),
                station=name,
            )
            filed(planned, booking, count, name)
    found = inputs(light)
    assert found.frames_per_attendee == pytest.approx(10, abs=1)
    assert found.frames_own.readings == 6


def test_a_count_by_hand_beats_the_files_of_the_same_attendee(light, south):
    planned = earlier(south, 3)
    booking, other = (make.BookingFactory(workshop=planned.workshop) for _ in range(2))
    for number, one in enumerate((booking, other)):
        filed(planned, one, 40, f"body {number}")
    (seen,) = [one for one in turns_seen() if one.figure == FRAME_FIGURE]
    assert (seen.detail.mean, seen.detail.count, seen.detail.filed) == (40, 2, 2)
    event = {"planned_set": planned, "kind": "frames", "at": planned.start_at}
    make.EventFactory(booking=booking, count=10, **event)
    (seen,) = [one for one in turns_seen() if one.figure == FRAME_FIGURE]
    assert (seen.detail.mean, seen.detail.count, seen.detail.filed) == (25, 2, 1)  # (10 + 40) / 2
