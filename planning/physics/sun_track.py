"""The sun over one place from an instant on, quick enough to be asked ten thousand times."""

from datetime import datetime, timedelta
from functools import cache
from math import atan2, cos, degrees, hypot, inf, nextafter, pi, radians, sin
from typing import NamedTuple

from planning.physics.constants import SUNRISE_ELEVATION_DEG
from planning.physics.sun import Place, checked_place, lift_deg, solar_angles

DAY_S = 86400.0
STEPS_DEG = (SUNRISE_ELEVATION_DEG, 5.0, 85.0)  # geometric; where the refraction formula steps
_BRANCHES_DEG = (  # between them it is smooth
    (-90.0, nextafter(SUNRISE_ELEVATION_DEG, -inf)),
    (SUNRISE_ELEVATION_DEG, 5.0),
    (nextafter(5.0, inf), 85.0),
    (nextafter(85.0, inf), 90.0),
)


class Ray(NamedTuple):
    """The unit vector to the sun's centre, without refraction, and its change in a second."""

    east: float
    north: float
    up: float
    east_per_s: float
    north_per_s: float
    up_per_s: float

    def apparent_elevation_deg(self) -> float:
        geometric_deg = degrees(atan2(self.up, hypot(self.north, self.east)))
        return geometric_deg + lift_deg(geometric_deg)

    def azimuth_deg(self) -> float:
        return degrees(atan2(self.east, self.north)) % 360


class SunTrack:
    """The sun over a place, asked in seconds after ``start_at``, up to ``length_s`` of them.

    Declination and hour angle are worked out once a day; between the days they run so smoothly
    (only the year's terms are in them) that cubics through four of them give what
    ``sun_position`` gives to 0.000001 degrees.

    Source: four-point Lagrange interpolation; Meeus, *Astronomical Algorithms*, ch. 3.
    """

    def __init__(self, place: Place, start_at: datetime, length_s: float):
        latitude_deg, longitude_deg = checked_place(place)
        self._sin_latitude = sin(radians(latitude_deg))
        self._cos_latitude = cos(radians(latitude_deg))
        days = int(length_s // DAY_S) + 1
        nodes = [
            solar_angles(longitude_deg, start_at + timedelta(days=day))
            for day in range(-1, days + 2)
        ]
        first_deg = nodes[0][1]
        declinations = [radians(declination_deg) for declination_deg, _hour_angle_deg in nodes]
        # Asked at the same time of each day, the hour angle only drifts by the equation of time.
        drifts = [
            radians(first_deg + (hour_angle_deg - first_deg + 180) % 360 - 180)
            for _declination_deg, hour_angle_deg in nodes
        ]
        self._days = [
            (*_cubic(*declinations[day : day + 4]), *_cubic(*drifts[day : day + 4]))
            for day in range(days)
        ]

    def ray(self, at_s: float) -> Ray:
        day = min(int(at_s / DAY_S), len(self._days) - 1)
        part = at_s / DAY_S - day
        d0, d1, d2, d3, h0, h1, h2, h3 = self._days[day]
        declination = d0 + part * (d1 + part * (d2 + part * d3))
        declination_per_s = (d1 + part * (2 * d2 + part * 3 * d3)) / DAY_S
        hour_angle = h0 + part * (2 * pi + h1 + part * (h2 + part * h3))
        hour_angle_per_s = (2 * pi + h1 + part * (2 * h2 + part * 3 * h3)) / DAY_S
        sin_d, cos_d = sin(declination), cos(declination)
        sin_h, cos_h = sin(hour_angle), cos(hour_angle)
        sin_l, cos_l = self._sin_latitude, self._cos_latitude
        # Toward the meridian, and how that changes: both north and up are made of it.
        toward = cos_d * cos_h
        toward_per_s = -sin_d * cos_h * declination_per_s - cos_d * sin_h * hour_angle_per_s
        return Ray(
            -cos_d * sin_h,
            cos_l * sin_d - sin_l * toward,
            sin_l * sin_d + cos_l * toward,
            sin_d * sin_h * declination_per_s - cos_d * cos_h * hour_angle_per_s,
            cos_l * cos_d * declination_per_s - sin_l * toward_per_s,
            sin_l * cos_d * declination_per_s + cos_l * toward_per_s,
        )


@cache
def geometric_levels_deg(apparent_deg: float) -> tuple[float, ...]:
    """Return every geometric elevation at which the apparent one passes a level, -90 to 90.

    Mostly one; where the refraction steps (by 0.6 degrees as the sun rises, by a thousandth and
    less at 5 and 85 degrees) the step itself, if the level lies in it.
    """
    found = set()
    last_deg = -90.0
    for low_deg, high_deg in _BRANCHES_DEG:
        ends = (_apparent_deg(low_deg), _apparent_deg(high_deg))
        if ends[0] <= apparent_deg <= ends[1]:
            found.add(_inverse_deg(apparent_deg, low_deg, high_deg))
        if min(last_deg, ends[0]) <= apparent_deg <= max(last_deg, ends[0]):
            found.add(low_deg)
        last_deg = ends[1]
    return tuple(sorted(found))


def _apparent_deg(geometric_deg: float) -> float:
    return geometric_deg + lift_deg(geometric_deg)


def _inverse_deg(apparent_deg: float, low_deg: float, high_deg: float) -> float:
    for _halving in range(60):
        middle_deg = (low_deg + high_deg) / 2
        if _apparent_deg(middle_deg) < apparent_deg:
            low_deg = middle_deg
        else:
            high_deg = middle_deg
    return high_deg


def _cubic(before: float, here: float, after: float, beyond: float) -> tuple[float, ...]:
    """Return the coefficients of the cubic through four daily values, 0 at ``here``."""
    second = (before + after) / 2 - here
    third = (beyond - before - 3 * (after - here)) / 6
    first = (after - before) / 2 - third
    return here, first, second, third
