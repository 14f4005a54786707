"""The day sheet: the running order and the sun on the front, people, help and packing behind."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.safestring import mark_safe

from planning.drawings.drawdown import Draw, drawdown
from planning.drawings.sun_day import Place, Span, sun_day
from planning.figures import Figures
from planning.sheets import pdf
from planning.sheets.options import PrintOptions
from planning.sheets.pages import in_language

SUN_MM = {"a4": 60.0, "letter": 46.0}  # the shorter paper has less to give
PACKS_MM = {"a4": (60.0, 32.0), "letter": (60.0, 26.0)}
BEFORE = timedelta(hours=1)  # of light before the first and after the last set
MOST_DRAWN_HOURS = timedelta(hours=24)


@dataclass(frozen=True)
class Entry:
    """One line of the running order; ``number`` where it is a set."""

    start_at: datetime
    end_at: datetime
    what: str
    where: str = ""
    why: str = ""
    number: int | None = None
    sun: str = ""  # where it stands for the photographer, at the beginning and the end
    key: str = ""  # the recipe in a few marks


@dataclass(frozen=True)
class PersonLine:
    name: str
    part: str
    phone: str
    note: str = ""


@dataclass(frozen=True)
class Help:
    """The emergency card of one place."""

    place: str
    emergency: str
    position: str
    signal: str


@dataclass(frozen=True)
class WeatherLine:
    """A place's newest forecast against the limits, in words."""

    place: str
    forecast: str
    verdict: str


@dataclass(frozen=True)
class Pack:
    """A category of the packing list."""

    category: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Strobe:
    """One head's packs through the day."""

    name: str
    draws: tuple[Draw, ...]


@dataclass(frozen=True)
class DaySheet:
    """Everything a day sheet says, in words fit to print; figures of the drawings in our units."""

    title: str
    day: str
    timezone: str
    channel: str
    meeting: str
    entries: tuple[Entry, ...]
    place: Place | None  # whose sun is drawn
    people: tuple[PersonLine, ...]
    help: tuple[Help, ...]
    weather: tuple[WeatherLine, ...] = ()
    decision: str = ""
    packing: tuple[Pack, ...] = ()
    carry_kg: float | None = None
    strobes: tuple[Strobe, ...] = ()
    cautions: tuple[str, ...] = ()
    changed_at: datetime | None = None


def day_pdf(days: Sequence[DaySheet], options: PrintOptions) -> bytes:
    """Return a leaf for each day. Raises SheetFailed when the renderer has a complaint."""
    with in_language(options):
        leaves = [_leaf(day, options) for day in days]
    return pdf.leaves_pdf("sheets/day.html", leaves, options, sides=2)


def _leaf(day: DaySheet, options: PrintOptions) -> dict:
    say = options.figures(day.timezone)
    return {
        "day": day,
        "say": say,
        "noted": any(one.note for one in day.people),
        "sun": mark_safe(_sun(day, say, options)) if day.place else "",
        "packs": [
            (strobe.name, mark_safe(_packs(strobe, say, options)))
            for strobe in day.strobes
            if strobe.draws
        ],
    }


def _sun(day: DaySheet, say: Figures, options: PrintOptions) -> str:
    sets = [entry for entry in day.entries if entry.number is not None]
    if not sets:
        return ""
    first = min(entry.start_at for entry in sets) - BEFORE
    start_at = first.replace(minute=0, second=0, microsecond=0)
    end_at = min(max(entry.end_at for entry in sets) + BEFORE, start_at + MOST_DRAWN_HOURS)
    spans = [Span(one.number, one.what, one.start_at, one.end_at) for one in sets]
    size = {"width_mm": options.text_width_mm, "height_mm": SUN_MM[options.paper]}
    return sun_day(day.place, start_at, end_at, spans, say, **size)


def _packs(strobe: Strobe, say: Figures, options: PrintOptions) -> str:
    width_mm, height_mm = PACKS_MM[options.paper]
    return drawdown(strobe.draws, say, width_mm=width_mm, height_mm=height_mm)
