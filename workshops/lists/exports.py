"""The records as tables that read back in as they are.

Medical answers, access and dietary needs stay out: a file is passed on where a page is not.
"""

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from workshops.lists import kit, person_values
from workshops.lists.writing import Cell
from workshops.models import CameraBody, KitKind, KitUnit, Person, Workshop

KEPT_IN = ("dietary", "access_needs")
PERSON = tuple(one for one in person_values.PERSON if one not in KEPT_IN)
CAMERA = ("camera", *person_values.CAMERA)
UNIT = ("category", "kind", "tag", *kit.UNIT, *kit.KIND)

Rows = list[list[Cell]]


def people_table(people: QuerySet[Person]) -> tuple[list[str], Rows]:
    """Return the headings and a row for each person, with the first of their cameras."""
    header = [_in_words(one) for one in ("number", *PERSON, *CAMERA)]
    rows = []
    for person in people.prefetch_related("cameras"):
        owned = sorted(person.cameras.all(), key=lambda one: one.pk)
        rows.append(_person(person, owned[0] if owned else None))
    return header, rows


def attendees_table(workshop: Workshop) -> tuple[list[str], Rows]:
    """Return a workshop's people in the order of their seats, then its waitlist."""
    people_header = [_in_words(one) for one in ("number", *PERSON, *CAMERA)]
    header = [_("Seat"), _("Booking"), *people_header]
    bookings = workshop.bookings.exclude(state="cancelled").select_related(
        "person", "seat", "camera"
    )
    rows = []
    for booking in bookings.prefetch_related("person__cameras").order_by("booked_at", "pk"):
        person = booking.person
        owned = sorted(person.cameras.all(), key=lambda one: one.pk)
        # A body on loan is somebody else's: reading the list back must not give it away.
        own = booking.camera if booking.camera in owned else None
        camera = own or (owned[0] if owned else None)
        place = booking.seat.number if booking.seat else None
        rows.append([place, booking.get_state_display(), *_person(person, camera)])
    return header, sorted(rows, key=lambda row: (row[0] is None, row[0] or 0))


def kit_table() -> tuple[list[str], Rows]:
    """Return the headings and a row for each unit, and one for each kind without any."""
    header = [_in_words(one, of=kit) for one in UNIT]
    units: dict[int, list[KitUnit]] = {}
    for unit in KitUnit.objects.order_by("tag", "pk"):
        units.setdefault(unit.kind_id, []).append(unit)
    rows = []
    for kind in KitKind.objects.order_by("category", "name", "pk"):
        for unit in units.get(kind.pk, [None]):
            own = [_cell(unit, one) if unit else None for one in ("tag", *kit.UNIT)]
            shared = [_cell(kind, one) for one in kit.KIND]
            rows.append([_cell(kind, "category"), kind.name, *own, *shared])
    return header, rows


def _person(person: Person, camera: CameraBody | None) -> list[Cell]:
    own = [_cell(person, one) for one in PERSON]
    body = [_cell(camera, one) if camera else None for one in person_values.CAMERA]
    return [person.pk, *own, camera.name if camera else None, *body]


def _in_words(field: str, *, of=person_values) -> str:
    return of.label(field)


def _cell(record, field: str) -> Cell:
    """Return a field as it is read back in; marks with their unit, or they would become dates."""
    about, value = record._meta.get_field(field), getattr(record, field)
    if value is None or value == "":
        return None
    if about.choices:
        return str(dict(about.flatchoices).get(value, value))
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if field in ("sync_s", "fastest_shutter_s"):
        mark = about.show(value)
        return mark if mark.endswith("s") else f"{mark} s"
    if field == "lowest_iso":
        return int(about.show(value))
    if isinstance(value, int | float):
        return value
    return value.isoformat() if field == "birth_date" else str(value)
