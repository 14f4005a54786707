"""The sun against NREL's algorithm, a second library, and printed tables."""

from datetime import UTC, date, datetime, time, timedelta, timezone
from itertools import pairwise
from math import inf, nan
from zoneinfo import ZoneInfo

import ephem
import numpy as np
import pandas as pd
import pvlib
import pytest

from planning.physics.errors import OutOfRange
from planning.physics.sun import (
    Place,
    matching_lamp_height_m,
    refraction_deg,
    shadow_length_m,
    sun_events,
    sun_position,
)
from tests.physics.published import rows

GOLDEN = Place(39.742476, -105.1786)
LATITUDES_DEG = (-90, -77.8, -54.8, -33.9, -10, 0, 21.3, 35, 51.5, 66.6, 78.2, 89.9)
LONGITUDES_DEG = (-180, -105.2, -3, 60, 151.2, 180)


def nrel(place: Place, instants: list[datetime]) -> pd.DataFrame:
    return pvlib.solarposition.spa_python(
        pd.DatetimeIndex(instants),
        place.latitude_deg,
        place.longitude_deg,
        altitude=0,
        pressure=101_000,
        temperature=10,
        delta_t=None,
    )


@pytest.fixture(scope="module")
def globe() -> pd.DataFrame:
    """Ours and NREL's positions over the globe, 2020 to 2035, every hour and season in turn."""
    step = timedelta(days=61, hours=7, minutes=13, seconds=29)
    tables = []
    for latitude_deg in LATITUDES_DEG:
        for longitude_deg in LONGITUDES_DEG:
            place = Place(latitude_deg, longitude_deg)
            instants = [datetime(2020, 1, 1, tzinfo=UTC) + k * step for k in range(95)]
            table = nrel(place, instants)
            ours = [sun_position(place, at) for at in instants]
            table["our_geometric"] = [sun.geometric_elevation_deg for sun in ours]
            table["our_elevation"] = [sun.elevation_deg for sun in ours]
            table["our_azimuth"] = [sun.azimuth_deg for sun in ours]
            tables.append(table)
    return pd.concat(tables)


def test_position_matches_the_nrel_worked_example():
    # Reda & Andreas, NREL/TP-560-34302 (rev. 2008), table A5.1: 2003-10-17 12:30:30 at UTC-7;
    # elevation without refraction 39.872046, azimuth 194.34024.
    at = datetime(2003, 10, 17, 12, 30, 30, tzinfo=timezone(timedelta(hours=-7)))
    sun = sun_position(GOLDEN, at)
    assert sun.geometric_elevation_deg == pytest.approx(39.872046, abs=0.02)
    assert sun.azimuth_deg == pytest.approx(194.34024, abs=0.02)
    assert sun.at is at


def test_position_matches_the_noaa_day_sheet():
    # NOAA GML solar calculator, day sheet 2010-06-21 00:06 at UTC-7, 40 N 105 W: true elevation
    # -26.55376, azimuth 1.09867.
    at = datetime(2010, 6, 21, 0, 6, tzinfo=timezone(timedelta(hours=-7)))
    sun = sun_position(Place(40, -105), at)
    assert sun.geometric_elevation_deg == pytest.approx(-26.55376, abs=0.02)
    assert sun.azimuth_deg == pytest.approx(1.09867, abs=0.02)


def test_elevation_keeps_to_nrel_all_over_the_globe(globe):
    assert (globe.our_geometric - globe.elevation).abs().max() < 0.02


def test_apparent_elevation_keeps_to_nrel_while_any_of_the_disc_is_up(globe):
    up = globe[globe.elevation > -0.82]
    assert len(up) > 3000
    assert (up.our_elevation - up.apparent_elevation).abs().max() < 0.02


def test_elevation_is_geometric_once_the_disc_is_down(globe):
    down = globe[globe.our_geometric < -0.8334]
    assert (down.our_elevation == down.our_geometric).all()


def test_azimuth_keeps_to_nrel_below_85_degrees(globe):
    low = globe[globe.elevation.abs() < 85]
    off_deg = (low.our_azimuth - low.azimuth + 180) % 360 - 180
    assert off_deg.abs().max() < 0.15


def test_azimuth_stays_sharp_with_the_sun_nearly_overhead():
    # NREL SPA again, by separation: near the zenith a degree of azimuth is little sky.
    place = Place(0, 0)
    start = datetime(2026, 3, 20, 12, 0, tzinfo=UTC)
    instants = [start + timedelta(seconds=20 * k) for k in range(60)]
    table = nrel(place, instants)
    ours = [sun_position(place, at) for at in instants]
    assert table.elevation.max() > 89.8
    for sun, theirs in zip(ours, table.itertuples(), strict=True):
        a, b = np.radians(90 - sun.geometric_elevation_deg), np.radians(90 - theirs.elevation)
        turn = np.radians(sun.azimuth_deg - theirs.azimuth)
        assert np.degrees(np.sqrt(a * a + b * b - 2 * a * b * np.cos(turn))) < 0.1


def test_refraction_lifts_the_horizon_sun_by_about_half_a_degree():
    # Saemundsson's form at 1010 mbar, 10 degrees (Meeus, ch. 16): 28.98', 21.74', 9.67', 1.01'.
    for elevation_deg, expected_arcmin in ((0, 28.98), (1, 21.74), (5, 9.67), (45, 1.01)):
        assert refraction_deg(elevation_deg) * 60 == pytest.approx(expected_arcmin, abs=0.12)
    assert refraction_deg(90) == 0
    assert refraction_deg(-1) == 0


@pytest.mark.parametrize(("latitude_deg", "toward_deg"), [(50, 180), (-50, 0)])
def test_noon_sun_faces_the_equator(latitude_deg, toward_deg):
    place = Place(latitude_deg, 20)
    noon = sun_events(place, date(2026, 12, 21), "UTC").noon_at
    azimuth_deg = sun_position(place, noon).azimuth_deg
    assert abs((azimuth_deg - toward_deg + 180) % 360 - 180) < 0.05


def test_solstice_noons_stand_at_the_obliquity():
    # 90 - 40 -/+ 23.44 degrees, the obliquity of the ecliptic.
    for day, expected_deg in ((date(2026, 6, 21), 73.44), (date(2026, 12, 21), 26.56)):
        noon = sun_events(Place(40, 0), day, UTC).noon_at
        elevation_deg = sun_position(Place(40, 0), noon).geometric_elevation_deg
        assert elevation_deg == pytest.approx(expected_deg, abs=0.02)


def test_fractions_of_a_second_count():
    at = datetime(2026, 3, 20, 6, 0, tzinfo=UTC)
    moved_deg = (
        sun_position(Place(0, 0), at + timedelta(seconds=0.5)).geometric_elevation_deg
        - sun_position(Place(0, 0), at).geometric_elevation_deg
    )
    assert moved_deg == pytest.approx(15 / 3600 / 2, rel=0.01)  # 15 degrees an hour


@pytest.mark.parametrize(
    ("table", "tolerance_s"), [("sun_rise_set_usno", 60), ("sun_rise_set_almanac", 30)]
)
def test_rise_and_set_match_the_printed_tables(table, tolerance_s):
    for row in rows(table):
        zone = timezone(timedelta(hours=int(row["utc_offset_h"])))
        place = Place(float(row["latitude_deg"]), float(row["longitude_deg"]))
        day = date.fromisoformat(row["day"])
        events = sun_events(place, day, zone)
        for found, printed in ((events.sunrise_at, "sunrise"), (events.sunset_at, "sunset")):
            expected = datetime.combine(day, time.fromisoformat(row[printed]), zone)
            assert abs((found - expected).total_seconds()) <= tolerance_s, row


TOWNS = [
    (35.68, 139.69, "Asia/Tokyo"),
    (-36.85, 174.76, "Pacific/Auckland"),
    (-33.87, 151.21, "Australia/Sydney"),
    (51.5, -0.13, "Europe/London"),
    (21.3, -157.86, "Pacific/Honolulu"),
    (1.35, 103.8, "Asia/Singapore"),
    (-16.8, 180.0, "Pacific/Fiji"),
    (-54.8, -68.3, "America/Argentina/Ushuaia"),
    (64.15, -21.94, "Atlantic/Reykjavik"),
]


@pytest.mark.parametrize(("latitude_deg", "longitude_deg", "zone"), TOWNS)
@pytest.mark.parametrize("month", [3, 6, 9, 12])
def test_events_fall_on_the_local_day_and_agree_with_a_second_library(
    latitude_deg, longitude_deg, zone, month
):
    # ephem, an independent implementation (VSOP87), from local midnight on; it allows for the
    # sun's parallax, which is worth a second here.
    day = date(2026, month, 18)
    events = sun_events(Place(latitude_deg, longitude_deg), day, zone)
    start = datetime.combine(day, time(), ZoneInfo(zone)).astimezone(UTC)

    def theirs(event: str, horizon: str) -> datetime:
        observer = ephem.Observer()
        observer.lat, observer.lon = str(latitude_deg), str(longitude_deg)
        observer.date, observer.pressure = start.replace(tzinfo=None), 0
        observer.horizon = horizon
        options = {} if event == "next_transit" else {"use_center": True}
        return getattr(observer, event)(ephem.Sun(), **options).datetime().replace(tzinfo=UTC)

    tolerance_s = 15 if abs(latitude_deg) < 60 else 60  # the sun grazes where it hardly sets
    for ours, event, horizon in (
        (events.sunrise_at, "next_rising", "-0:50"),
        (events.sunset_at, "next_setting", "-0:50"),
        (events.noon_at, "next_transit", "0"),
        (events.civil_dawn_at, "next_rising", "-6"),
        (events.civil_dusk_at, "next_setting", "-6"),
    ):
        if ours is None:
            continue  # white nights: tried below
        assert ours.date() == day
        assert ours.tzinfo == ZoneInfo(zone)
        assert abs((ours - theirs(event, horizon)).total_seconds()) < tolerance_s, event
    assert events.sunrise_at < events.noon_at < events.sunset_at or latitude_deg > 60


def crossings(place: Place, day: date, zone: str, level_deg: float) -> list[tuple[str, datetime]]:
    """Every crossing of a level by NREL's elevation, minute by minute over the local day."""
    start = datetime.combine(day, time(), ZoneInfo(zone)).astimezone(UTC)
    end = datetime.combine(day + timedelta(days=1), time(), ZoneInfo(zone)).astimezone(UTC)
    instants = [start + timedelta(minutes=k) for k in range((end - start) // timedelta(minutes=1))]
    elevations = nrel(place, instants).elevation - level_deg
    found = []
    for (at, before), (_, after) in pairwise(zip(instants, elevations, strict=True)):
        if (before < 0) != (after < 0):
            found.append(("rise" if before < 0 else "set", at))
    return found


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "day", "zone"),
    [
        (69.65, 18.96, date(2026, 6, 21), "Europe/Oslo"),  # midnight sun
        (69.65, 18.96, date(2026, 12, 21), "Europe/Oslo"),  # polar night, twilight at noon
        (78.22, 15.65, date(2026, 12, 21), "Arctic/Longyearbyen"),  # no twilight either
        (65.7, -18.1, date(2026, 6, 15), "Atlantic/Reykjavik"),  # sets after midnight, rises again
        (-77.85, 166.67, date(2026, 12, 21), "Antarctica/McMurdo"),
        (-67.6, -68.1, date(2026, 6, 21), "Antarctica/Palmer"),
        (78.22, 15.65, date(2026, 2, 16), "Arctic/Longyearbyen"),  # first sun of the year
        (78.22, 15.65, date(2026, 4, 18), "Arctic/Longyearbyen"),  # about the last sunset
        (90.0, 0.0, date(2026, 3, 18), "UTC"),  # the pole's one sunrise
        (51.5, -0.13, date(2026, 3, 29), "Europe/London"),  # a day of 23 hours
        (51.5, -0.13, date(2026, 10, 25), "Europe/London"),  # and of 25
        (0.0, 180.0, date(2026, 3, 20), "UTC"),  # noon about midnight of the clock
    ],
)
def test_only_crossings_inside_the_local_day_are_named(latitude_deg, longitude_deg, day, zone):
    place = Place(latitude_deg, longitude_deg)
    events = sun_events(place, day, zone)
    # Our 0.02 degrees are seconds here, but over an hour where the sun only creeps.
    tolerance = timedelta(minutes=80 if abs(latitude_deg) > 75 else 2)
    for level_deg, rise_at, set_at in (
        (-50 / 60, events.sunrise_at, events.sunset_at),
        (-6, events.civil_dawn_at, events.civil_dusk_at),
    ):
        expected = crossings(place, day, zone, level_deg)
        for kind, ours in (("rise", rise_at), ("set", set_at)):
            first = next((at for k, at in expected if k == kind), None)
            assert (ours is None) == (first is None), (kind, level_deg)
            if ours is not None:
                assert abs(ours - first) < tolerance, (kind, level_deg)
                assert abs(nrel(place, [ours]).elevation.iloc[0] - level_deg) < 0.02


def test_a_roof_of_light_nights_sets_after_midnight_before_it_rises():
    events = sun_events(Place(65.7, -18.1), date(2026, 6, 15), "Atlantic/Reykjavik")
    assert events.sunset_at < events.sunrise_at < events.noon_at
    assert events.civil_dawn_at is None
    assert events.civil_dusk_at is None


def test_events_stand_where_they_say():
    place = Place(-36.85, 174.76)
    events = sun_events(place, date(2026, 12, 21), ZoneInfo("Pacific/Auckland"))
    for at, level_deg in (
        (events.sunrise_at, -50 / 60),
        (events.sunset_at, -50 / 60),
        (events.civil_dawn_at, -6),
        (events.civil_dusk_at, -6),
    ):
        # a second of time is at most 15 seconds of arc
        geometric_deg = sun_position(place, at).geometric_elevation_deg
        assert geometric_deg == pytest.approx(level_deg, abs=15 / 3600)


def test_a_day_the_calendar_skipped_has_no_events():
    events = sun_events(Place(-13.8, -171.8), date(2011, 12, 30), "Pacific/Apia")
    assert events.noon_at is None
    assert events.sunrise_at is None


def test_shadow_is_as_long_as_its_object_at_45_degrees_and_grows_as_the_sun_sinks():
    assert shadow_length_m(1.8, 45) == pytest.approx(1.8)
    assert shadow_length_m(1.8, 26.565051) == pytest.approx(3.6)  # tan = 1/2
    assert shadow_length_m(1.8, 90) == pytest.approx(0, abs=1e-9)
    assert shadow_length_m(1.8, 10) > shadow_length_m(1.8, 20)


def test_matching_lamp_adds_the_rise_over_its_distance():
    assert matching_lamp_height_m(1.6, 2.0, 0) == pytest.approx(1.6)
    assert matching_lamp_height_m(1.6, 2.0, 45) == pytest.approx(3.6)
    assert matching_lamp_height_m(1.6, 3.0, 26.565051) == pytest.approx(3.1)


NOON = datetime(2026, 6, 21, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: sun_position(Place(0, 0), datetime(2026, 6, 21, 12)), "timezone"),  # noqa: DTZ001
        (lambda: sun_position(Place(0, 0), NOON.replace(year=2200)), "at .*1901 to 2099"),
        (lambda: sun_position(Place(90.1, 0), NOON), "latitude_deg .*-90 to 90"),
        (lambda: sun_position(Place(nan, 0), NOON), "latitude_deg"),
        (lambda: sun_position(Place(0, inf), NOON), "longitude_deg"),
        (lambda: sun_position(Place(0, 181), NOON), "longitude_deg .*-180 to 180"),
        (lambda: sun_position(Place(None, 0), NOON), "coordinates"),
        (lambda: sun_events(Place(None, None), NOON.date(), "UTC"), "coordinates"),
        (lambda: sun_events(Place(0, 0), NOON.date(), "Mars/Base"), "timezone"),
        (lambda: sun_events(Place(0, 0), NOON.date(), ""), "timezone"),
        (lambda: sun_events(Place(0, 0), NOON, "UTC"), "day"),
        (lambda: sun_events(Place(0, 0), date(1850, 1, 1), "UTC"), "day .*1901"),
        (lambda: refraction_deg(91), "geometric_elevation_deg"),
        (lambda: shadow_length_m(0, 30), "height_m"),
        (lambda: shadow_length_m(1, 0), "elevation_deg"),
        (lambda: shadow_length_m(1, 91), "elevation_deg"),
        (lambda: shadow_length_m(nan, 30), "height_m"),
        (lambda: matching_lamp_height_m(-1, 2, 30), "target_height_m"),
        (lambda: matching_lamp_height_m(1, 0, 30), "distance_m"),
        (lambda: matching_lamp_height_m(1, 2, 90), "elevation_deg"),
        (lambda: matching_lamp_height_m(1, 2, -1), "elevation_deg"),
    ],
)
def test_what_names_no_sun_is_refused_by_name(call, named):
    with pytest.raises(OutOfRange, match=named):
        call()
