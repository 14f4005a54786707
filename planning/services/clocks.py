"""Say how wrong a camera's clock is, and which set a frame belongs to whatever its clock says."""

import math
from collections.abc import Iterable

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import CameraClock, Frame, PlannedSet
from workshops import audit
from workshops.errors import Refused
from workshops.models import User, Workshop
from workshops.services.again import again

MOST_FRAMES = 5000  # moved by one press: each is written by itself
MOST_YEARS_S = 3e9  # about 95 years: no clock is more wrong than that


@again
@transaction.atomic
def set_clock(
    *,
    by: User | None,
    workshop: Workshop,
    body: str,
    add_s: float,
    way: str,
    frame: Frame | None = None,
) -> CameraClock:
    """Return the clock of a body, found anew; the frames stay as they are.

    Raises Refused for a body without frames here, for another body's frame, and for an offset
    that is no number or more than a lifetime.
    """
    _lock(workshop)
    if not math.isfinite(add_s) or abs(add_s) > MOST_YEARS_S:
        raise Refused(_("No clock is that wrong: look at the date once more."))
    if not body:
        raise Refused(
            _("These files do not say which camera took them: choose their set by hand instead.")
        )
    if not Frame.objects.filter(workshop=workshop, body=body).exists():
        raise Refused(_("There are no frames of this body here any more: look again."))
    if frame and (frame.workshop_id, frame.body) != (workshop.pk, body):
        raise Refused(_("%(frame)s was taken with another body.") % {"frame": frame})
    clock = CameraClock.objects.select_for_update().filter(workshop=workshop, body=body).first()
    clock = clock or CameraClock(workshop=workshop, body=body)
    clock.add_s, clock.way, clock.frame = add_s, way, frame
    return audit.write(clock, by=by)


@again
@transaction.atomic
def forget_clock(*, by: User | None, workshop: Workshop, body: str) -> None:
    """Let a body go by its own zone, or the place's, as before; without a clock nothing happens."""
    _lock(workshop)
    for clock in CameraClock.objects.select_for_update().filter(workshop=workshop, body=body):
        audit.erase(clock, by=by)


@again
@transaction.atomic
def settle_frames(
    *, by: User | None, workshop: Workshop, frames: Iterable[int], planned_set: PlannedSet | None
) -> int:
    """Return how many frames were put into a set by hand; without a set, into none.

    Raises Refused for a set of another workshop, for frames that are not there, and for more
    than one press moves; then none was.
    """
    if planned_set and planned_set.workshop_id != workshop.pk:
        raise Refused(_("%(set)s belongs to another workshop.") % {"set": planned_set})
    return _settled(by, workshop, frames, settled=True, planned_set=planned_set)


@again
@transaction.atomic
def release_frames(*, by: User | None, workshop: Workshop, frames: Iterable[int]) -> int:
    """Return how many frames go by their time again. Raises Refused as ``settle_frames``."""
    return _settled(by, workshop, frames, settled=False, planned_set=None)


def _settled(
    by: User | None,
    workshop: Workshop,
    frames: Iterable[int],
    *,
    settled: bool,
    planned_set: PlannedSet | None,
) -> int:
    _lock(workshop)
    asked = set(frames)
    if not asked:
        raise Refused(_("Choose at least one frame."))
    if len(asked) > MOST_FRAMES:
        told = {"most": MOST_FRAMES, "asked": len(asked)}
        raise Refused(
            _("That is %(asked)d frames: choose at most %(most)d at a time, in parts.") % told
        )
    of_workshop = Frame.objects.filter(workshop=workshop).order_by("pk").in_bulk(asked)
    if len(of_workshop) < len(asked):
        raise Refused(_("Some of these frames are not here any more: look again."))
    changed = [
        frame
        for frame in of_workshop.values()
        if (frame.settled, frame.planned_set_id) != (settled, planned_set and planned_set.pk)
    ]
    for frame in changed:
        frame.settled, frame.planned_set = settled, planned_set
    audit.write_all(changed, by=by)
    return len(changed)


def _lock(workshop: Workshop) -> None:
    """Frames and clocks of a workshop change one press after another."""
    Workshop.objects.select_for_update().get(pk=workshop.pk)
