"""Coordinates in every usual notation come out as one point, and shown back they go in again."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshops.coordinates import LONGEST, Coordinates, parse, show
from workshops.typed import NotUnderstood

# 50.7351 = 50 + 44.106/60 = 50 + 44/60 + 6.36/3600; 3.5320 = 3 + 31.920/60 = 3 + 31/60 + 55.2/3600.
RIVER = (50.7351, -3.5320)
HARBOUR = (-33.8568, 151.2153)


def pair(text: str) -> tuple[float, float]:
    point = parse(text)
    return point.latitude_deg, point.longitude_deg


def refusal(text: str) -> str:
    with pytest.raises(NotUnderstood) as caught:
        parse(text)
    return str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "50.7351, -3.5320",
        "50,7351; -3,5320",
        "50,7351 -3,5320",
        "50.7351 -3.5320",
        "50,7351, -3,5320",
        "50,7351,-3,5320",
        "50.7351,-3.5320",
        "+50.7351 / -3.5320",
        "50.7351\t\N{MINUS SIGN}3.5320",
        "(50.7351, -3.5320)",
        "[50.7351, -3.5320].",
        '{"lat": 50.7351, "lon": -3.5320}',
        "3.5320 W 50.7351 N",
        "W3.5320 N50.7351",
        "50.7351N3.532W",
        "50.7351 north, 3.532 west",
        "50,7351 norte 3,532 oeste",
        "50,7351 N; 3,532 O",
        "lat 50.7351 lon -3.5320",
        "longitud: -3,5320 latitud: 50,7351",
        "Latitude: 50.7351 N, Longitude: 3.5320 W",
        "50.7351°, -3.5320°",
        "N 50° 44.106' W 3° 31.920'",
        "50° 44,106' N 3° 31,920' W",
        "50 44.106 N 003 31.920 W",
        "50-44.106N 003-31.920W",
        "50º 44.106’, -3º 31.920’",
        "50 44.106, -3 31.920",
        "50 deg 44.106 min N 3 deg 31.920 min W",
        "50°44'06.36\"N 3°31'55.2\"W",
        "50˚44′06.36″ N 3˚31′55.2″ W",
        "50°44'06.36'' N 3°31'55.2'' W",
        "50:44:06.36N 003:31:55.2W",
        "50 44 06.36 N 3 31 55.2 W",
        "50 44 06.36 -3 31 55.2",
        "50d44m06.36s N 3d31m55.2s W",
        "50D44M06.36S N 3D31M55.2S W",
        "50d44m06.36sN 3d31m55.2sW",
        "50 grados 44 minutos 06,36 segundos norte 3 grados 31 minutos 55,2 segundos oeste",
        "\u202a50.7351, -3.5320\u202c",
        "５０．７３５１, -３．５３２０",
        "geo:50.7351,-3.5320",
        "+50.7351-003.5320/",
        "+504406.36-0033155.2/",
    ],
)
def test_every_usual_notation_names_the_same_point(text):
    assert pair(text) == pytest.approx(RIVER, abs=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "-33.8568, 151.2153",
        "-33,8568 151,2153",
        "33.8568 S 151.2153 E",
        "151.2153E 33.8568S",
        "S 33 51.408 E 151 12.918",
        "33 51 24.48 S 151 12 55.08 E",
        "33°51'24.48S 151°12'55.08E",
        "33d51m24.48S 151d12m55.08E",
        "33,8568 sur 151,2153 este",
        "geo:-33.8568,151.2153",
        "-3351.408+15112.918/",
    ],
)
def test_south_and_east_are_read_as_well(text):
    # An s after minutes in small letters means seconds, a capital S after them means south.
    assert pair(text) == pytest.approx(HARBOUR, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "point"),
    [
        # RFC 5870: sections 1, 6.1 (13.4125,103.8667), 6.2, 6.3 and 6.4.
        ("geo:13.4125,103.8667", (13.4125, 103.8667)),
        ("geo:48.2010,16.3695,183", (48.2010, 16.3695)),
        ("geo:48.198634,16.371648;crs=wgs84;u=40", (48.198634, 16.371648)),
        ("geo:90,-22.43;crs=WGS84", (90.0, -22.43)),
        ("geo:66,30;u=6.500;FOo=this%2dthat", (66.0, 30.0)),
        ("GEO:-22.3,-118.44", (-22.3, -118.44)),
    ],
)
def test_geo_addresses_are_read_with_their_parameters(text, point):
    assert pair(text) == point


@pytest.mark.parametrize(
    ("text", "point"),
    [
        # ISO 6709:2008, annex H and the examples printed with it (from memory).
        ("+40.20361-075.00417CRSWGS_84/", (40.20361, -75.00417)),
        ("+40-075CRSWGS_84/", (40.0, -75.0)),
        ("+4012.22-07500.25/", (40 + 12.22 / 60, -75 - 0.25 / 60)),
        ("+401213.1-0750015.1+2.79CRSWGS_84/", (40 + 733.1 / 3600, -75 - 15.1 / 3600)),
        ("+27.5916+086.5640+8850CRSWGS_84/", (27.5916, 86.5640)),
        ("+90+000/", (90.0, 0.0)),
        ("-90+000+2800CRSWGS_84/", (-90.0, 0.0)),
        ("+504406-0033155/", (50 + 2646 / 3600, -3 - 1915 / 3600)),
    ],
)
def test_point_strings_of_iso_6709_are_read(text, point):
    assert pair(text) == pytest.approx(point, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "point"),
    [
        ("0,0", (0.0, 0.0)),
        ("0, 0", (0.0, 0.0)),
        ("48,-3", (48.0, -3.0)),
        ("50,73,3,53", (50.73, 3.53)),  # commas in pairs are decimal commas
        ("50 44,3 31", (50 + 44 / 60, 3 + 31 / 60)),  # as a decimal comma it would be no pair
        ("90 N 180 E", (90.0, 180.0)),
        ("-0 30 S", None),
        ("-0 30, 0 15", (-0.5, 0.25)),
    ],
)
def test_what_could_mean_two_things(text, point):
    if point is None:
        refusal(text)
    else:
        assert pair(text) == pytest.approx(point)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "one latitude and one longitude"),
        ("N, W", "one latitude and one longitude"),
        ("50.7351", "one number only"),
        ("50,7351", "one number only"),
        ("50,7", "one number only"),
        ("50.7, -3.5, 120", "which of the 3 figures"),
        ("50° 44'", "which of the 2 figures"),
        ("50 44 06 3 31", "which of the 5 figures"),
        ("91, 3", "latitude stays within 90"),
        ("-122.42, 37.77", "latitude stays within 90"),
        ("90 00 01 N 3 W", "latitude stays within 90"),
        ("50, 181", "longitude stays within 180"),
        ("geo:91,0", "latitude stays within 90"),
        ("50 60 N 3 W", "below 60"),
        ("50 44 60 N 3 31 55 W", "below 60"),
        ("+5060-00331/", "below 60"),
        ("50 N 3 S", "one direction"),
        ("50 E 3 W", "one direction"),
        ("lat 50 lat 3", "one direction"),
        ("-50 N 3 W", "a sign or a letter"),
        ("50 N 3", "both hemispheres or none"),
        ("N 50 3 W", "degrees, then minutes"),
        ("lat: 3 W lon: 2 N", "letters all before or all after"),
        ("50 lat 3 lon", "before their figures"),
        ("50.5 30 N 3 W", "last figure may have decimals"),
        ("50 44 -06 N 3 W", "no sign of their own"),
        ("50\"44'06° N 3 W", "degrees, then minutes"),
        ("50 44 06 07 N 3 W", "degrees, then minutes"),
        ("50.7351 - 3.5320", "right before its figure"),
        ("50.7351-3.5320", "comma between the two figures"),
        ("nan, inf", "“nan” is not part"),
        ("Meet at 9 by 50.7, -3.5", "“Meet” is not part"),
        ("<script>alert(1)</script>", "“<” is not part"),
        ("1e999, 3", "both hemispheres or none"),
        ("SX 925 925", "national grid reference"),
        ("TQ3080", "national grid reference"),
        ("2600000 1200000", "metres of a map grid"),
        ("462576, 5620541", "metres of a map grid"),
        ("geo:50", "geo address cannot be read"),
        ("geo:fifty,three", "geo address cannot be read"),
        ("geo:50,3;crs=nad27", "another datum, nad27"),
        ("+40-075CRSNAD83/", "another datum, nad83"),
        ("9" * (LONGEST + 1), "too long"),
    ],
)
def test_what_is_no_pair_is_refused_with_what_to_enter(text, words):
    assert words in refusal(text)


def test_a_refusal_keeps_its_sentence_and_figures_apart_for_the_translators():
    with pytest.raises(NotUnderstood) as caught:
        parse("50.7 3.5 120")
    fault = caught.value
    assert "%(n)d" in fault.message
    assert fault.figures["n"] == 3
    assert str(fault) == fault.message % fault.figures


def answer(text: str) -> tuple[float, float] | str:
    try:
        return pair(text)
    except NotUnderstood as fault:
        return str(fault)


@pytest.mark.parametrize("piece", ["1,", "N", "1 ", "°", "'", "s", "1-", ".", ";", "UTM ", "1d1m"])
def test_long_repeated_text_is_answered_at_once(piece):
    assert answer((piece * LONGEST)[:LONGEST])


def test_a_point_is_shown_as_decimal_degrees_and_in_seconds():
    # 0.7351 x 60 = 44.106; 0.106 x 60 = 6.36. 0.5320 x 60 = 31.92; 0.92 x 60 = 55.2.
    assert show(Coordinates(*RIVER)) == "50.73510, -3.53200"
    assert show(Coordinates(*RIVER), "paper") == "50.73510, −3.53200"  # pasted, it is read back
    assert show(Coordinates(*RIVER), "dms") == "50°44′06.4″ N 3°31′55.2″ W"
    assert show(Coordinates(*HARBOUR), "dms") == "33°51′24.5″ S 151°12′55.1″ E"


def test_seconds_are_carried_and_zero_has_no_minus():
    assert show(Coordinates(50.999999, -0.00000001), "dms") == "51°00′00.0″ N 0°00′00.0″ E"
    assert show(Coordinates(-0.0, -0.00000001)) == "0.00000, 0.00000"


@settings(derandomize=True, max_examples=300, deadline=None)
@given(st.floats(-90, 90), st.floats(-180, 180), st.sampled_from(["decimal", "dms"]))
def test_what_is_shown_is_read_back(latitude_deg, longitude_deg, style):
    again = pair(show(Coordinates(latitude_deg, longitude_deg), style))
    # A tenth of a second of arc is 2.8e-5 degrees: shown to half of it.
    close_deg = 1e-5 if style == "decimal" else 1.5e-5
    assert again == pytest.approx((latitude_deg, longitude_deg), abs=close_deg)


@settings(derandomize=True, max_examples=500, deadline=None)
@given(st.text(st.sampled_from("0123456789 ,.;:-+°'\"NSEWOdmslatongeoUTMCRS/"), max_size=40))
def test_any_text_is_a_point_on_the_globe_or_refused_in_words(text):
    found = answer(text)
    assert found
    if isinstance(found, tuple):
        assert abs(found[0]) <= 90
        assert abs(found[1]) <= 180
