"""The recipe locked last on a set."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from planning.models import PlannedSet, TallyEvent
from planning.selectors.lesson import standing
from workshops.models.base import in_zone


@dataclass(frozen=True)
class Locked:
    """What was set when the recipe was locked; shares of full power by the light's name."""

    at: datetime  # on the clock of the place
    f_number: float
    shutter_s: float
    iso: float
    powers: tuple[tuple[str, float], ...] = ()


def locked_recipe(planned_set: PlannedSet, events: Iterable[TallyEvent]) -> Locked | None:
    """Return the recipe locked last of a set's ``events``, without those taken back."""
    locked = standing(events, TallyEvent.Kind.RECIPE_LOCKED)
    if not locked:
        return None
    last_at = max(row.at for row in locked)
    last = [row for row in locked if row.at == last_at]
    newest = max(last, key=lambda row: row.pk)
    return Locked(
        at=in_zone(last_at, planned_set.location.timezone_name),
        f_number=newest.f_number,
        shutter_s=newest.shutter_s,
        iso=newest.iso,
        powers=tuple(
            sorted((row.light_name, row.power) for row in last if row.light_name and row.power)
        ),
    )
