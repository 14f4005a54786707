"""Fields of a tally: what a pack shows, a time of its day, a gust, one of some records."""

import re
from collections.abc import Mapping
from datetime import UTC, datetime, time, timedelta
from typing import ClassVar
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.forms.utils import from_current_timezone
from django.utils import timezone
from django.utils.translation import gettext_lazy

from planning.after.packs import Charge
from planning.models import PlannedSet, TallyEvent
from workshops import units
from workshops.forms.base import TimeInput
from workshops.forms.figures import FigureField
from workshops.forms.place_time import no_such_time
from workshops.models.base import Within, in_zone

LAMPS = re.compile(r"^(\d{1,2})(?:\s*/\s*|\s[^\W\d]+\s)(\d{1,2})(?:\s+[^\W\d]+)?$")
LEAST_LAMPS, MOST_LAMPS = 2, 20


class ChargeField(forms.CharField):
    """What a pack shows: "55" or "55 %", or "3/4" for three of its four lamps."""

    default_error_messages: ClassVar = {
        "invalid": gettext_lazy("Enter 0 to 100 per cent, such as 55, or lamps, such as 3/4.")
    }

    def __init__(self, **kwargs):
        super().__init__(**{"required": False, "max_length": 20} | kwargs)

    def clean(self, value):
        text = " ".join(super().clean(value).split())
        return self._charge(text) if text else None

    def _charge(self, text: str) -> Charge:
        if lamps := LAMPS.match(text):
            lit, of = int(lamps[1]), int(lamps[2])
            if not LEAST_LAMPS <= of <= MOST_LAMPS or lit > of:
                raise ValidationError(self.error_messages["invalid"], code="invalid")
            return Charge(lit / of, lamps=of)
        try:
            percent = units.read(text.removesuffix("%"), None, imperial=False)
        except ValueError:
            percent = -1.0
        # "0.5" is a share or half a per cent: nobody can tell.
        if not 0 <= percent <= 100 or 0 < percent < 1:
            raise ValidationError(self.error_messages["invalid"], code="invalid")
        return Charge(percent / 100)

    def widget_attrs(self, widget):
        return super().widget_attrs(widget) | {"autocomplete": "off"}


class ClockField(forms.TimeField):
    """A time of the set's day, typed and understood on the clock of the place."""

    widget = TimeInput(attrs={"type": "time"}, format="%H:%M")
    default_error_messages: ClassVar = {"invalid": gettext_lazy("Enter a time, such as 09:40.")}

    def __init__(self, **kwargs):
        super().__init__(**{"required": False} | kwargs)
        self.planned_set: PlannedSet | None = None

    def clean(self, value):
        typed = super().clean(value)
        return None if typed is None else self._at(typed)

    def _at(self, typed: time) -> datetime:
        """Return the instant: on the day the set begins, or on the next one if that is nearer."""
        zone = ZoneInfo(self.planned_set.location.timezone_name)
        start = in_zone(self.planned_set.start_at, zone.key).replace(tzinfo=None)
        end = in_zone(self.planned_set.end_at, zone.key).replace(tzinfo=None)
        days = (datetime.combine(start + timedelta(days=more), typed) for more in (0, 1))
        named = min(days, key=lambda at: max(start - at, at - end, timedelta(0)))
        try:
            with timezone.override(zone):
                return from_current_timezone(named).astimezone(UTC)
        except ValidationError:
            raise ValidationError(no_such_time(named, zone), code="invalid") from None


class GustField(FigureField):
    """A wind speed in the unit of the house, its limits worded in that unit too."""

    limit = next(
        one
        for one in TallyEvent._meta.constraints
        if isinstance(one, Within) and one.field == "gust_m_s"
    )

    def __init__(self, **kwargs):
        super().__init__(unit=units.SPEED, **kwargs)

    def type_in(self, *, imperial: bool) -> None:
        self.imperial = imperial
        self.label = units.relabelled(str(self.label), units.SPEED, imperial=imperial)

    def validate(self, value):
        super().validate(value)
        if value is not None and not self.limit.low <= value <= self.limit.high:
            sentence = self.limit.sentence(
                TallyEvent, show=self.prepare_value, label=str(self.label)
            )
            raise ValidationError(sentence, code="range")


class PickField(forms.ChoiceField):
    """One of some records that are read already, or none."""

    def offer(self, records: Mapping[object, str]) -> None:
        self.records = {str(record.pk): record for record in records}
        self.choices = [("", "—"), *((str(one.pk), name) for one, name in records.items())]

    def clean(self, value):
        return self.records.get(super().clean(value))
