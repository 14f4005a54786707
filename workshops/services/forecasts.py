"""Forecasts from a file: all of its entries that are new, or none."""

from collections import defaultdict
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit, forecast_json
from workshops.errors import Refused
from workshops.models import Forecast, Location, User

MOST_FAULTS = 20  # told at once; the rest is counted


@dataclass(frozen=True)
class BroughtIn:
    """How many entries of a file were new, and how many were there already."""

    added: int
    known: int


@transaction.atomic
def bring_in_forecasts(*, by: User | None, content: bytes) -> BroughtIn:
    """Keep every entry of the file that is not there yet; the same file twice adds nothing.

    Raises Refused, naming each faulty entry, for a file of which any part is not understood or
    breaks a rule; then nothing is kept.
    """
    places = defaultdict(list)
    # Locked, so that the same file sent twice at once finds what the other has added.
    for place in Location.objects.select_for_update().order_by("pk"):
        known = forecast_json.Place(place.pk, place.timezone_name)
        places[place.name.casefold()].append(known)
    try:
        found = forecast_json.read(content, places)
    except forecast_json.Unreadable as fault:
        raise Refused(str(fault)) from None
    faults, rows = list(found.faults), []
    for number, entry in enumerate(found.entries, start=1):
        if not _there(entry, rows):
            row = Forecast(**entry)
            rows.append((number, row))
    for number, row in rows:
        try:
            row.full_clean()
        except ValidationError as refusal:
            words = " ".join(refusal.messages)
            faults.append(_("entry %(number)d: %(words)s") % {"number": number, "words": words})
    if faults:
        raise Refused(_told(faults))
    for _number, row in rows:
        audit.write(row, by=by)
    return BroughtIn(len(rows), len(found.entries) - len(rows))


def _there(entry: dict, rows: list[tuple[int, Forecast]]) -> bool:
    twice = any(all(getattr(row, name) == entry[name] for name in entry) for _n, row in rows)
    return twice or Forecast.objects.filter(**entry).exists()


def _told(faults: list[str]) -> list[str]:
    rest = len(faults) - MOST_FAULTS
    told = [_("Nothing is kept: mend the file and send it again."), *faults[:MOST_FAULTS]]
    return [*told, _("and %(n)d more") % {"n": rest}] if rest > 0 else told
