"""Places, their landmarks and tides, and the forecasts for them."""

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from workshops import audit
from workshops.models import Forecast, Landmark, Location, TidePoint, User


@transaction.atomic
def add_location(
    *,
    by: User | None,
    landmarks: Iterable[dict[str, Any]] = (),
    tide: Iterable[dict[str, Any]] = (),
    **details,
) -> Location:
    """Return a new location with its landmarks and its rows of the tide table.

    Raises Refused when any part breaks a rule; then nothing is kept.
    """
    location = audit.write(Location(**details), by=by)
    for landmark in landmarks:
        audit.write(Landmark(location=location, **landmark), by=by)
    for point in tide:
        audit.write(TidePoint(location=location, **point), by=by)
    return location


@transaction.atomic
def add_forecast(*, by: User | None, location: Location, **forecast) -> Forecast:
    """Return a new snapshot; those taken before are kept.

    Raises Refused for a gust below the mean wind or a figure out of range.
    """
    return audit.write(Forecast(location=location, **forecast), by=by)


@transaction.atomic
def add_tide(
    *, by: User | None, location: Location, rows: Iterable[dict[str, Any]], source: str = ""
) -> list[TidePoint]:
    """Return new rows of a place's tide table; a time that is there already is corrected.

    Raises Refused for a height out of range; then nothing is kept.
    """
    known = {point.at: point for point in location.tide_points.all()}
    points = []
    for row in rows:
        point = known.get(row["at"]) or TidePoint(location=location)
        for name, value in (row | {"source": source}).items():
            setattr(point, name, value)
        points.append(audit.write(point, by=by))
    return points
