"""Positions of the map grid in metres come out where other libraries put them."""

import math

import pytest

from workshops.coordinates import parse
from workshops.typed import NotUnderstood


def pair(text: str) -> tuple[float, float]:
    point = parse(text)
    return point.latitude_deg, point.longitude_deg


@pytest.mark.parametrize(
    ("text", "point"),
    [
        # PyGeodesy 26.10.26, its exact transverse Mercator (Karney 2011), WGS 84.
        ("30U 462576 5620541", (50.7354527, -3.5303278)),
        ("UTM 30U E 462576 N 5620541", (50.7354527, -3.5303278)),
        ("30U 462576E 5620541N", (50.7354527, -3.5303278)),
        ("30 N 462576 mE 5620541 mN", (50.7354527, -3.5303278)),
        ("56H 334786 6252080", (-33.8586639, 151.2140229)),
        ("56 S 334786 6252080", (-33.8586639, 151.2140229)),  # S for south: no band S so far down
        ("10S 551000 4180000", (37.7659046, -122.4209550)),  # S the band
        ("19F 506000 3930000", (-54.7771739, -68.9067201)),
        ("33W 650000 7730000", (69.6357633, 18.8645516)),
        ("01K 300000 8000000", (-18.0794547, -178.8898107)),
        ("60P 700000 1000000", (9.0420471, 178.8195225)),
        ("30U VB 62576 20541", (50.7354527, -3.5303278)),
        ("56HLH3478652080", (-33.8586639, 151.2140229)),
        ("19F EV 06000 30000", (-54.7771739, -68.9067201)),
        ("10SEG5180", (37.7659046, -122.4209550)),
        ("MGRS 33W XT 50000 30000", (69.6357633, 18.8645516)),
        ("60P YR 00000 00000", (9.0420471, 178.8195225)),
    ],
)
def test_utm_and_mgrs_agree_with_another_library(text, point):
    assert pair(text) == pytest.approx(point, abs=1e-6)


@pytest.mark.parametrize(
    ("text", "point"),
    [
        # GEOTRANS, as the mgrs 1.6.0 package carries it; it cuts to the metre, so 2 m at most.
        ("34WDC2065328081", (69.6492, 18.9553)),
        ("19FEV4480527029", (-54.8019, -68.303)),
        ("01KBB3368029817", (-16.9, -179.5)),
        ("32VKN9723000510", (60.39, 5.32)),  # the widened zone of south-west Norway
        ("33XWG1458583001", (78.22, 15.64)),  # Svalbard
        ("60HUE0057819598", (-36.8485, 174.7633)),
        ("36NVF5326433159", (0.3, 32.58)),
        ("58CEU3923257811", (-77.85, 166.67)),
        ("14QMG8635348412", (19.43, -99.13)),
    ],
)
def test_mgrs_squares_are_found_in_every_band(text, point):
    latitude_deg, longitude_deg = pair(text)
    metre_deg = 1 / 111_000
    assert latitude_deg == pytest.approx(point[0], abs=2 * metre_deg)
    wide = math.cos(math.radians(point[0]))
    assert longitude_deg == pytest.approx(point[1], abs=2 * metre_deg / wide)


def test_a_tower_printed_in_both_notations_is_one_point():
    # 43 38 33.24 N 79 23 13.7 W is 17T 630084 4833438: an example of many handbooks, from memory.
    printed = pair("43°38'33.24\"N 79°23'13.7\"W")
    assert pair("17T 630084 4833438") == pytest.approx(printed, abs=1e-5)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("61U 462576 5620541", "no such UTM position"),
        ("30K 462576 5620541", "do not belong together"),
        ("30U AA 62576 20541", "no square AA in 30U"),
        ("30U VJ 62576 20541 1", "half of them for the easting"),
        ("30UVB", "half of them for the easting"),
        ("0U VB 62576 20541", "no square VB in 0U"),
    ],
)
def test_a_position_that_does_not_exist_is_refused(text, words):
    with pytest.raises(NotUnderstood, match=words):
        parse(text)


def test_degrees_in_words_are_not_taken_for_a_square():
    with pytest.raises(NotUnderstood, match="which of the 2 figures"):
        parse("50 deg 44")
