"""One stored set as the frozen inputs of its plan."""

import hashlib
import json
from dataclasses import asdict, dataclass, replace
from datetime import datetime

from django.db.models import Prefetch, QuerySet
from django.utils.translation import gettext as _

from planning.models import PlannedLight, PlannedSet, Reading
from planning.plan.inputs import HouseRules, SetInputs
from planning.selectors.kit import filters, packs_by_kind, triggers
from planning.selectors.lights import guide_readings, learned_guide_numbers, light_inputs
from planning.selectors.people import attendee_inputs, camera_inputs
from planning.selectors.places import (
    forecast_inputs,
    forecast_of,
    location_inputs,
    reading_inputs,
    tide_inputs,
)
from planning.selectors.shared import shared
from workshops.errors import NotFound, Refused
from workshops.models import (
    Booking,
    CameraBody,
    Forecast,
    GuideNumberReading,
    House,
    WorkshopKit,
    WorkshopRole,
)
from workshops.models.base import Record, in_zone
from workshops.selectors.house import house


@dataclass(frozen=True)
class SetLine:
    """One line of the list of sets."""

    id: int
    position: int
    title: str
    workshop_id: int
    workshop: str
    location: str
    start_at: datetime  # on the clock of the place


def set_list() -> list[SetLine]:
    """Return every set, by workshop and number in the day."""
    rows = PlannedSet.objects.select_related("workshop", "location").order_by(
        "workshop__start_at", "workshop_id", "position", "pk"
    )
    return [
        SetLine(
            id=row.pk,
            position=row.position,
            title=row.title,
            workshop_id=row.workshop_id,
            workshop=row.workshop.title,
            location=row.location.name,
            start_at=in_zone(row.start_at, row.location.timezone_name),
        )
        for row in rows
    ]


def sets_of(workshop_id: int) -> list[int]:
    """Return the ids of a workshop's sets in the order of the day."""
    rows = PlannedSet.objects.filter(workshop=workshop_id).order_by("position", "pk")
    return list(rows.values_list("pk", flat=True))


def set_inputs(set_id: int) -> SetInputs:
    """Return what the plan of one set is computed from.

    The number of queries does not grow with lights, people, kit or readings. Raises NotFound
    for an unknown id, Refused for a location without coordinates.
    """
    planned = _loaded().filter(pk=set_id).first()
    if planned is None:
        raise NotFound(
            _("There is no set %(id)s: `set_plan --list` shows the sets.") % {"id": set_id}
        )
    location = planned.location
    if location.latitude_deg is None:
        raise Refused(
            _("%(location)s has no coordinates: enter latitude and longitude of the location.")
            % {"location": location}
        )
    rules, forecast = house(), forecast_of(planned)
    readings = guide_readings(planned.lights.all())
    inputs = _inputs(planned, rules, forecast, readings)
    changed = _changed_at(planned, [rules, forecast], readings)
    return replace(
        inputs,
        revision=revision(inputs),
        inputs_changed_at=in_zone(changed, location.timezone_name),
    )


def revision(inputs: SetInputs) -> str:
    """Return eight hexadecimal digits that differ when any input differs."""
    values = asdict(replace(inputs, revision="", inputs_changed_at=None))
    text = json.dumps(values, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:8]


def _loaded() -> QuerySet[PlannedSet]:
    lights = PlannedLight.objects.select_related(
        "strobe__battery_kind", "strobe_unit", "modifier", "gel", "battery", "stand"
    ).order_by("position", "pk")
    readings = Reading.objects.select_related("meter__kind__meter").order_by("at", "pk")
    kit = WorkshopKit.objects.select_related(
        "unit__kind__trigger", "unit__kind__ndfilter"
    ).order_by("unit__tag")
    bookings = Booking.objects.select_related("person", "camera__owner", "trigger_unit__kind")
    return PlannedSet.objects.select_related(
        "workshop", "location", "camera__owner", "model__person"
    ).prefetch_related(
        Prefetch("lights", lights),
        Prefetch("readings", readings),
        Prefetch("location__readings", readings),
        "location__landmarks",
        "location__tide_points",
        Prefetch("workshop__kit", kit),
        Prefetch("workshop__bookings", bookings.order_by("booked_at", "pk")),
        Prefetch("workshop__bookings__person__cameras", CameraBody.objects.select_related("owner")),
        Prefetch("workshop__roles", WorkshopRole.objects.select_related("person")),
    )


def _inputs(
    planned: PlannedSet, rules: House, forecast: Forecast | None, own: list[GuideNumberReading]
) -> SetInputs:
    workshop, location = planned.workshop, planned.location
    lights, kit = list(planned.lights.all()), list(workshop.kit.all())
    learned, packs = learned_guide_numbers(own), packs_by_kind(kit)
    roles = list(workshop.roles.all())
    model = planned.model or next((role for role in roles if role.role == "model"), None)
    seen = {"skin_reflectance": model.skin_reflectance} if model else {}
    return SetInputs(
        id=planned.pk,
        workshop=workshop.title,
        start_at=in_zone(planned.start_at, location.timezone_name),
        end_at=in_zone(planned.end_at, location.timezone_name),
        house=HouseRules(**shared(rules, HouseRules)),
        location=location_inputs(location),
        camera=camera_inputs(planned.camera),
        channel=planned.channel or workshop.radio_channel,
        lights=tuple(light_inputs(light, learned, packs) for light in lights),
        triggers=triggers(kit, advanced=planned.advanced_trigger),
        attendees=attendee_inputs(workshop),
        other_heads=len({role.person_id for role in roles}),
        helpers=sum(role.role == WorkshopRole.Role.HELPER for role in roles),
        forecast=forecast_inputs(forecast, location.timezone_name),
        tide=tide_inputs(location),
        readings=reading_inputs(planned),
        filters=filters(kit),
        set_index=planned.position - 1,
        model_minutes_limit=model.minutes_limit if model else None,
        **seen,
        **shared(planned, SetInputs, without=("id", "start_at", "end_at", "channel")),
    )


def _changed_at(
    planned: PlannedSet, others: list[Record | None], guide: list[GuideNumberReading]
) -> datetime:
    """The newest change of any record the inputs were read from.

    What is erased, or taken away from here, has moved what it was part of: see the audit.
    """
    workshop, location = planned.workshop, planned.location
    used = [planned, workshop, location, planned.camera, planned.camera.owner]
    used += [*others, *location.landmarks.all(), *location.tide_points.all()]
    for reading in (*planned.readings.all(), *location.readings.all(), *guide):
        used += [reading, reading.meter, reading.meter and reading.meter.kind]
    for light in planned.lights.all():
        used += [light, light.strobe, light.strobe.battery_kind, light.strobe_unit]
        used += [light.modifier, light.gel, light.battery, light.stand]
    for row in workshop.kit.all():
        used += [row, row.unit, row.unit.kind]
    for booking in workshop.bookings.all():
        camera, trigger = booking.camera, booking.trigger_unit
        used += [booking, booking.person, camera, camera and camera.owner]
        used += [trigger, trigger and trigger.kind]
    used += [planned.model, planned.model and planned.model.person]
    used += [one for role in workshop.roles.all() for one in (role, role.person)]
    # A house nobody saved yet, and what is not chosen, never changed.
    return max(record.changed_at for record in used if record and record.changed_at)
