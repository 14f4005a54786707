"""The time zone of a point on the globe."""

from zoneinfo import ZoneInfo

import tzfpy


def zone_at(latitude_deg: float, longitude_deg: float) -> str | None:
    """Return the IANA name of the zone at a point, None where none is known.

    Over the open sea it is the nautical zone, such as "Etc/GMT+3" (three hours behind UTC).
    Source: the time zone boundaries that tzfpy carries, simplified: near a border choose by hand.
    """
    name = tzfpy.get_tz(longitude_deg, latitude_deg)
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return None
    return name or None
