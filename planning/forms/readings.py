"""The form of a meter reading, made for a phone in the field."""

from datetime import datetime, timedelta

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.models import PlannedSet, Reading
from workshops.forms.base import FigureForm
from workshops.models import KitUnit
from workshops.models.base import in_zone

# A set's light is metered on its day; the plan carries a reading on by the change of the daylight.
SAME_DAY = timedelta(hours=14)
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
            (("f_mark", "tenths"), ("shutter_s", "iso"), ("plane", "kind")),
        ),
        (_("When, and by what"), (("at", "meter"), "flash_in")),
        (_("Or as an exposure value"), ("ev",)),
        (_("For the record"), ("spread_stops", "notes")),
    )

    class Meta(ReadingForm.Meta):
        exclude = ("planned_set", "location", "spot", "sky")

    def clean(self):
        cleaned = super().clean()
        at = cleaned.get("at")
        if at and not is_near(self.instance.planned_set, at):
            self.add_error(
                "at",
                _(
                    "Read at: enter a time of the day of this set. A reading of another day "
                    "belongs to the place: type it there, under the recce."
                ),
            )
        return cleaned


def is_near(planned_set: PlannedSet, at: datetime) -> bool:
    """Return whether a reading of that time can tell of the set's own light."""
    return planned_set.start_at - SAME_DAY <= at <= planned_set.end_at + SAME_DAY


def on_the_day(planned_set: PlannedSet, now: datetime) -> datetime:
    """Return now, on the clock of the place; on another day the beginning of the set."""
    at = now if is_near(planned_set, now) else planned_set.start_at
    local = in_zone(at, planned_set.location.timezone_name)
    return local.replace(tzinfo=None, second=0, microsecond=0)


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
