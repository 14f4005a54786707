"""What counts for own figures: a measurement left out, a figure begun anew, both undone."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import CountsFrom, LeftOut
from planning.selectors.learnt import Figure
from workshops import audit
from workshops.errors import Refused
from workshops.models import House, User


@transaction.atomic
def leave_out(*, by: User | None, figure: Figure, witness: str, reason: str) -> LeftOut:
    """Return why one measurement does not count any more; plans made from now on know it.

    Raises Refused for a measurement the figure does not have, one left out already, or no reason.
    """
    if witness not in {one.key for one in figure.seen}:
        raise Refused(_("That measurement is not among those of this figure."))
    if LeftOut.objects.filter(figure=figure.key, witness=witness).exists():
        raise Refused(_("That measurement is left out already."))
    return audit.write(LeftOut(figure=figure.key, witness=witness, reason=reason.strip()), by=by)


@transaction.atomic
def count_again(*, by: User | None, left: LeftOut) -> None:
    """Let a measurement that was left out count again."""
    _touch()
    audit.erase(left, by=by)


@transaction.atomic
def begin_anew(*, by: User | None, figure: Figure, from_at: datetime, reason: str) -> CountsFrom:
    """Let a figure count from an instant on: new fabric, new cells, a new tube."""
    begun = CountsFrom.objects.filter(figure=figure.key).first() or CountsFrom(figure=figure.key)
    begun.from_at, begun.reason = from_at, reason.strip()
    return audit.write(begun, by=by)


@transaction.atomic
def count_from_the_start(*, by: User | None, begun: CountsFrom) -> None:
    """Undo a new beginning: everything that was measured counts again."""
    _touch()
    audit.erase(begun, by=by)


def _touch() -> None:
    """Let what every plan is made from count as changed, since the choice itself is gone."""
    house = House.objects.first()
    if house is not None:
        audit.touch(house)
