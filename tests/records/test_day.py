"""A workshop's records as days to be ordered, and an order taken over."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from planning.models import PlannedSet
from planning.selectors.day import workshop_days
from planning.services.day import pin_set, take_order
from tests import factories as make
from workshops.errors import Refused, Stale
from workshops.models import AuditEntry

pytestmark = pytest.mark.django_db

# Everything is on the clock of Europe/London in May, an hour before UTC: 13:00 UTC is 14:00 there.
PARTS = {"rig_min": 10, "brief_min": 0, "demo_min": 10, "critique_min": 5, "strike_min": 5}


def clock(hour, minute=0, day=8):
    return datetime(2027, 5, day, hour, minute, tzinfo=UTC)


@pytest.fixture
def workshop():
    make.HouseFactory()
    day = make.WorkshopFactory(intro_min=20, closing_min=15)
    for _number in range(2):
        make.BookingFactory(workshop=day)
    return day


def planned(workshop, position, start, **more):
    """Forty minutes: 30 of parts and two turns of 5."""
    figures = PARTS | {"turn_min": 4, "changeover_min": 1, "title": f"Set {position}"}
    before = workshop.sets.first()
    figures["location"] = before.location if before else make.LocationFactory()
    return make.SetFactory(
        workshop=workshop,
        position=position,
        start_at=start,
        end_at=start + timedelta(minutes=40),
        **figures | more,
    )


def one_day(workshop):
    (found,) = workshop_days(workshop)
    return found


def told(found):
    return [str(words) for words in found.notes]


def test_a_sets_length_is_the_sum_of_its_parts_with_everybodys_turns(workshop):
    planned(workshop, 1, clock(9))
    (one,) = one_day(workshop).day.sets
    # 10 + 10 + 5 + 5, and two people at 4 minutes with 1 to change
    assert (one.turns_min, one.length) == (10, timedelta(minutes=40))


def test_more_people_more_rounds_and_more_stations_change_the_turns(workshop):
    make.BookingFactory(workshop=workshop)
    planned(workshop, 1, clock(9), rounds=2)
    planned(workshop, 2, clock(11), stations="wall, gate")
    first, second = one_day(workshop).day.sets
    assert first.turns_min == 2 * 3 * 5
    assert second.turns_min == 3 * 5  # three people at two stations: three slots, nobody twice


def test_without_bookings_the_seats_count_and_the_page_is_told(workshop):
    workshop.bookings.all().delete()
    planned(workshop, 1, clock(9))
    found = one_day(workshop)
    assert found.day.sets[0].turns_min == 2 * 5
    assert told(found) == ["Nobody is booked yet: turns are reckoned for 2 seats."]


def test_pins_hours_breaks_and_ways_come_from_the_records(workshop):
    hill, shore = make.LocationFactory(walk_min=5), make.LocationFactory(walk_min=8)
    make.TravelTimeFactory(location=hill, to=shore, minutes=20)
    make.BreakFactory(workshop=workshop, minutes=45)
    planned(workshop, 1, clock(9), location=hill, pinned=True)
    planned(workshop, 2, clock(11), location=shore, latest_at=clock(15))
    found = one_day(workshop)
    first, second = found.day.sets
    assert (first.pinned, second.pinned, second.latest_at) == (True, False, clock(15))
    assert [rest.minutes for rest in found.day.breaks] == [45]
    assert found.day.way_min(shore.pk, hill.pk) == 20
    assert (found.day.intro_min, found.day.closing_min) == (20, 15)
    assert found.notes == ()


def test_a_model_who_comes_late_and_leaves_early_is_there_for_the_pictures(workshop):
    make.RoleFactory(workshop=workshop, person__name="Mia", start_at=clock(10), end_at=clock(15))
    planned(workshop, 1, clock(9), brief_min=2)
    planned(workshop, 2, clock(12), earliest_at=clock(11), latest_at=clock(14))
    found = one_day(workshop)
    first, second = found.day.sets
    # Rigging 10 and briefing 2 go before Mia; talk 5 and striking 5 after her.
    assert (first.earliest_at, first.latest_at) == (clock(9, 48), clock(15, 10))
    assert (second.earliest_at, second.latest_at) == (clock(11), clock(14))
    assert told(found) == ["Mia comes at 10:00.", "Mia leaves at 15:00."]


def test_an_unknown_way_is_told(workshop):
    planned(workshop, 1, clock(9), location=make.LocationFactory(name="Hill"))
    planned(workshop, 2, clock(11), location=make.LocationFactory(name="Shore"))
    (words,) = told(one_day(workshop))
    assert words.startswith("How long Hill to Shore takes is not known: taken as 30 min")


def test_the_wanted_sun_becomes_spans_of_the_day(workshop):
    # London zone, 50.6 north, 8 May: the sun passes south (azimuth 180) near 13:15 summer time at
    # 4.8 west, 12:15 UTC; 3.7 minutes of equation of time later on the clock is 12:15. (NOAA)
    planned(workshop, 1, clock(9), wanted_from_deg=90, wanted_to_deg=180)
    planned(workshop, 2, clock(11))
    first, second = one_day(workshop).day.sets
    (span,) = first.light
    assert abs(span.end_at - clock(12, 15)) < timedelta(minutes=2)
    assert second.light is None


def test_in_the_south_the_same_wish_is_met_over_the_north(workshop):
    hobart = make.LocationFactory(
        latitude_deg=-42.9, longitude_deg=147.3, timezone_name="Australia/Hobart"
    )
    planned(workshop, 1, clock(9), location=hobart, wanted_from_deg=270, wanted_to_deg=90)
    planned(workshop, 2, clock(11), location=hobart, wanted_from_deg=90, wanted_to_deg=270)
    workshop.start_at, workshop.end_at = clock(0), clock(6)  # 10:00 to 16:00 there, in autumn
    workshop.timezone_name = "Australia/Hobart"
    workshop.save()
    north, south = one_day(workshop).day.sets
    assert north.light
    assert south.light == ()


def test_a_tidal_place_is_open_until_the_margin_before_its_way_out_floods(workshop):
    shore = make.LocationFactory(water="tidal", path_low_point_m=3.0, walk_min=10)
    for at, height_m, turn in ((clock(3), 6.0, "high"), (clock(9), 0.0, "low"),
                               (clock(15), 6.0, "high"), (clock(21), 0.0, "low")):  # fmt: skip
        make.TidePointFactory(location=shore, at=at, height_m=height_m, turn=turn)
    planned(workshop, 1, clock(9), location=shore)
    (one,) = one_day(workshop).day.sets
    # Rule of twelfths: 3 m half way, at 12:00 and 18:00; the house's margin is 60 minutes.
    minute = timedelta(minutes=1)
    assert abs(one.dry[0].end_at - clock(11)) < minute
    assert len(one.dry) == 1


def test_a_tidal_place_without_a_table_is_told_and_not_taken_for_dry(workshop):
    shore = make.LocationFactory(name="Slip", water="tidal", path_low_point_m=3.0)
    planned(workshop, 1, clock(9), location=shore)
    found = one_day(workshop)
    assert found.day.sets[0].dry is None
    assert "The water is not in this order" in told(found)[0]


def test_a_workshop_of_several_days_is_ordered_day_by_day(workshop):
    workshop.end_at = clock(18, day=9)
    workshop.save()
    planned(workshop, 1, clock(10))
    planned(workshop, 2, clock(10, day=9))
    make.BreakFactory(workshop=workshop)
    first, second = workshop_days(workshop)
    assert [found.records[0].position for found in (first, second)] == [1, 2]
    # 09:00 to 19:00 on its clock, both days
    assert (second.day.start_at, second.day.end_at) == (clock(8, day=9), clock(18, day=9))
    assert (len(first.day.breaks), len(second.day.breaks)) == (1, 0)


def test_a_night_over_midnight_is_one_day(workshop):
    workshop.start_at, workshop.end_at = clock(18), clock(2, day=9)
    workshop.save()
    planned(workshop, 1, clock(23, 30))
    planned(workshop, 2, clock(0, 30, day=9))
    assert len(one_day(workshop).records) == 2


@pytest.mark.parametrize(
    ("zone", "month", "day", "words"),
    [
        # London 28 March and 31 October 2027, Auckland 26 September 2027 (tz database), at night.
        ("Europe/London", 3, 27, ["Clocks go forward 60 min during this day."]),
        ("Europe/London", 10, 30, ["Clocks go back 60 min during this day."]),
        ("Pacific/Auckland", 9, 25, ["Clocks go forward 60 min during this day."]),
        ("Pacific/Auckland", 3, 27, []),
    ],
)
def test_a_day_over_a_change_of_clocks_says_so(workshop, zone, month, day, words):
    evening = datetime(2027, month, day, 21, tzinfo=ZoneInfo(zone))
    workshop.timezone_name = zone
    workshop.start_at, workshop.end_at = evening, evening.astimezone(UTC) + timedelta(hours=9)
    workshop.save()
    planned(workshop, 1, evening.astimezone(UTC) + timedelta(hours=1))
    said = told(one_day(workshop))
    assert [line.split(" Sets")[0] for line in said] == words


def seen(workshop):
    return {one.pk: one.changed_at for one in workshop.sets.all()}


def taken(workshop, starts, **more):
    on = one_day(workshop).on
    given = {"by": None, "workshop": workshop, "on": on, "seen": seen(workshop)} | more
    return take_order(starts=starts, **given)


def stored(workshop):
    rows = workshop.sets.order_by("position")
    return [(one.title, one.start_at, one.end_at) for one in rows]


def test_an_order_taken_over_moves_and_numbers_the_sets(workshop):
    one, two = planned(workshop, 1, clock(9)), planned(workshop, 2, clock(10))
    moved = taken(workshop, {one.pk: clock(10), two.pk: clock(9)})
    assert {row.pk for row in moved} == {one.pk, two.pk}
    minutes = timedelta(minutes=40)
    assert stored(workshop) == [
        ("Set 2", clock(9), clock(9) + minutes),
        ("Set 1", clock(10), clock(10) + minutes),
    ]
    entries = AuditEntry.objects.filter(record_type="planning.plannedset", action="changed")
    assert entries.get(record_id=str(one.pk)).changes["position"] == [1, 2]
    assert entries.count() == 2


def test_three_sets_may_change_places_in_a_ring(workshop):
    one, two, three = (planned(workshop, n, clock(8 + n)) for n in (1, 2, 3))
    taken(workshop, {one.pk: clock(11), two.pk: clock(9), three.pk: clock(10)})
    assert [title for title, _start, _end in stored(workshop)] == ["Set 2", "Set 3", "Set 1"]


def test_what_a_set_has_stays_with_it(workshop):
    one = planned(workshop, 1, clock(9))
    make.ReadingFactory(planned_set=one)
    taken(workshop, {one.pk: clock(12)})
    assert PlannedSet.objects.get(pk=one.pk).readings.count() == 1


def test_a_part_that_would_overlap_what_stays_is_refused_whole(workshop):
    planned(workshop, 1, clock(9))
    two = planned(workshop, 2, clock(10))
    before = stored(workshop)
    with pytest.raises(Refused, match=r"Set 2 begins 30.min before Set 1 is over"):
        taken(workshop, {two.pk: clock(9, 10)})
    assert stored(workshop) == before


def test_a_fault_that_is_there_today_does_not_forbid_a_better_part(workshop):
    planned(workshop, 1, clock(9))
    planned(workshop, 2, clock(9, 20))
    three = planned(workshop, 3, clock(11))
    taken(workshop, {three.pk: clock(12)})
    assert stored(workshop)[2][1] == clock(12)


def test_a_meanwhile_changed_set_stops_it(workshop):
    one, two = planned(workshop, 1, clock(9)), planned(workshop, 2, clock(10))
    before = seen(workshop)
    two.notes = "wet"
    two.save()
    with pytest.raises(Stale):
        taken(workshop, {one.pk: clock(12)}, seen=before)


def test_a_set_added_meanwhile_stops_it(workshop):
    one = planned(workshop, 1, clock(9))
    before = seen(workshop)
    planned(workshop, 2, clock(10))
    with pytest.raises(Stale):
        taken(workshop, {one.pk: clock(12)}, seen=before)


def test_a_pinned_set_is_not_moved_until_it_is_let_go(workshop):
    one = planned(workshop, 1, clock(9), pinned=True)
    with pytest.raises(Refused, match="Set 1 is pinned"):
        taken(workshop, {one.pk: clock(12)})
    pin_set(by=None, planned_set=one, pinned=False)
    taken(workshop, {one.pk: clock(12)})
    assert stored(workshop)[0][1] == clock(12)


def test_a_pin_put_by_somebody_else_meanwhile_is_told(workshop):
    one = planned(workshop, 1, clock(9))
    with pytest.raises(Stale):
        pin_set(by=None, planned_set=one, pinned=True, seen=clock(1))
