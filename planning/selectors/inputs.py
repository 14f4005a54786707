"""Stored sets, and drafts of them, as the frozen inputs of their plans."""

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime

from django.db.models import Prefetch, QuerySet, prefetch_related_objects
from django.utils.translation import gettext as _

from planning.models import PlannedLight, PlannedSet, Reading
from planning.plan.ambient import SKIES
from planning.plan.inputs import HouseRules, SetInputs
from planning.selectors.body_faults import body_faults_loaded, body_misfires
from planning.selectors.kit import filters, packs_by_kind, triggers
from planning.selectors.lesson import (
    TURNS,
    earlier_sets,
    given_turns,
    point_inputs,
    station_names,
    turns_behind,
)
from planning.selectors.lights import light_inputs
from planning.selectors.own import Own, flashes_figures, guide_figures, own_of
from planning.selectors.own_daylight import daylight_figure
from planning.selectors.own_days import own_days
from planning.selectors.own_turns import FRAME_FIGURE, TURN_FIGURE
from planning.selectors.people import attendee_inputs, camera_inputs
from planning.selectors.places import (
    forecast_inputs,
    forecast_of,
    forecasts_for,
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
    House,
    Rehearsal,
    Reservation,
    Workshop,
    WorkshopRole,
)
from workshops.models.base import Record, in_zone
from workshops.selectors.house import house

EARLIER = "sets__events"  # of a workshop: what the other sets of the day gave
# Named alike, but read here in another way.
NOT_SHARED = (
    "id",
    "start_at",
    "end_at",
    "channel",
    "stations",
    "turn_min",
    "frames_per_attendee",
)


@dataclass(frozen=True)
class Around:
    """What plans need beside the sets themselves, read once for all of them."""

    rules: House
    forecasts: list[Forecast]
    own: Own


def set_inputs(set_id: int) -> SetInputs:
    """Return what the plan of one set is computed from.

    The number of queries does not grow with lights, people, kit or readings. Raises NotFound
    for an unknown id, Refused for a location without coordinates.
    """
    found = inputs_of([set_id])
    if set_id not in found:
        raise NotFound(
            _("There is no set %(id)s: `set_plan --list` shows the sets.") % {"id": set_id}
        )
    inputs = found[set_id]
    if isinstance(inputs, Refused):
        raise inputs
    return inputs


def inputs_of(set_ids: Iterable[int]) -> dict[int, SetInputs | Refused]:
    """Return the inputs of each set, or why it has none, in as many queries as for one."""
    rows = list(_loaded().filter(pk__in=list(set_ids)))
    if not rows:
        return {}
    around = _around(rows, [light for row in rows for light in row.lights.all()])
    return {row.pk: _stored(row, around) for row in rows}


def draft_inputs(planned: PlannedSet, lights: Sequence[PlannedLight]) -> SetInputs:
    """Return the inputs of a set as it stands in a form, saved or not.

    Raises Refused for a location without coordinates.
    """
    _refuse_nowhere(planned)
    prefetch_related_objects([planned.workshop], *_of_workshop(), EARLIER)
    prefetch_related_objects([planned.location], *_of_location())
    readings = list(planned.readings.select_related("meter__kind__meter")) if planned.pk else []
    return _inputs(planned, lights, readings, _around([planned], lights))


def _stored(planned: PlannedSet, around: Around) -> SetInputs | Refused:
    try:
        _refuse_nowhere(planned)
    except Refused as reason:
        return reason
    inputs = _inputs(planned, planned.lights.all(), planned.readings.all(), around)
    changed = _changed_at(planned, around)
    zone = planned.location.timezone_name
    return replace(inputs, revision=revision(inputs), inputs_changed_at=in_zone(changed, zone))


def _refuse_nowhere(planned: PlannedSet) -> None:
    if planned.location.latitude_deg is None:
        raise Refused(
            _("%(location)s has no coordinates: enter latitude and longitude of the location.")
            % {"location": planned.location}
        )


def revision(inputs: SetInputs) -> str:
    """Return eight hexadecimal digits that differ when any input differs."""
    values = asdict(replace(inputs, revision="", inputs_changed_at=None))
    text = json.dumps(values, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:8]


def of_people(rows: QuerySet[Workshop]) -> QuerySet[Workshop]:
    """Return the workshops with their kit and people, as inputs are made from them."""
    return rows.prefetch_related(*_of_workshop())


def _around(sets: Sequence[PlannedSet], lights: Sequence[PlannedLight]) -> Around:
    asked = any(one.turn_min is None or one.frames_per_attendee is None for one in sets)
    return Around(house(), forecasts_for(sets), own_of(lights, turns=asked))


def _of_workshop(prefix: str = "") -> list[str | Prefetch]:
    kit = Reservation.objects.select_related(
        "unit__kind__trigger", "unit__kind__ndfilter"
    ).order_by("unit__tag")
    bookings = Booking.objects.select_related("person", "camera__owner", "trigger_unit__kind")
    cameras = CameraBody.objects.select_related("owner")
    tries = Rehearsal.objects.select_related("trigger_unit__kind", "lamp_unit").order_by("pk")
    return [
        Prefetch(f"{prefix}kit", kit),
        Prefetch(f"{prefix}bookings", bookings.order_by("booked_at", "pk")),
        Prefetch(f"{prefix}bookings__person__cameras", cameras),
        Prefetch(f"{prefix}bookings__rehearsals", tries),
        *body_faults_loaded(prefix),
        Prefetch(f"{prefix}roles", WorkshopRole.objects.select_related("person")),
    ]


def _of_location(prefix: str = "") -> list[str | Prefetch]:
    return [
        Prefetch(f"{prefix}readings", _readings()),
        f"{prefix}landmarks",
        f"{prefix}tide_points",
    ]


def _readings() -> QuerySet[Reading]:
    return Reading.objects.select_related("meter__kind__meter").order_by("at", "pk")


def _loaded() -> QuerySet[PlannedSet]:
    lights = PlannedLight.objects.select_related(
        "strobe__battery_kind", "strobe_unit", "modifier", "gel", "battery", "stand"
    ).order_by("position", "pk")
    return PlannedSet.objects.select_related(
        "workshop",
        "location",
        "camera__owner",
        "model__person",
        "main_point",
        "second_point",
    ).prefetch_related(
        Prefetch("lights", lights),
        Prefetch("readings", _readings()),
        "events",
        *_of_location("location__"),
        *_of_workshop("workshop__"),
        f"workshop__{EARLIER}",
    )


def _inputs(
    planned: PlannedSet,
    lights: Sequence[PlannedLight],
    readings: Sequence[Reading],
    around: Around,
) -> SetInputs:
    workshop, location = planned.workshop, planned.location
    kit = list(workshop.kit.all())
    packs = packs_by_kind(kit)
    forecast = forecast_of(planned, around.forecasts)
    roles = list(workshop.roles.all())
    model = planned.model or next((role for role in roles if role.role == "model"), None)
    helpers = tuple(role.person.name for role in roles if role.role == WorkshopRole.Role.HELPER)
    seen = {"skin_reflectance": model.skin_reflectance} if model else {}
    return SetInputs(
        id=planned.pk,
        workshop=workshop.title,
        start_at=in_zone(planned.start_at, location.timezone_name),
        end_at=in_zone(planned.end_at, location.timezone_name),
        house=HouseRules(**shared(around.rules, HouseRules)),
        location=location_inputs(location),
        camera=camera_inputs(planned.camera),
        channel=planned.channel or workshop.radio_channel,
        lights=tuple(light_inputs(light, around.own, packs) for light in lights),
        triggers=triggers(kit, advanced=planned.advanced_trigger),
        attendees=attendee_inputs(workshop, turns_behind(planned, workshop), planned.end_at),
        strobe_sensitive=workshop.strobe_sensitive,
        other_heads=len({role.person_id for role in roles}),
        helpers=helpers,
        forecast=forecast_inputs(forecast, location.timezone_name),
        tide=tide_inputs(location),
        readings=reading_inputs(planned, readings),
        filters=filters(kit),
        stations=station_names(planned),
        points=point_inputs(planned),
        given=given_turns(planned, workshop),
        set_index=planned.position - 1,
        model_minutes_limit=model.minutes_limit if model else None,
        **own_days(planned, around.own),
        **seen,
        **shared(planned, SetInputs, without=NOT_SHARED),
    )


def _changed_at(planned: PlannedSet, around: Around) -> datetime:
    """The newest change of any record the inputs were read from.

    What is erased, or taken away from here, has moved what it was part of: see the audit.
    """
    workshop, location = planned.workshop, planned.location
    used: list[Record | None] = [planned, workshop, location, planned.camera, planned.camera.owner]
    used += [around.rules, forecast_of(planned, around.forecasts)]
    used += [*location.landmarks.all(), *location.tide_points.all()]
    for reading in (*planned.readings.all(), *location.readings.all()):
        used += [reading, reading.meter, reading.meter and reading.meter.kind]
    for light in planned.lights.all():
        used += [light, light.strobe, light.strobe.battery_kind, light.strobe_unit]
        used += [light.modifier, light.gel, light.battery, light.stand]
    for row in workshop.kit.all():
        used += [row, row.unit, row.unit.kind]
    for booking in workshop.bookings.all():
        camera, trigger = booking.camera, booking.trigger_unit
        used += [booking, booking.person, camera, camera and camera.owner]
        used += [trigger, trigger and trigger.kind, *body_misfires(booking.person)]
    used += [planned.main_point, planned.second_point]
    # Of what was noted, the turns: nothing else that happened moves the plan.
    sets = (planned, *earlier_sets(planned, workshop))
    used += [event for one in sets for event in one.events.all() if event.kind in TURNS]
    used += [planned.model, planned.model and planned.model.person]
    used += [one for role in workshop.roles.all() for one in (role, role.person)]
    # A house nobody saved yet, and what is not chosen, never changed.
    figures = {
        figure
        for light in planned.lights.all()
        for figure in (*guide_figures(light), *flashes_figures(light, around.own))
    }
    figures |= {daylight_figure(sky) for sky in SKIES}
    figures |= {TURN_FIGURE} if planned.turn_min is None else set()
    figures |= {FRAME_FIGURE} if planned.frames_per_attendee is None else set()
    times = [record.changed_at for record in used if record and record.changed_at]
    return max(times + around.own.changed_at(figures))
