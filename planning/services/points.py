"""Teaching points: taken away only where nothing needs them."""

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import TeachingPoint
from workshops.errors import Refused
from workshops.models import User
from workshops.services.records import erase_record


@transaction.atomic
def erase_point(*, by: User | None, point: TeachingPoint) -> None:
    """Delete a point of the house's own.

    Raises Refused for one of the library, and for one that a set teaches.
    """
    if point.code:
        raise Refused(
            _("%(point)s belongs to the library: tick “not offered” instead.") % {"point": point}
        )
    erase_record(by=by, record=point)
