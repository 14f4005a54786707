"""Records -> the handouts of a workshop: what each set taught, and each attendee's own page."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from planning.models import PlannedSet, TallyEvent
from planning.plan.equivalents import Recipe, hot_shoe, own_settings
from planning.plan.inputs import CameraInputs
from planning.selectors import inputs_of
from planning.selectors.lesson import standing
from planning.selectors.people import attendee_inputs, printed_names
from planning.selectors.recipes import locked_recipe
from planning.sheets.handout import Day, Mine, OwnSet, Picture, Shot, TaughtSet, picture_address
from planning.showing import Planned, planned
from workshops.models import Workshop, WorkshopRole
from workshops.words import date_text


@dataclass(frozen=True)
class Handouts:
    """A workshop's handouts, made ready: print them by ``planning.sheets.handout``."""

    day: Day
    mine: dict[int, Mine]  # by the booking's number
    left_out: tuple[tuple[PlannedSet, str], ...]  # sets without a plan, with the reason


def handouts(workshop: Workshop) -> Handouts:
    """Return the handouts of everybody who has a turn; call it in the house's language."""
    sets = list(
        workshop.sets.select_related("location")
        .prefetch_related("events", "pictures")
        .order_by("position", "pk")
    )
    inputs = inputs_of([one.pk for one in sets])
    found = [(one, planned(inputs[one.pk])) for one in sets]
    taught = tuple(_taught(one, plan) for one, plan in found if plan.plan)
    day = Day(
        title=workshop.title,
        day=date_text(workshop.start_at, workshop.timezone_name),
        timezone=workshop.timezone_name,
        taught=taught,
        credits=_credits(workshop),
    )
    names = printed_names(workshop)
    cameras = {person.name: person.camera for person in attendee_inputs(workshop)}
    counts = _turns([one for one, plan in found if plan.plan])
    mine = {pk: _mine(pk, name, cameras.get(name), taught, counts) for pk, name in names.items()}
    left_out = tuple((one, plan.reason) for one, plan in found if not plan.plan)
    return Handouts(day, mine, left_out)


def _taught(planned_set: PlannedSet, found: Planned) -> TaughtSet:
    plan, inputs = found.plan, found.inputs
    locked = locked_recipe(planned_set, planned_set.events.all())
    key = next((light for light in plan.lights if light.role == "key"), None)
    recipe = Recipe(
        f_number=locked.f_number if locked else plan.exposure.working_f_number,
        shutter_s=locked.shutter_s if locked else plan.exposure.start_s,
        iso=locked.iso if locked else plan.exposure.iso,
        focal_mm=inputs.focal_mm,
        sensor_width_mm=inputs.camera.sensor_width_mm,
        sensor_height_mm=inputs.camera.sensor_height_mm,
        key_alone_f_number=key.reading_f_number if key and key.power > 0 else None,
        key_distance_m=key.distance_m if key else None,
    )
    powers, at = (locked.powers, locked.at) if locked else ((), None)
    pictures = tuple(
        Picture(picture_address(bytes(one.content)), one.credit, one.words)
        for one in planned_set.pictures.all()
    )
    return TaughtSet(plan, inputs, Shot(recipe, powers, at), pictures)


def _credits(workshop: Workshop) -> tuple[str, ...]:
    roles = workshop.roles.select_related("person").order_by("pk")
    order = list(WorkshopRole.Role)
    rows = sorted(roles, key=lambda row: (order.index(row.role), row.pk))
    return tuple(f"{row.get_role_display()}: {row.person.name}" for row in rows)


def _turns(sets: Sequence[PlannedSet]) -> dict[int, Counter]:
    """The turns given on each set by booking, for the sets in which any was counted."""
    counted = {}
    for number, one in enumerate(sets):
        kind = TallyEvent.Kind.TURN_GIVEN
        given = [event.booking_id for event in standing(one.events.all(), kind)]
        if given:
            counted[number] = Counter(given)
    return counted


def _mine(
    booking_id: int,
    name: str,
    camera: CameraInputs | None,
    taught: Sequence[TaughtSet],
    counts: dict[int, Counter],
) -> Mine:
    rows = tuple(
        OwnSet(
            number=one.inputs.set_index + 1,
            title=one.plan.set.title,
            settings=own_settings(one.shot.recipe, camera) if camera else None,
            flash=hot_shoe(one.shot.recipe),
            turns=counts[number][booking_id] if number in counts else None,
        )
        for number, one in enumerate(taught)
    )
    return Mine(name, camera.name if camera else "", rows)
