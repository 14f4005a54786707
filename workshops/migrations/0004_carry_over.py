"""What earlier versions kept elsewhere, carried over into the records of the office."""

import sys
from datetime import timedelta
from uuid import uuid4

from django.db import migrations

MARGIN = timedelta(hours=24)  # the house's own margins as they come
# Common formats of stationers by their measures; common practice, no source.
SHEETS = (
    # name, paper, across, down, width, height, left, top, step across, step down (mm)
    ("A4, 3 by 8, 70 x 36 mm", "a4", 3, 8, 70.0, 36.0, 0.0, 4.5, 70.0, 36.0),
    ("A4, 3 by 7, 63.5 x 38.1 mm", "a4", 3, 7, 63.5, 38.1, 7.2, 15.1, 66.0, 38.1),
    ("A4, 2 by 7, 99.1 x 38.1 mm", "a4", 2, 7, 99.1, 38.1, 4.7, 15.1, 101.6, 38.1),
    ("A4, 5 by 13, 38.1 x 21.2 mm", "a4", 5, 13, 38.1, 21.2, 4.7, 10.7, 40.6, 21.2),
    ("Letter, 3 by 10, 66.7 x 25.4 mm", "letter", 3, 10, 66.7, 25.4, 4.8, 12.7, 69.9, 25.4),
    ("Letter, 2 by 5, 101.6 x 50.8 mm", "letter", 2, 5, 101.6, 50.8, 4.0, 12.7, 106.4, 50.8),
)


def carry_over(apps, schema_editor):
    _number_calendars(apps.get_model("workshops", "Workshop"))
    _lay_in_sheets(apps.get_model("workshops", "LabelSheet"))
    _name_roles(apps.get_model("workshops", "User"))
    _keep_caution(apps)
    _promise_kit(apps)


def _number_calendars(Workshop):
    for workshop in Workshop.objects.filter(calendar_uid=None):
        Workshop.objects.filter(pk=workshop.pk).update(calendar_uid=uuid4())


def _lay_in_sheets(LabelSheet):
    names = (
        "name", "paper", "columns", "rows", "label_width_mm", "label_height_mm", "left_mm",
        "top_mm", "column_step_mm", "row_step_mm",
    )  # fmt: skip
    for sheet in SHEETS:
        LabelSheet.objects.create(**dict(zip(names, sheet, strict=True)))


def _name_roles(User):
    """Whoever could change workshops was the office: nobody loses a page."""
    rights = User.objects.filter(user_permissions__codename="change_workshop")
    office = set(rights.values_list("pk", flat=True))
    office |= set(User.objects.filter(is_superuser=True).values_list("pk", flat=True))
    User.objects.filter(pk__in=office).update(role="office")
    User.objects.exclude(pk__in=office).update(is_staff=False)


def _keep_caution(apps):
    """The answer leaves the person; that somebody of the day gave it stays with the workshop."""
    Workshop = apps.get_model("workshops", "Workshop")
    live = ("held", "confirmed")
    booked = Workshop.objects.filter(
        bookings__person__photosensitive=True, bookings__state__in=live
    )
    named = Workshop.objects.filter(roles__person__photosensitive=True)
    found = {one.pk for rows in (booked, named) for one in rows}
    Workshop.objects.filter(pk__in=found).update(strobe_sensitive=True)


def _promise_kit(apps):
    """Turn kit lists into promises; a unit on two lists at once stays with the earlier one."""
    Listed = apps.get_model("workshops", "WorkshopKit")
    Reservation = apps.get_model("workshops", "Reservation")
    kept: dict[int, list] = {}
    rows = Listed.objects.select_related("workshop", "unit").exclude(workshop__status="cancelled")
    for row in rows.order_by("pk"):
        span = (row.workshop.start_at - MARGIN, row.workshop.end_at + MARGIN)
        spans = kept.setdefault(row.unit_id, [])
        if any(span[0] < end and start < span[1] for start, end in spans):
            sys.stderr.write(
                f"{row.unit.tag} stood on two kit lists at once and left that of "
                f"{row.workshop.title}: reserve another for it.\n"
            )
            continue
        spans.append(span)
        Reservation.objects.create(
            workshop=row.workshop, unit=row.unit, start_at=span[0], end_at=span[1]
        )


class Migration(migrations.Migration):
    dependencies = [
        ("workshops", "0003_office"),
    ]

    operations = [migrations.RunPython(carry_over, migrations.RunPython.noop)]
