"""A season from its records: whose, of which dates, by whose clock, in how many questions."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from planning.selectors.season import Dates, season_rows, whole_span
from tests import factories as make

pytestmark = pytest.mark.django_db

YEAR = Dates(date(2027, 1, 1), date(2027, 12, 31))
NOW = datetime(2028, 1, 10, 12, 0, tzinfo=UTC)
START = datetime(2027, 5, 8, 8, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


@pytest.fixture
def house():
    return make.HouseFactory()


@pytest.fixture
def office():
    return make.UserFactory()


def rows(user, house, dates=YEAR, *, with_money=True):
    return season_rows(user, dates, house, NOW, with_money=with_money)


def held(start_at=START, hours=10, **told):
    end_at = start_at + timedelta(hours=hours)
    return make.WorkshopFactory(**({"status": "run"} | told), start_at=start_at, end_at=end_at)


def booked(workshop, **told):
    return make.BookingFactory(workshop=workshop, **({"state": "attended"} | told))


def noted(planned, kind, minute=0, **told):
    at = planned.start_at + minute * MINUTE
    return make.EventFactory(planned_set=planned, kind=kind, at=at, **told)


def taken_back(event):
    return make.EventFactory(
        planned_set=event.planned_set, kind=event.kind, at=event.at, takes_back=event,
        booking=event.booking, count=event.count, light_name=event.light_name, unit=event.unit,
        cause=event.cause, gust_m_s=event.gust_m_s,
    )  # fmt: skip


def a_day_of_everything(number=0):
    """A workshop with a set on which everything was noted."""
    workshop = held(price=Decimal(200), start_at=START + timedelta(days=number))
    pack = make.UnitFactory(kind=make.BatteryFactory(), tag=f"B{number}")
    trigger = make.UnitFactory(tag=f"T{number}x")
    person = booked(workshop, camera=make.CameraFactory(name="Silver body"))
    light = make.LightFactory(planned_set__workshop=workshop, name="octa")
    planned = light.planned_set
    make.ReservationFactory(workshop=workshop, unit=pack)
    make.FeedbackFactory(booking=person)
    make.DayCostFactory(workshop=workshop, amount=Decimal(120))
    make.ForecastFactory(location=planned.location, temperature_c=22.0)
    noted(planned, "set began")
    noted(planned, "set ended", 90)
    noted(planned, "recipe locked", 1, light_name="octa", power=0.5, f_number=8.0,
          shutter_s=2.0**-7, iso=100.0)  # fmt: skip
    noted(planned, "pack in", 2, unit=pack, light_name="octa", charge_share=1.0)
    noted(planned, "turn given", 20, booking=person, round=1)
    noted(planned, "frames", 21, booking=person, count=30)
    noted(planned, "misfire", 22, booking=person, cause="cell", unit=trigger)
    noted(planned, "wind seen", 30, gust_m_s=12.5)
    noted(planned, "flashes", 80, light_name="octa", count=120)
    noted(planned, "pack out", 81, unit=pack, light_name="octa", charge_share=0.6)
    return workshop


def test_a_misfire_is_put_down_to_somebodys_one_body_though_nobody_chose_it(office, house):
    workshop = a_day_of_everything()
    booking = workshop.bookings.get()
    owner = make.CameraFactory(name="Black body").owner
    booking.person, booking.camera = owner, None
    booking.save()
    assert [one.body for one in rows(office, house).misfires] == ["Black body"]
    make.CameraFactory(owner=owner, name="Second body")  # which of two nobody knows
    assert [one.body for one in rows(office, house).misfires] == [""]


def test_every_part_of_a_day_is_read(office, house):
    workshop = a_day_of_everything()
    found = rows(office, house)
    (row,) = found.workshops
    assert (row.id, row.offered, row.booked, row.attended, row.over) == (workshop.pk, 1, 1, 1, True)
    assert [one.taught for one in row.answers] == [4]
    (planned,) = found.sets
    # Planned 13:10 to 14:25 UTC, 75 minutes; it took 90.
    assert planned.minutes_over == 15
    assert (planned.turns, planned.misfires, planned.frames) == (1, 1, (30,))
    (misfire,) = found.misfires
    assert (misfire.cause, misfire.trigger, misfire.body) == ("cell", "T0x", "Silver body")
    (person,) = found.people
    assert (person.turns, person.frames, person.misfires) == (1, 30, 1)
    (gust,) = found.gusts
    assert (gust.gust_m_s, gust.forecast_m_s, gust.limit_m_s) == (12.5, 8.0, 11.0)
    assert (gust.over, gust.ended_min) == (True, 60)
    (drawdown,) = found.packs.drawdowns
    # 120 flashes at half power are 60 at full; they took 0.4 of the pack: 150 a charge.
    assert drawdown.a_charge == pytest.approx(150)
    # 43 Wh at 75 % over 200 W.s: 43 x 3600 x 0.75 / 200 (light-method, battery).
    assert drawdown.nominal == pytest.approx(580.5)
    assert drawdown.nominal_source == "estimate"
    (money,) = found.money
    assert (money.takings, money.costs, money.days) == (Decimal(200), Decimal(120), 1)
    kit = {one.category: one for one in found.kit}
    # 10 hours of workshop and a day on either side: 58 hours of 365 days.
    assert kit["battery"].promised_days == pytest.approx(58 / 24)
    assert kit["battery"].available_days == 365


def test_a_hundred_workshops_ask_no_more_than_one(office, house):
    a_day_of_everything()
    with CaptureQueriesContext(
        connection,
    ) as one:
        rows(office, house)
    for number in range(1, 6):
        a_day_of_everything(number)
    for number in range(94):
        booked(held(start_at=START + timedelta(hours=number)))
    with CaptureQueriesContext(connection) as many:
        found = rows(office, house)
    assert len(found.workshops) == 100
    assert len(found.packs.drawdowns) == 6
    assert len(many) == len(one) < 25


def test_what_was_taken_back_is_not_counted(office, house):
    a_day_of_everything()
    for event in list(
        make.TallyEvent.objects.filter(kind__in=("misfire", "wind seen", "set ended"))
    ):
        taken_back(event)
    found = rows(office, house)
    assert (found.misfires, found.gusts) == ([], [])
    assert found.sets[0].minutes_over is None


def test_an_instructor_sees_the_own_workshops_only(house):
    own, other = a_day_of_everything(), a_day_of_everything(1)
    role = make.RoleFactory(workshop=own, role="instructor")
    user = make.UserFactory(
        email="ines@example.org",
        role="instructor",
        person=role.person,
        is_superuser=False,
        is_staff=False,
    )
    found = rows(user, house, with_money=False)
    assert [one.id for one in found.workshops] == [own.pk]
    assert {one.workshop_id for one in found.people} == {own.pk}
    assert {one.workshop for one in found.misfires} == {own.title} != {other.title}
    assert len(found.gusts) == len(found.packs.drawdowns) == len(found.sets) == 1
    assert found.money is None


def test_a_workshop_called_off_is_listed_and_counts_for_nothing(office, house):
    workshop = a_day_of_everything()
    workshop.status, workshop.cancelled_reason = "cancelled", "Storm"
    workshop.save()
    found = rows(office, house)
    assert [one.called_off for one in found.workshops] == [True]
    assert found.sets == found.people == found.misfires == found.gusts == found.money == []
    assert all(one.promised_days == 0 for one in found.kit)


def test_a_draft_is_no_workshop_yet(office, house):
    held(status="draft")
    assert rows(office, house).workshops == []
    assert whole_span(office) is None


def test_the_date_is_that_of_the_place_on_both_sides_of_new_year(office, house):
    # 2026-12-31 20:00 UTC is 09:00 on New Year's Day in Auckland, and still 2026 in London.
    new_year = datetime(2026, 12, 31, 20, 0, tzinfo=UTC)
    there = held(title="Harbour wall", start_at=new_year, timezone_name="Pacific/Auckland")
    held(title="Pier at night", start_at=new_year)
    assert [one.id for one in rows(office, house).workshops] == [there.pk]
    assert rows(office, house).workshops[0].start_at.date() == date(2027, 1, 1)
    before = rows(office, house, Dates(date(2026, 7, 1), date(2026, 12, 31)))
    assert [one.title for one in before.workshops] == ["Pier at night"]


def test_the_whole_span_reaches_from_the_first_workshop_to_the_last(office, house):
    held(start_at=datetime(2025, 11, 2, 9, tzinfo=UTC), hours=24)
    held()
    assert whole_span(office) == Dates(date(2025, 11, 2), date(2027, 5, 8))


def test_who_left_late_is_told_by_the_clock_of_the_place(office, house):
    workshop = held()
    for days, by in ((3, "attendee"), (30, "attendee"), (2, "house")):
        at = workshop.start_at - timedelta(days=days)
        make.BookingFactory(
            workshop=workshop, state="cancelled", seat=None, cancelled_at=at, cancelled_by=by,
            refund_share=0.0,
        )  # fmt: skip
    assert rows(office, house).workshops[0].left_days == (3, 30)


def test_a_forecast_that_came_after_the_gust_foretold_nothing(office, house):
    a_day_of_everything()
    planned = make.PlannedSet.objects.get()
    make.ForecastFactory(
        location=planned.location, taken_at=planned.start_at + timedelta(hours=3), gust_m_s=20.0
    )
    assert rows(office, house).gusts[0].forecast_m_s == 8.0


def test_a_place_more_exposed_is_forecast_more_wind(office, house):
    a_day_of_everything()
    place = make.PlannedSet.objects.get().location
    place.wind_exposure_factor = 1.5
    place.save()
    assert rows(office, house).gusts[0].forecast_m_s == pytest.approx(12.0)


def test_what_was_agreed_for_the_day_lowers_the_limit_and_never_lifts_it(office, house):
    workshop = a_day_of_everything()
    call = make.models.WeatherCall.objects.create(
        workshop=workshop, decide_at=NOW, gust_limit_m_s=9.0
    )
    assert rows(office, house).gusts[0].limit_m_s == 9.0
    call.gust_limit_m_s = 25.0
    call.save()
    assert rows(office, house).gusts[0].limit_m_s == 11.0


def test_packs_that_tell_nothing_are_counted_with_the_reason(office, house):
    a_day_of_everything()
    planned = make.PlannedSet.objects.get()
    taken_back(make.TallyEvent.objects.get(kind="flashes"))
    found = rows(office, house).packs
    assert (found.drawdowns, found.left_out) == ([], {"no flashes were counted": 1})
    # Another pack was put in at half time: the one count there is reaches over the change.
    other = make.UnitFactory(kind=make.BatteryFactory(), tag="B-other")
    noted(planned, "pack in", 60, unit=other, light_name="octa", charge_share=1.0)
    noted(planned, "flashes", 80, light_name="octa", count=120)
    left_out = rows(office, house).packs.left_out
    assert left_out["flashes were counted over a change of packs"] == 1


def test_takings_are_without_the_tax_and_only_of_days_that_are_over(office, house):
    house.tax_percent = Decimal(25)
    house.save()
    workshop = a_day_of_everything()
    booked(held(price=Decimal(900), start_at=NOW + timedelta(days=3)))
    found = rows(office, house, Dates(date(2027, 1, 1), date(2028, 12, 31)))
    (money,) = found.money
    # 200 with 25 % in it: 160 without (200 / 1.25).
    assert (money.workshop_id, money.takings) == (workshop.pk, Decimal("160.00"))


def test_flashes_at_a_power_nobody_locked_tell_nothing_of_a_pack(office, house):
    a_day_of_everything()
    event = make.TallyEvent.objects.get(kind="recipe locked")
    make.EventFactory(
        planned_set=event.planned_set, kind=event.kind, at=event.at, takes_back=event,
        f_number=event.f_number, shutter_s=event.shutter_s, iso=event.iso,
    )  # fmt: skip
    (why,) = rows(office, house).packs.left_out
    assert why.startswith("no recipe was locked")


def test_what_standing_by_drew_is_taken_off(office, house):
    a_day_of_everything()
    make.models.Strobe.objects.update(idle_w=3.0)
    (drawdown,) = rows(office, house).packs.drawdowns
    # 79 minutes in the head at 3 W are 3.95 Wh of 43: 0.0919 of the 0.4 it showed.
    assert drawdown.used_share == pytest.approx(0.4 - 3.95 / 43)
    assert drawdown.a_charge == pytest.approx(60 / (0.4 - 3.95 / 43))


def test_what_the_house_left_out_of_its_own_figure_is_left_out_here(office, house):
    a_day_of_everything()
    (drawdown,) = rows(office, house).packs.drawdowns
    light = make.PlannedLight.objects.get()
    make.LeftOutFactory(
        figure=f"flashes:{light.strobe_id}:{drawdown.unit_id}",
        witness=f"drawdown:{light.planned_set_id}:{light.pk}:{drawdown.unit_id}:1",
    )
    found = rows(office, house).packs
    assert (found.drawdowns, found.left_out) == ([], {"the house has left it out": 1})
