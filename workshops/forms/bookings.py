"""Forms of a booking: who holds a seat, with which camera and trigger."""

from datetime import date
from typing import Any
from uuid import uuid4

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Case, QuerySet, Value, When
from django.template.loader import render_to_string
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import FigureForm, RecordForm, plain_helper
from workshops.forms.somebody import LikelySameForm, MinorForm, NewCameraForm, SomebodyForm
from workshops.models import LIVE, Booking, CameraBody, KitUnit
from workshops.models.base import in_zone

LIVE_STATES = [(one.value, one.label) for one in Booking.State if one in LIVE]


def triggers(kept: int | None = None) -> QuerySet[KitUnit]:
    """Return the triggers fit for use, and the one a booking has already."""
    units = KitUnit.objects.filter(kind__category="trigger").select_related("kind")
    usable = units.filter(state__in=KitUnit.USABLE) | units.filter(pk=kept)
    return usable.order_by("kind__name", "tag")


class RequestKeyField(forms.UUIDField):
    """The number of one form as it was handed out; what is none counts as none."""

    widget = forms.HiddenInput

    def clean(self, value):
        try:
            return super().clean(value)
        except ValidationError:
            return None


class PeopleFound(forms.Widget):
    """People to pick from, a list that a search beside it shortens while one types.

    ``shown`` is what ``workshops/_people_found.html`` wants, and ``place``, the page it asks.
    """

    shown: dict[str, Any]

    def render(self, name, value, attrs=None, renderer=None):
        chosen = self.shown | {"name": name, "chosen": str(value or "")}
        return render_to_string("workshops/_people.html", chosen)

    def id_for_label(self, id_):
        return "id_q"


class BookingNewForm(SomebodyForm, LikelySameForm, MinorForm, NewCameraForm, FigureForm):
    """A seat for somebody entered already, or for a new person with the camera they bring.

    ``found`` is what the list of people shows: see ``PeopleFound``.
    """

    new_fields = ("name", "email", "phone")

    email = forms.EmailField(label=_("e-mail"), max_length=254, required=False)
    waitlist = forms.BooleanField(
        label=_("if no seat is free, put them on the waitlist"),
        required=False,
        help_text=_("In the order of asking; a freed seat is offered by mail, with an end."),
    )
    past_waitlist = forms.BooleanField(
        label=_("give a free seat past those who wait"),
        required=False,
        help_text=_("Their offers have lapsed. Untick to ask them first, from the list."),
    )
    request_key = RequestKeyField(required=False)

    sections = (
        (_("Who"), ("person",)),
        (SomebodyForm.heading_of_new, ("name", ("email", "phone"), "same")),
        MinorForm.section_of_minors,
        NewCameraForm.section_of_camera,
        (
            _("The seat"),
            (("state", "trigger_unit"), "waitlist", "past_waitlist", "notes"),
        ),
    )

    class Meta:
        model = Booking
        fields = ("state", "trigger_unit", "notes")

    def __init__(self, *args, found: dict[str, Any], **kwargs):
        super().__init__(*args, **kwargs)
        self.rebuilt_with |= {"found": found}
        self.initial["request_key"] = uuid4()
        self.fields["state"].choices = LIVE_STATES
        self.fields["trigger_unit"].queryset = triggers()
        self.fields["notes"].widget.attrs["rows"] = 2
        self.fields["person"].label = _("Find somebody entered already")
        self.fields["person"].widget = widget = PeopleFound()
        widget.shown = found
        if not self.instance.workshop.bookings.waiting().exists():
            del self.fields["past_waitlist"]
        self.helper.layout = self._layout()

    @property
    def on(self) -> date:
        workshop = self.instance.workshop
        return in_zone(workshop.start_at, workshop.timezone_name).date()

    def asks_for(self) -> dict[str, Any]:
        """Return what to book, as ``services.bookings.book_new`` takes it."""
        given = self.cleaned_data
        known = given["person"] or self.same_person()
        asked = {"new_camera": self.new_camera(), "request_key": given.get("request_key")}
        for name in ("state", "trigger_unit", "notes", "waitlist"):
            asked[name] = given[name]
        asked["past_waitlist"] = given.get("past_waitlist", False)
        if known is None:
            return asked | {"new_person": self.new_person() | self.minor()}
        added = {
            name: given[name]
            for name in ("email", "phone")
            if given.get(name) and not getattr(known, name)
        }
        return asked | {"person": known, "completed": added | self.minor()}

    def was_sent(self) -> bool:
        key = RequestKeyField(required=False).clean(self.data.get(self.add_prefix("request_key")))
        return bool(key) and Booking.objects.filter(request_key=key).exists()

    def renew_key(self) -> None:
        """Let the form book once more: what was sent with its key is done."""
        self.data = self.data.copy()
        self.data[self.add_prefix("request_key")] = str(uuid4())


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
        if self.instance.state == Booking.State.CANCELLED:
            self._without("state", "camera", "trigger_unit", "measured_sync_s")
            return
        own_first = Case(When(owner=self.instance.person_id, then=Value(0)), default=Value(1))
        cameras = CameraBody.objects.select_related("owner")
        self.fields["camera"].queryset = cameras.order_by(own_first, "owner__name", "name", "pk")
        if self.instance.state == Booking.State.WAITLISTED:
            self._without("state", "trigger_unit", "measured_sync_s")
            return
        self.fields["state"].choices = LIVE_STATES
        self.fields["trigger_unit"].queryset = triggers(self.instance.trigger_unit_id)

    def _without(self, *names: str) -> None:
        """Leave out what a booking without a seat holds nothing of."""
        for name in names:
            del self.fields[name]
        self.sections = tuple(
            (heading, rows)
            for heading, rows in self.sections
            if any(name in self.fields for name in rows)
        )
        self.helper.layout = self._layout()


class CancelForm(forms.Form):
    """Who calls a booking off, and why."""

    called_off_by = forms.ChoiceField(
        label=_("Called off by"), choices=Booking.CalledOffBy.choices, widget=forms.RadioSelect
    )
    reason = forms.CharField(
        label=_("Reason"),
        max_length=200,
        required=False,
        help_text=_("Such as illness, weather, too few people. Kept with the booking."),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.helper = plain_helper()
