"""Heat index and wind chill against the charts of the National Weather Service."""

import math

import pytest

from planning.physics.errors import OutOfRange
from planning.physics.weather import heat_band, heat_index_c, uv_band, wind_chill_c
from tests.published import published


def celsius(fahrenheit):
    return (fahrenheit - 32) * 5 / 9


def fahrenheit(celsius):
    return celsius * 9 / 5 + 32


@pytest.mark.parametrize("humidity", range(40, 86, 5))
def test_heat_index_matches_the_chart(humidity):
    # One degree: the chart is rounded, and two of its cells are off by half a degree.
    for row in published("heat_index"):
        if int(row["humidity_percent"]) == humidity:
            index_f = fahrenheit(heat_index_c(celsius(float(row["air_f"])), humidity))
            assert index_f == pytest.approx(float(row["heat_index_f"]), abs=1.0), row


def test_in_very_humid_air_the_adjustment_stands_over_the_chart():
    # The printed chart leaves the adjustment out: up to 2.3 F at 80 F and 100 %, none past 87 F.
    for row in published("heat_index"):
        air_f, humidity = float(row["air_f"]), float(row["humidity_percent"])
        if humidity > 85:
            over_f = fahrenheit(heat_index_c(celsius(air_f), humidity)) - float(row["heat_index_f"])
            assert -0.6 < over_f < (2.4 if air_f <= 87 else 0.6)


# Test vectors of MetPy (heat_index), degrees Fahrenheit, printed to one degree.
@pytest.mark.parametrize(
    ("air_f", "humidity", "index_f"),
    [(80, 40, 80), (88, 100, 121), (92, 70, 112), (110, 40, 136), (86, 88, 104), (96, 65, 121)],
)
def test_heat_index_matches_a_second_implementation(air_f, humidity, index_f):
    assert fahrenheit(heat_index_c(celsius(air_f), humidity)) == pytest.approx(index_f, abs=0.5)


def test_dry_heat_feels_cooler_than_the_regression_says():
    # NWS adjustment at 95 F and 5 %: (13 - 5) / 4 x sqrt(17 / 17) = 2.0 F off 87.97 F.
    regression_f = (
        -42.379
        + 2.04901523 * 95
        + 10.14333127 * 5
        - 0.22475541 * 95 * 5
        - 0.00683783 * 95**2
        - 0.05481717 * 25
        + 0.00122874 * 95**2 * 5
        + 0.00085282 * 95 * 25
        - 0.00000199 * 95**2 * 25
    )
    assert fahrenheit(heat_index_c(35, 5)) == pytest.approx(regression_f - 2, abs=1e-6)


def test_heat_index_rises_with_heat_and_with_humidity():
    assert heat_index_c(36, 50) > heat_index_c(34, 50)
    assert heat_index_c(34, 60) > heat_index_c(34, 40)


def test_mild_air_feels_about_as_it_is():
    assert heat_index_c(20, 50) == pytest.approx(20, abs=1)


@pytest.mark.parametrize("wind_mph", range(5, 61, 5))
def test_wind_chill_matches_the_chart(wind_mph):
    # The chart is rounded to 1 F and made in Fahrenheit; ours is the metric form.
    for row in published("wind_chill"):
        if int(row["wind_mph"]) == wind_mph:
            chill_c = wind_chill_c(celsius(float(row["air_f"])), wind_mph * 1.609344)
            assert fahrenheit(chill_c) == pytest.approx(float(row["wind_chill_f"]), abs=0.75), row


# The metric form by hand, Environment Canada's own units.
@pytest.mark.parametrize(
    ("air_c", "wind_km_h", "chill_c"), [(-10, 20, -17.9), (0, 30, -6.5), (5, 10, 2.7)]
)
def test_wind_chill_in_metric_units(air_c, wind_km_h, chill_c):
    assert wind_chill_c(air_c, wind_km_h) == pytest.approx(chill_c, abs=0.05)


@pytest.mark.parametrize(("air_c", "wind_km_h"), [(10.1, 40), (-10, 4.8), (-10, 0)])
def test_where_wind_chill_is_not_defined_the_air_temperature_stands(air_c, wind_km_h):
    assert wind_chill_c(air_c, wind_km_h) == air_c


def test_more_wind_feels_colder():
    assert wind_chill_c(-5, 40) < wind_chill_c(-5, 20) < -5


# The newer NWS bands: 80, 90, 103, 125 F.
@pytest.mark.parametrize(
    ("index_f", "word"),
    [
        (79, ""),
        (80, "caution"),
        (90, "extreme caution"),
        (102.9, "extreme caution"),
        (103, "danger"),
        (125, "extreme danger"),
    ],
)
def test_heat_has_the_words_of_the_weather_service(index_f, word):
    assert heat_band(celsius(index_f)) == word


# WHO guide: low to 2, moderate 3 to 5, high 6 and 7, very high 8 to 10, extreme 11 and up.
@pytest.mark.parametrize(
    ("index", "word"),
    [
        (0, "low"),
        (2.4, "low"),
        (2.5, "moderate"),
        (5, "moderate"),
        (6, "high"),
        (8, "very high"),
        (10.4, "very high"),
        (11, "extreme"),
    ],
)
def test_ultraviolet_has_the_words_of_the_who(index, word):
    assert uv_band(index) == word


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: heat_index_c(math.nan, 50), "temperature_c"),
        (lambda: heat_index_c(95, 50), "temperature_c"),
        (lambda: heat_index_c(30, 101), "humidity_percent"),
        (lambda: heat_index_c(30, -1), "humidity_percent"),
        (lambda: wind_chill_c(math.inf, 10), "temperature_c"),
        (lambda: wind_chill_c(-5, -1), "wind_km_h"),
        (lambda: uv_band(-1), "uv_index"),
        (lambda: heat_band(math.nan), "heat_index_c"),
    ],
)
def test_bad_inputs_are_refused_by_name(call, named):
    with pytest.raises(OutOfRange, match=named):
        call()
