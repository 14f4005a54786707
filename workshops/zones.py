"""The time zone of a point on the globe."""

from zoneinfo import ZoneInfo

import tzfpy


def zone_at(latitude_deg: float, longitude_deg: float) -> str | None:
    """Return the IANA name of the zone at a point; None off the globe, or where none is known.

    Over the open sea it is the nautical zone, such as "Etc/GMT+3" (three hours behind UTC): the
    clock a ship keeps, and as good as any on a beach that the boundaries miss. A name that this
    machine's time zone data does not know is not returned.

    Source: the boundaries of OpenStreetMap as tzfpy carries them, simplified: within some
    hundred metres of a border, or where two clocks are kept, choose by hand.
    """
    try:
        name = tzfpy.get_tz(longitude_deg, latitude_deg)
        ZoneInfo(name)
    except (KeyError, ValueError, TypeError, OSError):
        return None
    return name
