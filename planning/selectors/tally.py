"""What was noted of the sets of a workshop, put together for pages, reports and learning."""

from collections.abc import Iterable, Mapping
from datetime import datetime

from django.core.exceptions import ValidationError

from planning.after.packs import in_heads
from planning.after.results import PackUse, SetTally
from planning.after.tally import AsPlanned, Noted, PlannedHead, packs_of, set_tally
from planning.models import PlannedSet, TallyEvent
from planning.physics.errors import OutOfRange
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.selectors.inputs import inputs_of
from planning.selectors.lesson import called_by, standing
from planning.selectors.people import in_turn
from planning.selectors.plans import evaluated
from planning.selectors.tally_choices import for_tally
from workshops.models import Workshop
from workshops.models.base import in_zone

KINDS = tuple(TallyEvent.Kind)


def set_tallies(workshop: Workshop) -> list[SetTally]:
    """Return the tally of each set of a workshop in the order of the day, in as many queries
    as for one.
    """
    rows = PlannedSet.objects.filter(workshop=workshop).order_by("position", "pk")
    return list(tallies_of(rows.values_list("pk", flat=True)).values())


def tallies_of(
    set_ids: Iterable[int], inputs: Mapping[int, SetInputs | ValidationError] | None = None
) -> dict[int, SetTally]:
    """Return the tallies of sets, by their ids in the order given, in as many queries as for one.

    What was planned comes from today's plan; a set without one has its counts alone. ``inputs``
    are the sets' own, where somebody has read them already.
    """
    ids = list(set_ids)
    if not ids:
        return {}
    rows = {row.pk: row for row in for_tally().filter(pk__in=ids)}
    inputs = inputs_of(ids) if inputs is None else inputs
    return {
        pk: set_tally(_as_planned(rows[pk], inputs[pk]), noted(rows[pk]))
        for pk in ids
        if pk in rows
    }


def pack_stays(planned_set: PlannedSet, at: datetime | None = None) -> tuple[PackUse, ...]:
    """Return the stays of packs in the heads of a set, as far as noted up to ``at``."""
    rows = planned_set.events.select_related("unit").order_by("at", "pk")
    stood = _noted(rows, planned_set.location.timezone_name)
    return packs_of(row for row in stood if at is None or row.at <= at)


def pack_in_head(planned_set: PlannedSet, light: str, at: datetime | None = None) -> PackUse | None:
    """Return the pack that is in the head of a light, None where none was noted."""
    return in_heads(pack_stays(planned_set, at)).get(light)


def noted(planned_set: PlannedSet) -> list[Noted]:
    """Return what stands of a set's events, by the time and then as it was noted."""
    return _noted(planned_set.events.all(), planned_set.location.timezone_name)


def _noted(events: Iterable[TallyEvent], zone: str) -> list[Noted]:
    return [
        Noted(
            kind=event.kind,
            at=in_zone(event.at, zone),
            booking_id=event.booking_id,
            light=event.light_name,
            power=event.power,
            count=event.count,
            unit_id=event.unit_id,
            tag=event.unit.tag if event.unit else "",
            share=event.charge_share,
            lamps=event.charge_lamps,
            cause=event.cause,
            gust_m_s=event.gust_m_s,
            sky=event.sky,
            notes=event.notes,
        )
        for event in standing(events, *KINDS)
    ]


def _as_planned(planned_set: PlannedSet, inputs: SetInputs | ValidationError) -> AsPlanned:
    zone, names = planned_set.location.timezone_name, called_by(planned_set.workshop)
    return AsPlanned(
        set_id=planned_set.pk,
        title=planned_set.title,
        start_at=in_zone(planned_set.start_at, zone),
        end_at=in_zone(planned_set.end_at, zone),
        heads=_heads(planned_set, inputs),
        people=tuple((one.pk, names[one.pk]) for one in in_turn(planned_set.workshop)),
        names=tuple(names.items()),
    )


def _heads(planned_set: PlannedSet, inputs: SetInputs | ValidationError) -> tuple[PlannedHead, ...]:
    plan = _plan(inputs)
    if plan is None:
        return tuple(PlannedHead(one.name, one.strobe.name) for one in planned_set.lights.all())
    return tuple(
        PlannedHead(
            light=light.name,
            strobe=row.strobe,
            flashes=row.flashes,
            share=row.charge_share,
            power=light.set_power or None,  # 0: the plan has nothing for it to do
        )
        for row, light in zip(plan.battery, plan.lights, strict=True)
    )


def _plan(inputs: SetInputs | ValidationError) -> SetPlan | None:
    if isinstance(inputs, ValidationError):
        return None
    try:
        return evaluated(inputs)
    except OutOfRange:
        return None  # the page of the set says why
