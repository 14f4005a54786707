"""What one press on the page of a set's turns says."""

from collections.abc import Iterable

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.models import PlannedSet
from planning.services.turns import MOST_ROUNDS
from workshops.models import Booking


class TurnForm(forms.Form):
    """Whose turn was given, or who was called and not there."""

    do = forms.ChoiceField(choices=(("given", _("turn given")), ("missed", _("not here"))))
    uuid = forms.UUIDField()
    booking = forms.ModelChoiceField(queryset=Booking.objects.none())
    round = forms.IntegerField(min_value=1, max_value=MOST_ROUNDS)
    station = forms.CharField(max_length=40, required=False)

    def __init__(self, *args, planned_set: PlannedSet, **kwargs):
        super().__init__(*args, **kwargs)
        rows = planned_set.workshop.bookings.select_related("person")
        self.fields["booking"].queryset = rows


class BackForm(forms.Form):
    """Which event is taken back; of these ``kinds`` where some are named."""

    uuid = forms.UUIDField()
    event = forms.ModelChoiceField(queryset=None)

    def __init__(self, *args, planned_set: PlannedSet, kinds: Iterable[str] = (), **kwargs):
        super().__init__(*args, **kwargs)
        rows = planned_set.events.select_related("planned_set", "booking__person", "unit")
        self.fields["event"].queryset = rows.filter(kind__in=kinds) if kinds else rows
