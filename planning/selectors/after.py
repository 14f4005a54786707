"""Records -> what is known of each set of a workshop after its day."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from django.core.exceptions import ValidationError
from django.db.models import Prefetch

from planning.after.seen import Fault, Recipe, SetDay, TurnEnd
from planning.models import PlannedSet, TallyEvent
from planning.physics.errors import OutOfRange
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.selectors.frames import set_frames
from planning.selectors.inputs import inputs_of
from planning.selectors.lesson import ENTERED_LATER, standing
from planning.selectors.plans import evaluated
from planning.selectors.recipes import Locked, locked_recipe
from planning.selectors.tally import tallies_of
from workshops.models import Workshop
from workshops.models.base import in_zone

Kind = TallyEvent.Kind
# A figure of the comparison, and the events it is made of.
FIGURES = {
    "times": (Kind.SET_BEGAN, Kind.SET_ENDED),
    "turns": (Kind.TURN_GIVEN, Kind.TURN_MISSED),
    "frames": (Kind.FRAMES,),
    "flashes": (Kind.FLASHES,),
    "packs": (Kind.PACK_IN, Kind.PACK_OUT),
    "recipe": (Kind.RECIPE_LOCKED,),
    "gusts": (Kind.WIND_SEEN,),
}


@dataclass(frozen=True)
class Plans:
    """A set's plan before its day and with the readings of the day, or why there is none."""

    inputs: SetInputs | None
    before: SetPlan | None
    metered: SetPlan | None
    reason: ValidationError | OutOfRange | None = None


def set_days(workshop: Workshop) -> list[tuple[SetDay, Plans]]:
    """Return the sets of a workshop in the order of the day, in as many queries as for one."""
    rows = list(
        workshop.sets.select_related("location")
        .prefetch_related(Prefetch("events", TallyEvent.objects.order_by("at", "pk")))
        .order_by("position", "pk")
    )
    ids = [row.pk for row in rows]
    inputs = inputs_of(ids)
    tallies = tallies_of(ids, inputs)
    frames = set_frames(workshop, inputs)
    found = []
    for row in rows:
        plans = plans_of(inputs[row.pk])
        events = standing(row.events.all(), *Kind)
        day = SetDay(
            number=row.position,
            place=row.location.name,
            timezone=row.location.timezone_name,
            tally=tallies[row.pk],
            plan=plans.before,
            inputs=plans.inputs,
            metered=plans.metered,
            recipe=_recipe(locked_recipe(row, row.events.all())),
            turn_ends=tuple(_turn_ends(row, events)),
            later=frozenset(_later(row, events)),
            frames=frames.get(row.pk),
        )
        found.append((day, plans))
    return found


def plans_of(inputs: SetInputs | ValidationError) -> Plans:
    """Return the plan as it stood before anything was metered or noted on the set, and after.

    Where only a reading makes a plan possible (after dusk), it is the plan of before as well.
    """
    if isinstance(inputs, ValidationError):
        return Plans(None, None, None, inputs)
    own = tuple(reading for reading in inputs.readings if reading.source != "metered")
    inputs = replace(inputs, given=())
    try:
        metered = evaluated(inputs)
    except OutOfRange as reason:
        return Plans(inputs, None, None, reason)
    try:
        before = evaluated(replace(inputs, readings=own))
    except OutOfRange:
        before = metered
    return Plans(inputs, before, metered)


def _recipe(locked: Locked | None) -> Recipe | None:
    if locked is None:
        return None
    return Recipe(locked.f_number, locked.shutter_s, locked.iso, locked.powers)


def _is_later(row: PlannedSet, event: TallyEvent) -> bool:
    """Whether an event was typed in hours after its set: copied from paper, not seen happening."""
    return event.changed_at > max(row.end_at, event.at) + ENTERED_LATER


def _turn_ends(row: PlannedSet, events: Sequence[TallyEvent]) -> Iterable[TurnEnd]:
    for event in events:
        if event.kind == Kind.TURN_GIVEN and not _is_later(row, event):
            yield TurnEnd(event.station, in_zone(event.at, row.location.timezone_name))


def _later(row: PlannedSet, events: Sequence[TallyEvent]) -> Iterable[str]:
    for figure, kinds in FIGURES.items():
        if any(event.kind in kinds and _is_later(row, event) for event in events):
            yield figure


def faults_of(workshop: Workshop) -> list[Fault]:
    """Return the units that came back from a workshop with a fault, in order of time."""
    rows = workshop.checkouts.filter(fault=True, in_at__isnull=False)
    rows = rows.select_related("unit__kind", "person").order_by("in_at", "pk")
    return [
        Fault(
            at=in_zone(row.in_at, workshop.timezone_name),
            tag=row.unit.tag,
            kind=row.unit.kind.name,
            person=row.person.name,
            words=row.condition_in,
        )
        for row in rows
    ]
