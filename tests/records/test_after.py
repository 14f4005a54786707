"""What is known of a set after its day is read from its records, on the clock of its place."""

from datetime import UTC, datetime, timedelta

import pytest

from planning.models import TallyEvent
from planning.selectors.after import faults_of, set_days
from tests import factories as make

pytestmark = [pytest.mark.django_db, pytest.mark.database]
Kind = TallyEvent.Kind


@pytest.fixture
def planned():
    return make.LightFactory(planned_set__position=1, name="octa").planned_set


def note(planned, kind, minutes=30, written=None, **values):
    """An event of so many minutes after the planned start, written down then or later."""
    at = planned.start_at + timedelta(minutes=minutes)
    event = TallyEvent.objects.create(planned_set=planned, kind=kind, at=at, **values)
    TallyEvent.objects.filter(pk=event.pk).update(changed_at=written or at)
    return event


def known(planned):
    ((day, _plans),) = set_days(planned.workshop)
    return day


def test_the_plan_of_before_knows_no_reading_of_the_day(planned):
    make.ReadingFactory(planned_set=planned, at=planned.start_at)
    day = known(planned)
    assert day.plan.exposure.base_source == "estimate"
    assert day.metered.exposure.base_source == "metered"


def test_turns_copied_from_paper_have_no_pace(planned):
    abel, bea = (make.BookingFactory(workshop=planned.workshop) for _ in range(2))
    note(planned, Kind.TURN_GIVEN, 30, booking=abel)
    note(planned, Kind.TURN_GIVEN, 38, booking=bea, written=planned.end_at + timedelta(hours=3))
    day = known(planned)
    assert [turn.at for turn in day.turn_ends] == [planned.start_at + timedelta(minutes=30)]
    assert day.later == {"turns"}


def test_what_was_taken_back_is_not_known(planned):
    wrong = note(planned, Kind.SET_BEGAN, 5, written=planned.end_at + timedelta(hours=3))
    note(planned, Kind.SET_BEGAN, 6, takes_back=wrong)
    day = known(planned)
    assert day.tally.began_at is None
    assert day.later == frozenset()


def test_the_recipe_locked_last_counts(planned):
    for minutes, iso in ((20, 100.0), (40, 200.0)):
        note(planned, Kind.RECIPE_LOCKED, minutes, f_number=8.0, shutter_s=1 / 128, iso=iso)
    assert known(planned).recipe.iso == 200.0


def test_a_southern_set_over_midnight_is_told_on_its_own_clock():
    # 23:30 in Hobart in January is 12:30 UTC, eleven hours ahead of it.
    start = datetime(2027, 1, 16, 12, 30, tzinfo=UTC)
    place = make.LocationFactory(
        latitude_deg=-42.88, longitude_deg=147.33, timezone_name="Australia/Hobart"
    )
    planned = make.SetFactory(location=place, start_at=start, end_at=start + timedelta(minutes=60))
    note(planned, Kind.SET_BEGAN, 0)
    note(planned, Kind.SET_ENDED, 75)
    tally = known(planned).tally
    assert f"{tally.began_at:%d %H:%M}" == "16 23:30"
    assert f"{tally.ended_at:%d %H:%M}" == "17 00:45"
    assert tally.minutes_over == 15.0


def test_faults_are_of_this_workshop_and_of_what_came_back(planned):
    back = {"fault": True, "in_at": planned.end_at, "unit__state": "fault"}
    make.CheckoutFactory(
        workshop=planned.workshop, unit__tag="T-1", condition_in="dead cell", **back
    )
    make.CheckoutFactory(workshop=planned.workshop, unit__tag="T-2")
    make.CheckoutFactory(unit__tag="T-3", **back)
    assert [(one.tag, one.words) for one in faults_of(planned.workshop)] == [("T-1", "dead cell")]
