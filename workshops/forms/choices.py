"""Choices that are no records: languages and time zones."""

from functools import cache
from zoneinfo import available_timezones

from django import forms
from django.conf import settings
from django.forms.utils import flatatt
from django.utils.html import format_html, format_html_join
from django.utils.safestring import mark_safe
from django.utils.translation import gettext_lazy as _

Choices = list[tuple[str, str]]


class LongSelect(forms.Select):
    """A select of hundreds of choices, written in one go.

    Django renders a template for each choice: for the zones of the world a quarter of a second.
    """

    def render(self, name, value, attrs=None, renderer=None):
        chosen = "" if value is None else str(value)
        options = format_html_join(
            "\n",
            '<option value="{}"{}>{}</option>',
            (
                (choice, mark_safe(" selected") if str(choice) == chosen else "", label)
                for choice, label in self.choices
            ),
        )
        told = flatatt(self.build_attrs(self.attrs, attrs))
        return format_html('<select name="{}"{}>{}</select>', name, told, options)


AREAS = (
    "Africa", "America", "Antarctica", "Arctic", "Asia", "Atlantic", "Australia", "Europe",
    "Indian", "Pacific",
)  # fmt: skip


def language_choices(kept: str = "") -> Choices:
    """Return the languages the pages exist in, and one kept from elsewhere."""
    known = list(settings.LANGUAGES)
    if kept and kept not in dict(known):
        known.append((kept, kept))
    return known


@cache
def _zones() -> tuple[str, ...]:
    named = (name for name in available_timezones() if name.partition("/")[0] in AREAS)
    return ("UTC", *sorted(named))


def timezone_choices(kept: str = "", *, empty: str = "") -> Choices:
    """Return the time zones of the world by name, ``empty`` the words of none chosen."""
    names = _zones()
    if kept and kept not in names:
        names = (*names, kept)
    zones = [(name, name.replace("_", " ")) for name in names]
    return [("", empty), *zones] if empty else zones


NOT_CHOSEN = _("not chosen")
