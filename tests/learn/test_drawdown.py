"""Flashes of one charge, learned from coarse readings of packs."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest

from planning.after.counts import Count, power_over
from planning.learn.drawdown import Drawdown, chained, learned_flashes
from planning.learn.habits import FLASHES
from planning.learn.stays import Around, Stay, drawdown, given_in
from planning.learn.witness import Prior
from planning.physics.errors import OutOfRange

PRIOR = Prior(math.log2(200.0), 0.5)
NOON = datetime(2027, 5, 8, 12, tzinfo=UTC)


def given(flashes, in_share=1.0, out_share=0.5, within=0.01, **more):
    more = {"key": f"{flashes}:{in_share}:{out_share}", "day": f"{flashes}", **more}
    return Drawdown(
        full_power_flashes=flashes,
        in_share=in_share,
        out_share=out_share,
        within_share=within,
        **more,
    )


def one_day_each(drawdowns):
    return [replace(one, key=f"k{n}", day=f"d{n:02}") for n, one in enumerate(drawdowns)]


class TestLimits:
    def test_without_drawdowns_it_is_the_prior_exactly(self):
        figure = learned_flashes(PRIOR, [], FLASHES)
        assert (figure.middle, figure.within) == (PRIOR.middle, PRIOR.within)

    def test_many_drawdowns_are_flashes_over_share(self):
        # 75 of full power for 0.5 of a charge, again and again: 150 a charge
        figure = learned_flashes(PRIOR, one_day_each([given(75.0)] * 40), FLASHES)
        assert 2.0**figure.middle == pytest.approx(150.0, rel=0.03)
        assert figure.within < 0.2
        assert figure.witnesses == 40

    def test_cells_age_so_only_the_newest_count(self):
        old = [given(50.0)] * 60
        new = [given(100.0)] * 60
        figure = learned_flashes(PRIOR, one_day_each([*old, *new]), FLASHES)
        assert 2.0**figure.middle == pytest.approx(200.0, rel=0.03)


class TestDirections:
    def test_more_flashes_for_the_same_share_make_a_better_pack(self):
        middles = [learned_flashes(PRIOR, [given(n)], FLASHES).middle for n in (60, 90, 120)]
        assert middles == sorted(middles)

    def test_a_lamp_of_four_says_less_than_two_per_cent(self):
        fine = learned_flashes(PRIOR, [given(75.0)], FLASHES)
        coarse = learned_flashes(PRIOR, [given(75.0, within=0.125)], FLASHES)
        assert fine.within < coarse.within

    def test_a_small_difference_of_two_readings_says_little(self):
        # 20 % used, read in lamps: a quarter or nothing
        widths = [
            learned_flashes(
                PRIOR, [given(200 * (1 - out), out_share=out, within=0.125)], FLASHES
            ).within
            for out in (0.75, 0.5, 0.25)
        ]
        assert widths == sorted(widths, reverse=True)

    def test_the_same_coarse_reading_ten_times_is_hardly_finer_than_once(self):
        lamps = given(90.0, out_share=0.5, within=0.125)
        once = learned_flashes(PRIOR, one_day_each([lamps]), FLASHES)
        often = learned_flashes(PRIOR, one_day_each([lamps] * 10), FLASHES)
        fine = learned_flashes(PRIOR, one_day_each([given(90.0)] * 10), FLASHES)
        assert fine.within < 0.7 * often.within < often.within < once.within

    def test_a_pack_that_still_shows_full_may_have_given_half_a_lamp_at_most(self):
        # ten flashes for an eighth of a charge or less: 80 a charge or more, and 200 was held
        still_full = given(10.0, out_share=1.0, within=0.125)
        assert learned_flashes(PRIOR, [still_full], FLASHES).middle > math.log2(190.0)
        many = one_day_each([replace(still_full, full_power_flashes=50.0)] * 3)
        assert 2.0 ** learned_flashes(PRIOR, many, FLASHES).middle > 50 / 0.125

    def test_what_a_gauge_bends_by_is_felt_most_halfway(self):
        # an arch, nothing at its ends (GAUGE_BEND_SHARE, a hundredth of a charge at half):
        # 0.01 of 0.5 used is log2(1.02) = 0.029 stop, of a whole charge nothing
        def within(out_share):
            rows = [given(200.0 * (1.0 - out_share), out_share=out_share)] * 60
            return learned_flashes(PRIOR, one_day_each(rows), FLASHES).within

        assert within(0.0) < 0.02 < 1.645 * 0.0285 < within(0.5) < 0.065

    def test_idling_and_cold_come_off_the_flashes(self):
        warm = learned_flashes(PRIOR, one_day_each([given(75.0)] * 8), FLASHES)
        idle = learned_flashes(PRIOR, one_day_each([given(75.0, idle_share=0.1)] * 8), FLASHES)
        cold = learned_flashes(PRIOR, one_day_each([given(75.0, cold_share=0.8)] * 8), FLASHES)
        # 75 / 0.4 = 187.5, and 75 / 0.5 / 0.8 = 187.5 too
        assert 2.0**idle.middle == pytest.approx(187.5, rel=0.03)
        assert 2.0**cold.middle == pytest.approx(187.5, rel=0.03)
        assert warm.middle < idle.middle

    def test_one_odd_day_moves_the_figure_little(self):
        good = one_day_each([given(98.0), given(102.0), given(100.0), given(97.0), given(103.0)])
        before = learned_flashes(PRIOR, good, FLASHES)
        odd = replace(given(300.0), key="odd", day="odd")
        after = learned_flashes(PRIOR, [*good, odd], FLASHES)
        off_stops = math.log2(300 / 100)
        assert abs(after.middle - before.middle) < 0.1 * off_stops
        assert dict(after.doubts)["odd"] > 0.5

    def test_the_order_does_not_matter(self):
        rows = one_day_each([given(80.0), given(90.0), given(150.0)])
        assert len({learned_flashes(PRIOR, order, FLASHES) for order in permutations(rows)}) == 1


class TestChains:
    def test_stays_that_go_on_where_the_last_ended_are_one_drawdown(self):
        first = given(50.0, 1.0, 0.7, key="a", day="d", idle_share=0.02)
        second = given(40.0, 0.7, 0.4, key="b", day="d", idle_share=0.01)
        (one,) = chained([second, first])
        assert (one.in_share, one.out_share, one.full_power_flashes) == (1.0, 0.4, 90.0)
        assert one.idle_share == pytest.approx(0.03)
        assert one.key == "a b"

    def test_a_pack_charged_in_between_or_on_another_day_is_another(self):
        first = given(50.0, 1.0, 0.7, key="a", day="d")
        charged = given(40.0, 1.0, 0.4, key="b", day="d")
        later = given(40.0, 0.7, 0.4, key="c", day="e")
        assert len(chained([first, charged, later])) == 3

    def test_every_stay_of_a_chain_has_its_weight(self):
        first = given(50.0, 1.0, 0.7, key="a", day="d")
        second = given(40.0, 0.7, 0.4, key="b", day="d")
        figure = learned_flashes(PRIOR, [first, second], FLASHES)
        assert set(dict(figure.weights)) == {"a", "b"}
        assert figure.witnesses == 2


class TestRefusals:
    @pytest.mark.parametrize(
        ("change", "words"),
        [
            ({"in_share": 1.2}, "1 is a full charge"),
            ({"out_share": -0.1}, "out_share"),
            ({"full_power_flashes": 0.0}, "full_power_flashes"),
            ({"within_share": 0.0}, "within_share"),
            ({"cold_share": 0.0}, "cold_share"),
        ],
    )
    def test_what_is_no_drawdown_is_refused_by_name(self, change, words):
        with pytest.raises(OutOfRange, match=words):
            learned_flashes(PRIOR, [replace(given(75.0), **change)], FLASHES)

    def test_one_measurement_counts_once(self):
        with pytest.raises(OutOfRange, match="counts once"):
            learned_flashes(PRIOR, [given(75.0), given(75.0)], FLASHES)


def stay(key, unit=1, begin=0, end=60, shares=(1.0, 0.5)):
    def at(minutes):
        return None if minutes is None else NOON + timedelta(minutes=minutes)

    return Stay(key, unit, at(begin), shares[0], at(end), shares[1], 0.01)


def count(minutes, flashes, power=0.5):
    return Count(NOON + timedelta(minutes=minutes), flashes, power)


class TestStays:
    AROUND = Around(idle_w=4.0, usable_wh=40.0, hours=2.0, cold_share=1.0, cold_stops=0.0)

    def test_the_only_stay_has_all_flashes_also_those_counted_late(self):
        full = given_in([stay("a")], [count(30, 40), count(90, 60, 0.25)])
        assert full == {"a": 35.0}  # 40 halves and 60 quarters

    def test_each_of_two_packs_has_the_counts_of_its_own_time(self):
        stays = [stay("a", 1, 0, 60), stay("b", 2, 61, 120)]
        full = given_in(stays, [count(59, 40), count(60.5, 0), count(119, 10)])
        assert full == {"a": 20.0, "b": 5.0}

    def test_a_count_a_moment_before_the_change_belongs_to_the_pack_that_comes_out(self):
        stays = [stay("a", 1, 0, 60), stay("b", 2, 61, 120)]
        full = given_in(stays, [count(59, 40), count(119, 10)])
        assert full == {"a": 20.0, "b": 5.0}
        # ten minutes of flashes that may be either's are neither's
        full = given_in(stays, [count(50, 40), count(119, 10)])
        assert full == {"a": "two packs", "b": "two packs"}

    def test_a_count_over_a_change_of_packs_says_nothing_of_either(self):
        stays = [stay("a", 1, 0, 60), stay("b", 2, 61, 120)]
        full = given_in(stays, [count(119, 50)])
        assert full == {"a": "two packs", "b": "two packs"}

    def test_nothing_counted_or_no_power_known_is_said(self):
        assert given_in([stay("a")], []) == {"a": "uncounted"}
        assert given_in([stay("a")], [count(30, 40, None)]) == {"a": "no power"}

    def test_flashes_counted_over_a_change_of_power_go_by_the_minutes_of_each(self):
        def at(minutes):
            return NOON + timedelta(minutes=minutes)

        locked = [(at(0), 0.5), (at(30), 0.25)]
        # counted first at 40: 30 min at a half, 10 at a quarter
        mean, off_stops = power_over(locked, None, at(40))
        assert mean == pytest.approx((30 * 0.5 + 10 * 0.25) / 40)
        # a fifth of the flashes, half a full flash or a quarter each: 0.05 of 0.4375
        assert off_stops == pytest.approx(0.05 / 0.4375 / math.log(2))
        # counted at each change each power has its own flashes, and nothing is in doubt
        assert power_over(locked, at(30), at(60)) == (0.25, 0.0)
        assert power_over(locked, None, at(30)) == (0.5, 0.0)
        # put right at once hardly counts; locked late it is the first there is; none is none
        assert power_over([(at(0), 0.5), (at(1), 0.25)], None, at(60))[1] < 0.03
        assert power_over([(at(50), 0.5)], None, at(40)) == (0.5, 0.0)
        assert power_over([], None, at(40)) == (None, 0.0)

    def test_a_stay_that_was_not_read_says_nothing(self):
        assert drawdown(stay("a", shares=(1.0, None)), "d", 20.0, self.AROUND) == "unread"

    def test_idling_is_reckoned_over_the_stay_else_over_the_set(self):
        # 4 W for one hour of a pack of 40 Wh: a tenth; over the set's two hours two tenths
        assert drawdown(stay("a"), "d", 20.0, self.AROUND).idle_share == pytest.approx(0.1)
        unknown = stay("a", begin=None)
        assert drawdown(unknown, "d", 20.0, self.AROUND).idle_share == pytest.approx(0.2)
