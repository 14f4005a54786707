"""Forms that move a booking to another person or another date."""

from datetime import date
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import FigureForm, plain_helper
from workshops.forms.figures import RecordChoiceField
from workshops.forms.somebody import LikelySameForm, MinorForm, NewCameraForm
from workshops.models import Booking, CameraBody, Person, Workshop
from workshops.models.base import in_zone
from workshops.words import date_text


class BodyChoice(RecordChoiceField):
    def label_from_instance(self, camera: CameraBody) -> str:
        return camera.name


class ToPersonForm(LikelySameForm, MinorForm, NewCameraForm, FigureForm):
    """What the day needs of whoever takes a booking over: shown if known, asked for if not.

    ``instance`` is that person, new or known; ``booking`` what they take over.
    """

    camera = BodyChoice(CameraBody.objects.none(), label=_("camera"), required=False)

    holder = forms.IntegerField(widget=forms.HiddenInput, required=False)

    sections = (
        (_("Who takes it over"), ("name", ("email", "phone"), "same")),
        (
            _("The camera they bring"),
            ("camera", "camera_name", ("sync_s", "lowest_iso")),
        ),
        (_("In an emergency"), (("emergency_name", "emergency_phone"),)),
        (_("Access"), ("access_needs",)),
        MinorForm.section_of_minors,
    )

    class Meta:
        model = Person
        fields = (
            "name", "email", "phone", "emergency_name", "emergency_phone", "access_needs",
            "birth_date", "under_age", "guardian_name", "guardian_phone",
        )  # fmt: skip

    def __init__(self, *args, booking: Booking, **kwargs):
        self.booking = booking
        super().__init__(*args, **kwargs)
        self.rebuilt_with |= {"booking": booking}
        self.initial["holder"] = booking.person_id
        self.fields["access_needs"].widget.attrs["rows"] = 3
        for name in ("emergency_name", "emergency_phone"):
            self.fields[name].required = True
        if self.instance.pk:
            for name in ("name", "email", "phone"):
                del self.fields[name]
            self.fields.pop("same", None)
        bodies = self.instance.cameras.order_by("pk") if self.instance.pk else None
        if bodies:
            self.fields["camera"].queryset = bodies
            self.initial["camera"] = bodies[0].pk
            self.fields["camera"].empty_label = _("another one, entered below")
        else:
            del self.fields["camera"]
        self.fields["camera_name"].help_text = _("A body not entered yet, as its maker calls it.")
        self.helper.layout = self._layout()

    @property
    def on(self) -> date:
        workshop = self.booking.workshop
        return in_zone(workshop.start_at, workshop.timezone_name).date()

    def clean(self):
        cleaned = super().clean()
        wrong = {"camera", "camera_name", "sync_s"} & self.errors.keys()
        if not wrong and not cleaned.get("camera") and not cleaned.get("camera_name"):
            sentence = _("Make and model: enter the camera they bring, with its sync speed.")
            self.add_error("camera_name", sentence)
        return cleaned

    def asks_for(self) -> dict[str, Any]:
        """Return what to do, as ``services.transfers.transfer_to_person`` takes it."""
        given, known = self.cleaned_data, self.same_person()
        new_camera = self.new_camera()
        asked = {
            "camera": None if new_camera else given.get("camera"),
            "new_camera": new_camera,
            "holder": given.get("holder"),
            "details": {name: given[name] for name in self._about if name in given},
        }
        if self.instance.pk:
            return asked | {"person": self.instance}
        if known:
            # What stands in that person's record already is not emptied by what was left empty.
            asked["details"] = {name: value for name, value in asked["details"].items() if value}
            return asked | {"person": known}
        return asked | {"new_person": {name: given[name] for name in ("name", "email", "phone")}}

    _about = ("emergency_name", "emergency_phone", "access_needs", *MinorForm.minor_fields)


class DateChoice(RecordChoiceField):
    """Workshops by date; ``left`` are their free seats by number."""

    left: dict[int, int]

    def label_from_instance(self, workshop: Workshop) -> str:
        free = self.left.get(workshop.pk, 0)
        told = {
            "day": date_text(workshop.start_at, workshop.timezone_name),
            "workshop": workshop,
            "free": free,
        }
        if free < 1:
            return _("%(day)s: %(workshop)s (full)") % told
        return _("%(day)s: %(workshop)s (%(free)d free)") % told


class ToDateForm(forms.Form):
    """Another workshop that takes bookings; ``left`` are the free seats of each by its number."""

    workshop = DateChoice(Workshop.objects.none(), label=_("Workshop"), empty_label=None)
    past_waitlist = forms.BooleanField(
        label=_("Take a free seat there past those who wait"),
        required=False,
        help_text=_("Only where everybody waiting has let an offer lapse."),
    )

    def __init__(self, *args, workshops: QuerySet[Workshop], left: dict[int, int], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["workshop"].queryset = workshops
        self.fields["workshop"].left = left
        self.helper = plain_helper()


class CallOffForm(forms.Form):
    """Why the house calls a whole workshop off."""

    reason = forms.CharField(
        label=_("Reason"),
        max_length=200,
        help_text=_("Such as below the minimum, or weather. Attendees read it in their mail."),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.helper = plain_helper()
