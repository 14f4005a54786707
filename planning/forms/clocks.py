"""What is typed of a camera's clock, and which frames go into which set."""

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from crispy_forms.layout import Div, Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.after.clocks import add_from_ahead_s, instants, place_offset_s
from planning.clock_words import read_clock, read_span
from planning.models import Frame, PlannedSet
from workshops.forms.base import DateInput, plain_helper
from workshops.models import Workshop
from workshops.models.base import in_zone

BY_TIME, NO_SET = "time", "none"
MOST_YEARS = 90


class ClockField(forms.CharField):
    """A time of day as a clock shows it."""

    def __init__(self, **kwargs):
        super().__init__(max_length=20, **kwargs)
        self.widget.attrs |= {"autocomplete": "off", "placeholder": "09:58:12"}

    def clean(self, value):
        text = super().clean(value)
        return read_clock(text) if text else None


class SpanField(forms.CharField):
    """A length in hours, minutes and seconds."""

    def __init__(self, **kwargs):
        super().__init__(max_length=40, **kwargs)
        self.widget.attrs |= {"autocomplete": "off", "placeholder": "1:02:00"}

    def clean(self, value):
        text = super().clean(value)
        return read_span(text) if text else None


def _date(label) -> forms.DateField:
    return forms.DateField(
        label=label,
        widget=DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": gettext_lazy("Enter a date, such as 2027-05-08.")},
    )


class ShownForm(forms.Form):
    """Which frame shows the clock page, and what can be read on it."""

    file_name = forms.CharField(
        label=gettext_lazy("Frame"),
        max_length=200,
        help_text=gettext_lazy("By its file, such as IMG_0012.JPG."),
    )
    shown_time = ClockField(
        label=gettext_lazy("It shows"), help_text=gettext_lazy("To the second, as on the picture.")
    )
    shown_on = _date(gettext_lazy("On"))
    second_time = forms.BooleanField(
        label=gettext_lazy("the second time that night"),
        required=False,
        help_text=gettext_lazy("Only where clocks went back and showed this time twice."),
    )

    def __init__(self, *args, workshop: Workshop, body: str, **kwargs):
        super().__init__(*args, prefix="shown", **kwargs)
        self.workshop, self.body = workshop, body
        day = in_zone(workshop.start_at, workshop.timezone_name).date()
        self.fields["shown_on"].initial = day
        self.fields["file_name"].widget.attrs |= {"list": "files", "autocomplete": "off"}
        if not clocks_go_back(workshop):
            del self.fields["second_time"]
        self.helper = plain_helper()
        self.helper.layout = Layout(
            "file_name", Div("shown_time", "shown_on", css_class="fields"), "second_time"
        )
        if "second_time" not in self.fields:
            self.helper.layout.fields.pop()

    def clean_file_name(self) -> Frame:
        named = self.cleaned_data["file_name"].strip()
        rows = Frame.objects.filter(workshop=self.workshop, body=self.body)
        found = list(rows.filter(file_name__iexact=named).order_by("clock_at", "pk")[:2])
        told = {"name": named}
        if not found:
            raise ValidationError(_("No frame of this body is called %(name)s.") % told)
        if len(found) > 1:
            raise ValidationError(
                _("Several frames of this body are called %(name)s: use another one.") % told
            )
        if found[0].clock_at is None:
            raise ValidationError(_("The file %(name)s has no time of its camera.") % told)
        return found[0]

    def clean(self):
        cleaned = super().clean()
        shown, day = cleaned.get("shown_time"), cleaned.get("shown_on")
        if shown and day:
            again = bool(cleaned.get("second_time"))
            try:
                cleaned["shown_at"] = instant(day, shown, self.workshop.timezone_name, again=again)
            except ValidationError as fault:
                self.add_error("shown_time", fault)
        return cleaned


class HandForm(forms.Form):
    """How far a camera stood from a clock, as somebody saw it."""

    days = forms.IntegerField(
        label=gettext_lazy("Days"),
        required=False,
        min_value=0,
        max_value=366 * MOST_YEARS,
        help_text=gettext_lazy("Empty: none. A year is 365 or 366."),
    )
    span = SpanField(
        label=gettext_lazy("Hours, minutes, seconds"),
        required=False,
        help_text=gettext_lazy("1:02:00, or 1 h 2 min. Empty: it stood right."),
    )
    way = forms.ChoiceField(
        label=gettext_lazy("The camera stood"),
        choices=(("ahead", gettext_lazy("ahead of")), ("behind", gettext_lazy("behind"))),
        initial="ahead",
    )
    zone = forms.CharField(
        label=gettext_lazy("the clock of"),
        required=False,
        max_length=64,
        help_text=gettext_lazy("A time zone such as Europe/Lisbon. Empty: the place."),
    )

    def __init__(self, *args, workshop: Workshop, **kwargs):
        super().__init__(*args, prefix="hand", **kwargs)
        self.workshop = workshop
        self.fields["zone"].widget.attrs["autocomplete"] = "off"
        self.helper = plain_helper()
        self.helper.layout = Layout(
            Div("days", "span", css_class="fields"), Div("way", "zone", css_class="fields")
        )

    def clean_zone(self) -> str:
        name = self.cleaned_data["zone"].strip()
        try:
            ZoneInfo(name or "UTC")
        except (KeyError, ValueError, OSError):
            told = {"name": name}
            raise ValidationError(
                _("%(name)s is no time zone: enter an IANA name such as Europe/London.") % told
            ) from None
        return name

    def add_s(self) -> float:
        """Return what to add to the camera's clock, by a form that is valid."""
        typed = self.cleaned_data
        off_s = 86400.0 * (typed["days"] or 0) + (typed["span"] or 0)
        zone = typed["zone"] or self.workshop.timezone_name
        return add_from_ahead_s(
            off_s if typed["way"] == "ahead" else -off_s,
            place_offset_s(self.workshop.start_at, zone),
        )


class SettleForm(forms.Form):
    """Where the ticked frames go, or all of a stretch of time."""

    to = forms.ChoiceField(label=gettext_lazy("They belong to"))
    body = forms.ChoiceField(label=gettext_lazy("Body"), required=False)
    from_time = ClockField(label=gettext_lazy("All from"), required=False)
    to_time = ClockField(label=gettext_lazy("to"), required=False)
    day = _date(gettext_lazy("On"))

    def __init__(self, *args, workshop: Workshop, sets, bodies, **kwargs):
        super().__init__(*args, **kwargs)
        self.workshop = workshop
        self.sets: dict[str, PlannedSet] = {str(one.pk): one for one in sets}
        self.fields["to"].choices = [
            *((pk, f"{one.position} {one.title}") for pk, one in self.sets.items()),
            (NO_SET, _("no set")),
            (BY_TIME, _("the set of their time again")),
        ]
        self.fields["body"].choices = [("", _("every body")), *((name, name) for name in bodies)]
        self.fields["day"].initial = in_zone(workshop.start_at, workshop.timezone_name).date()
        self.fields["day"].required = False
        self.helper = plain_helper()
        self.helper.layout = Layout(
            "to", Div("from_time", "to_time", "day", "body", css_class="fields")
        )

    def clean(self):
        cleaned = super().clean()
        first, last = cleaned.get("from_time"), cleaned.get("to_time")
        if (first is None) != (last is None):
            self.add_error("to_time", _("Enter both ends of the stretch, or tick frames instead."))
        elif first is not None:
            cleaned["stretch"] = self._stretch(first, last, cleaned.get("day"))
        return cleaned

    def _stretch(self, first: time, last: time, day: date | None):
        day = day or self.fields["day"].initial
        zone = self.workshop.timezone_name
        try:
            ends = instant(day, first, zone), instant(day, last, zone, again=True)
        except ValidationError as fault:
            self.add_error("from_time", fault)
            return None
        if ends[1] < ends[0]:  # over midnight
            ends = ends[0], ends[1] + timedelta(days=1)
        return ends


def instant(day: date, shown: time, zone_name: str, *, again: bool = False) -> datetime:
    """Return when the clock of a zone showed that; of two instants the later one with ``again``.

    Raises ValidationError for a time that the night of a change leaves out, or a year far off.
    """
    if not 1900 <= day.year <= 2200:
        raise ValidationError(_("Enter a year from 1900 to 2200."))
    found = instants(day, shown, zone_name)
    if not found:
        told = {"time": f"{shown:%H:%M:%S}", "day": f"{day:%Y-%m-%d}"}
        raise ValidationError(
            _("%(time)s does not exist on %(day)s: the clock is put forward over it.") % told
        )
    return found[-1 if again else 0]


def clocks_go_back(workshop: Workshop) -> bool:
    """Return whether the clocks of the place go back during a workshop."""
    at, zone = workshop.start_at, workshop.timezone_name
    while at < workshop.end_at:
        later = min(at + timedelta(hours=1), workshop.end_at)
        if place_offset_s(later, zone) < place_offset_s(at, zone):
            return True
        at = later
    return False
