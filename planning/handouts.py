"""Records -> the handouts of a workshop: what each set taught, and each attendee's own page."""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.after.frames import Placed, Setting
from planning.after.own import own_tally
from planning.after.results import SetTally
from planning.misfires import own_misfire_words
from planning.models import Frame, PlannedSet
from planning.plan.equivalents import (
    Recipe,
    hot_shoe,
    own_settings,
    reading_mark,
    reads_alone,
)
from planning.plan.inputs import CameraInputs
from planning.selectors import inputs_of
from planning.selectors.frames import Inputs, workshop_frames
from planning.selectors.people import attendee_inputs, printed_names
from planning.selectors.recipes import locked_recipe
from planning.selectors.tally import tallies_of
from planning.sheets.handout import (
    Day,
    Mine,
    OwnDone,
    OwnSet,
    Picture,
    Shot,
    TaughtSet,
    picture_address,
)
from planning.showing import Planned, planned
from workshops.models import Workshop, WorkshopRole
from workshops.selectors.house import house
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
    taught = tuple((one.pk, _taught(one, plan)) for one, plan in found if plan.plan)
    day = Day(
        title=workshop.title,
        day=date_text(workshop.start_at, workshop.timezone_name),
        timezone=workshop.timezone_name,
        taught=tuple(one for _pk, one in taught),
        credits=_credits(workshop),
        terms=house().picture_terms.strip(),
    )
    names = printed_names(workshop)
    cameras = {person.name: person.camera for person in attendee_inputs(workshop)}
    noted = _noted(workshop, [pk for pk, _one in taught], inputs)
    mine = {pk: _mine(pk, name, cameras.get(name), taught, noted) for pk, name in names.items()}
    left_out = tuple((one, plan.reason) for one, plan in found if not plan.plan)
    return Handouts(day, mine, left_out)


def _taught(planned_set: PlannedSet, found: Planned) -> TaughtSet:
    plan, inputs = found.plan, found.inputs
    locked = locked_recipe(planned_set, planned_set.events.all())
    powers = locked.powers if locked else ()
    iso = locked.iso if locked else plan.exposure.iso
    alone = {
        light.name: reads_alone(light, dict(powers).get(light.name, light.set_power), iso)
        for light in plan.lights
    }
    key = next((light for light in plan.lights if light.role == "key"), None)
    recipe = Recipe(
        f_number=locked.f_number if locked else plan.exposure.working_f_number,
        shutter_s=locked.shutter_s if locked else plan.exposure.start_s,
        iso=iso,
        focal_mm=inputs.focal_mm,
        sensor_width_mm=inputs.camera.sensor_width_mm,
        sensor_height_mm=inputs.camera.sensor_height_mm,
        key_alone_f_number=alone[key.name] if key else None,
        key_distance_m=key.distance_m if key else None,
    )
    marks = tuple((name, reading_mark(f_number)) for name, f_number in alone.items())
    pictures = tuple(
        Picture(picture_address(bytes(one.content)), one.credit, one.words)
        for one in planned_set.pictures.all()
    )
    return TaughtSet(
        plan, inputs, Shot(recipe, powers, locked.at if locked else None, marks), pictures
    )


def _credits(workshop: Workshop) -> tuple[str, ...]:
    roles = workshop.roles.select_related("person").order_by("pk")
    order = list(WorkshopRole.Role)
    rows = sorted(roles, key=lambda row: (order.index(row.role), row.pk))
    return tuple(f"{row.get_role_display()}: {row.person.name}" for row in rows)


@dataclass(frozen=True)
class _Noted:
    """What the day's tally holds, of which each gets their own part."""

    tallies: dict[int, SetTally]  # by the set's number
    placed: tuple[Placed, ...]

    def own(self, set_id: int, booking_id: int, shot: Shot) -> OwnDone | None:
        """Return somebody's own part of a set; None where nothing of theirs was noted."""
        locked = shot.locked_at is not None
        recipe = Setting(shot.recipe.shutter_s, shot.recipe.f_number, shot.recipe.iso)
        own = own_tally(self.tallies[set_id], self.placed, booking_id, recipe if locked else None)
        if not own.says_something:
            return None
        words = (own_misfire_words(one.cause, one.trigger, one.count) for one in own.misfires)
        return OwnDone(own, locked, tuple(words))


def _noted(workshop: Workshop, set_ids: Sequence[int], inputs: Inputs) -> _Noted:
    frames = Frame.objects.filter(workshop=workshop).exists()
    placed = workshop_frames(workshop, inputs).day.placed if frames else ()
    return _Noted(tallies_of(set_ids), placed)


def _mine(
    booking_id: int,
    name: str,
    camera: CameraInputs | None,
    taught: Sequence[tuple[int, TaughtSet]],
    noted: _Noted,
) -> Mine:
    rows = tuple(
        OwnSet(
            number=one.inputs.set_index + 1,
            title=one.plan.set.title,
            settings=own_settings(one.shot.recipe, camera) if camera else None,
            flash=hot_shoe(one.shot.recipe),
            own=noted.own(set_id, booking_id, one.shot),
        )
        for set_id, one in taught
    )
    return Mine(name, camera.name if camera else "", rows)
