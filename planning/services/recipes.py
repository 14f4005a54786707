"""The recipe as it was locked on the set: what was really shot, beside what was planned."""

from collections.abc import Mapping
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import PlannedSet, TallyEvent
from planning.services.events import refuse_before_the_day
from workshops import audit
from workshops.errors import Refused
from workshops.models import User


@transaction.atomic
def lock_recipe(
    *,
    by: User | None,
    planned_set: PlannedSet,
    key: UUID,
    at: datetime,
    f_number: float,
    shutter_s: float,
    iso: float,
    powers: Mapping[str, float],
) -> list[TallyEvent]:
    """Return the events of a recipe locked at ``at``: one for each light, or one without any.

    ``powers`` are shares of full power by the light's name. The same ``key`` again is the same
    recipe. Raises Refused before the day, and for a light the set does not have.
    """
    refuse_before_the_day(planned_set, at)
    # As turns do: a closing waits for what is being noted, and is waited for.
    PlannedSet.objects.select_for_update(of=("self",)).get(pk=planned_set.pk)
    known = set(planned_set.lights.values_list("name", flat=True))
    if strange := sorted(set(powers) - known):
        raise Refused(_("This set has no light called %(name)s.") % {"name": strange[0]})
    events = []
    for name in sorted(powers) or [""]:
        uuid = uuid5(key, name)
        found = TallyEvent.objects.filter(uuid=uuid).first()
        events.append(
            found
            or audit.write(
                TallyEvent(
                    uuid=uuid,
                    planned_set=planned_set,
                    kind=TallyEvent.Kind.RECIPE_LOCKED,
                    at=at,
                    f_number=f_number,
                    shutter_s=shutter_s,
                    iso=iso,
                    light_name=name,
                    power=powers.get(name),
                ),
                by=by,
            )
        )
    return events
