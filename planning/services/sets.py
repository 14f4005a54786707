"""Planned sets, their lights, and the readings taken for them."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from planning.models import PlannedLight, PlannedSet, Reading
from workshops import audit
from workshops.errors import Refused
from workshops.models import User, Workshop
from workshops.models.closed import check_not_closed
from workshops.selectors.house import house
from workshops.services.records import check_seen


@transaction.atomic
def save_set(
    *,
    by: User | None,
    lights: Iterable[dict[str, Any]],
    planned_set: PlannedSet | None = None,
    seen: datetime | None = None,
    **details,
) -> PlannedSet:
    """Return a set with exactly these lights, in this order: a new one, or one changed.

    ``lights`` are fields of PlannedLight; one that keeps its name is changed, not replaced.
    Raises Stale when the set changed after ``seen``, Refused when any part breaks a rule, no
    light does the set's job or the workshop is closed; then nothing has changed.
    """
    record = planned_set or PlannedSet(**({"stops_under": house().stops_under} | details))
    for name, value in details.items():
        setattr(record, name, value)
    # As its closing does: neither passes the other.
    check_not_closed(Workshop.objects.select_for_update().get(pk=record.workshop_id).pk)
    if not record._state.adding:
        check_seen(record, seen)
    audit.write(record, by=by)
    before = {light.pk for light in record.lights.all()}
    kept = _save_lights(record, list(lights), by=by)
    if before and any(light.pk not in before for light in kept):
        # A form that knows nothing of the new light must not drop it.
        audit.touch(record)
    if fault := job_without_light(record, [light.role for light in kept]):
        raise Refused(fault)
    return record


def _save_lights(
    record: PlannedSet, wanted: list[dict[str, Any]], *, by: User | None
) -> list[PlannedLight]:
    known = {light.name: light for light in record.lights.all()}
    names = {fields.get("name") for fields in wanted}
    for name in [name for name in known if name not in names]:
        audit.erase(known.pop(name), by=by)
    kept = []
    for position, fields in enumerate(wanted, start=1):
        # Taken out: a second light of the same name is a new one, and refused.
        light = known.pop(fields.get("name"), None) or PlannedLight(planned_set=record)
        for name, value in ({"position": position} | fields).items():
            setattr(light, name, value)
        kept.append(audit.write(light, by=by))
    return kept


def job_without_light(planned_set: PlannedSet, roles: Iterable[str]) -> str:
    """Return what is wrong when no light does the set's job, else an empty text."""
    if planned_set.job in roles:
        return ""
    return _("Lights: the job of this set is %(job)s; add a light with that role.") % {
        "job": planned_set.job
    }


@transaction.atomic
def copy_set(*, by: User | None, planned_set: PlannedSet) -> PlannedSet:
    """Return a new set like another, the next in its day, with its lights but no readings."""
    rows = PlannedSet.objects.filter(workshop=planned_set.workshop_id)
    position = 1 + max(rows.select_for_update().order_by("pk").values_list("position", flat=True))
    made = PlannedSet(**_fields(planned_set) | {"position": position})
    lights = [_fields(light) for light in planned_set.lights.all()]
    return save_set(by=by, planned_set=made, lights=lights)


def _fields(record: Model) -> dict[str, Any]:
    """A record's own values, without what makes it that one record."""
    fields = [field for field in record._meta.concrete_fields if not field.primary_key]
    left_out = ("changed_at", "planned_set")
    return {
        field.name: getattr(record, field.name) for field in fields if field.name not in left_out
    }


@transaction.atomic
def record_reading(*, by: User | None, reading: Reading | None = None, **details) -> Reading:
    """Return a kept meter reading of a set or of a location, as a form left it or by its fields.

    The same one sent twice, as cold hands do, is kept once. Raises Refused when it belongs to
    both or neither, or breaks another rule.
    """
    reading = reading or Reading(**details)
    if reading.planned_set_id and reading.pk is None:
        PlannedSet.objects.select_for_update().filter(pk=reading.planned_set_id).first()
        same = {name: value for name, value in _fields(reading).items() if name != "notes"}
        known = Reading.objects.filter(planned_set=reading.planned_set_id, **same).first()
        if known:
            return known
    return audit.write(reading, by=by)
