"""Figures are rounded once, in the house's units and the reader's language."""

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from django.utils.translation import gettext, override

from planning.figures import Figures
from planning.plan.result import Remedy
from planning.plan.words import say as sentence
from planning.templatetags import figures

ROOT = Path(__file__).resolve().parents[2]
METRIC = Figures(timezone="Europe/London")
IMPERIAL = Figures(units="imperial", clock_hours=12, timezone="America/New_York")
NB = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.6, "+0.6"),
        (-1.0, f"{MINUS}1.0"),
        (0.0, "0.0"),
        (-0.04, "0.0"),
        (0.04, "0.0"),
        (None, "—"),
    ],
)
def test_stops_have_a_true_minus_and_no_signed_zero(value, text):
    assert figures.stops(value, METRIC) == text


@pytest.mark.parametrize(
    ("value_m", "metric", "imperial"),
    [
        (2.0, f"2.0{NB}m", f"6{NB}ft{NB}7{NB}in"),  # 78.74 in, NIST SP 811: 1 ft = 0.3048 m
        (12.19, f"12{NB}m", f"40{NB}ft"),
        (0.3048, f"0.3{NB}m", f"1{NB}ft"),
        (0.1, f"0.1{NB}m", f"4{NB}in"),
        (9.97, f"10{NB}m", f"33{NB}ft"),
    ],
)
def test_lengths_in_both_systems(value_m, metric, imperial):
    assert figures.distance(value_m, METRIC) == metric
    assert figures.distance(value_m, IMPERIAL) == imperial


def test_speed_mass_force_and_temperature_in_both_systems():
    # NIST SP 811: 1 mile an hour 0.44704 m/s, 1 lb 0.45359237 kg, 1 lbf 4.4482 N.
    assert figures.speed(9.0, METRIC) == f"9{NB}m/s"
    assert figures.speed(8.94, IMPERIAL) == f"20{NB}mph"
    assert figures.mass(10.0, IMPERIAL) == f"22{NB}lb"
    # A trigger of 50 g weighs 0.11 lb, a gel of 20 g 0.04 lb, a head of 3 kg 6.6 lb.
    assert figures.mass(0.05, IMPERIAL) == f"0.1{NB}lb"
    assert figures.mass(0.02, IMPERIAL) == f"0.04{NB}lb"
    assert figures.mass(3.0, IMPERIAL) == f"6.6{NB}lb"
    assert figures.mass(0.05, METRIC) == f"0.05{NB}kg"
    assert figures.mass(12.4, METRIC) == f"12{NB}kg"
    assert figures.force(44.48, IMPERIAL) == f"10{NB}lbf"
    assert figures.temperature(-40.0, METRIC) == f"{MINUS}40{NB}°C"
    assert figures.temperature(-40.0, IMPERIAL) == f"{MINUS}40{NB}°F"


@pytest.mark.parametrize(
    ("deg", "text"), [(70.2, "070"), (359.7, "000"), (-10.0, "350"), (5, "005"), (None, "—")]
)
def test_bearings_have_three_digits(deg, text):
    assert figures.bearing(deg, METRIC) == text


def test_the_clock_is_the_places_own():
    at = datetime(2026, 7, 1, 17, 5, tzinfo=UTC)
    assert figures.clock(at, METRIC) == "18:05"  # British summer time
    assert figures.clock(at, IMPERIAL) == f"1:05{NB}pm"  # eastern daylight time
    assert figures.clock(at.replace(hour=4), IMPERIAL) == f"12:05{NB}am"


def test_marks_are_those_of_camera_and_head():
    assert figures.f_number(11.314) == "f/11"
    assert figures.shutter(2**-7) == "1/125"
    assert figures.iso(100) == "100"
    assert figures.power(0.25) == "1/4"
    assert figures.power(0.25 * 2 ** (1 / 3)) == "1/4 +0.3"
    assert figures.power(0.125 * 2**0.5) == "1/8 +0.5"  # of a head that goes by tenths
    assert figures.power(0.125 * 2**0.56) == "1/8 +0.7"  # reckoned: to the third
    assert figures.power(2.5) == "—"  # beyond full there is no mark


@pytest.mark.parametrize(
    ("value", "text"), [(4.0, "4:1"), (2.9, "2.9:1"), (15.6, "16:1"), (None, "—")]
)
def test_ratios(value, text):
    assert figures.ratio(value, METRIC) == text


def test_the_decimal_mark_follows_the_language():
    with override("de"):
        assert figures.stops(0.6, METRIC) == "+0,6"
        assert figures.f_number(5.657) == "f/5.6"  # a lens is engraved the same everywhere


def test_letters_name_where_a_figure_comes_from():
    assert [figures.letter(word) for word in ("metered", "own", "estimate")] == ["m", "o", "e"]
    assert figures.letter("guess") == "e"


def test_a_long_text_is_cut_with_what_is_missing():
    assert figures.cut("x" * 5000, 40) == "x" * 40 + "…(4960 characters more, see the record)"
    assert figures.cut("short  and\nplain", 40) == "short and plain"
    assert figures.cut("x" * 45, 40) == "x" * 45  # the remark would be longer than the rest
    assert figures.cut("x" * 125, 110) == "x" * 125


def test_an_address_keeps_its_lines_and_is_cut_like_any_text():
    assert (
        figures.cut_lines("Slate & Tide\n\n  4 Quay\r\nHythe ", 600)
        == "Slate & Tide\n4 Quay\nHythe"
    )
    assert figures.cut_lines("\n" * 5000 + "W" * 50_000, 40).endswith(
        "W…(49960 characters more, see the record)"
    )


def test_more_lines_than_a_paper_holds_are_counted():
    lines = [str(n) for n in range(50)]
    assert figures.fewer(lines[:41], 40) == tuple(lines[:41])
    assert figures.fewer(lines, 40) == (*lines[:40], "…(10 lines more, see the record)")


def test_a_figure_keeps_its_unit_on_the_line():
    gust = figures.cut(f"gust  {Figures().speed(9.0)}, limit\t{Figures().speed(11.0)}", 60)
    assert gust == "gust 9\N{NO-BREAK SPACE}m/s, limit 11\N{NO-BREAK SPACE}m/s"


def test_sides_are_in_words():
    assert figures.aside(-45.0) == "45° left"
    assert figures.aside(27.3) == "27° right"
    assert figures.aside(0.2) == "straight on"


def test_a_sentence_of_the_plan_gets_the_houses_units():
    gust = sentence("gust {gust} on it", gust=(8.94, "m_s"))
    assert figures.words(gust, METRIC) == f"gust 8.9{NB}m/s on it"
    assert figures.words(gust, IMPERIAL) == f"gust 20{NB}mph on it"
    assert figures.words("plain", METRIC) == "plain"


@pytest.mark.parametrize("word", ["key", "strike", "", "black coat lit"])
def test_the_plans_own_words_read_as_they_are_in_english(word):
    assert figures.term(word) == word


def test_a_surface_keeps_the_houses_own_name_and_turns_only_its_side():
    # Django's own catalogue knows "or" in German; a coat called so keeps its name.
    with override("de"):
        assert figures.term("stop") == gettext("stop")
        assert figures.term("or") == "or"
        assert figures.term("or lit").startswith("or ")


def test_no_word_of_a_drawing_escapes_the_translators():
    for path in sorted((ROOT / "planning" / "drawings").glob("*.py")):
        assert not re.search(r"say\.text\([\"']", path.read_text(encoding="utf-8")), path


@pytest.mark.parametrize(
    ("value_kg", "metric", "imperial"),
    [
        # NIST SP 811: 1 lb is 0.45359237 kg, so 12.1 kg are 26.68 lb and 5 kg 11.02 lb.
        (12.1, f"13{NB}kg", f"27{NB}lb"),
        (5.0, f"5{NB}kg", f"12{NB}lb"),
        (0.2, f"1{NB}kg", f"1{NB}lb"),
        (0.0, f"0{NB}kg", f"0{NB}lb"),
        (10 * 0.45359237, f"5{NB}kg", f"10{NB}lb"),
        (None, "—", "—"),
    ],
)
def test_ballast_is_never_rounded_down_in_the_houses_own_unit(value_kg, metric, imperial):
    assert figures.need_mass(value_kg, METRIC) == metric
    assert figures.need_mass(value_kg, IMPERIAL) == imperial


@pytest.mark.parametrize(
    ("value_m_s", "metric", "imperial"),
    [
        # NIST SP 811: 1 mile an hour is 0.44704 m/s, so 8.29 m/s are 18.54 and 11 m/s 24.61.
        (8.29, f"8.2{NB}m/s", f"18{NB}mph"),
        (11.0, f"11{NB}m/s", f"24{NB}mph"),
        (8.3, f"8.3{NB}m/s", f"18{NB}mph"),
        (20 * 0.44704, f"8.9{NB}m/s", f"20{NB}mph"),
        (0.0, f"0{NB}m/s", f"0{NB}mph"),
        (None, "—", "—"),
    ],
)
def test_a_wind_limit_is_never_rounded_up_in_the_houses_own_unit(value_m_s, metric, imperial):
    assert figures.limit_speed(value_m_s, METRIC) == metric
    assert figures.limit_speed(value_m_s, IMPERIAL) == imperial


@pytest.mark.parametrize(
    ("value_m", "metric", "imperial"),
    [
        # International foot, 0.3048 m: 2.71 m are 106.7 in, that is 8 ft 10.7 in.
        (2.71, f"2.8{NB}m", f"8{NB}ft{NB}11{NB}in"),
        (2.7, f"2.7{NB}m", f"8{NB}ft{NB}11{NB}in"),
        (12.1, f"13{NB}m", f"40{NB}ft"),
        (None, "—", "—"),
    ],
)
def test_ground_to_keep_clear_is_never_rounded_down(value_m, metric, imperial):
    assert figures.need_length(value_m, METRIC) == metric
    assert figures.need_length(value_m, IMPERIAL) == imperial


@pytest.mark.parametrize(
    ("value_min", "told"),
    [(0.0, "0"), (0.01, "under 1"), (0.5, "under 1"), (0.51, "1"), (164.4, "164"), (None, "—")],
)  # fmt: skip
def test_minutes_there_are_some_of_are_never_told_as_none(value_min, told):
    assert figures.some_minutes(value_min, METRIC) == told


@pytest.mark.parametrize(
    ("value_m_s", "metric", "imperial"),
    [
        # NIST SP 811: 1 mile an hour is 0.44704 m/s.
        (2.4, f"+2.4{NB}m/s", f"+5{NB}mph"),
        (-1.5, f"−1.5{NB}m/s", f"−3{NB}mph"),
        (0.0, f"0.0{NB}m/s", f"0{NB}mph"),
        (None, "—", "—"),
    ],
)
def test_how_far_winds_lie_apart_is_signed(value_m_s, metric, imperial):
    assert METRIC.speed_change(value_m_s) == metric
    assert IMPERIAL.speed_change(value_m_s) == imperial


def test_a_clock_is_never_later_than_the_instant():
    assert figures.clock(datetime(2026, 7, 1, 13, 31, 59, tzinfo=UTC), METRIC) == "14:31"
    assert figures.clock(datetime(2026, 7, 1, 13, 31, 59, tzinfo=UTC), IMPERIAL) == f"9:31{NB}am"


def test_needs_and_limits_within_a_sentence_are_rounded_the_safe_way():
    said = sentence(
        "hang {need}, off above {limit}", need=(12.1, "need_kg"), limit=(8.29, "limit_m_s")
    )
    assert figures.words(said, METRIC) == f"hang 13{NB}kg, off above 8.2{NB}m/s"
    assert figures.words(said, IMPERIAL) == f"hang 27{NB}lb, off above 18{NB}mph"


def test_a_remedy_has_its_number_in_the_houses_unit():
    nearer = Remedy(sentence("nearer: cord down to"), 1.2192, "m")  # 4 ft
    assert figures.remedy(nearer, METRIC) == f"nearer: cord down to 1.2{NB}m"
    assert figures.remedy(nearer, IMPERIAL) == f"nearer: cord down to 4{NB}ft"
    assert figures.remedy(Remedy(sentence("no fill"), None, ""), METRIC) == "no fill"
    head = Remedy(sentence("a smaller head, about"), 38.0, "ws")
    assert figures.remedy(head, METRIC) == f"a smaller head, about 38{NB}W.s"
