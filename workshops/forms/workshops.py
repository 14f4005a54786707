"""Forms of a workshop, its roles and its kit list."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import FigureForm, RecordForm
from workshops.forms.choices import timezone_choices
from workshops.forms.figures import CountField
from workshops.models import Location, Person, Workshop, WorkshopRole

MOST_PLACES = 4


class WorkshopForm(RecordForm):
    """A workshop with its places in order, its seats and who leads it."""

    seats = CountField(
        label=_("seats"),
        min_value=1,
        max_value=1000,
        initial=6,
        help_text=_("4 to 8 learn well with one light. Fewer: only free seats are removed."),
    )
    lead = forms.ModelChoiceField(
        Person.objects.none(),
        label=_("lead instructor"),
        required=False,
        help_text=_("Sets are planned for a camera of theirs."),
    )
    timezone_name = forms.ChoiceField(
        label=_("time zone"),
        required=False,
        help_text=_("Times above are read on its clock."),
    )

    class Meta:
        model = Workshop
        exclude = ("locations",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        zone = self.instance.timezone_name
        self.fields["timezone_name"].choices = timezone_choices(
            zone, empty=_("as the first place, or the office")
        )
        self.fields["lead"].queryset = Person.objects.order_by("name", "pk")
        self.fields["notes"].widget.attrs["rows"] = 3
        self._add_places()
        self.helper.layout = self._layout()
        if self.instance.pk:
            self.initial["seats"] = self.instance.seats.count()
            lead = self.instance.roles.filter(role=WorkshopRole.Role.LEAD).first()
            self.initial["lead"] = lead.person_id if lead else None

    def _add_places(self) -> None:
        chosen = []
        if self.instance.pk:
            rows = self.instance.places.order_by("position", "pk")
            chosen = list(rows.values_list("location_id", flat=True))
        count = max(MOST_PLACES, len(chosen) + 1)
        for index in range(count):
            self.fields[f"place_{index}"] = forms.ModelChoiceField(
                Location.objects.order_by("name", "pk"),
                label=_("Place %(n)d") % {"n": index + 1},
                required=False,
            )
            self.initial[f"place_{index}"] = chosen[index] if index < len(chosen) else None
        places = tuple(f"place_{index}" for index in range(count))
        self.sections = (
            (_("What"), ("title", "level", "lead")),
            (_("Where"), tuple(zip(places[::2], places[1::2], strict=False))),
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
            (_("On the day"), ("radio_channel", "notes")),
        )

    def places(self) -> list[Location]:
        """Return the places chosen, in order, each once."""
        names = [name for name in self.fields if name.startswith("place_")]
        found = [self.cleaned_data.get(name) for name in names]
        return list(dict.fromkeys(place for place in found if place))

    def clean(self):
        chosen = self.places()
        if not self.cleaned_data.get("timezone_name"):
            office = self.rebuilt_with["house"].timezone_name
            self.cleaned_data["timezone_name"] = chosen[0].timezone_name if chosen else office
        cleaned = super().clean()
        if self.instance.pk and (wanted := cleaned.get("seats")):
            held = self.instance.bookings.live().count()
            if wanted < held:
                told = {"held": held}
                words = _("Seats: %(held)d are held; enter at least %(held)d.")
                self.add_error("seats", ValidationError(words, params=told))
        return cleaned

    def clean_currency(self):
        text = self.cleaned_data["currency"].strip().upper()
        if not (len(text) == 3 and text.isascii() and text.isalpha()):
            raise ValidationError(_("Currency: enter its three letters, such as EUR."))
        return text


class RoleForm(FigureForm):
    """Somebody's role; a person not entered yet is entered along with it."""

    person = forms.ModelChoiceField(
        Person.objects.none(), label=_("person"), required=False, help_text=_("Or a new one below.")
    )
    new_name = forms.CharField(label=_("new person: name"), max_length=120, required=False)
    new_phone = forms.CharField(label=_("new person: phone"), max_length=31, required=False)

    sections = (
        (_("Who"), ("person", ("new_name", "new_phone"), "role")),
        (_("When"), (("start_at", "end_at"),)),
        (
            _("In front of the camera"),
            (("minutes_limit", "skin_reflectance"), "release_signed"),
        ),
        (_("For the office"), ("notes",)),
    )

    class Meta:
        model = WorkshopRole
        exclude = ("workshop",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = Person.objects.order_by("name", "pk")
        self.fields["notes"].widget.attrs["rows"] = 2
        if self.instance.pk:
            del self.fields["new_name"], self.fields["new_phone"]
            self.fields["person"].required, self.fields["person"].help_text = True, ""
            self.helper.layout = self._layout()

    def clean(self):
        cleaned = super().clean()
        if not self.errors and not cleaned.get("person") and not cleaned.get("new_name"):
            self.add_error("person", _("Person: choose one, or enter the name of a new one."))
        if cleaned.get("person") and cleaned.get("new_name"):
            self.add_error("new_name", _("Name: leave it empty, or choose nobody above."))
        return cleaned

    def _get_validation_exclusions(self):
        # The person may be entered only when the role is saved: the service checks it then.
        return super()._get_validation_exclusions() | {"person"}

    def new_person(self) -> dict[str, str]:
        """Return the fields of the person to enter, empty when one was chosen."""
        name = self.cleaned_data.get("new_name")
        return {"name": name, "phone": self.cleaned_data.get("new_phone", "")} if name else {}
