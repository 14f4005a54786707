"""Who is here: one small form for each booking, its times on the clock of the place."""

from datetime import datetime, time

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm, TimeInput
from workshops.models import Booking
from workshops.models.base import in_zone
from workshops.services.presence import Presence

HERE = (("attended", _("here")), ("absent", _("absent")))


class PresenceForm(RecordForm):
    """What is said of one booking. A workshop of one day asks for the clock alone."""

    state = forms.ChoiceField(choices=HERE, required=False, widget=forms.RadioSelect)

    class Meta:
        model = Booking
        fields = ("state", "arrives_at", "leaves_at")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, prefix=f"of{kwargs['instance'].pk}", **kwargs)
        workshop = self.instance.workshop
        first, last = (
            in_zone(at, workshop.timezone_name).date()
            for at in (workshop.start_at, workshop.end_at)
        )
        self.day = first if first == last else None
        if self.day:
            for name in self.time_fields:
                self._ask_for_the_clock(name)

    def _ask_for_the_clock(self, name: str) -> None:
        shown = self.initial.get(name)
        self.fields[name] = forms.TimeField(
            label=self.fields[name].label,
            required=False,
            widget=TimeInput(attrs={"type": "time"}, format="%H:%M"),
            error_messages={"invalid": _("Enter a time, such as 09:40.")},
        )
        if isinstance(shown, datetime):
            self.initial[name] = shown.time()

    def clean(self):
        for name in self.time_fields:
            typed = self.cleaned_data.get(name)
            if isinstance(typed, time):
                at = datetime.combine(self.day, typed)
                self.cleaned_data[name] = timezone.make_aware(at)
        return super().clean()

    def said(self) -> Presence:
        """Return what the form says of its booking."""
        return Presence(
            booking=self.instance,
            state=self.cleaned_data["state"],
            arrives_at=self.cleaned_data["arrives_at"],
            leaves_at=self.cleaned_data["leaves_at"],
            seen=self.cleaned_data["seen"],
        )
