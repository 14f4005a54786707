"""Who can fire the lamps, and how fast the group may shoot."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planning.lesson.compatibility import (
    GroupSync,
    Service,
    assign_triggers,
    effective_sync_s,
    group_sync_s,
)
from planning.physics import constants as c
from planning.physics.exposure import f_mark, iso_mark, nearest_f_number, shutter_mark
from planning.plan.inputs import AttendeeInputs, SetInputs, TriedInputs, TriggerInputs
from planning.plan.result import BodyLine
from planning.plan.words import NOTHING, Words, say
from planning.plan.words import gettext_noop as _

SAME = 1.0001  # two settings this near are one
ITS_SYSTEM = "?"  # printed where nobody wrote down the camera's flash system


@dataclass(frozen=True)
class Served:
    """One attendee with the trigger that fires from their camera, or the reason why none does."""

    attendee: AttendeeInputs
    trigger: TriggerInputs | None
    sync_s: float | None
    reason: Words


def serve(
    attendees: Sequence[AttendeeInputs], triggers: Sequence[TriggerInputs]
) -> tuple[Served, ...]:
    """Return every attendee with the trigger that serves them, in the booking's order.

    A unit settled for somebody is theirs where it fires. The others get one of their own
    while there are enough; after that units are shared.
    """
    services = assigned(attendees, triggers)
    return tuple(_served(person, services.get(person.name)) for person in attendees)


def assigned(
    attendees: Sequence[AttendeeInputs], triggers: Sequence[TriggerInputs]
) -> dict[str, Service]:
    """Return the service of everybody whose camera is recorded, by name.

    What a rehearsal found beats the questionnaire both ways; a dark band alone proves nothing.
    """
    tries = [(person.name, tried) for person in attendees for tried in person.tried]
    return assign_triggers(
        {person.name: person.camera for person in attendees if person.camera},
        triggers,
        settled={person.name: person.trigger for person in attendees},
        failed=[(name, tried.trigger) for name, tried in tries if not tried.fires],
        fired=[(name, tried.trigger) for name, tried in tries if fired(tried)],
    )


def fired(tried: TriedInputs) -> bool:
    """Return whether a try proves that the trigger serves the camera."""
    return tried.fires and not tried.banded


def _served(person: AttendeeInputs, service: Service | None) -> Served:
    if service is None:
        return Served(person, None, None, say(_("no camera recorded: ask before the day")))
    if service.trigger is None:
        why = say(
            _("{reason}: {change}"),
            reason=(say(service.reason), "words"),
            change=(say(service.change, system=(service.system or ITS_SYSTEM, "text")), "words"),
        )
        return Served(person, None, None, why)
    return Served(person, service.trigger, _sync_s(person, service.trigger), NOTHING)


def _sync_s(person: AttendeeInputs, trigger: TriggerInputs) -> float:
    """What this pair can use: as tried together, else as tried at all, else by the manual."""
    together = [one.measured_sync_s for one in person.tried if one.trigger == trigger.name]
    measured_s = together[0] if together and together[0] else person.camera.measured_sync_s
    return effective_sync_s(person.camera.sync_s, trigger.sync_penalty_stops, measured_s)


def group_sync(inputs: SetInputs, served: tuple[Served, ...]) -> GroupSync:
    """The group's sync speed; the instructor's own while no attendee can be served."""
    sync_by_name: dict[str, float] = {}
    for one in served:
        if one.sync_s:
            name = one.attendee.name
            sync_by_name[name] = max(one.sync_s, sync_by_name.get(name, 0.0))
    if not sync_by_name:
        sync_by_name = {inputs.camera.owner: effective_sync_s(inputs.camera.sync_s, 0.0)}
    return group_sync_s(sync_by_name, outlier_stops=inputs.house.sync_outlier_stops)


def own_lines(
    inputs: SetInputs,
    served: tuple[Served, ...],
    group: GroupSync,
    start_s: float,
    working_f_number: float,
    iso: float,
) -> tuple[BodyLine, ...]:
    """Bodies off the group's line: a higher ISO floor, a slower sync, no trigger at all.

    A floor above the set's ISO closes the aperture, power unchanged; a slower shutter keeps
    the aperture, so that the flash stays right and the backdrop comes up by as much.
    """
    lines = []
    for one in served:
        camera = one.attendee.camera
        if camera is None or one.sync_s is None:
            lines.append(_off_line(one))
            continue
        shutter_s = max(start_s, one.sync_s) if one.attendee.name in group.outliers else start_s
        own_iso = max(iso, camera.lowest_iso)
        if own_iso <= iso * SAME and shutter_s <= start_s * SAME:
            continue
        closed = working_f_number * (own_iso / iso) ** 0.5
        over = 2.0 * math.log2(closed / inputs.smallest_f_number)
        lines.append(
            BodyLine(
                attendee=one.attendee.name,
                camera=camera.name,
                reason=_own_reason(
                    over if own_iso > iso * SAME else None,
                    group.outlier_cost_stops if shutter_s > start_s * SAME else None,
                ),
                shutter_mark=shutter_mark(shutter_s),
                iso_mark=iso_mark(own_iso),
                f_mark=f_mark(nearest_f_number(closed)),
            )
        )
    return tuple(lines)


def _own_reason(over_lens_stops: float | None, cost_stops: float | None) -> Words:
    """Why a body has its own line: a higher ISO floor, or a sync that would cost everybody."""
    if over_lens_stops is not None and over_lens_stops > c.SAME_STOPS:
        return say(
            _("higher lowest ISO, past the smallest aperture: ND of {over} on that lens"),
            over=(over_lens_stops, "stops"),
        )
    if cost_stops is None:
        return say(_("higher lowest ISO"))
    return say(
        _("slower sync, would cost everybody {cost}: a loan body, or this line"),
        cost=(cost_stops, "stops"),
    )


def _off_line(one: Served) -> BodyLine:
    name = one.attendee.camera.name if one.attendee.camera else ""
    return BodyLine(one.attendee.name, name, one.reason, "", "", "")
