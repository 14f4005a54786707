"""The form of a break in a workshop's day."""

from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.models import WorkshopBreak


class BreakForm(RecordForm):
    sections = (
        (_("What for, and how long"), (("title", "minutes"),)),
        (_("When it may begin"), (("earliest_at", "latest_at"),)),
    )

    class Meta:
        model = WorkshopBreak
        exclude = ("workshop",)
