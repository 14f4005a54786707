"""Forms of a booking: who holds a seat, with which camera and trigger."""

from typing import Any

from django import forms
from django.db.models import Case, QuerySet, Value, When
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import FigureForm, RecordForm
from workshops.forms.somebody import SomebodyForm
from workshops.models import LIVE, Booking, CameraBody, KitUnit
from workshops.models.fields import IsoField, ShutterField
from workshops.models.person import phone_number

LIVE_STATES = [(one.value, one.label) for one in Booking.State if one in LIVE]


def triggers(kept: int | None = None) -> QuerySet[KitUnit]:
    """Return the triggers fit for use, and the one a booking has already."""
    units = KitUnit.objects.filter(kind__category="trigger").select_related("kind")
    usable = units.filter(state__in=KitUnit.USABLE) | units.filter(pk=kept)
    return usable.order_by("kind__name", "tag")


class BookingNewForm(SomebodyForm, FigureForm):
    """A seat for somebody entered already, or for a new person with the camera they bring."""

    new_fields = ("name", "email", "phone", "under_age", "guardian_name", "guardian_phone")

    email = forms.EmailField(label=_("e-mail"), max_length=254, required=False)
    under_age = forms.BooleanField(label=_("under 18"), required=False)
    guardian_name = forms.CharField(
        label=_("guardian"),
        max_length=120,
        required=False,
        help_text=_("The adult who stays with somebody under 18."),
    )
    guardian_phone = forms.CharField(
        label=_("guardian's phone"),
        max_length=31,
        required=False,
        validators=[phone_number],
    )
    camera_name = forms.CharField(
        label=_("make and model"),
        max_length=120,
        required=False,
        help_text=_("A body not entered yet. Empty: the first one entered for the person."),
    )
    sync_s = ShutterField(_("flash sync speed")).formfield(
        required=False, help_text=_("From its manual: 1/160 to 1/250, old ones 1/60.")
    )
    lowest_iso = IsoField(_("lowest native ISO")).formfield(
        required=False, initial="100", help_text=_("64, 100 or 200; not the extended one.")
    )

    sections = (
        (_("Who"), ("person",)),
        (
            SomebodyForm.heading_of_new,
            ("name", ("email", "phone"), "under_age", ("guardian_name", "guardian_phone")),
        ),
        (_("The camera they bring"), ("camera_name", ("sync_s", "lowest_iso"))),
        (_("The seat"), (("state", "trigger_unit"), "notes")),
    )

    class Meta:
        model = Booking
        fields = ("state", "trigger_unit", "notes")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["state"].choices = LIVE_STATES
        self.fields["trigger_unit"].queryset = triggers()
        self.fields["notes"].widget.attrs["rows"] = 2
        live = self.instance.workshop.bookings.live().values_list("person", flat=True)
        self.fields["person"].told = dict.fromkeys(live, _("holds a seat"))

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("under_age") and not cleaned.get("guardian_name"):
            sentence = _("Guardian: enter the adult who comes along with somebody under 18.")
            self.add_error("guardian_name", sentence)
        if "camera_name" in self.errors or "sync_s" in self.errors:
            return cleaned
        if cleaned["camera_name"] and not cleaned["sync_s"]:
            self.add_error("sync_s", _("Flash sync speed: enter it with the camera, like 1/200."))
        elif cleaned["sync_s"] and not cleaned["camera_name"]:
            self.add_error("camera_name", _("Make and model: enter it with the sync speed."))
        return cleaned

    def new_camera(self) -> dict[str, Any]:
        """Return the fields of the camera to enter, empty when none was given."""
        given = self.cleaned_data
        if not given["camera_name"]:
            return {}
        figures = {"sync_s": given["sync_s"], "lowest_iso": given["lowest_iso"]}
        return {"name": given["camera_name"]} | {
            name: value for name, value in figures.items() if value is not None
        }


class BookingForm(RecordForm):
    """A booking's state, camera, trigger and what was tried with both."""

    sections = (
        (_("The seat"), ("state",)),
        (_("On the day"), ("camera", "trigger_unit", "measured_sync_s")),
        (_("For the office"), ("notes",)),
    )

    class Meta:
        model = Booking
        fields = ("state", "camera", "trigger_unit", "measured_sync_s", "notes")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["notes"].widget.attrs["rows"] = 2
        if self.instance.state not in LIVE:
            self._only_notes()
            return
        self.fields["state"].choices = LIVE_STATES
        own_first = Case(When(owner=self.instance.person_id, then=Value(0)), default=Value(1))
        cameras = CameraBody.objects.select_related("owner")
        self.fields["camera"].queryset = cameras.order_by(own_first, "owner__name", "name", "pk")
        self.fields["trigger_unit"].queryset = triggers(self.instance.trigger_unit_id)

    def _only_notes(self) -> None:
        """A cancelled booking holds nothing that could be changed."""
        for name in ("state", "camera", "trigger_unit", "measured_sync_s"):
            del self.fields[name]
        self.sections = self.sections[-1:]
        self.helper.layout = self._layout()
