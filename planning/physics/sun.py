"""Where the sun stands over one place, when it crosses the horizon, what shadow it throws."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from math import atan2, cos, degrees, hypot, radians, sin, tan
from zoneinfo import ZoneInfo

import astral.sun

from planning.physics.constants import (
    ABERRATION_DEG,
    CIVIL_TWILIGHT_ELEVATION_DEG,
    REFRACTION_HORIZON_ARCSEC,
    REFRACTION_UPPER_ARCSEC,
    SUN_FIRST_YEAR,
    SUN_LAST_YEAR,
    SUNRISE_ELEVATION_DEG,
)
from planning.physics.crossings import first_crossing, monotone_pieces
from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_between, require_positive

_J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
_CENTURY = timedelta(days=36525)


@dataclass(frozen=True)
class Place:
    """A point on the globe; checked where it is used, the poles included."""

    latitude_deg: float  # north positive, -90 to 90
    longitude_deg: float  # east positive, -180 to 180


@dataclass(frozen=True)
class SunPosition:
    """The centre of the sun's disc at one instant."""

    at: datetime
    elevation_deg: float  # refracted while any of the disc is up, geometric below
    azimuth_deg: float  # clockwise from true north, 0 up to (not including) 360
    geometric_elevation_deg: float  # without refraction


@dataclass(frozen=True)
class SunEvents:
    """The day's crossings in the place's clock; None where there is none that local day."""

    civil_dawn_at: datetime | None
    sunrise_at: datetime | None
    noon_at: datetime | None
    sunset_at: datetime | None
    civil_dusk_at: datetime | None


def sun_position(place: Place, at: datetime) -> SunPosition:
    """Return the sun's position over ``place`` at one instant.

    ``at`` must carry a timezone, which the answer keeps. Elevation is that of the disc's
    centre: refracted (sea level, mild air) from a geometric -0.8333 degrees up, so it steps
    by 0.6 degrees as the last of the disc goes; light, which must not step, follows
    ``geometric_elevation_deg``. At a pole the azimuth counts from the meridian of the
    longitude given; with the sun exactly overhead it is whatever rounding leaves.

    Raises OutOfRange naming the field for a naive ``at``, a year outside 1901 to 2099, or a
    latitude or longitude that is missing, not finite or off the globe.

    Source: Meeus, *Astronomical Algorithms*, ch. 25 and 28 (the NOAA calculator's series), as
    carried by astral; the triangle solved here. Against NREL SPA over the globe, 2020 to 2035:
    0.011 degrees in elevation, 0.065 in azimuth below 85 degrees of elevation.
    """
    latitude_deg, longitude_deg = checked_place(place)
    geometric_deg, azimuth_deg = _geometric(latitude_deg, longitude_deg, _instant(at))
    return SunPosition(
        at=at,
        elevation_deg=geometric_deg + refraction_deg(geometric_deg),
        azimuth_deg=azimuth_deg,
        geometric_elevation_deg=geometric_deg,
    )


def refraction_deg(geometric_elevation_deg: float) -> float:
    """Return how far the air lifts the sun, in degrees; 0 once the whole disc is down.

    Sea level and mild air. NOAA's last branch (below -0.575 degrees) is left out: it lets the
    refraction shrink as the sun sinks, up to 0.23 degrees from NREL SPA; the horizon branch
    carried on to -0.8333 stays within 0.01 degrees of it.

    Raises OutOfRange unless the elevation lies from -90 to 90.

    Source: NOAA solar calculator.
    """
    require_between(-90, 90, geometric_elevation_deg=geometric_elevation_deg)
    return lift_deg(geometric_elevation_deg)


def lift_deg(elevation_deg: float) -> float:
    """Return ``refraction_deg`` of an elevation that is known to be one."""
    if elevation_deg < SUNRISE_ELEVATION_DEG or elevation_deg > 85:
        return 0.0
    if elevation_deg > 5:
        cot = 1 / tan(radians(elevation_deg))
        first, third, fifth = REFRACTION_UPPER_ARCSEC
        return (first + (third + fifth * cot**2) * cot**2) * cot / 3600
    lift_arcsec = 0.0
    for factor in reversed(REFRACTION_HORIZON_ARCSEC):
        lift_arcsec = lift_arcsec * elevation_deg + factor
    return lift_arcsec / 3600


def sun_events(place: Place, day: date, timezone: tzinfo | str) -> SunEvents:
    """Return dawn, sunrise, noon, sunset and dusk that fall inside one local day.

    The day runs from local midnight to the next one, 23 or 25 hours where the clock changes.
    Sunrise and sunset: the centre at a geometric -0.8333 degrees over a level sea horizon;
    civil dawn and dusk at -6. Each is the first such crossing in the day, so in the far north
    a sunset just after midnight comes before the day's sunrise. Noon is the upper transit.

    ``timezone`` is a zone or an IANA name; the instants carry it. Raises OutOfRange naming
    the field: a place off the globe, a ``day`` that is no date from 1901 to 2099, an unknown
    zone.

    Source: USNO, "Rise, Set, and Twilight Definitions".
    """
    latitude_deg, longitude_deg = checked_place(place)
    zone = _zone(timezone)
    start, end = _local_day(day, zone)

    def elevation_deg(at: datetime) -> float:
        return _geometric(latitude_deg, longitude_deg, at)[0]

    pieces = monotone_pieces(elevation_deg, start, end)

    def first(level_deg: float, *, rising: bool) -> datetime | None:
        at = first_crossing(elevation_deg, pieces, level_deg, rising=rising)
        return at.astimezone(zone) if at else None

    noon_at = _noon(longitude_deg, start, end)
    return SunEvents(
        civil_dawn_at=first(CIVIL_TWILIGHT_ELEVATION_DEG, rising=True),
        sunrise_at=first(SUNRISE_ELEVATION_DEG, rising=True),
        noon_at=noon_at.astimezone(zone) if noon_at else None,
        sunset_at=first(SUNRISE_ELEVATION_DEG, rising=False),
        civil_dusk_at=first(CIVIL_TWILIGHT_ELEVATION_DEG, rising=False),
    )


def shadow_length_m(height_m: float, elevation_deg: float) -> float:
    """Return the length of the shadow on level ground of something ``height_m`` tall.

    ``elevation_deg`` is the apparent one, above 0 and up to 90.

    Raises OutOfRange for a height not above 0 or a sun not above the horizon.
    """
    require_positive(height_m=height_m, elevation_deg=elevation_deg)
    require_between(0, 90, elevation_deg=elevation_deg)
    return height_m * cos(radians(elevation_deg)) / sin(radians(elevation_deg))


def matching_lamp_height_m(
    target_height_m: float, distance_m: float, elevation_deg: float
) -> float:
    """Return how high a lamp stands that meets the target at the sun's own angle.

    ``distance_m`` is level, lamp to target; ``elevation_deg`` apparent, 0 to below 90. Above
    about 45 degrees no stand follows: match the side only (common practice, no source).

    Raises OutOfRange for a height or distance not above 0 or an elevation outside the range.
    """
    require_positive(target_height_m=target_height_m, distance_m=distance_m)
    require_between(0, 90, elevation_deg=elevation_deg)
    if elevation_deg == 90:
        raise OutOfRange("elevation_deg must be below 90: no lamp stands under an overhead sun")
    return target_height_m + distance_m * tan(radians(elevation_deg))


def _geometric(latitude_deg: float, longitude_deg: float, at: datetime) -> tuple[float, float]:
    """Return elevation without refraction and azimuth; by arctangents, sharp at the zenith."""
    declination_deg, hour_angle_deg = solar_angles(longitude_deg, at)
    latitude, declination = radians(latitude_deg), radians(declination_deg)
    hour_angle = radians(hour_angle_deg)
    up = sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * cos(hour_angle)
    north = cos(latitude) * sin(declination) - sin(latitude) * cos(declination) * cos(hour_angle)
    east = -cos(declination) * sin(hour_angle)
    azimuth_deg = degrees(atan2(east, north)) % 360
    return degrees(atan2(up, hypot(north, east))), azimuth_deg if azimuth_deg < 360 else 0.0


def solar_angles(longitude_deg: float, at: datetime) -> tuple[float, float]:
    """Return declination and local hour angle (-180 to 180, 0 at the upper transit).

    ``at`` is in UTC. Only the series are astral's: its elevation drops fractions of a second
    and clamps latitude at 89.8, its azimuth is forced near the zenith, its equation of time
    is cut short: sidereal time less right ascension brings the error from 0.018 to 0.011.
    """
    centuries = (at - _J2000) / _CENTURY
    apparent_deg = astral.sun.sun_apparent_long(centuries)
    nutation_deg = apparent_deg - astral.sun.sun_true_long(centuries) + ABERRATION_DEG
    obliquity = radians(astral.sun.obliquity_correction(centuries))
    midnight = at.replace(hour=0, minute=0, second=0, microsecond=0)
    sidereal_deg = (
        (at - midnight) / timedelta(days=1) * 360
        + astral.sun.geom_mean_long_sun(centuries)
        - ABERRATION_DEG
        + nutation_deg * cos(obliquity)
    )
    right_ascension_deg = astral.sun.sun_rt_ascension(centuries)
    hour_angle_deg = (sidereal_deg - right_ascension_deg + longitude_deg) % 360 - 180
    return astral.sun.sun_declination(centuries), hour_angle_deg


def _noon(longitude_deg: float, start: datetime, end: datetime) -> datetime | None:
    """Return the first upper transit in the span: a day far from its zone's meridian can lack one.

    Transits are 24 hours apart to within half a minute, so a few corrections settle each.
    """
    hour_angle_deg = solar_angles(longitude_deg, start)[1]
    for turns in (-1, 0, 1):
        at = start + timedelta(days=turns - hour_angle_deg / 360)
        for _ in range(4):
            at -= timedelta(days=solar_angles(longitude_deg, at)[1] / 360)
        if start <= at < end:
            return at
    return None


def checked_place(place: Place) -> tuple[float, float]:
    """Return latitude and longitude. Raises OutOfRange where one is missing or off the globe."""
    if place.latitude_deg is None or place.longitude_deg is None:
        raise OutOfRange("latitude_deg and longitude_deg are needed: enter the coordinates")
    require_between(-90, 90, latitude_deg=place.latitude_deg)
    require_between(-180, 180, longitude_deg=place.longitude_deg)
    return float(place.latitude_deg), float(place.longitude_deg)


def _instant(at: datetime) -> datetime:
    if not isinstance(at, datetime) or at.utcoffset() is None:
        raise OutOfRange("at needs a date, a time and a timezone: a naive time names no instant")
    check_year("at", at.year)
    return at.astimezone(UTC)


def _local_day(day: date, zone: tzinfo) -> tuple[datetime, datetime]:
    if not isinstance(day, date) or isinstance(day, datetime):
        raise OutOfRange("day must be a calendar date without a time")
    check_year("day", day.year)
    midnights = (datetime.combine(d, time(), zone) for d in (day, day + timedelta(days=1)))
    start, end = (midnight.astimezone(UTC) for midnight in midnights)
    return start, end


def check_year(name: str, year: int) -> None:
    """Raise OutOfRange naming the field for a year the series do not cover."""
    if not SUN_FIRST_YEAR <= year <= SUN_LAST_YEAR:
        raise OutOfRange(f"{name} must lie from {SUN_FIRST_YEAR} to {SUN_LAST_YEAR}, not {year}")


def _zone(timezone: tzinfo | str) -> tzinfo:
    if isinstance(timezone, tzinfo):
        return timezone
    try:
        return ZoneInfo(timezone)
    except (KeyError, ValueError, TypeError, OSError):
        raise OutOfRange(
            f"timezone must be an IANA name such as Europe/Lisbon, not {timezone!r}"
        ) from None
