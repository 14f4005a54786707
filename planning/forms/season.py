"""Which dates a season reaches from and to."""

from datetime import date, timedelta

from crispy_forms.layout import Div, Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from planning.selectors.season import Dates
from workshops.forms.base import DateInput, plain_helper

FIRST_YEAR, LAST_YEAR = 1990, 2199
MOST_YEARS = 10
DATE = _("Enter a date, such as 2027-05-08.")


def _date(label: str, help_text: str = "") -> forms.DateField:
    widget = DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    errors = {"invalid": DATE}
    return forms.DateField(
        label=label, required=False, widget=widget, error_messages=errors, help_text=help_text
    )


def usual(today: date) -> Dates:
    """Return the last year and this one."""
    return Dates(date(today.year - 1, 1, 1), date(today.year, 12, 31))


class SeasonForm(forms.Form):
    """A question, asked by GET: its answer has an address. One date alone means two years."""

    def __init__(self, *args, today: date, **kwargs):
        super().__init__(*args, **kwargs)
        self.today = today
        # "from" is no name a class can give a field.
        self.fields["from"] = _date(_("First date"))
        self.fields["to"] = _date(
            _("Last date"), _("Workshops that begin on these dates, on the clock of their place.")
        )
        self.helper = plain_helper()
        self.helper.layout = Layout(Div("from", "to", css_class="fields"))

    def clean(self):
        cleaned = super().clean()
        if self.errors:
            return cleaned
        for name in ("from", "to"):
            told = cleaned.get(name)
            if told and not FIRST_YEAR <= told.year <= LAST_YEAR:
                years = {"first": FIRST_YEAR, "last": LAST_YEAR}
                self.add_error(name, _("Enter a year from %(first)d to %(last)d.") % years)
                return cleaned
        dates = self._dates(cleaned.get("from"), cleaned.get("to"))
        if dates.last < dates.first:
            self.add_error("to", _("Last date: enter the first one or a later one."))
        elif dates.last.year - dates.first.year > MOST_YEARS:
            told = {"years": MOST_YEARS}
            self.add_error("to", _("Last date: enter one within %(years)d years.") % told)
        cleaned["dates"] = dates
        return cleaned

    def _dates(self, first: date | None, last: date | None) -> Dates:
        if first is None and last is None:
            return usual(self.today)
        if first is None:
            return Dates(_years_on(last, -2) + timedelta(days=1), last)
        return Dates(first, last or _years_on(first, 2) - timedelta(days=1))


def _years_on(day: date, years: int) -> date:
    """Return the same day so many years later; 29 February becomes 1 March."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)
