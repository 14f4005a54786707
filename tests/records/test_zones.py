"""The zone found from coordinates, against the time zone database's own table of places."""

import importlib.resources
import math
import re
from zoneinfo import available_timezones

import pytest

from workshops.zones import zone_at

# Where two clocks are kept side by side, the boundaries name the lawful one first.
TWO_CLOCKS = {"Asia/Urumqi": "Asia/Shanghai"}


def degrees(text: str, whole: int) -> float:
    """ISO 6709 without a point, as the table writes it: +DDMM, +DDDMM, with seconds or without."""
    digits = text[1:]
    parts = [digits[:whole], *(digits[at : at + 2] for at in range(whole, len(digits), 2))]
    size = sum(int(part) / 60**place for place, part in enumerate(parts))
    return -size if text[0] == "-" else size


def principal_places() -> list[tuple[str, float, float]]:
    """Zone, latitude and longitude of zone1970.tab.

    Source: IANA time zone database, the coordinates of each zone's principal location.
    """
    table = importlib.resources.files("tzdata") / "zoneinfo" / "zone1970.tab"
    rows = []
    for line in table.read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            _countries, place, zone, *_remarks = line.split("\t")
            latitude, longitude = re.fullmatch(r"([+-]\d+)([+-]\d+)", place).groups()
            rows.append((zone, degrees(latitude, 2), degrees(longitude, 3)))
    return rows


def test_every_zones_principal_place_lies_in_it():
    """311 of the table's 312 rows when written; the other is named with its reason above."""
    rows = principal_places()
    assert len(rows) > 300
    others = {
        zone: found
        for zone, latitude, longitude in rows
        if (found := zone_at(latitude, longitude)) != zone
    }
    assert others == TWO_CLOCKS


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "zone"),
    [
        # Towns whose legal time is common knowledge, away from the table's own coordinates.
        (50.7351, -3.5320, "Europe/London"),
        (43.2965, 5.3698, "Europe/Paris"),
        (28.1235, -15.4363, "Atlantic/Canary"),
        (69.6492, 18.9553, "Europe/Oslo"),
        (36.1540, -5.9220, "Europe/Madrid"),
        (47.6062, -122.3321, "America/Los_Angeles"),
        (33.4484, -112.0740, "America/Phoenix"),
        (-34.6, -58.4, "America/Argentina/Buenos_Aires"),
        (-22.9707, -43.1824, "America/Sao_Paulo"),
        (-33.8568, 151.2153, "Australia/Sydney"),
        (-31.9505, 115.8605, "Australia/Perth"),
        (-44.0, 170.48, "Pacific/Auckland"),
        (35.0116, 135.7681, "Asia/Tokyo"),
        (27.7172, 85.3240, "Asia/Kathmandu"),
        (-33.9249, 18.4241, "Africa/Johannesburg"),
        (0.3136, 32.5811, "Africa/Kampala"),
    ],
)
def test_a_town_keeps_its_legal_time(latitude_deg, longitude_deg, zone):
    assert zone_at(latitude_deg, longitude_deg) == zone


def test_both_writings_of_the_antimeridian_are_one_place():
    # Taveuni in Fiji lies on it.
    assert zone_at(-16.8, 180.0) == zone_at(-16.8, -180.0) == "Pacific/Fiji"


@pytest.mark.parametrize(
    ("longitude_deg", "zone"), [(-40.0, "Etc/GMT+3"), (-173.0, "Etc/GMT+12"), (0.0, "Etc/GMT")]
)
def test_the_open_sea_keeps_the_nautical_zone(longitude_deg, zone):
    # 15 degrees an hour from the meridian; the names count the other way round (IANA, "etcetera").
    assert zone_at(0.0, longitude_deg) == zone


def test_at_the_poles_some_zone_is_found_that_this_machine_knows():
    for latitude_deg in (-90.0, 90.0):
        assert zone_at(latitude_deg, 0.0) in available_timezones()


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg"),
    [(91.0, 0.0), (0.0, 181.0), (-90.1, 0.0), (math.nan, 0.0), (0.0, math.inf), (None, 3.0)],
)
def test_off_the_globe_there_is_no_zone(latitude_deg, longitude_deg):
    assert zone_at(latitude_deg, longitude_deg) is None
