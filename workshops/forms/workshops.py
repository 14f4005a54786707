"""The form of a workshop."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.forms.choices import LongSelect, timezone_choices
from workshops.forms.figures import CountField, CurrencyField
from workshops.models import Location, Person, Workshop, WorkshopRole
from workshops.money import payable
from workshops.words import decimals_refused

MOST_PLACES, MOST_SEATS = 4, 100
MADE_WITH = (Workshop.Status.DRAFT, Workshop.Status.OPEN, Workshop.Status.CONFIRMED)


class WorkshopForm(RecordForm):
    """A workshop with its places in order, its seats and who leads it."""

    seats = CountField(
        label=_("seats"),
        min_value=1,
        initial=6,
        help_text=_("4 to 8 learn well with one light. Fewer: only free seats are removed."),
    )
    lead = forms.ModelChoiceField(
        Person.objects.none(),
        label=_("lead instructor"),
        required=False,
        help_text=_("Sets are planned for a camera of theirs."),
    )
    currency = CurrencyField(
        max_length=3, label=_("currency"), help_text=_("Three letters, such as EUR.")
    )
    timezone_name = forms.ChoiceField(
        widget=LongSelect,
        label=_("time zone"),
        required=False,
        help_text=_("Start and end are read on its clock."),
    )

    class Meta:
        model = Workshop
        exclude = ("locations",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["timezone_name"].choices = timezone_choices(
            self.instance.timezone_name, empty=_("as the first place, or else the office")
        )
        self.fields["lead"].queryset = Person.objects.order_by("name", "pk")
        self.fields["notes"].widget.attrs["rows"] = 3
        chosen = []
        if self.instance.pk:
            chosen = list(self.instance.places.select_related("location").order_by("position"))
            self._show_parts(chosen)
            # Only what is offered: the service says in words where a workshop is closed.
            closed = self.instance.status == Workshop.Status.CLOSED
            self.fields["status"].widget.choices = [
                (one.value, one.label)
                for one in Workshop.Status
                if (one == Workshop.Status.CLOSED) == closed
            ]
        else:
            self.fields["status"].choices = [
                (one.value, one.label) for one in Workshop.Status if one in MADE_WITH
            ]
            del self.fields["cancelled_reason"]
        self.fields["seats"] = _seats_field(self.fields["seats"], self.initial.get("seats"))
        self._add_places([place.location_id for place in chosen])
        self.helper.layout = self._layout()

    def _show_parts(self, chosen: list) -> None:
        lead = self.instance.roles.filter(role=WorkshopRole.Role.LEAD).first()
        self.initial["lead"] = lead.person_id if lead else None
        self.initial["seats"] = self.instance.seats.count()
        if chosen and chosen[0].location.timezone_name == self.instance.timezone_name:
            # Not a choice of its own: it moves along when another place comes first.
            self.initial["timezone_name"] = ""

    def _add_places(self, chosen: list[int]) -> None:
        names = [f"place_{index}" for index in range(max(MOST_PLACES, len(chosen) + 1))]
        for index, name in enumerate(names):
            self.fields[name] = forms.ModelChoiceField(
                Location.objects.order_by("name", "pk"),
                label=_("Place %(n)d") % {"n": index + 1},
                required=False,
            )
            self.initial[name] = chosen[index] if index < len(chosen) else None
        pairs = tuple(tuple(names[at : at + 2]) for at in range(0, len(names), 2))
        self.sections = (
            (_("What"), ("title", "level", "lead")),
            (_("Where, in the order of the day"), pairs),
            (_("When"), (("start_at", "end_at"), "timezone_name")),
            (
                _("Booking"),
                (
                    ("seats", "minimum_to_run"),
                    ("price", "currency"),
                    "terms",
                    ("status", "cancelled_reason"),
                ),
            ),
            (
                _("On the day"),
                (("intro_min", "closing_min"), "radio_channel", "strobe_sensitive", "notes"),
            ),
        )

    def places(self) -> list[Location]:
        """Return the places chosen, in order, each once."""
        names = [name for name in self.fields if name.startswith("place_")]
        found = [self.cleaned_data.get(name) for name in names]
        return list(dict.fromkeys(place for place in found if place))

    def clean(self):
        chosen = self.places()
        # Before the times are read: they are typed on the clock of this zone.
        if not self.cleaned_data.get("timezone_name") and "timezone_name" not in self.errors:
            office = self.rebuilt_with["house"].timezone_name
            self.cleaned_data["timezone_name"] = chosen[0].timezone_name if chosen else office
        cleaned = super().clean()
        start_at, end_at = cleaned.get("start_at"), cleaned.get("end_at")
        if start_at and end_at and end_at <= start_at:
            self.add_error("end_at", _("End: enter a time after the start."))
        price, currency = cleaned.get("price"), cleaned.get("currency")
        if price is not None and currency and not payable(price, currency):
            self.add_error("price", decimals_refused(currency))
        if "cancelled_reason" in self.fields:
            self._check_reason(cleaned)
        return cleaned

    def _check_reason(self, cleaned: dict) -> None:
        reason = cleaned.get("cancelled_reason", "").strip()
        cancelled = cleaned.get("status") == Workshop.Status.CANCELLED
        if cancelled and not reason and "cancelled_reason" not in self.errors:
            sentence = _("Reason of the cancellation: say why; attendees will ask.")
            self.add_error("cancelled_reason", sentence)
        elif reason and not cancelled and "status" not in self.errors:
            sentence = _("Reason of the cancellation: empty it, or set the status to cancelled.")
            self.add_error("cancelled_reason", sentence)


def _seats_field(field: CountField, now: int | None) -> CountField:
    """Return the field with its upper end; what the workshop has already is never too much."""
    return CountField(
        label=field.label,
        min_value=1,
        max_value=max(MOST_SEATS, now or 0),
        initial=field.initial,
        help_text=field.help_text,
    )
