"""Choices that are no records: languages and time zones."""

from functools import cache
from zoneinfo import available_timezones

from django.conf import settings
from django.utils.translation import gettext_lazy as _

Choices = list[tuple[str, str]]
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
