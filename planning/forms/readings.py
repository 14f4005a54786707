"""The form of a meter reading, made for a phone in the field."""

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.models import Reading
from workshops.forms.base import FigureForm
from workshops.models import KitUnit

TENTHS = [(tenth, f"+ {tenth}/10" if tenth else _("even")) for tenth in range(10)]


class ReadingForm(FigureForm):
    """What the meter says, of what, when: mark and tenths side by side."""

    tenths = forms.TypedChoiceField(
        label=_("and tenths"), choices=TENTHS, coerce=int, required=False, empty_value=0
    )

    class Meta:
        model = Reading
        exclude = ("planned_set", "location")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        meters = KitUnit.objects.filter(kind__category="meter").select_related("kind")
        self.fields["meter"].queryset = meters.order_by("tag")
        for name in ("f_mark", "shutter_s", "iso"):
            self.fields[name].widget.attrs["autocomplete"] = "off"
        for name in ("f_mark", "iso"):
            self.fields[name].widget.attrs["inputmode"] = "decimal"


class SetReadingForm(ReadingForm):
    sections = (
        (
            _("What was read"),
            ("plane", "kind", ("f_mark", "tenths"), ("shutter_s", "iso")),
        ),
        (_("When, and by what"), (("at", "meter"), "spread_stops", "flash_in")),
        (_("Or as an exposure value"), ("ev",)),
        (_("For the record"), ("notes",)),
    )

    class Meta(ReadingForm.Meta):
        exclude = ("planned_set", "location", "spot", "sky")


class RecceReadingForm(ReadingForm):
    """A reading of an earlier visit, without a set: it serves days of the same sky."""

    sections = (
        (
            _("What was read"),
            ("plane", "kind", ("f_mark", "tenths"), ("shutter_s", "iso")),
        ),
        (_("When, and under which sky"), (("at", "sky"), "spot", ("meter", "spread_stops"))),
        (_("Or as an exposure value"), ("ev",)),
        (_("For the record"), ("notes",)),
    )

    class Meta(ReadingForm.Meta):
        exclude = ("planned_set", "location", "flash_in")
