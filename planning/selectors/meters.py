"""What the constant a meter was built for makes of its marks, and which meter is at hand."""

from planning.models import PlannedSet, Reading
from planning.physics.constants import INCIDENT_CALIBRATION_FLAT, REFLECTED_CALIBRATION
from workshops.models import KitUnit


def constant_ratio(meter: KitUnit | None, *, incident: bool) -> float:
    """Return a meter's constant over the project's, C 250 incident and K 12.5 reflected.

    The unit's own constant, else its kind's; 1 without a meter. The same mark stands for that
    many times as much light.

    Source: ISO 2720:1974, N^2 / t = E S / C and N^2 / t = L S / K.
    """
    if meter is None:
        return 1.0
    ours = INCIDENT_CALIBRATION_FLAT if incident else REFLECTED_CALIBRATION
    field = "incident_constant" if incident else "reflected_constant"
    kind = getattr(meter.kind, "meter", None)
    return (getattr(meter, field) or getattr(kind, field, ours)) / ours


def usual_meter(planned_set: PlannedSet) -> int | None:
    """Return the meter last read at the set's workshop, else the only one reserved for it."""
    workshop = planned_set.workshop_id
    readings = Reading.objects.filter(planned_set__workshop=workshop, meter__isnull=False)
    last = readings.order_by("pk").values_list("meter", flat=True).last()
    if last:
        return last
    along = KitUnit.objects.filter(reservations__workshop=workshop, kind__category="meter")
    found = list(along.values_list("pk", flat=True)[:2])
    return found[0] if len(found) == 1 else None
