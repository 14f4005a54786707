"""What one press on the page of a set's tally says: small forms for a thumb."""

from collections.abc import Callable
from uuid import uuid4

from django import forms
from django.utils.translation import gettext_lazy

from planning.forms.tally_fields import ChargeField, ClockField, GustField, PickField
from planning.models import TallyEvent
from planning.selectors.lesson import standing
from planning.selectors.tally_choices import Choices
from planning.services import tally
from planning.services.packs import put_pack_in, take_pack_out
from planning.tally_words import sky_words
from workshops.forms.figures import CountField
from workshops.models import House, Sky

MOST = 100000  # of flashes or frames: the record's own limit


class PressForm(forms.Form):
    """One press: one event by the ``uuid`` made with the form."""

    do = ""  # what the button says
    service: Callable | None = None
    takes_time = True  # whether a time other than now is asked for
    is_second = False  # whether another press is likelier

    uuid = forms.UUIDField(widget=forms.HiddenInput)
    at = ClockField(
        label=gettext_lazy("At"), help_text=gettext_lazy("On the clock of the place. Empty: now.")
    )

    def __init__(
        self, *args, choices: Choices, house: House, key: str = "", has_pack: bool = True, **kwargs
    ):
        super().__init__(*args, auto_id=f"id_{self.do}_{key}_%s", **kwargs)
        self.choices, self.key, self.has_pack = choices, key, has_pack
        self.imperial = house.units == House.Units.IMPERIAL
        self.fields["at"].planned_set = choices.planned_set
        self.initial["uuid"] = uuid4()
        self.offer()

    def offer(self) -> None:
        """Fill in what there is to choose from.

        Raises ValidationError for a ``key`` that names nothing of the set.
        """

    def told(self) -> list[forms.BoundField]:
        """Return the fields that people fill in, in their order, but for the time."""
        return [field for field in self.visible_fields() if field.name not in ("at", "sky")]

    def asked(self) -> dict:
        """Return what the service is asked, beside who, where and when it is noted."""
        return {name: value for name, value in self.cleaned_data.items() if name != "how"}


class BeganForm(PressForm):
    do, service = "began", staticmethod(tally.note_began)


class EndedForm(PressForm):
    do, service = "ended", staticmethod(tally.note_ended)

    @property
    def is_second(self) -> bool:
        events = self.choices.planned_set.events.all()
        return not standing(events, TallyEvent.Kind.SET_BEGAN)


class CountForm(PressForm):
    """So many more, or so many in all: two buttons beside one number."""

    how = forms.ChoiceField(
        choices=(("more", ""), ("all", "")), required=False, widget=forms.HiddenInput
    )

    def asked(self) -> dict:
        return super().asked() | {"in_all": self.cleaned_data["how"] == "all"}


class FlashesForm(CountForm):
    do, service = "flashes", staticmethod(tally.note_flashes)
    count = CountField(label=gettext_lazy("Flashes"), min_value=0, max_value=MOST)

    def offer(self) -> None:
        self.light_name = self.choices.light(self.key)

    def asked(self) -> dict:
        return super().asked() | {"light_name": self.light_name}


class FramesForm(CountForm):
    do, service = "frames", staticmethod(tally.note_frames)
    takes_time = False
    count = CountField(label=gettext_lazy("Frames"), min_value=0, max_value=MOST)

    def offer(self) -> None:
        self.booking = self.choices.booking(self.key)

    def asked(self) -> dict:
        return super().asked() | {"booking": self.booking}


class PackInForm(PressForm):
    do, service = "in", staticmethod(put_pack_in)
    unit = PickField(
        label=gettext_lazy("Pack put in"),
        error_messages={
            "required": gettext_lazy("Pack put in: choose it by its tag."),
            "invalid_choice": gettext_lazy("Pack put in: choose one of the kit list."),
        },
    )
    charge = ChargeField(
        label=gettext_lazy("It shows"), help_text=gettext_lazy("Per cent, or lamps: 3/4.")
    )
    old_charge = ChargeField(
        label=gettext_lazy("The one that comes out shows"),
        help_text=gettext_lazy("Empty: nobody looked."),
    )

    def offer(self) -> None:
        self.light_name = self.choices.light(self.key)
        self.fields["unit"].offer(self.choices.packs_for(self.light_name))
        if not self.has_pack:
            self.fields["old_charge"].widget = forms.HiddenInput()

    def asked(self) -> dict:
        return super().asked() | {"light_name": self.light_name}


class PackOutForm(PressForm):
    do, service = "out", staticmethod(take_pack_out)
    charge = ChargeField(
        label=gettext_lazy("It shows"),
        help_text=gettext_lazy("Per cent, or lamps: 3/4. Empty: nobody looked."),
    )

    def offer(self) -> None:
        light, _dash, unit = self.key.partition("-")
        self.light_name, self.unit = self.choices.light(light), self.choices.pack(unit)

    def asked(self) -> dict:
        return super().asked() | {"light_name": self.light_name, "unit": self.unit}


class MisfireForm(PressForm):
    do, service = "misfire", staticmethod(tally.note_misfire)
    booking = PickField(label=gettext_lazy("Who shot"), required=False)
    trigger = PickField(label=gettext_lazy("Trigger"), required=False)
    light_name = forms.ChoiceField(label=gettext_lazy("Light that did not fire"), required=False)
    cause = forms.ChoiceField(
        label=gettext_lazy("Cause"), choices=[("", "—"), *TallyEvent.Cause.choices]
    )
    notes = forms.CharField(label=gettext_lazy("In words"), max_length=500, required=False)

    def offer(self) -> None:
        self.fields["booking"].offer(self.choices.bookings)
        self.fields["trigger"].offer({one: one.tag for one in self.choices.triggers})
        self.fields["light_name"].choices = [
            ("", "—"),
            *((one, one) for one in self.choices.lights),
        ]


class GustForm(PressForm):
    do, service = "gust", staticmethod(tally.note_gust)
    gust_m_s = GustField(label=gettext_lazy("Gust (m/s)"))

    def offer(self) -> None:
        self.fields["gust_m_s"].type_in(imperial=self.imperial)


class SkyForm(PressForm):
    do, service = "sky", staticmethod(tally.note_sky)
    sky = forms.ChoiceField(
        choices=Sky.choices,
        error_messages={"invalid_choice": gettext_lazy("Sky: choose one of the three.")},
    )
    skies = tuple((value, sky_words(value)) for value in Sky.values)


class NearMissForm(PressForm):
    do, service = "near", staticmethod(tally.note_near_miss)
    words = forms.CharField(
        label=gettext_lazy("What nearly happened"),
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class NoteForm(PressForm):
    do, service = "note", staticmethod(tally.note_words)
    takes_time = False
    words = forms.CharField(
        label=gettext_lazy("Note"), max_length=500, widget=forms.Textarea(attrs={"rows": 3})
    )


FORMS: dict[str, type[PressForm]] = {
    form.do: form
    for form in (
        BeganForm, EndedForm, FlashesForm, FramesForm, PackInForm, PackOutForm, MisfireForm,
        GustForm, SkyForm, NearMissForm, NoteForm,
    )
}  # fmt: skip
