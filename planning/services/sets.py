"""Planned sets, their lights, and the readings taken for them."""

from collections.abc import Iterable
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import PlannedLight, PlannedSet, Reading
from workshops import audit
from workshops.errors import Refused
from workshops.models import User
from workshops.selectors.house import house


@transaction.atomic
def save_set(
    *,
    by: User | None,
    lights: Iterable[dict[str, Any]],
    planned_set: PlannedSet | None = None,
    **details,
) -> PlannedSet:
    """Return a set with exactly these lights, in this order: a new one, or one changed.

    ``lights`` are fields of PlannedLight. Raises Refused when any part breaks a rule or no
    light does the set's job; then nothing has changed.
    """
    record = planned_set or PlannedSet(**({"stops_under": house().stops_under} | details))
    for name, value in details.items():
        setattr(record, name, value)
    audit.write(record, by=by)
    for light in record.lights.all():
        audit.erase(light, by=by)
    kept = [
        audit.write(PlannedLight(**{"planned_set": record, "position": position} | light), by=by)
        for position, light in enumerate(lights, start=1)
    ]
    if fault := job_without_light(record, [light.role for light in kept]):
        raise Refused(fault)
    return record


def job_without_light(planned_set: PlannedSet, roles: Iterable[str]) -> str:
    """Return what is wrong when no light does the set's job, else an empty text."""
    if planned_set.job in roles:
        return ""
    return _("Lights: the job of this set is %(job)s; add a light with that role.") % {
        "job": planned_set.job
    }


@transaction.atomic
def record_reading(*, by: User | None, **reading) -> Reading:
    """Return a kept meter reading of a set or of a location.

    Raises Refused when it belongs to both or neither, or breaks another rule.
    """
    return audit.write(Reading(**reading), by=by)
