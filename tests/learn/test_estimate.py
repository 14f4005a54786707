"""A figure learned from readings, against textbooks, and against what nobody would accept."""

import math
from dataclasses import replace
from itertools import permutations

import pytest

from planning.learn.estimate import Z_CENTRAL, learned
from planning.learn.habits import GUIDE_NUMBER, UNMEASURED_WITHIN_STOPS
from planning.learn.linear import given, laid_out
from planning.learn.witness import Habits, Prior, Witness
from planning.physics.errors import OutOfRange

PRIOR = Prior(middle=11.0, within=1.0)
# A noise that is known, no error of day or meter, no blunders: the closed form of the textbooks.
KNOWN = Habits(noise=10.0, noise_factor=1.0, day=1e-6, prior_least=0.0, blunder_share=1e-12)


def readings(*values, day="d{}", **same):
    return [
        Witness(f"r{number}", day.format(number), value, **same)
        for number, value in enumerate(values)
    ]


# Effects of coaching in eight schools with their standard errors: D. B. Rubin 1981; Gelman et al.,
# Bayesian Data Analysis, 3rd ed., table 5.2.
SCHOOLS = ((28, 15), (8, 10), (-3, 16), (7, 11), (-1, 9), (1, 11), (18, 10), (12, 18))


def schools():
    return [
        Witness(f"school {number}", f"d{number}", float(effect), noise_ratio=error / 10.0)
        for number, (effect, error) in enumerate(SCHOOLS)
    ]


class TestAgainstTextbooks:
    def test_eight_schools_pooled(self):
        # BDA section 5.5: complete pooling gives 7.7 with a standard error of 4.1
        said = given(laid_out(schools(), [], KNOWN), 10.0, 0.0)
        assert said.mean == pytest.approx(7.7, abs=0.05)
        assert said.precision**-0.5 == pytest.approx(4.1, abs=0.05)

    def test_eight_schools_with_a_spread_between_them(self):
        # BDA (5.20): each weighs 1 / (error^2 + tau^2); worked out here for tau = 10, by hand
        weights = [1.0 / (error**2 + 100.0) for _effect, error in SCHOOLS]
        mean = sum(w * effect for w, (effect, _e) in zip(weights, SCHOOLS, strict=True))
        said = given(laid_out(schools(), [], KNOWN), 10.0, 10.0)
        assert said.mean == pytest.approx(mean / sum(weights))
        assert said.precision == pytest.approx(sum(weights))

    def test_the_likelihood_of_the_spread_between_schools(self):
        # BDA (5.21): p(tau | y) is V_mu^(1/2) prod N(y; mu_hat, error^2 + tau^2), for a flat mu
        def by_the_book(tau):
            variances = [error**2 + tau**2 for _effect, error in SCHOOLS]
            total = sum(1 / v for v in variances)
            mean = sum(e / v for (e, _s), v in zip(SCHOOLS, variances, strict=True)) / total
            squares = sum(
                (e - mean) ** 2 / v for (e, _s), v in zip(SCHOOLS, variances, strict=True)
            )
            return -0.5 * (math.log(total) + sum(map(math.log, variances)) + squares)

        def ours(tau):
            said = given(laid_out(schools(), [], KNOWN), 10.0, tau)
            return said.log_like - 0.5 * math.log(said.precision)

        for tau in (1.0, 5.0, 20.0):
            assert ours(tau) - ours(10.0) == pytest.approx(by_the_book(tau) - by_the_book(10.0))

    def test_a_normal_mean_with_known_noise_is_the_closed_form(self):
        # BDA (2.11) and (2.12): precisions add, the mean is weighted by them
        habits = replace(KNOWN, noise=0.3)
        figure = learned(PRIOR, readings(12.0, 12.2, 11.9, 12.1), habits)
        before, brought = (Z_CENTRAL / 1.0) ** 2, 4 / 0.3**2
        mean = (before * 11.0 + brought * 12.05) / (before + brought)
        assert figure.middle == pytest.approx(mean, abs=1e-6)
        assert figure.within == pytest.approx(Z_CENTRAL * (before + brought) ** -0.5, rel=1e-6)

    def test_readings_of_one_day_share_its_error(self):
        # four of one day: variance day^2 + noise^2/4, on a mean; by hand
        said = given(laid_out(readings(1, 1, 1, 1, day="same"), [], KNOWN), 0.2, 0.15)
        assert 1 / said.precision == pytest.approx(0.15**2 + 0.2**2 / 4)
        apart = given(laid_out(readings(1, 1, 1, 1), [], KNOWN), 0.2, 0.15)
        assert 1 / apart.precision == pytest.approx((0.15**2 + 0.2**2) / 4)

    def test_a_meters_calibration_does_not_average_out_and_two_meters_halve_it(self):
        habits = replace(KNOWN, meter=0.1)
        one = laid_out(readings(*[1.0] * 200, meter="M1"), [], habits)
        assert 1 / given(one, 0.05, 1e-6).precision == pytest.approx(0.1**2, rel=0.01)
        two = readings(*[1.0] * 200, meter="M1") + [
            Witness(f"s{n}", f"e{n}", 1.0, meter="M2") for n in range(200)
        ]
        two.sort(key=lambda row: (row.day, row.meter))
        assert 1 / given(laid_out(two, [], habits), 0.05, 1e-6).precision == pytest.approx(
            0.1**2 / 2, rel=0.01
        )


class TestLimits:
    def test_without_readings_it_is_the_prior_exactly(self):
        for prior in (PRIOR, Prior(3.3, 0.05), Prior(-1.0, 4.0)):
            figure = learned(prior, [], GUIDE_NUMBER)
            assert (figure.middle, figure.within) == (prior.middle, prior.within)
            assert (figure.witnesses, figure.days, figure.prior_share) == (0, 0, 1.0)

    def test_very_many_readings_are_the_data(self):
        values = [12.0 + 0.1 * (-1) ** number for number in range(300)]
        figure = learned(PRIOR, readings(*values), GUIDE_NUMBER)
        assert figure.middle == pytest.approx(12.0, abs=0.03)
        assert figure.prior_share < 0.03
        assert figure.noise == pytest.approx(0.1, abs=0.05)
        # what is left is the calibration of the one meter: 0.1 stop, 1.645 of them
        assert figure.within == pytest.approx(0.1645, abs=0.02)

    def test_the_spread_shrinks_with_every_day_and_never_under_the_meters(self):
        widths = [learned(PRIOR, readings(*[11.5] * n), GUIDE_NUMBER).within for n in range(12)]
        assert widths == sorted(widths, reverse=True)
        assert widths[-1] > 0.1645

    def test_noisier_readings_leave_a_wider_figure(self):
        def spread(off):
            return learned(PRIOR, readings(*[11.5 - off, 11.5 + off] * 4), GUIDE_NUMBER).within

        assert spread(0.05) < spread(0.2) < spread(0.4)


class TestDirections:
    def test_readings_pull_the_figure_to_their_side_and_not_past_them(self):
        for value in (10.2, 10.8, 11.2, 12.0):
            figure = learned(PRIOR, readings(value, value), GUIDE_NUMBER)
            assert min(11.0, value) < figure.middle < max(11.0, value)

    def test_the_other_way_round_is_the_mirror_image(self):
        up = learned(Prior(0.0, 1.0), readings(0.8, 1.0, 0.7), GUIDE_NUMBER)
        down = learned(Prior(0.0, 1.0), readings(-0.8, -1.0, -0.7), GUIDE_NUMBER)
        assert up.middle == pytest.approx(-down.middle, abs=1e-6)
        assert up.within == pytest.approx(down.within, abs=1e-6)

    def test_the_order_of_the_readings_does_not_matter(self):
        rows = [
            Witness("a", "d1", 11.2, meter="M1"),
            Witness("b", "d1", 11.6, meter="M2", mark="2.0"),
            Witness("c", "d2", 13.0, meter="M1", mark="2.0"),
            Witness("d", "d3", 11.3),
        ]
        figures = {learned(PRIOR, order, GUIDE_NUMBER) for order in permutations(rows)}
        assert len(figures) == 1

    def test_more_days_say_more_than_more_readings_of_one(self):
        one_day = learned(PRIOR, readings(*[11.5] * 6, day="same"), GUIDE_NUMBER)
        six_days = learned(PRIOR, readings(*[11.5] * 6), GUIDE_NUMBER)
        assert six_days.within < one_day.within
        assert (one_day.days, six_days.days) == (1, 6)

    def test_a_noisier_witness_counts_for_less(self):
        rows = [Witness("plain", "d1", 11.5), Witness("noisy", "d2", 11.5, noise_ratio=3.0)]
        weights = dict(learned(PRIOR, rows, GUIDE_NUMBER).weights)
        assert weights["noisy"] < weights["plain"] / 2

    def test_weights_and_prior_make_one(self):
        figure = learned(PRIOR, readings(11.3, 11.4, 11.6), GUIDE_NUMBER)
        assert sum(dict(figure.weights).values()) + figure.prior_share == pytest.approx(1.0)
        assert 0.0 < figure.prior_share < 0.2


class TestOddDays:
    # The share stated in DEVELOPERS.md: an odd day of a stop and a half moves a figure of five good
    # days by less than a tenth of what it is off by.
    MOST_SHARE = 0.1

    @pytest.mark.parametrize("off", [1.0, 1.5, 2.0, -1.5])
    def test_one_odd_day_moves_the_figure_little(self, off):
        good = readings(11.4, 11.5, 11.6, 11.45, 11.55)
        before = learned(PRIOR, good, GUIDE_NUMBER)
        odd = [*good, Witness("odd", "odd", 11.5 + off)]
        after = learned(PRIOR, odd, GUIDE_NUMBER)
        assert abs(after.middle - before.middle) < self.MOST_SHARE * abs(off)
        assert dict(after.doubts)["odd"] > 0.5
        assert dict(after.weights)["odd"] < 0.1

    def test_a_first_reading_far_from_the_prior_leaves_a_wide_figure(self):
        odd = learned(PRIOR, readings(12.8), GUIDE_NUMBER)
        plain = learned(PRIOR, readings(11.1), GUIDE_NUMBER)
        assert odd.within > plain.within
        assert 11.0 < odd.middle < 12.8

    def test_of_two_readings_that_contradict_each_other_either_may_be_right(self):
        torn = learned(PRIOR, readings(10.5, 12.0), GUIDE_NUMBER)
        agreed = learned(PRIOR, readings(11.2, 11.3), GUIDE_NUMBER)
        assert torn.within > 1.5 * agreed.within

    def test_a_confident_prior_a_stop_off_gives_way_to_what_agrees(self):
        sure = Prior(11.0, 0.2)
        figure = learned(sure, readings(12.0, 12.1, 11.9, 12.0, 12.05), GUIDE_NUMBER)
        assert figure.middle == pytest.approx(12.0, abs=0.12)
        assert sure.within < UNMEASURED_WITHIN_STOPS


class TestRefusals:
    @pytest.mark.parametrize(
        ("prior", "rows", "words"),
        [
            (Prior(math.nan, 1.0), [], "middle"),
            (Prior(11.0, 0.0), [], "within"),
            (PRIOR, readings(math.inf), "value"),
            (PRIOR, readings(11.0, noise_ratio=0.0), "noise_ratio"),
            (PRIOR, [Witness("a", "d1", 11.0), Witness("a", "d2", 11.0)], "counts once"),
        ],
    )
    def test_what_is_no_reading_is_refused_by_name(self, prior, rows, words):
        with pytest.raises(OutOfRange, match=words):
            learned(prior, rows, GUIDE_NUMBER)
