"""Pictures of a set: kept as made anew, so many and no more."""

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import PlannedSet, SetPicture
from planning.pictures import cleaned
from workshops import audit
from workshops.errors import Refused
from workshops.models import User

MOST_EACH = 3  # a handout has room for these beside its drawings


@transaction.atomic
def add_picture(
    *, by: User | None, planned_set: PlannedSet, content: bytes, words: str, credit: str
) -> SetPicture:
    """Return the kept picture. Raises Refused for what is none, or one too many."""
    made = cleaned(content)
    PlannedSet.objects.select_for_update().get(pk=planned_set.pk)
    if planned_set.pictures.count() >= MOST_EACH:
        raise Refused(
            _("Picture: this set has %(n)d; delete one before the next.") % {"n": MOST_EACH}
        )
    picture = SetPicture(
        planned_set=planned_set,
        content=made.jpeg,
        width_px=made.width_px,
        height_px=made.height_px,
        words=words,
        credit=credit,
    )
    return audit.write(picture, by=by)
