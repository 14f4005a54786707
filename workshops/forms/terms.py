"""The form of booking terms: shares are typed as percent, rows side by side."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.forms.figures import CountField, FigureField
from workshops.models import Terms
from workshops.money import as_percent, of_percent

LEAST_ROWS, SPARE_ROWS = 5, 2
MOST_DAYS = 3650


class TermsForm(RecordForm):
    """Booking terms with their rows; a row left empty is no row."""

    deposit_percent = forms.FloatField(
        label=_("deposit (% of the price)"),
        initial=0,
        min_value=0,
        max_value=100,
        help_text=_("50 asks for half when the seat is given; 0 asks for none."),
    )

    class Meta:
        model = Terms
        fields = ("name", "text", "balance_days")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["text"].widget.attrs["rows"] = 4
        rows = []
        if self.instance.pk:
            self.initial["deposit_percent"] = as_percent(self.instance.deposit_share)
            rows = list(self.instance.rows.order_by("-days_before"))
        self.pairs = self._add_rows(rows)
        self.sections = (
            (_("The terms"), ("name", "text")),
            (_("When it is paid"), (("deposit_percent", "balance_days"),)),
            (_("When an attendee cancels"), tuple(self.pairs)),
        )
        self.helper.layout = self._layout()

    def _add_rows(self, rows: list) -> list[tuple[str, str]]:
        pairs = []
        for index in range(max(LEAST_ROWS, len(rows) + SPARE_ROWS)):
            days, refunded = pair = (f"days_{index}", f"refunded_{index}")
            told = {"n": index + 1}
            self.fields[days] = _days(_("Row %(n)d: days before the start") % told)
            self.fields[refunded] = _percent(_("Row %(n)d: refunded (%% of the price)") % told)
            if index < len(rows):
                self.initial[days] = rows[index].days_before
                self.initial[refunded] = as_percent(rows[index].refunded_share)
            pairs.append(pair)
        return pairs

    def clean(self):
        cleaned = super().clean()
        percent = cleaned.get("deposit_percent")
        if percent is not None and not 0 <= percent <= 100:
            self.add_error("deposit_percent", _("Deposit: enter 0 to 100."))
        seen = set()
        for days, refunded in self.pairs:
            if days in self.errors or refunded in self.errors:
                continue
            day, part = cleaned.get(days), cleaned.get(refunded)
            if (day is None) != (part is None):
                missing = days if day is None else refunded
                self.add_error(missing, _("Enter both of the row, or empty both."))
            elif part is not None and not 0 <= part <= 100:
                self.add_error(refunded, _("Enter 0 to 100."))
            elif day is not None and day in seen:
                self.add_error(days, _("There is a row for that day already."))
            seen.add(day)
        return cleaned

    def rows(self) -> list[tuple[int, float]]:
        """Return the rows entered, as (days before, share)."""
        pairs = ((self.cleaned_data[days], self.cleaned_data[part]) for days, part in self.pairs)
        return [(days, of_percent(part)) for days, part in pairs if days is not None]

    def deposit_share(self) -> float:
        """Return the deposit as a share."""
        return of_percent(self.cleaned_data["deposit_percent"])


def _days(label: str) -> forms.Field:
    return CountField(label=label, required=False, min_value=0, max_value=MOST_DAYS)


def _percent(label: str) -> forms.Field:
    return FigureField(label=label, required=False)
