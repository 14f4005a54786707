"""Incident readings of daylight against the equations, sky by sky."""

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from django.db.models import OuterRef, Q, Subquery
from django.utils.translation import gettext_noop as _

from planning.learn.witness import Witness
from planning.models import Reading, TallyEvent
from planning.physics.errors import OutOfRange
from planning.physics.sun import sun_position
from planning.plan.ambient import estimate
from planning.plan.inputs import DaylightInputs, LocationInputs
from planning.selectors.places import location_inputs, reading_ev100
from planning.selectors.seen import Seen
from workshops.models import Forecast, Location
from workshops.models.base import in_zone

NEWEST = 60  # readings that are looked at: the sky's own spread is larger than what more would say
LOWEST_SUN_DEG = 5.0  # below, the equations change faster than anybody notes the minute
SKY_NOT_KNOWN = _("the sky at the time was not noted, nor forecast")
SUN_TOO_LOW = _("the sun stood lower than 5 degrees")
QUANTITY = {
    Reading.Plane.BACKDROP: "incident_ev100",
    Reading.Plane.FACE: "subject_ev100",
    Reading.Plane.SHADE: "shade_ev100",
}


@dataclass(frozen=True)
class Spot:
    """Where a reading was taken, as the estimate asks for it."""

    location: LocationInputs
    camera_facing_deg: float
    backdrop_facing_deg: float | None
    backdrop_tilt_deg: float
    backdrop_in_sun: bool
    subject_in_sun: bool
    sky_patch_elevation_deg: float
    start_at: datetime
    daylight: tuple[DaylightInputs, ...] = ()  # the equations alone


@dataclass(frozen=True)
class Compared:
    """One reading beside the estimate at its own instant and plane."""

    metered_ev100: float
    estimated_ev100: float


def daylight_figure(sky: str) -> str:
    """Return what the bias of the daylight under one sky goes by."""
    return f"daylight:{sky}"


def daylight_seen() -> list[Seen]:
    """Return the newest incident readings of sets without flash, in three questions.

    The sky is the one that was seen nearest before, or on that set at all, else as forecast.
    """
    seen = TallyEvent.objects.filter(
        planned_set=OuterRef("planned_set"),
        kind=TallyEvent.Kind.SKY_SEEN,
        takes_back=None,
        taken_back_by=None,
    )
    before = seen.filter(at__lte=OuterRef("at")).order_by("-at", "-pk").values("sky")[:1]
    after = seen.filter(at__gt=OuterRef("at")).order_by("at", "pk").values("sky")[:1]
    held = Forecast.objects.filter(
        location=OuterRef("planned_set__location"),
        valid_from__lte=OuterRef("at"),
        valid_to__gt=OuterRef("at"),
        taken_at__lte=OuterRef("at"),
    ).order_by("-taken_at", "-pk")
    rows = Reading.objects.filter(
        Q(kind=Reading.Kind.INCIDENT) & ~Q(plane=Reading.Plane.SKY),
        planned_set__isnull=False,
        planned_set__location__latitude_deg__isnull=False,
        flash_in=False,
    ).annotate(
        seen_before=Subquery(before),
        seen_after=Subquery(after),
        held=Subquery(held.values("sky")[:1]),
    )
    rows = rows.select_related("planned_set", "meter__kind__meter")
    newest = list(rows.order_by("-at", "-pk")[:NEWEST])
    places = Location.objects.prefetch_related("landmarks")
    found = places.in_bulk({row.planned_set.location_id for row in newest})
    read = {pk: (place, location_inputs(place)) for pk, place in found.items()}
    return [_compared(row, *read[row.planned_set.location_id]) for row in newest]


def _compared(row: Reading, location: Location, place: LocationInputs) -> Seen:
    planned = row.planned_set
    at = in_zone(row.at, location.timezone_name)
    sky = row.seen_before or row.seen_after or row.held or ""
    spot = Spot(
        location=place,
        camera_facing_deg=planned.camera_facing_deg,
        backdrop_facing_deg=planned.backdrop_facing_deg,
        backdrop_tilt_deg=planned.backdrop_tilt_deg,
        backdrop_in_sun=planned.backdrop_in_sun,
        subject_in_sun=planned.subject_in_sun,
        sky_patch_elevation_deg=planned.sky_patch_elevation_deg,
        start_at=at,
    )
    key, metered = f"reading:{row.pk}", reading_ev100(row)
    estimated = _estimated(spot, at, sky, QUANTITY[row.plane]) if sky else None
    why = "" if estimated is not None else SUN_TOO_LOW if sky else SKY_NOT_KNOWN
    meter = row.meter
    return Seen(
        figure=daylight_figure(sky),
        key=key,
        at=at,
        changed_at=max(
            one.changed_at
            for one in (row, planned, location, meter, meter and meter.kind)
            if one is not None
        ),
        witness=None
        if estimated is None
        else Witness(key, f"{at:%Y-%m-%d}", metered - estimated, str(row.meter_id or "")),
        why=why,
        set_id=planned.pk,
        detail=Compared(metered, estimated) if estimated is not None else None,
    )


@lru_cache(maxsize=2048)
def _estimated(spot: Spot, at: datetime, sky: str, quantity: str) -> float | None:
    """Return what the equations say at that instant and plane; None under a low sun."""
    if sun_position(spot.location.place, at).elevation_deg < LOWEST_SUN_DEG:
        return None
    try:
        return getattr(estimate(spot, at, sky), quantity)
    except OutOfRange:
        return None
