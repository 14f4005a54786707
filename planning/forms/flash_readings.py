"""The form of a flash reading, made for a phone beside the lamp."""

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.forms.readings import TENTHS, is_near
from planning.models import FlashReading
from workshops.forms.base import FigureForm
from workshops.models import KitUnit


class FlashReadingForm(FigureForm):
    """Which lamp, how it was metered, what the meter said, and what it said without the flash."""

    tenths = forms.TypedChoiceField(
        label=_("and tenths"), choices=TENTHS, coerce=int, required=False, empty_value=0
    )
    light_name = forms.ChoiceField(
        label=_("light"), help_text=_("Of this set; no other lamp flashed.")
    )
    sections = (
        (_("Which lamp"), ("light_name", ("power", "distance_m"))),
        (_("What was read"), ("how", ("f_mark", "tenths"), ("shutter_s", "iso"))),
        (_("Flash off"), ("ambient_mark",)),
        (_("When, and by what"), (("at", "meter"), "notes")),
    )

    class Meta:
        model = FlashReading
        exclude = ("planned_set",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        names = [light.name for light in self.instance.planned_set.lights.all()]
        self.fields["light_name"].choices = [(name, name) for name in names]
        meters = KitUnit.objects.filter(kind__category="meter").select_related("kind")
        self.fields["meter"].queryset = meters.order_by("tag")
        self.fields["how"].choices = FlashReading.How.choices
        for name in ("f_mark", "shutter_s", "iso", "power"):
            self.fields[name].widget.attrs["autocomplete"] = "off"
        for name in ("f_mark", "iso"):
            self.fields[name].widget.attrs["inputmode"] = "decimal"

    def clean(self):
        cleaned = super().clean()
        at = cleaned.get("at")
        if at and not is_near(self.instance.planned_set, at):
            self.add_error(
                "at",
                _(
                    "Read at: enter a time of the day of this set. A reading of another day "
                    "belongs to the head: enter it under its kind of kit."
                ),
            )
        return cleaned
