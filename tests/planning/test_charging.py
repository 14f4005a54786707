"""Which pack goes into which charger when: against sums by hand and every order tried."""

import itertools
import math
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from planning.plan.charging import ChargerUnit, Pack, charge_plan, minutes_for

ZONE = ZoneInfo("Europe/London")
READY = datetime(2027, 9, 17, 22, 0, tzinfo=ZONE)
EVENING = datetime(2027, 9, 17, 17, 0, tzinfo=ZONE)
OWN = ChargerUnit("C1", "own", fills="P95")
TWIN = ChargerUnit("C2", "twin", slots=2, power_w=30.0)


def packs(*minutes, kind="P95"):
    return [Pack(f"B{n}", kind, 95.0, one) for n, one in enumerate(minutes)]


def plan(some, chargers, ready_at=READY):
    return charge_plan(some, chargers, ready_at=ready_at, before_at=EVENING)


class TestMinutes:
    def test_the_packs_own_minutes_count_on_its_own_charger(self):
        found = minutes_for(Pack("B1", "P95", 95.0, 130.0), OWN)
        assert (found.usual_min, found.source) == (130.0, "own")

    def test_another_charger_goes_by_its_power(self):
        # 95 Wh at 30 W: 190 min; a tenth lost, a quarter more at the end: 190 / 0.9 * 1.25.
        found = minutes_for(Pack("B1", "P95", 95.0, 130.0), TWIN)
        assert found.usual_min == pytest.approx(263.9, abs=0.1)
        assert found.source == "estimate"
        assert found.low_min < found.usual_min < found.high_min

    def test_with_nothing_known_the_size_says_it_roughly(self):
        # Common practice, no source: a 95 Wh pack takes two to three hours on its maker's charger.
        found = minutes_for(Pack("B1", "P95", 95.0), ChargerUnit("C", "plain"))
        assert 120 <= found.usual_min <= 180
        assert found.high_min / found.usual_min > 1.5

    def test_twice_the_power_takes_half_as_long(self):
        pack = Pack("B1", "P95", 95.0)
        slow, fast = (minutes_for(pack, ChargerUnit("C", "c", power_w=w)) for w in (30.0, 60.0))
        assert slow.usual_min == pytest.approx(2 * fast.usual_min)


class TestOrder:
    def test_one_pack_goes_in_just_in_time(self):
        # 100 minutes and a tenth on top: 110 before ten o'clock is ten past eight.
        found = plan(packs(100.0), [OWN])
        assert f"{found.start_by_at:%H:%M}" == "20:10"
        assert found.turns[0].end_at == READY
        assert found.shortest

    def test_the_time_to_begin_is_never_later_than_it_takes(self):
        found = plan(packs(33.3, 41.7, 12.1), [OWN])
        longest_min = sum(minutes_for(one, OWN).high_min for one in packs(33.3, 41.7, 12.1))
        assert found.start_by_at <= READY - timedelta(minutes=longest_min)

    def test_two_slots_share_so_that_the_evening_is_shortest(self):
        # 50+40 against 30+30+30: where the longest goes in first it is 50+30+30, 20 more.
        found = plan(
            packs(50.0, 40.0, 30.0, 30.0, 30.0), [OWN, ChargerUnit("C3", "own", fills="P95")]
        )
        assert found.takes_min == pytest.approx(99.0)
        assert found.shortest

    @pytest.mark.parametrize("minutes", [(90, 70, 60, 50), (61, 47, 33, 29, 17), (100,) * 5])
    def test_no_sharing_is_shorter_than_the_one_found(self, minutes):
        # Every sharing of the packs over the three slots, by brute force.
        chargers = [OWN, ChargerUnit("C3", "pair", slots=2, fills="P95")]
        some = packs(*map(float, minutes))
        high = [math.ceil(minutes_for(one, OWN).high_min - 1e-9) for one in some]
        best = min(
            max(sum(m for m, s in zip(high, where, strict=True) if s == slot) for slot in range(3))
            for where in itertools.product(range(3), repeat=len(some))
        )
        found = plan(some, chargers)
        assert found.shortest
        assert found.takes_min <= best + len(some)  # whole minutes, each rounded up

    def test_every_pack_goes_in_once_and_no_slot_holds_two_at_a_time(self):
        some = packs(*[60.0 + n for n in range(20)])
        found = plan(some, [OWN, TWIN])
        assert sorted(turn.pack.tag for turn in found.turns) == sorted(one.tag for one in some)
        assert not found.shortest  # beyond what is tried out, and said so
        slots = {}
        for turn in found.turns:
            slots.setdefault((turn.charger, turn.slot), []).append(turn)
        for turns in slots.values():
            for first, then in itertools.pairwise(turns):
                assert first.end_at <= then.start_at

    def test_a_pack_goes_only_where_it_fits(self):
        some = [*packs(60.0), Pack("X1", "other", 40.0)]
        found = plan(some, [OWN])
        assert [one.tag for one in found.no_charger] == ["X1"]
        assert [turn.pack.tag for turn in found.turns] == ["B0"]

    def test_without_chargers_or_packs_nothing_is_made_up(self):
        assert plan(packs(60.0), []).start_by_at is None
        assert len(plan(packs(60.0), []).no_charger) == 1
        assert plan([], [OWN]).turns == ()

    def test_more_than_an_evening_is_told_with_what_one_more_charger_makes_of_it(self):
        found = plan(packs(*[120.0] * 4), [OWN])
        assert found.too_long
        assert found.one_more_min == pytest.approx(found.takes_min / 2, abs=2)
        assert found.changes == 3

    def test_on_the_night_the_clocks_change_the_span_stays_true(self):
        # 28 March 2027, 01:00 becomes 02:00: an hour less on the clock, not of charging.
        ready_at = datetime(2027, 3, 28, 3, 0, tzinfo=ZONE)
        found = charge_plan(packs(100.0), [OWN], ready_at=ready_at, before_at=ready_at)
        utc = ZoneInfo("UTC")
        took = found.turns[0].end_at.astimezone(utc) - found.turns[0].start_at.astimezone(utc)
        assert took == timedelta(minutes=110)
