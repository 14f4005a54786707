"""Forms of a booking: who holds a seat, with which camera and trigger."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.models import Booking, CameraBody, House, KitUnit, Person, Workshop
from workshops.models.fields import IsoField, ShutterField


class BookingNewForm(forms.Form):
    """A seat for somebody entered already, or for a new person with the camera they bring."""

    person = forms.ModelChoiceField(
        Person.objects.none(), label=_("Person"), required=False, help_text=_("Or a new one below.")
    )
    confirmed = forms.BooleanField(
        label=_("Confirmed already"),
        required=False,
        help_text=_("Otherwise the seat is held until it is confirmed."),
    )
    name = forms.CharField(label=_("New person: name"), max_length=120, required=False)
    email = forms.EmailField(label=_("E-mail"), required=False)
    phone = forms.CharField(label=_("Phone on the day"), max_length=31, required=False)
    camera = forms.CharField(
        label=_("Camera: make and model"),
        max_length=120,
        required=False,
        help_text=_("The body for the day. Empty: entered later."),
    )
    sync_s = ShutterField(_("flash sync speed")).formfield(
        required=False, help_text=_("From its manual: 1/160 to 1/250, old ones 1/60.")
    )
    lowest_iso = IsoField(_("lowest native ISO")).formfield(required=False, initial="100")

    def __init__(self, *args, workshop: Workshop, **kwargs):
        super().__init__(*args, **kwargs)
        booked = workshop.bookings.live().values("person")
        self.fields["person"].queryset = Person.objects.exclude(pk__in=booked).order_by(
            "name", "pk"
        )

    def clean(self):
        cleaned = super().clean()
        if self.errors:
            return cleaned
        if not cleaned["person"] and not cleaned["name"]:
            self.add_error("person", _("Person: choose one, or enter the name of a new one."))
        if cleaned["person"] and cleaned["name"]:
            self.add_error("name", _("Name: leave it empty, or choose nobody above."))
        if cleaned["camera"] and not cleaned["sync_s"]:
            self.add_error("sync_s", _("Flash sync speed: enter it with the camera, like 1/200."))
        if cleaned["sync_s"] and not cleaned["camera"]:
            self.add_error("camera", _("Camera: enter make and model with the sync speed."))
        return cleaned

    def new_person(self) -> dict:
        """Return the fields of the person to enter, empty when one was chosen."""
        names = ("name", "email", "phone")
        return (
            {name: self.cleaned_data[name] for name in names} if self.cleaned_data["name"] else {}
        )

    def new_camera(self) -> dict:
        """Return the fields of the camera to enter, empty when none was given."""
        given = self.cleaned_data
        if not given["camera"]:
            return {}
        iso = given["lowest_iso"]
        camera = {"name": given["camera"], "sync_s": given["sync_s"]}
        return camera | ({"lowest_iso": iso} if iso else {})


class BookingForm(RecordForm):
    """A booking's camera, trigger and what was tried with both."""

    sections = (
        (_("On the day"), ("camera", "trigger_unit", "measured_sync_s")),
        (_("For the office"), ("notes",)),
    )

    class Meta:
        model = Booking
        fields = ("camera", "trigger_unit", "measured_sync_s", "notes")

    def __init__(self, *args, house: House, **kwargs):
        super().__init__(*args, house=house, **kwargs)
        cameras = CameraBody.objects.select_related("owner").order_by("owner__name", "name", "pk")
        self.fields["camera"].queryset = cameras
        triggers = KitUnit.objects.filter(kind__category="trigger").select_related("kind")
        self.fields["trigger_unit"].queryset = triggers.order_by("tag")
        self.fields["notes"].widget.attrs["rows"] = 2
