"""A closed workshop takes nothing new: asked wherever something would be added to it."""

from django.utils.translation import gettext as _

from workshops.errors import Refused
from workshops.models.workshop import Workshop


def check_not_closed(workshop_id: int) -> None:
    """Raise Refused where the workshop is closed, as it is stored at this instant.

    Call with a row of it locked that its closing locks too, so that neither passes the other.
    """
    closed = Workshop.objects.filter(pk=workshop_id, status=Workshop.Status.CLOSED)
    if workshop := closed.first():
        sentence = _(
            "%(workshop)s is closed: nothing is added to it any more. The office can open it "
            "again on its page “Closing”."
        )
        raise Refused(sentence % {"workshop": workshop})
