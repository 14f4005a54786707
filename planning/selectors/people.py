"""People and cameras as the plan takes them."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from planning.plan.inputs import AttendeeInputs, CameraInputs, TriedInputs
from planning.selectors.body_faults import body_faults, camera_of
from planning.selectors.kit import trigger_name
from workshops.models import LIVE, Booking, CameraBody, Rehearsal, Workshop
from workshops.models.base import in_zone

# Whoever did not come has no turn.
TURNS = [state for state in LIVE if state != Booking.State.ABSENT]


def camera_inputs(camera: CameraBody, measured_sync_s: float | None = None) -> CameraInputs:
    """Return one body, by its owner's name."""
    return CameraInputs(
        owner=camera.owner.name,
        name=camera.name,
        sync_s=camera.sync_s,
        fastest_shutter_s=camera.fastest_shutter_s,
        lowest_iso=camera.lowest_iso,
        curtain_s=camera.curtain_s,
        sensor_width_mm=camera.sensor_width_mm,
        sensor_height_mm=camera.sensor_height_mm,
        shoe=camera.shoe,
        centre_contact=camera.centre_contact,
        electronic_only=camera.electronic_only,
        flash_system=camera.flash_system,
        measured_sync_s=measured_sync_s,
    )


def in_turn(workshop: Workshop) -> list[Booking]:
    """Return the bookings that have a turn, in the order they were made."""
    return [booking for booking in workshop.bookings.all() if booking.state in TURNS]


def attendee_inputs(
    workshop: Workshop, behind: Mapping[int, int] | None = None, until: datetime | None = None
) -> tuple[AttendeeInputs, ...]:
    """Return who holds a seat, in the order of booking; namesakes are numbered.

    ``behind`` is how many turns fewer than others somebody had before, by booking; misfires
    count that were met ``until`` then.
    """
    on = in_zone(workshop.start_at, workshop.timezone_name).date()
    names = printed_names(workshop)
    return tuple(
        replace(
            _attendee(booking, names[booking.pk], booking.person.is_under_age(on), until),
            turns_behind=(behind or {}).get(booking.pk, 0),
        )
        for booking in in_turn(workshop)
    )


def printed_names(workshop: Workshop) -> dict[int, str]:
    """Return the name of each booking that has a turn as sheets print it, by the booking's id."""
    live = in_turn(workshop)
    count, seen = Counter(booking.person.name for booking in live), Counter()
    names = {}
    for booking in live:
        name = booking.person.name
        seen[name] += 1
        names[booking.pk] = f"{name} {seen[name]}" if count[name] > 1 else name
    return names


def _tried(booking: Booking, until: datetime | None) -> tuple[TriedInputs, ...]:
    """What the rehearsal found, a line for each trigger: the worst lamp counts.

    A trigger that misfired later for the body's sake did not fire, whatever was found before.
    """
    by_trigger: dict[str, list[Rehearsal]] = {}
    for row in booking.rehearsals.all():
        by_trigger.setdefault(trigger_name(row.trigger_unit), []).append(row)
    faulty = [trigger_name(unit) for unit in body_faults(booking, until)]
    found = {name: _found(name, rows) for name, rows in by_trigger.items()}
    return tuple((found | {name: TriedInputs(name, fires=False) for name in faulty}).values())


def _found(name: str, rows: list[Rehearsal]) -> TriedInputs:
    return TriedInputs(
        trigger=name,
        fires=all(row.result != Rehearsal.Result.NO for row in rows),
        banded=any(
            row.result == Rehearsal.Result.BAND and row.measured_sync_s is None for row in rows
        ),
        measured_sync_s=max(filter(None, (row.measured_sync_s for row in rows)), default=None),
    )


def _attendee(
    booking: Booking, name: str, under_age: bool, until: datetime | None
) -> AttendeeInputs:
    person, unit = booking.person, booking.trigger_unit
    camera = camera_of(booking)
    return AttendeeInputs(
        name=name,
        trigger=trigger_name(unit) if unit else "",
        tried=_tried(booking, until),
        camera=camera_inputs(camera, booking.measured_sync_s) if camera else None,
        arrives_at=_on_clock(booking.arrives_at, booking.workshop),
        leaves_at=_on_clock(booking.leaves_at, booking.workshop),
        under_age=under_age,
        guardian=person.guardian_name if under_age else "",
    )


def _on_clock(at: datetime | None, workshop: Workshop) -> datetime | None:
    return in_zone(at, workshop.timezone_name) if at else None
