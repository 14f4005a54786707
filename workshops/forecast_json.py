"""Forecasts in a small JSON file of our own: bytes in, snapshots or the faults of each entry out.

The format stands in DEVELOPERS.md; ``SAMPLE`` is a whole file of it.
"""

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

VERSION_KEY = "one_stop_under_forecasts"
VERSION = 1
MOST_BYTES = 512 * 1024
MOST_ENTRIES = 500
MOST_DEPTH = 6  # brackets within brackets; the format itself takes five
MOST_TEXT = 120
FIGURES = (
    "temperature_c",
    "humidity_percent",
    "wind_m_s",
    "gust_m_s",
    "wind_from_deg",
    "rain_mm_h",
    "uv_index",
    "pressure_hpa",
)
SKIES = ("clear", "partly", "overcast")
TOP_KEYS = {VERSION_KEY, "source", "taken_at", "places"}
PLACE_KEYS = {"location", "hours"}
HOURS_KEYS = {"from", "to", "sky", "thunder", *FIGURES}

SAMPLE = """{
  "one_stop_under_forecasts": 1,
  "source": "coastal bulletin",
  "taken_at": "2027-09-18T06:00+01:00",
  "places": [
    {
      "location": "Gull Head lookout",
      "hours": [
        {"from": "2027-09-18T06:00", "to": "2027-09-18T14:00", "sky": "clear",
         "temperature_c": 15, "humidity_percent": 70, "wind_m_s": 4.5, "gust_m_s": 8,
         "wind_from_deg": 250, "rain_mm_h": 0, "thunder": false,
         "uv_index": 3, "pressure_hpa": 1012}
      ]
    }
  ]
}
"""


class Unreadable(ValueError):
    """A file that is none of ours, in words fit to show."""


@dataclass(frozen=True)
class Place:
    """What the file has to know of a place: its number and its zone."""

    pk: int
    timezone_name: str


@dataclass(frozen=True)
class Read:
    """What a file says: the fields of each snapshot, and every fault with where it stands."""

    entries: tuple[dict[str, Any], ...] = ()
    faults: tuple[str, ...] = ()


@dataclass
class _Fault(Exception):
    words: str


@dataclass
class _Notes:
    faults: list[str] = field(default_factory=list)

    def add(self, where: str, words: str) -> None:
        self.faults.append(f"{where}: {words}")


def read(content: bytes, places: dict[str, list[Place]]) -> Read:
    """Return what stands in the file; ``places`` holds the house's places by folded name.

    Raises Unreadable for what is no such file at all: then no entry is looked at.
    """
    data = _decoded(content)
    notes = _Notes()
    _unknown(notes, _("the file"), data, TOP_KEYS)
    source = _text(notes, _("the file"), data, "source")
    entries = []
    rows = data.get("places")
    if not isinstance(rows, list) or not rows:
        raise Unreadable(_('"places" must be a list of places with their hours.'))
    for number, place, hours, count in _hours_of(rows, notes, places):
        where = _("place %(place)d, hours %(hours)d") % {"place": number, "hours": count}
        try:
            if len(entries) >= MOST_ENTRIES:
                raise Unreadable(
                    _("More than %(most)d entries: split the file.") % {"most": MOST_ENTRIES}
                )
            entries.append(_entry(notes, where, data, source, place, hours))
        except _Fault as fault:
            notes.add(where, fault.words)
    return Read(() if notes.faults else tuple(entries), tuple(notes.faults))


def _decoded(content: bytes) -> dict[str, Any]:
    if len(content) > MOST_BYTES:
        most = {"most": MOST_BYTES // 1024}
        raise Unreadable(_("The file is larger than %(most)d KB: split it.") % most)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Unreadable(_("The file is not UTF-8 text: save it as UTF-8.")) from None
    if _depth(text) > MOST_DEPTH:
        raise Unreadable(_("Too many brackets within brackets: this is no file of forecasts."))
    try:
        data = json.loads(
            text,
            object_pairs_hook=_once,
            parse_constant=_no_number,
            parse_int=_whole,
            parse_float=float,
        )
    except json.JSONDecodeError as fault:
        told = {"line": fault.lineno, "column": fault.colno}
        raise Unreadable(
            _("This is no JSON: look at line %(line)d, sign %(column)d.") % told
        ) from None
    if not isinstance(data, dict) or VERSION_KEY not in data:
        raise Unreadable(
            _('The file must begin with {"%(key)s": %(version)d, …}.')
            % {"key": VERSION_KEY, "version": VERSION}
        )
    version = data[VERSION_KEY]
    if isinstance(version, bool) or version != VERSION:
        raise Unreadable(
            _("Version %(found)s of the format is not known here: %(version)d is.")
            % {"found": str(version)[:20], "version": VERSION}
        )
    return data


def _depth(text: str) -> int:
    """How deep brackets nest outside of texts, counted before anything is built."""
    deepest = depth = 0
    quoted = escaped = False
    for sign in text:
        if quoted:
            quoted, escaped = escaped or sign != '"', sign == "\\" and not escaped
        elif sign == '"':
            quoted = True
        elif sign in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif sign in "]}":
            depth -= 1
    return deepest


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise Unreadable(
                _('"%(key)s" stands twice in one pair of brackets.') % {"key": key[:40]}
            )
        found[key] = value
    return found


def _no_number(name: str) -> None:
    raise Unreadable(_("%(name)s is no number: leave the key out instead.") % {"name": name})


def _whole(digits: str) -> int:
    if len(digits) > 12:
        raise Unreadable(_("%(digits)s… is too large a number.") % {"digits": digits[:12]})
    return int(digits)


def _hours_of(
    rows: list, notes: _Notes, places: dict[str, list[Place]]
) -> Iterator[tuple[int, Place, dict, int]]:
    """Yield (number of the place, place, one entry of hours, its number), noting what is none."""
    for number, row in enumerate(rows, start=1):
        where = _("place %(place)d") % {"place": number}
        if not isinstance(row, dict):
            notes.add(where, _("must be {…} with a location and its hours"))
            continue
        _unknown(notes, where, row, PLACE_KEYS)
        name = _text(notes, where, row, "location")
        found = places.get(name.casefold(), []) if name else []
        if name and len(found) != 1:
            words = (
                _("two places of the house are called %(name)s: rename one")
                if found
                else _("no place of the house is called %(name)s: write its name as it stands here")
            )
            notes.add(where, words % {"name": name})
        hours = row.get("hours")
        if not isinstance(hours, list) or not hours:
            notes.add(where, _('"hours" must be a list with one entry at least'))
            continue
        for count, entry in enumerate(hours, start=1):
            if len(found) == 1:
                yield number, found[0], entry, count


def _entry(
    notes: _Notes, where: str, data: dict, source: str, place: Place, hours: Any
) -> dict[str, Any]:
    if not isinstance(hours, dict):
        raise _Fault(_("must be {…} with from, to and sky"))
    _unknown(notes, where, hours, HOURS_KEYS)
    entry: dict[str, Any] = {
        "location_id": place.pk,
        "source": source,
        "taken_at": _instant(data, "taken_at", place),
        "valid_from": _instant(hours, "from", place),
        "valid_to": _instant(hours, "to", place),
        "sky": hours.get("sky"),
        "thunder": hours.get("thunder", False),
    }
    if entry["sky"] not in SKIES:
        raise _Fault(_('"sky" must be one of %(skies)s') % {"skies": ", ".join(SKIES)})
    if not isinstance(entry["thunder"], bool):
        raise _Fault(_('"thunder" must be true or false'))
    if entry["valid_to"] <= entry["valid_from"]:
        raise _Fault(_('"to" must come after "from"'))
    for name in FIGURES:
        entry[name] = _figure(hours.get(name), name)
    return entry


def _unknown(notes: _Notes, where: str, row: dict, known: set[str]) -> None:
    for key in row:
        if key not in known:
            words = _('"%(key)s" is not known; known are %(known)s')
            notes.add(where, words % {"key": key[:40], "known": ", ".join(sorted(known))})


def _text(notes: _Notes, where: str, row: dict, key: str) -> str:
    value = row.get(key)
    if not isinstance(value, str) or not value.strip() or not value.isprintable():
        notes.add(where, _('"%(key)s" must be a text on one line') % {"key": key})
        return ""
    if len(value.strip()) > MOST_TEXT:
        told = {"key": key, "most": MOST_TEXT}
        notes.add(where, _('"%(key)s" is longer than %(most)d signs') % told)
        return ""
    return value.strip()


def _figure(value: Any, name: str) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise _Fault(_('"%(key)s" must be a number without quotes, or left out') % {"key": name})
    return float(value)


def _instant(row: dict, key: str, place: Place) -> datetime:
    """Return an instant written with its offset, or on the clock of the place."""
    words = _('"%(key)s" must be a time such as 2027-09-18T06:00 or 2027-09-18T06:00+01:00')
    value = row.get(key)
    try:
        at = datetime.fromisoformat(value)
    except (TypeError, ValueError):
        raise _Fault(words % {"key": key}) from None
    if "T" not in value or not 1901 <= at.year <= 2099:
        raise _Fault(words % {"key": key})
    if at.tzinfo is not None:
        return at
    zone = ZoneInfo(place.timezone_name)
    earlier, later = (at.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    if earlier.utcoffset() != later.utcoffset():
        raise _Fault(
            _('"%(key)s" comes twice or never on the clock of the place: write its offset too')
            % {"key": key}
        )
    return earlier
