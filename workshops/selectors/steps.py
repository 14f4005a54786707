"""The first steps of a new house: which are done, and where the next one is."""

from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from workshops.models import Booking, House, KitKind, Location, Workshop, WorkshopRole

NEEDED_KIT = {"strobe", "stand", "trigger"}  # the least a set with one light wants


@dataclass(frozen=True)
class Step:
    """One step of the road from an empty database to a printed sheet."""

    name: str
    words: str
    link: str
    place: str  # empty while a step before it is missing
    done: bool


def record_steps() -> list[Step]:
    """Return house, location, kit, workshop and people, in the order they build on each other."""
    workshop = Workshop.objects.order_by("-start_at", "-pk").first()
    kinds = set(KitKind.objects.values_list("category", flat=True).distinct())
    teaching = WorkshopRole.objects.filter(
        workshop=workshop, role__in=("lead", "instructor"), person__cameras__isnull=False
    )
    people = bool(workshop) and teaching.exists()
    people = people and Booking.objects.live().filter(workshop=workshop).exists()
    return [
        Step(
            _("House"),
            _("Name, paper, units, clock and language; the limits for stands in wind."),
            _("Set up the house"),
            reverse("house"),
            House.objects.exists(),
        ),
        Step(
            _("Location"),
            _("A place you teach at. Its coordinates give the sun, the time zone and the sheet."),
            _("Enter a location"),
            reverse("location-new"),
            Location.objects.filter(latitude_deg__isnull=False).exists(),
        ),
        Step(
            _("Kit"),
            _("At least a strobe, a stand and a trigger. Ready-made kinds save the typing."),
            _("Choose from ready-made kinds"),
            reverse("kit-ready-made"),
            kinds >= NEEDED_KIT,
        ),
        Step(
            _("Workshop"),
            _("A day at that place, with its seats and the kit that comes along."),
            _("Open a workshop"),
            reverse("workshop-new"),
            workshop is not None,
        ),
        Step(
            _("People"),
            _("The instructor with a camera, the model, and who holds a seat."),
            _("Name the people of the workshop"),
            reverse("workshop", args=[workshop.pk]) if workshop else "",
            people,
        ),
    ]
