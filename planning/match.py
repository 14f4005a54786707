"""Who of a workshop can fire the lamps, with which trigger, and what shutter the group shares."""

from dataclasses import dataclass
from datetime import datetime

from planning.lesson.compatibility import GroupSync, group_sync_s
from planning.physics.errors import OutOfRange
from planning.plan.group import Served, serve
from planning.selectors.body_faults import body_faults
from planning.selectors.kit import trigger_name, triggers
from planning.selectors.people import attendee_inputs, in_turn
from workshops.models import Booking, House, KitUnit, Rehearsal, Workshop
from workshops.models.base import in_zone


@dataclass(frozen=True)
class Pair:
    """One attendee, what serves their camera, and what the rehearsal found."""

    booking: Booking
    served: Served
    unit: KitUnit | None
    shared: bool  # somebody before in the order has that unit too
    outlier: bool  # would cost everybody: a loan body, or a line of their own
    tries: list[Rehearsal]
    faulty: tuple[tuple[str, datetime], ...] = ()  # (tag, when) that misfired for the body's sake

    @property
    def is_settled(self) -> bool:
        return self.unit is not None and self.booking.trigger_unit_id == self.unit.pk

    @property
    def is_tried(self) -> bool:
        return any(one.trigger_unit_id == self.unit.pk for one in self.tries if self.unit)


@dataclass(frozen=True)
class Match:
    """The whole group; ``group`` is None while no camera is served."""

    pairs: list[Pair]
    group: GroupSync | None
    triggers: list[KitUnit]
    lamps: list[KitUnit]

    @property
    def to_settle(self) -> dict[Booking, KitUnit]:
        """The units proposed for people who have none of their own yet."""
        return {
            one.booking: one.unit
            for one in self.pairs
            if one.unit and not one.shared and one.booking.trigger_unit_id is None
        }


def match(workshop: Workshop, house: House) -> Match:
    """Return who is served by what; the workshop comes from ``selectors.inputs.of_people``."""
    units = [row.unit for row in workshop.kit.all() if row.unit.state in KitUnit.USABLE]
    by_name = {trigger_name(unit): unit for unit in units if unit.kind.category == "trigger"}
    served = serve(attendee_inputs(workshop), triggers(workshop.kit.all(), advanced=True))
    group = _group(served, house)
    pairs, given = [], set()
    for booking, one in zip(in_turn(workshop), served, strict=True):
        unit = by_name[one.trigger.name] if one.trigger else None
        pairs.append(
            Pair(
                booking=booking,
                served=one,
                unit=unit,
                shared=unit in given,
                outlier=group is not None and one.attendee.name in group.outliers,
                tries=list(booking.rehearsals.all()),
                faulty=_faulty(booking, workshop),
            )
        )
        given |= {unit}
    lamps = [unit for unit in units if unit.kind.category == "strobe"]
    return Match(pairs, group, list(by_name.values()), lamps)


def _faulty(booking: Booking, workshop: Workshop) -> tuple[tuple[str, datetime], ...]:
    """Return the triggers of the kit list that misfired with that body, and when last."""
    here = {row.unit_id for row in workshop.kit.all()}
    return tuple(
        (unit.tag, in_zone(at, workshop.timezone_name))
        for unit, at in body_faults(booking).items()
        if unit.pk in here
    )


def _group(served: tuple[Served, ...], house: House) -> GroupSync | None:
    sync_by_name = {one.attendee.name: one.sync_s for one in served}
    try:
        return group_sync_s(sync_by_name, outlier_stops=house.sync_outlier_stops)
    except OutOfRange:  # nobody is served
        return None
