"""A season added up: every figure by hand or by the standard library's own statistics."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from statistics import mean, median, quantiles
from zoneinfo import ZoneInfo

import pytest

from planning.after.drawdowns import Drawdown, counted_reasons
from planning.after.opinions import marks
from planning.after.season import (
    GustRow,
    Promise,
    SetRow,
    WorkshopRow,
    by_month,
    counted,
    kit_days,
    over_by_part,
    over_by_set,
    part_of_day,
    seats,
)
from planning.after.spread import spread
from planning.after.takings import DayMoney, takings
from planning.after.turn_times import minutes_between_turns

AUCKLAND = ZoneInfo("Pacific/Auckland")
MORNING = datetime(2027, 1, 16, 9, 0, tzinfo=AUCKLAND)
HOUR = timedelta(hours=1)


def workshop(start_at=MORNING, hours=9, **told) -> WorkshopRow:
    figures = {"offered": 8, "booked": 6, "attended": 5, "absent": 1} | told
    return WorkshopRow(
        id=1,
        title="Harbour wall",
        start_at=start_at,
        end_at=start_at + hours * HOUR,
        **({"called_off": False, "over": True} | figures),
    )


def planned_set(title="Wall", over_min=None, hour=14, **told) -> SetRow:
    start_at = MORNING.replace(hour=hour)
    times = {"start_at": start_at, "end_at": start_at + HOUR}
    if over_min is not None:
        began_at = start_at + timedelta(minutes=7)  # late to begin is not long to give
        times |= {"began_at": began_at, "ended_at": began_at + HOUR + timedelta(minutes=over_min)}
    return SetRow(
        id=1, workshop_id=1, workshop="Harbour wall", title=title, place="Quay", **times, **told
    )


def test_of_nothing_there_is_no_spread():
    assert spread([]) is None


@pytest.mark.parametrize("values", [[3.0], [3.0, 9.0], [9.0, 3.0, 4.0]])
def test_a_few_figures_are_told_by_their_middle_and_their_ends(values):
    found = spread(values)
    assert (found.count, found.median) == (len(values), median(values))
    assert (found.low, found.high) == (found.least, found.most) == (min(values), max(values))
    assert found.few


def test_the_middle_half_lies_between_the_quarters():
    # By hand, Hyndman and Fan's definition 7: of five in order the second and the fourth,
    # 1 + (5 - 1) / 4 and 1 + (5 - 1) * 3 / 4.
    found = spread([16, 1, 8, 2, 4])
    assert (found.low, found.median, found.high) == (2, 4, 8)
    assert not found.few


def test_quarters_are_those_of_the_standard_library():
    values = [7.5, -2.0, 11.25, 4.0, 0.0, 31.0]
    low, middle, high = quantiles(values, n=4, method="inclusive")
    found = spread(values)
    assert (found.low, found.median, found.high) == (low, middle, high)
    assert (found.least, found.most) == (-2.0, 31.0)


def test_a_figure_far_out_moves_the_middle_not_at_all():
    assert spread([1, 2, 3, 4, 5]).median == spread([1, 2, 3, 4, 500]).median == 3


def test_seats_add_up_and_a_workshop_called_off_offers_none():
    rows = [workshop(), workshop(offered=10, booked=4, attended=4, absent=0)]
    found = seats([*rows, workshop(called_off=True, booked=0, attended=0, absent=0)])
    assert (found.workshops, found.offered, found.booked) == (2, 18, 10)
    assert (found.attended, found.absent) == (9, 1)
    assert found.booked_share == pytest.approx(10 / 18)
    assert found.absent_share == pytest.approx(1 / 10)


def test_nobody_absent_is_no_share_where_nobody_noted_who_came():
    found = seats([workshop(attended=0, absent=0)])
    assert found.absent_share is None
    assert found.noted == 0
    assert seats([workshop(attended=0, absent=0), workshop()]).noted == 6


def test_no_seats_make_no_share():
    assert seats([]).booked_share is None
    assert seats([workshop(offered=0, booked=0)]).booked_share is None


def test_only_the_last_week_counts_as_late():
    found = seats([workshop(left_days=(0, 6, 7, 40)), workshop(left_days=(-1,))])
    assert (found.left, found.late) == (5, 3)


def test_a_southern_summer_goes_on_over_new_year():
    starts = [(2027, 1, 16), (2026, 12, 31), (2026, 11, 7), (2027, 1, 1)]
    rows = [workshop(datetime(*day, 9, 0, tzinfo=AUCKLAND)) for day in starts]
    months = by_month(rows)
    assert [month for month, _seats in months] == [
        date(2026, 11, 1), date(2026, 12, 1), date(2027, 1, 1),
    ]  # fmt: skip
    assert [found.workshops for _month, found in months] == [1, 1, 2]


def test_the_month_is_that_of_the_clock_of_the_place():
    # 2026-12-31 20:00 UTC is New Year's morning in Auckland (UTC+13 in summer, IANA tzdata).
    at = datetime(2026, 12, 31, 20, 0, tzinfo=UTC)
    assert [month for month, _ in by_month([workshop(at.astimezone(AUCKLAND))])] == [
        date(2027, 1, 1)
    ]
    assert [month for month, _ in by_month([workshop(at)])] == [date(2026, 12, 1)]


@pytest.mark.parametrize(("hours", "days"), [(9, 1), (24, 1), (25, 2), (33, 2), (48, 3)])
def test_a_day_over_midnight_is_one_day(hours, days):
    assert workshop(hours=hours).days == days


def test_minutes_over_are_told_of_sets_with_both_times_only():
    rows = [
        planned_set("Wall", 10), planned_set("Dunes", -5), planned_set("Wall"),
        planned_set("Wall", 4), planned_set("Pier"), planned_set("Wall", 30),
    ]  # fmt: skip
    wall, dunes = over_by_set(rows)
    assert (wall.name, wall.values, wall.spread.median) == ("Wall", (10, 4, 30), 10)
    assert (dunes.name, dunes.values) == ("Dunes", (-5,))
    assert over_by_set([planned_set()]) == []


def test_parts_of_the_day_come_in_the_order_of_the_day():
    rows = [planned_set(over_min=3, hour=19), planned_set(over_min=1, hour=9)]
    assert [line.name for line in over_by_part(rows)] == ["morning", "evening"]


@pytest.mark.parametrize(
    ("hour", "part"),
    [(5, "morning"), (11, "morning"), (12, "afternoon"), (16, "afternoon"), (17, "evening"),
     (23, "evening"), (0, "evening"), (4, "evening")],
)  # fmt: skip
def test_the_night_belongs_to_the_evening_before_it(hour, part):
    assert part_of_day(MORNING.replace(hour=hour)) == part


def test_what_comes_most_often_comes_first():
    assert counted(["cell", "range", "cell", "body"]) == [("cell", 2), ("body", 1), ("range", 1)]


def test_a_gust_at_the_limit_is_not_over_it():
    at_it = GustRow(MORNING, "", "", "", gust_m_s=11.0, limit_m_s=11.0, forecast_m_s=8.5)
    assert not at_it.over
    assert at_it.beyond_m_s == pytest.approx(2.5)
    past = GustRow(MORNING, "", "", "", gust_m_s=11.1, limit_m_s=11.0)
    assert past.over
    assert past.beyond_m_s is None


def test_unit_days_are_promised_hours_by_24_cut_off_at_the_ends_of_the_season():
    first = datetime(2027, 1, 1, tzinfo=UTC)
    last = first + timedelta(days=10)
    promises = [
        Promise("strobe", first - timedelta(days=2), first + timedelta(days=1)),  # 1 of its 3
        Promise("strobe", first + timedelta(hours=12), first + timedelta(days=2)),  # 1.5
        Promise("strobe", last + timedelta(days=1), last + timedelta(days=2)),  # outside
    ]
    strobe, stand = kit_days(promises, {"strobe": 4, "stand": 0}, first, last)
    assert (strobe.promised_days, strobe.available_days) == (2.5, 40.0)
    assert strobe.share == pytest.approx(2.5 / 40)
    assert strobe.most_at_once == 2
    assert (stand.promised_days, stand.share, stand.most_at_once) == (0, None, 0)


def test_what_ends_as_another_begins_is_not_out_twice():
    first = datetime(2027, 1, 1, tzinfo=UTC)
    noon, last = first + timedelta(hours=12), first + timedelta(days=1)
    promises = [Promise("strobe", noon, last), Promise("strobe", first, noon)]
    (strobe,) = kit_days(promises, {"strobe": 1}, first, last)
    assert strobe.most_at_once == 1


def test_marks_are_averaged_over_those_who_gave_one():
    found = marks([5, None, 4, 4, None, 1])
    assert (found.count, found.each) == (4, (1, 0, 0, 2, 1))
    assert found.average == mean([5, 4, 4, 1]) == 3.5


def test_nobody_s_marks_have_no_average():
    assert marks([None, None]) is None
    assert marks([]) is None


def test_takings_a_day_are_the_middle_one_of_the_days_and_currencies_stay_apart():
    rows = [
        DayMoney(1, "NZD", 1, Decimal("1200.00"), Decimal("300.00")),
        DayMoney(2, "NZD", 2, Decimal("1800.00"), Decimal("1900.50")),
        DayMoney(3, "NZD", 1, Decimal("700.00"), Decimal("0.00")),
        DayMoney(4, "AUD", 1, Decimal("10.00"), Decimal("4.00")),
    ]
    aud, nzd = takings(rows)
    assert (aud.currency, aud.takings, aud.result) == ("AUD", Decimal("10.00"), Decimal("6.00"))
    # 1200, 900 and 700 a day.
    assert (nzd.workshops, nzd.days, nzd.a_day) == (3, 4, Decimal(900))
    assert (nzd.least_a_day, nzd.most_a_day) == (Decimal(700), Decimal(1200))
    assert (nzd.takings, nzd.result) == (Decimal("3700.00"), Decimal("1499.50"))
    assert takings([]) == []


def drawdown(**told) -> Drawdown:
    figures = {"full_power_flashes": 60.0, "used_share": 0.4, "within_share": 0.02} | told
    return Drawdown(MORNING, 1, "B1", "Head 600", "Harbour wall", "Wall", nominal=None,
                    nominal_source="", **figures)  # fmt: skip


def test_flashes_a_charge_are_the_flashes_over_the_share_they_took():
    found = drawdown()
    assert found.a_charge == pytest.approx(150)
    # Two readings within 0.02 each: 0.02 x sqrt(2) = 0.0283 (JCGM 100:2008, 5.1.2).
    assert found.low == pytest.approx(60 / 0.42828, abs=0.01)
    assert found.high == pytest.approx(60 / 0.37172, abs=0.01)


def test_more_of_the_pack_used_is_fewer_a_charge_and_told_more_nearly():
    little, much = drawdown(used_share=0.2), drawdown(used_share=0.8)
    assert little.a_charge > much.a_charge
    assert little.high / little.low > much.high / much.low


def test_a_pack_that_shows_lamps_is_told_less_nearly():
    assert drawdown(within_share=0.125).high > drawdown().high


def test_what_the_cold_withheld_is_given_back():
    # At 0 C a pack gives 0.8 of its charge, say: 60 flashes off 0.4 of that are 60 / 0.32.
    assert drawdown(cold_share=0.8).a_charge == pytest.approx(187.5)
    assert drawdown(cold_share=0.8).a_charge > drawdown().a_charge


@pytest.mark.parametrize(("used_share", "tells"), [(0.4, True), (0.0282, False), (-0.1, False)])
def test_less_than_two_readings_can_be_off_by_tells_nothing(used_share, tells):
    assert drawdown(used_share=used_share).tells is tells


def test_what_tells_nothing_is_counted_by_its_reason_the_commonest_first():
    told = counted_reasons(["unread", "left out", "left out"])
    assert list(told.items()) == [("left out", 2), ("unread", 1)]


def test_minutes_run_from_one_turn_to_the_next_at_the_same_station():
    def at(minute):
        return MORNING + timedelta(minutes=minute)

    turns = [("", at(20)), ("", at(14)), ("", at(27)), ("", at(58)), ("wall", at(16))]
    # 14 to 20, 20 to 27; 27 to 58 holds a break; the wall has one turn only.
    assert minutes_between_turns(turns) == (6.0, 7.0)
    assert minutes_between_turns([("", at(5))]) == ()


def test_turns_noted_at_one_instant_last_no_time_at_all_and_are_left_out():
    assert minutes_between_turns([("", MORNING), ("", MORNING)]) == ()
