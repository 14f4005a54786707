"""The form in which a proposed order of the day is taken over, set by set."""

from collections.abc import Iterable
from datetime import date, datetime

from django import forms
from django.utils.dateparse import parse_date, parse_datetime
from django.utils.translation import gettext_lazy as _


class OrderForm(forms.Form):
    """Which sets of a day move to the start proposed for them.

    The starts and when each set last changed come back as they were shown: what is taken over is
    what was read, not what would be proposed by now.
    """

    day = forms.CharField(widget=forms.HiddenInput)
    take = forms.TypedMultipleChoiceField(
        coerce=int,
        error_messages={"required": _("Tick the sets that take over the proposed time.")},
    )

    def __init__(self, *args, keys: Iterable[int], **kwargs):
        super().__init__(*args, **kwargs)
        self.keys = tuple(keys)
        self.fields["take"].choices = [(key, key) for key in self.keys]
        for key in self.keys:
            for name in (f"start_{key}", f"seen_{key}"):
                self.fields[name] = forms.CharField(widget=forms.HiddenInput, required=False)

    def clean(self):
        cleaned = super().clean()
        for key in cleaned.get("take", ()):
            if instant(cleaned.get(f"start_{key}")) is None:
                self.add_error("take", _("A proposed time is missing: open the page again."))
                break
        return cleaned

    def starts(self) -> dict[int, datetime]:
        cleaned = self.cleaned_data
        return {key: instant(cleaned[f"start_{key}"]) for key in cleaned["take"]}

    def seen(self) -> dict[int, datetime | None]:
        return {key: instant(self.cleaned_data.get(f"seen_{key}")) for key in self.keys}


def instant(text: str | None) -> datetime | None:
    """Return the instant a hidden field names, None where it names none."""
    try:
        found = parse_datetime(text or "")
    except ValueError:
        return None
    return found if found and found.tzinfo else None


def date_of(text: str) -> date | None:
    try:
        return parse_date(text)
    except ValueError:
        return None
