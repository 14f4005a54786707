"""What is said of frames brought in, and whose a body is."""

import json

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.models import Booking, Workshop

# Who may have brought a camera: everybody but those who gave their seat back or never had one.
NO_FRAMES = (Booking.State.WAITLISTED, Booking.State.CANCELLED)


class WhoseField(forms.ModelChoiceField):
    default_error_messages = {
        "invalid_choice": _("Whose: choose one of this workshop’s attendees, or leave it empty."),
    }

    def label_from_instance(self, booking: Booking) -> str:
        return str(booking.person)


def whose(workshop: Workshop):
    """Return the bookings frames may be of, by name."""
    rows = workshop.bookings.exclude(state__in=NO_FRAMES).select_related("person", "workshop")
    return rows.order_by("person__name", "pk")


class FramesForm(forms.Form):
    """Whose the files are, and for a browser that sends them in parts which part this is."""

    booking = WhoseField(
        queryset=Booking.objects.none(),
        label=_("Whose"),
        required=False,
        empty_label=_("of several people, or the instructor’s own"),
    )
    lot = forms.IntegerField(required=False, min_value=1)
    start = forms.IntegerField(required=False, min_value=0)
    expected = forms.IntegerField(required=False, min_value=1)
    sizes = forms.CharField(required=False)
    end = forms.BooleanField(required=False)

    def __init__(self, *args, workshop: Workshop, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["booking"].queryset = whose(workshop)

    def clean_sizes(self) -> list[int]:
        """Return how long the files are of which the first parts were sent."""
        try:
            sizes = json.loads(self.cleaned_data["sizes"] or "[]")
        except ValueError:
            sizes = None
        if not isinstance(sizes, list) or not all(isinstance(one, int) for one in sizes):
            raise forms.ValidationError(_("Load the page again, then choose the files anew."))
        return sizes


class BodyForm(forms.Form):
    """Whose a body is."""

    body = forms.CharField(required=False, max_length=200, strip=False)
    booking = WhoseField(queryset=Booking.objects.none(), required=False)

    def __init__(self, *args, workshop: Workshop, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["booking"].queryset = whose(workshop)
