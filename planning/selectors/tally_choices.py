"""What the tally of a set may name: its lights, its people, the triggers and packs that came."""

from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db.models import Prefetch, QuerySet
from django.utils.translation import gettext as _

from planning.models import PlannedLight, PlannedSet, TallyEvent
from planning.selectors.people import in_turn, printed_names
from workshops.models import Booking, KitUnit, Reservation


@dataclass(frozen=True)
class Choices:
    """Everything a form of the tally chooses from, by what its address says."""

    planned_set: PlannedSet
    lights: dict[str, int | None]  # the kind of its packs, by the light's name
    bookings: dict[Booking, str]  # as sheets print them
    triggers: list[KitUnit]
    packs: list[KitUnit]

    def light(self, key: str) -> str:
        """Return the light of that number on the set, from 0."""
        names = list(self.lights)
        if not key.isdecimal() or len(key) > 4 or int(key) >= len(names):
            raise not_read()
        return names[int(key)]

    def booking(self, key: str) -> Booking:
        return _by_key(self.bookings, key)

    def pack(self, key: str) -> KitUnit:
        return _by_key(self.packs, key)

    def packs_for(self, light: str) -> dict[KitUnit, str]:
        """Return the packs of the kit list with their names, those made for this head first."""
        kind = self.lights[light]
        rows = sorted(self.packs, key=lambda unit: (unit.kind_id != kind, unit.tag))
        return {unit: f"{unit.tag} · {unit.kind}" for unit in rows}


def _by_key(rows, key: str):
    for row in rows:
        if str(row.pk) == key:
            return row
    raise not_read()


def not_read() -> ValidationError:
    return ValidationError(_("This press could not be read. Look again, then try anew."))


def tally_choices(planned_set: PlannedSet) -> Choices:
    """Return the choices of a set that comes from ``for_tally``; no more questions are asked."""
    workshop = planned_set.workshop
    names = printed_names(workshop)
    units = [row.unit for row in workshop.kit.all()]
    return Choices(
        planned_set=planned_set,
        lights={
            one.name: one.battery_id or one.strobe.battery_kind_id
            for one in planned_set.lights.all()
        },
        bookings={one: names[one.pk] for one in in_turn(workshop)},
        triggers=[one for one in units if one.kind.category == "trigger"],
        packs=[one for one in units if one.kind.category == "battery"],
    )


def for_tally() -> QuerySet[PlannedSet]:
    """Return the sets with everything the pages of their tally ask for."""
    bookings = Booking.objects.select_related("person").order_by("booked_at", "pk")
    kit = Reservation.objects.select_related("unit__kind").order_by("unit__tag")
    lights = PlannedLight.objects.select_related("strobe").order_by("position", "pk")
    events = TallyEvent.objects.select_related("unit").order_by("at", "pk")
    return PlannedSet.objects.select_related("workshop", "location").prefetch_related(
        Prefetch("workshop__bookings", bookings),
        Prefetch("workshop__kit", kit),
        Prefetch("lights", lights),
        Prefetch("events", events),
    )
