"""The light a place has, the sun a set wants, and a place by what somebody typed."""

from datetime import date
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from planning.lesson.season import SeasonDay, WantedSun, season
from planning.models import PlannedSet
from planning.physics.errors import OutOfRange
from planning.physics.sun import Place
from workshops.errors import Refused
from workshops.models import Location

MOST_NAMED = 10


def wanted_sun(planned: PlannedSet) -> WantedSun | None:
    """Return where a set wants the sun, None where it wants it nowhere in particular."""
    entered = (
        planned.wanted_from_deg,
        planned.wanted_to_deg,
        planned.wanted_low_deg,
        planned.wanted_high_deg,
    )
    return None if entered == (None,) * 4 else WantedSun.of(*entered)


def light_question(planned: PlannedSet) -> str:
    """Return the query that asks for the dates of a set's wanted sun, empty where it wants none."""
    fields = ("from_deg", "to_deg", "low_deg", "high_deg")
    entered = {name: getattr(planned, f"wanted_{name}") for name in fields}
    return urlencode({name: f"{value:g}" for name, value in entered.items() if value is not None})


def light_season(
    location: Location, wanted: WantedSun, first: date, last: date
) -> tuple[SeasonDay, ...]:
    """Return the dates of a place with their light.

    Raises Refused where the place has no coordinates, OutOfRange as ``season`` does.
    """
    if location.latitude_deg is None or location.longitude_deg is None:
        raise Refused(
            _("%(place)s has no coordinates yet: enter them, and its sun is known.")
            % {"place": location}
        )
    return season(
        Place(location.latitude_deg, location.longitude_deg),
        ZoneInfo(location.timezone_name),
        first,
        last,
        wanted,
        [(float(azimuth), float(height)) for azimuth, height in location.horizon],
    )


def location_named(text: str) -> Location:
    """Return the one location of a number, a name or a part of a name.

    Raises OutOfRange with the ones it might be, or those there are.
    """
    places = list(Location.objects.order_by("name", "pk"))
    asked = text.strip().casefold()
    by_number = [place for place in places if str(place.pk) == asked]
    by_name = [place for place in places if place.name.casefold() == asked]
    by_part = [place for place in places if asked and asked in place.name.casefold()]
    found = next((some for some in (by_number, by_name, by_part) if some), [])
    if len(found) == 1:
        return found[0]
    told = "; ".join(f"{place.pk} {place.name}" for place in (found or places)[:MOST_NAMED])
    if found:
        raise OutOfRange(f"LOCATION: {text!r} may be any of: {told}. Give the number.")
    if not places:
        raise OutOfRange("LOCATION: there are no locations yet: enter one, or run the demo.")
    raise OutOfRange(f"LOCATION: there is no {text!r}. There are: {told}.")
