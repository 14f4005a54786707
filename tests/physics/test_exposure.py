"""EV, settings and marks against ISO 2720, the exposure tables and the marks on cameras."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.physics.errors import OutOfRange
from planning.physics.exposure import (
    F_MARKS,
    ISO_MARKS,
    SHUTTER_MARKS,
    ev100,
    ev100_from_cd_m2,
    ev100_from_lx,
    exact_shutter_s,
    f_mark,
    f_number_for,
    floor_shutter_s,
    iso_mark,
    meter_f_number,
    nearest_f_number,
    nearest_iso,
    nearest_shutter_s,
    parse_f_mark,
    parse_shutter_mark,
    shutter_mark,
    shutter_s_for,
    sum_stops,
)

steady = settings(derandomize=True, database=None)
F_NUMBERS = st.floats(0.7, 128)
TIMES_S = st.floats(1 / 32000, 32)
ISOS = st.floats(25, 102400)


# Sunny sixteen and its neighbours: log2(N^2 / t) by hand. ISO 200 takes one stop off.
@pytest.mark.parametrize(
    ("f_number", "shutter_s", "iso", "expected"),
    [
        (16, 1 / 100, 100, 14.644),
        (16, 1 / 125, 100, 14.966),
        (16, 1 / 128, 100, 15.0),
        (5.6, 1 / 250, 100, 12.937),
        (8, 1 / 60, 200, 10.907),
    ],
)
def test_ev100_is_that_of_the_settings(f_number, shutter_s, iso, expected):
    assert ev100(f_number, shutter_s, iso) == pytest.approx(expected, abs=1e-3)


# The table of EV at ISO 100 with K 12.5 and C 250: L = 2^(EV-3) cd/m2, E = 2.5 x 2^EV lx.
@pytest.mark.parametrize(
    ("ev", "cd_m2", "lx"), [(0, 0.125, 2.5), (5, 4, 80), (12, 512, 10_240), (15, 4096, 81_920)]
)
def test_light_becomes_ev_as_in_the_published_table(ev, cd_m2, lx):
    assert ev100_from_cd_m2(cd_m2) == pytest.approx(ev, abs=1e-9)
    assert ev100_from_lx(lx) == pytest.approx(ev, abs=1e-9)


def test_sunny_sixteen_stands_for_3200_candelas_and_64000_lux():
    # ANSI PH2.7 arithmetic, f/16 at 1/100: 12.5 x 256 x 100 / 100 and 250 x 256.
    assert ev100_from_cd_m2(3200) == pytest.approx(ev100(16, 1 / 100), abs=1e-9)
    assert ev100_from_lx(64_000) == pytest.approx(ev100(16, 1 / 100), abs=1e-9)


def test_a_dome_calibration_reads_four_tenths_lower():
    # ISO 2720 allows a dome 320 to 540, makers use about 330 (from memory): log2(330 / 250) = 0.40.
    flat, dome = ev100_from_lx(10_000), ev100_from_lx(10_000, 330)
    assert flat - dome == pytest.approx(0.40, abs=0.005)


@steady
@given(F_NUMBERS, TIMES_S, ISOS)
def test_trading_a_stop_leaves_ev100_alone(f_number, shutter_s, iso):
    before = ev100(f_number, shutter_s, iso)
    assert ev100(f_number * math.sqrt(2), shutter_s * 2, iso) == pytest.approx(before, abs=1e-9)
    assert ev100(f_number, shutter_s / 2, iso * 2) == pytest.approx(before, abs=1e-9)


@steady
@given(F_NUMBERS, TIMES_S, ISOS)
def test_settings_solved_from_ev100_give_it_back(f_number, shutter_s, iso):
    value = ev100(f_number, shutter_s, iso)
    assert f_number_for(value, shutter_s, iso) == pytest.approx(f_number, rel=1e-9)
    assert shutter_s_for(value, f_number, iso) == pytest.approx(shutter_s, rel=1e-9)


def test_more_light_wants_a_smaller_aperture_and_a_faster_shutter():
    assert f_number_for(15, 1 / 128) > f_number_for(14, 1 / 128)
    assert shutter_s_for(15, 8) < shutter_s_for(14, 8)


# Second source equal, one, two and three stops lower: log2(1 + 2^-n).
@pytest.mark.parametrize(("lower", "gain"), [(0, 1.0), (1, 0.585), (2, 0.322), (3, 0.170)])
def test_a_second_light_adds_what_the_books_say(lower, gain):
    assert sum_stops(0, -lower) == pytest.approx(gain, abs=1e-3)


def test_no_light_adds_nothing_and_nothing_but_no_light_is_none():
    assert sum_stops(-2.5, -math.inf) == -2.5
    assert sum_stops(-math.inf, -math.inf) == -math.inf


def test_very_bright_levels_do_not_overflow():
    assert sum_stops(5000, 5000) == pytest.approx(5001)


@pytest.mark.parametrize("stops", [(), (math.nan,), (0, math.inf)])
def test_a_sum_of_nothing_or_of_no_number_is_refused(stops):
    with pytest.raises(OutOfRange, match="stops"):
        sum_stops(*stops)


@pytest.mark.parametrize("mark", F_MARKS)
def test_every_aperture_mark_names_itself(mark):
    assert f_mark(float(mark)) == f"f/{mark}"
    assert f_mark(parse_f_mark(mark)) == f"f/{mark}"


@pytest.mark.parametrize("mark", SHUTTER_MARKS)
def test_every_shutter_mark_names_itself(mark):
    shown = mark if "/" in mark else f"{mark} s"
    top, _, bottom = mark.partition("/")
    assert shutter_mark(float(top) / float(bottom or 1)) == shown
    assert shutter_mark(parse_shutter_mark(shown)) == shown


@pytest.mark.parametrize("mark", ISO_MARKS)
def test_every_iso_mark_names_itself(mark):
    assert iso_mark(float(mark)) == iso_mark(nearest_iso(float(mark))) == mark


# Exact members behind the marks: ISO 517, 2^(k/6); ISO 516, 2^(-k/3) s.
def test_marks_stand_for_the_exact_members_of_the_series():
    assert parse_f_mark("f/11") == pytest.approx(11.3137, abs=1e-4)
    assert parse_f_mark("f/22") == pytest.approx(22.6274, abs=1e-4)
    assert parse_f_mark("3.5") == pytest.approx(3.5636, abs=1e-4)
    assert parse_shutter_mark("1/125") == 1 / 128
    assert parse_shutter_mark("1/60") == 1 / 64
    assert parse_shutter_mark("30 s") == 32


def test_no_mark_lies_a_sixth_of_a_stop_from_its_member():
    # Largest errors of the printed marks: f/1.2 0.141 stop, 1/60 and its kin 0.094.
    for mark in F_MARKS:
        assert abs(2 * math.log2(float(mark) / parse_f_mark(mark))) < 0.142 + 0.05 * (
            mark in ("0.7", "0.8")
        )
    for mark in SHUTTER_MARKS:
        top, _, bottom = mark.partition("/")
        written_s = float(top) / float(bottom or 1)
        assert abs(math.log2(written_s / parse_shutter_mark(mark))) < 0.095


def test_a_tie_closes_down_and_goes_slower():
    assert nearest_f_number(2 ** (5.5 / 6)) == pytest.approx(2)
    assert nearest_shutter_s(2 ** (-8.5 / 3)) == pytest.approx(2 ** (-8 / 3))
    assert nearest_iso(100 * 2 ** (0.5 / 3)) == 100


@steady
@given(F_NUMBERS, TIMES_S, ISOS)
def test_snapping_moves_a_sixth_of_a_stop_at_most(f_number, shutter_s, iso):
    sixth = 1 / 6 + 1e-5
    assert abs(2 * math.log2(nearest_f_number(f_number) / f_number)) <= sixth
    assert abs(math.log2(nearest_shutter_s(shutter_s) / shutter_s)) <= sixth
    assert abs(math.log2(nearest_iso(iso) / iso)) <= sixth


# 1/180 less a third of a stop is 1/143; a third of a stop faster than 1/125 would band.
@pytest.mark.parametrize(
    ("shutter_s", "mark"),
    [(1 / 143, "1/125"), (1 / 128, "1/125"), (1 / 127, "1/100"), (1 / 162, "1/160")],
)
def test_flooring_never_goes_faster(shutter_s, mark):
    assert shutter_mark(floor_shutter_s(shutter_s)) == mark


@steady
@given(TIMES_S)
def test_a_floored_time_is_the_nearest_member_not_faster(shutter_s):
    floored_s = floor_shutter_s(shutter_s)
    stops = math.log2(floored_s / shutter_s)
    assert -1e-5 <= stops < 1 / 3
    assert floor_shutter_s(floored_s) == floored_s


@pytest.mark.parametrize("mark", ["1/45", "1/90", "1/180"])
def test_half_stop_times_keep_their_own_member(mark):
    member_s = parse_shutter_mark(mark)
    assert math.log2(member_s) % 1 == pytest.approx(0.5)
    assert shutter_mark(member_s) == mark
    assert exact_shutter_s(1 / int(mark[2:])) == member_s


def test_half_stop_aperture_keeps_its_own_member():
    assert parse_f_mark("f/6.7") == pytest.approx(6.727, abs=1e-3)
    assert f_mark(parse_f_mark("f/6.7")) == "f/6.7"


def test_a_written_time_means_its_member_and_any_other_stays():
    assert exact_shutter_s(1 / 200) == pytest.approx(1 / 203.19, rel=1e-4)
    assert exact_shutter_s(1 / 143) == 1 / 143


def test_eleven_and_three_is_not_eleven_point_three():
    # Whole mark plus tenths of a stop: 11.314 x 2^0.15 = 12.55.
    assert meter_f_number("11", 3) == pytest.approx(12.55, abs=0.005)
    assert meter_f_number("f/11") == meter_f_number(11.0) == pytest.approx(11.314, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "mark"), [("f/11", "f/11"), ("F11", "f/11"), (" 11 ", "f/11"), ("5,6", "f/5.6")]
)
def test_apertures_are_read_as_people_type_them(text, mark):
    assert f_mark(parse_f_mark(text)) == mark


@pytest.mark.parametrize(
    ("text", "mark"),
    [("1/160", "1/160"), ("1/160 s", "1/160"), ("0.8 s", "0.8 s"), ("2", "2 s"), ('2"', "2 s")],
)
def test_shutters_are_read_as_people_type_them(text, mark):
    assert shutter_mark(parse_shutter_mark(text)) == mark


@pytest.mark.parametrize("text", ["", "f/", "f/0", "eleven", "f/900", "-4"])
def test_what_is_no_aperture_is_refused_by_name(text):
    with pytest.raises(OutOfRange, match="aperture"):
        parse_f_mark(text)


@pytest.mark.parametrize("text", ["", "1/0", "0", "125", "1/99999", "fast"])
def test_what_is_no_shutter_is_refused_by_name(text):
    with pytest.raises(OutOfRange, match="shutter"):
        parse_shutter_mark(text)


@pytest.mark.parametrize("bad", [0, -1, math.nan, math.inf, None])
def test_settings_that_are_no_size_are_refused_by_name(bad):
    for name in ("f_number", "shutter_s", "iso"):
        good = {"f_number": 8, "shutter_s": 0.01, "iso": 100}
        with pytest.raises(OutOfRange, match=name):
            ev100(**{**good, name: bad})
    for function in (nearest_f_number, nearest_shutter_s, nearest_iso, floor_shutter_s):
        with pytest.raises(OutOfRange, match="above 0"):
            function(bad)
    for function in (ev100_from_lx, ev100_from_cd_m2):
        with pytest.raises(OutOfRange, match="above 0"):
            function(bad)


def test_an_ev_that_is_no_number_is_refused():
    with pytest.raises(OutOfRange, match="ev100"):
        f_number_for(math.nan, 0.01)
    with pytest.raises(OutOfRange, match="ev100"):
        shutter_s_for(-math.inf, 8)


def test_tenths_beyond_a_stop_are_refused():
    with pytest.raises(OutOfRange, match="tenths"):
        meter_f_number("11", 11)
