"""Times typed and shown on the clock of the place they belong to."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.forms.utils import from_current_timezone
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.models.base import in_zone

# Outside these a date is a slip of the finger, and no zone's clock is known.
YEARS = range(1900, 2201)


class PlaceTimeForm(forms.ModelForm):
    """A form whose times are typed and shown on the clock of the place.

    The zone is that of the record's location, planned set or workshop, in this order, or its
    own; a record new in this form takes it from what was chosen in it.
    """

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.time_fields = [
            name
            for name, field in self.fields.items()
            if isinstance(field, forms.DateTimeField | forms.SplitDateTimeField)
        ]
        zone = zone_of(self.instance)
        for name in self.time_fields:
            value = self.initial.get(name)
            if zone and isinstance(value, datetime) and timezone.is_aware(value):
                self.initial[name] = in_zone(value, zone).replace(tzinfo=None)

    def clean(self):
        cleaned = super().clean()
        zone = zone_of_cleaned(self.cleaned_data) or zone_of(self.instance)
        for name in self.time_fields if zone else ():
            if value := self.cleaned_data.get(name):
                self.cleaned_data[name] = self.on_the_clock_of(zone, name, value)
        return cleaned

    def on_the_clock_of(self, zone: str, name: str, value: datetime) -> datetime:
        """Return the instant that the typed time names at the place."""
        typed = timezone.make_naive(value)
        if typed.year not in YEARS:
            told = {"first": YEARS[0], "last": YEARS[-1]}
            self.add_error(name, _("Enter a year from %(first)d to %(last)d.") % told)
            return value
        try:
            with timezone.override(ZoneInfo(zone)):
                return from_current_timezone(typed)
        except ValidationError:
            self.add_error(name, no_such_time(typed, ZoneInfo(zone)))
            return value


def no_such_time(typed: datetime, zone: ZoneInfo) -> str:
    """Say why a clock never or twice shows a time: it is moved for summer on that day."""
    earlier, later = (typed.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    told = {"time": f"{typed:%H:%M}", "day": f"{typed:%Y-%m-%d}"}
    if earlier < later:
        return _("%(time)s does not exist on %(day)s: the clock is put forward over it.") % told
    return _("%(time)s comes twice on %(day)s: enter one before or after that hour.") % told


def zone_of_cleaned(cleaned: dict) -> str | None:
    """Return the zone name a form's own choices give."""
    for name in ("location", "planned_set", "workshop"):
        if chosen := cleaned.get(name):
            return zone_of(chosen)
    name = cleaned.get("timezone_name")
    return name if name and not _unknown(name) else None


def zone_of(record) -> str | None:
    """Return the zone name of a record's place, None while it has none."""
    for name in ("location", "planned_set", "workshop"):
        # An inline's parent may be new: it is then known to the row, but has no id yet.
        known = record._state.fields_cache.get(name)
        if known is None and getattr(record, f"{name}_id", None):
            known = getattr(record, name)
        if known is not None:
            return zone_of(known)
    name = getattr(record, "timezone_name", "")
    return name if name and not _unknown(name) else None


def _unknown(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return True
    return False
