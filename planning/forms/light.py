"""Which dates, and where the sun is wanted on them."""

from datetime import date, timedelta

from crispy_forms.layout import Div, Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from planning.lesson.season import MOST_DAYS, WantedSun
from planning.physics.constants import SUN_FIRST_YEAR, SUN_LAST_YEAR
from workshops.forms.base import DateInput, plain_helper
from workshops.forms.figures import FigureField

DATE = _("Enter a date, such as 2027-05-08.")
BEARING = _("Enter a direction from 0 to 360.")
HEIGHT = _("Enter a height from -90 to 90.")


def _date(label: str) -> forms.DateField:
    widget = DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(
        label=label, required=False, widget=widget, error_messages={"invalid": DATE}
    )


def _degrees(label: str, low: float, high: float, fault: str, help_text: str = "") -> FigureField:
    return FigureField(
        label=label,
        required=False,
        min_value=low,
        max_value=high,
        help_text=help_text,
        error_messages={"min_value": fault, "max_value": fault},
    )


def year_from(first: date) -> date:
    """Return the last date of the year that begins with ``first``."""
    return first + timedelta(days=MOST_DAYS - 2)


class LightForm(forms.Form):
    """A question, asked by GET: its answer has an address. What is left empty bounds nothing."""

    first = _date(_("First date"))
    last = _date(_("Last date"))
    from_deg = _degrees(
        _("Sun from (degrees true)"),
        0,
        360,
        BEARING,
        _("Clockwise to the next one: 200 to 250 is south-west, 320 to 40 goes through north."),
    )
    to_deg = _degrees(_("Sun to (degrees true)"), 0, 360, BEARING)
    low_deg = _degrees(
        _("No lower than (degrees)"),
        -90,
        90,
        HEIGHT,
        _("Over the level horizon: a low sun 5 to 25, a high one from 45."),
    )
    high_deg = _degrees(_("No higher than (degrees)"), -90, 90, HEIGHT)
    least_min = _degrees(
        _("At least so many minutes a day"), 0, 1440, _("Enter minutes from 0 to 1440.")
    )

    def __init__(self, *args, today: date, **kwargs):
        super().__init__(*args, **kwargs)
        self.today = today
        self.helper = plain_helper()
        rows = (("first", "last"), ("from_deg", "to_deg"), ("low_deg", "high_deg"), ("least_min",))
        self.helper.layout = Layout(*(Div(*row, css_class="fields") for row in rows))

    def clean(self):
        cleaned = super().clean()
        self._clean_dates(cleaned)
        self._clean_sun(cleaned)
        return cleaned

    def _clean_dates(self, cleaned: dict) -> None:
        first = cleaned.get("first") or self.today
        if not SUN_FIRST_YEAR <= first.year < SUN_LAST_YEAR:
            years = {"first": SUN_FIRST_YEAR, "last": SUN_LAST_YEAR - 1}
            self.add_error("first", _("Enter a year from %(first)d to %(last)d.") % years)
            return
        last = cleaned.get("last") or year_from(first)
        cleaned |= {"first": first, "last": last}
        if last < first:
            self.add_error("last", _("Last date: enter the first one or a later one."))
        elif (last - first).days >= MOST_DAYS:
            self.add_error("last", _("Last date: enter one within a year of the first."))

    def _clean_sun(self, cleaned: dict) -> None:
        ends = {name: cleaned.get(name) for name in ("from_deg", "to_deg")}
        missing = [name for name, end in ends.items() if end is None]
        if len(missing) == 1 and missing[0] not in self.errors:
            self.add_error(missing[0], _("Enter both ends of the arc, or neither."))
        low_deg, high_deg = cleaned.get("low_deg"), cleaned.get("high_deg")
        if low_deg is not None and high_deg is not None and low_deg >= high_deg:
            self.add_error("high_deg", _("Enter more than the lower height."))

    def wanted(self) -> WantedSun:
        return WantedSun.of(
            *(self.cleaned_data[name] for name in ("from_deg", "to_deg", "low_deg", "high_deg"))
        )
