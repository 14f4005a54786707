"""Flash readings of sets: kept once, and whatever rests on one knows when it is gone."""

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import FlashReading, PlannedSet
from workshops import audit
from workshops.errors import Refused
from workshops.models import User

SAME = (
    "light_name", "at", "how", "power", "distance_m", "shutter_s", "ambient_mark",
    "f_mark", "tenths", "iso", "meter_id",
)  # fmt: skip


@transaction.atomic
def record_flash_reading(*, by: User | None, reading: FlashReading) -> FlashReading:
    """Return a kept flash reading; the same one sent twice, as cold hands do, is kept once.

    Raises Refused for a light the set does not have, or a daylight as bright as the whole.
    """
    planned_set = PlannedSet.objects.select_for_update().get(pk=reading.planned_set_id)
    if not planned_set.lights.filter(name=reading.light_name).exists():
        raise Refused(
            {"light_name": _("Light: choose one of this set; it tells which head was metered.")}
        )
    if reading.ambient_mark and reading.ambient_mark >= reading.f_number:
        raise Refused(
            {
                "ambient_mark": _(
                    "Daylight alone: it must read less than with the flash, at the same shutter."
                )
            }
        )
    if reading.pk is None:
        same = {name: getattr(reading, name) for name in SAME}
        if known := FlashReading.objects.filter(planned_set=planned_set, **same).first():
            return known
    return audit.write(reading, by=by)


@transaction.atomic
def erase_flash_reading(*, by: User | None, reading: FlashReading) -> None:
    """Delete a flash reading: the head it spoke of counts as changed, so that sheets are newer."""
    lights = reading.planned_set.lights.filter(name=reading.light_name)
    for light in lights.select_related("strobe"):
        audit.touch(light.strobe)
    audit.erase(reading, by=by)
