"""A season's light in words and rows: for the page, the sheet and the command."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from itertools import groupby, zip_longest

from django.utils import formats
from django.utils.translation import gettext as _

from planning.drawings.season import ChartRow, season_chart
from planning.figures import Figures
from planning.lesson.season import SeasonDay, WantedSun, best, runs
from planning.lesson.windows import Window
from workshops.words import NO_BREAK, NOT_KNOWN

BEST = 10
MOST_RUNS = 6
MOST_SPANS = 2  # of one date, where there is little room
DAYS_TICKED = (10, 20)
SECOND_H = 1.0 / 3600


@dataclass(frozen=True)
class LightLine:
    """One date of the table."""

    day: date
    date: str
    spans: tuple[str, ...]
    few_spans: str  # the same where there is little room
    light_min: float
    hidden_min: float


@dataclass(frozen=True)
class ShownSeason:
    """What page and sheet show of a season."""

    wanted: str  # the wanted sun in a sentence
    dates: str  # from which date to which
    lit: int  # dates with light
    count: int
    runs: tuple[str, ...]  # rows of dates without a gap; none where they are too many to tell
    best: tuple[LightLine, ...]
    lines: tuple[LightLine, ...]  # every date with light
    none: str  # where no date has light, why, in a sentence
    horizon: str  # what the horizon takes of it, in a sentence

    @property
    def hides(self) -> bool:
        """Whether the horizon takes anything of a date that has light."""
        return any(line.hidden_min for line in self.lines)

    @property
    def best_pairs(self) -> list[tuple[LightLine, LightLine | None]]:
        """The best dates in two columns, the better half on the left."""
        half = (len(self.best) + 1) // 2
        return list(zip_longest(self.best[:half], self.best[half:]))


def season_words(
    days: Sequence[SeasonDay], wanted: WantedSun, say: Figures, *, has_horizon: bool
) -> ShownSeason:
    """Return the season in words."""
    lit = [day for day in days if day.windows]
    return ShownSeason(
        wanted=wanted_words(wanted, say),
        dates=span_words(days[0].day, days[-1].day),
        lit=len(lit),
        count=len(days),
        runs=_runs(days),
        best=tuple(_line(day, say) for day in best(days, BEST)),
        lines=tuple(_line(day, say) for day in lit),
        none=none_words(days),
        horizon=horizon_words(days, wanted, has_horizon=has_horizon),
    )


def season_drawing(
    days: Sequence[SeasonDay], say: Figures, *, width_mm: float = 190.0, height_mm: float = 200.0
) -> str:
    """Return the season's chart as SVG."""
    hours = [_hour(hour, say) for hour in range(25)]
    title = _("The wanted sun by date and hour")
    rows = _rows(days, say)
    return season_chart(rows, hours, title, say, width_mm=width_mm, height_mm=height_mm)


def wanted_words(wanted: WantedSun, say: Figures) -> str:
    """Return where the sun is wanted: "Sun from 200° to 250° true, 5° to 25° high"."""
    told = {
        "first": _degrees(wanted.from_deg, say),
        "last": _degrees(wanted.to_deg, say),
        "low": _degrees(wanted.low_deg, say),
        "high": _degrees(wanted.high_deg, say),
    }
    if (wanted.to_deg - wanted.from_deg) % 360 == 0:
        return _("The sun in any direction, %(low)s to %(high)s high") % told
    return _("The sun from %(first)s clockwise to %(last)s true, %(low)s to %(high)s high") % told


def none_words(days: Sequence[SeasonDay]) -> str:
    """Return why no date has light, empty where one has."""
    if any(day.windows for day in days):
        return ""
    if any(day.short for day in days):
        return _("On none of these dates does the sun stand there for so long.")
    if any(day.hidden for day in days):
        return _("On these dates the horizon entered hides the sun whenever it stands there.")
    if not any(day.sun_up for day in days):
        return _("On none of these dates does the sun stand there: it does not rise.")
    return _("On none of these dates does the sun stand there.")


def horizon_words(days: Sequence[SeasonDay], wanted: WantedSun, *, has_horizon: bool) -> str:
    if wanted.high_deg <= 0:
        return _("A sun below level is wanted for its twilight: the horizon is not asked.")
    if not has_horizon:
        return _("No horizon is entered here: hills, trees and walls are not reckoned with.")
    if not any(day.windows or day.short or day.hidden for day in days):
        return ""
    if any(day.hidden for day in days):
        return _("Where the horizon entered hides the sun is taken off.")
    return _("The horizon entered hides nothing of it.")


def span_words(first: date, last: date) -> str:
    if first == last:
        return _day(first)
    return _("%(first)s to %(last)s") % {"first": _day(first), "last": _day(last)}


def spans_words(windows: Sequence[Window], say: Figures) -> str:
    """Return the clock's spans of one date: "08:10–09:30, 14:08–16:52"."""
    return ", ".join(_clocks(window, say) for window in windows) or NOT_KNOWN


def _runs(days: Sequence[SeasonDay]) -> tuple[str, ...]:
    found = runs(days)
    return tuple(span_words(*run) for run in found) if len(found) <= MOST_RUNS else ()


def _line(day: SeasonDay, say: Figures) -> LightLine:
    return LightLine(
        day.day,
        _weekday(day.day),
        tuple(_clocks(window, say) for window in day.windows),
        _few_spans(day, say),
        day.light_min,
        day.hidden_min,
    )


def _rows(days: Sequence[SeasonDay], say: Figures) -> list[ChartRow]:
    chief = _best_of_months(days)
    return [
        ChartRow(
            label=_short(day.day),
            month=_month(day.day) if day.day.day == 1 or index == 0 else "",
            tick=str(day.day.day) if day.day.day in DAYS_TICKED else "",
            light=tuple(_hours(day, window) for window in day.windows),
            hidden=tuple(_hours(day, window) for window in day.hidden),
            rises=tuple(
                hour for hour in (_hours(day, up)[0] for up in day.sun_up) if hour > SECOND_H
            ),
            sets=tuple(
                hour for hour in (_hours(day, up)[1] for up in day.sun_up) if hour < 24 - SECOND_H
            ),
            words=_words(day, say) if day.windows else "",
            chief=day.day in chief,
        )
        for index, day in enumerate(days)
    ]


def _best_of_months(days: Sequence[SeasonDay]) -> set[date]:
    months = groupby(days, key=lambda day: (day.day.year, day.day.month))
    return {day.day for _month, some in months for day in best(list(some), 1)}


def _words(day: SeasonDay, say: Figures) -> str:
    """Return what stands beside the chart: "14:08–16:52, 164 min"."""
    told = {"spans": _few_spans(day, say), "minutes": say.whole_minutes(day.light_min)}
    return _("%(spans)s, %(minutes)s min") % told


def _few_spans(day: SeasonDay, say: Figures) -> str:
    """Return the spans of a date, of many only the longest and how many more there are."""
    if len(day.windows) <= MOST_SPANS:
        return spans_words(day.windows, say)
    longest = max(day.windows, key=lambda window: window.length)
    told = {"span": _clocks(longest, say), "n": len(day.windows) - 1}
    return _("%(span)s and %(n)d more") % told


def _hours(day: SeasonDay, window: Window) -> tuple[float, float]:
    """Return a window's ends as the clock on the wall shows them, 24 at the day's end."""
    midnight = datetime.combine(day.day, time())
    ends = (window.start_at, window.end_at)
    first_h, last_h = sorted(
        (at.replace(tzinfo=None) - midnight).total_seconds() / 3600 for at in ends
    )
    return max(0.0, first_h), min(24.0, last_h)


def _clocks(window: Window, say: Figures) -> str:
    """Return a span of one date; where the clock is moved in it, with the names of both times."""
    ends = (window.start_at, window.end_at)
    told = [say.clock(window.start_at), _end_clock(window.end_at, say)]
    if len({at.utcoffset() for at in ends}) > 1 or any(_comes_twice(at) for at in ends):
        told = [f"{clock}{NO_BREAK}{at.tzname()}" for clock, at in zip(told, ends, strict=True)]
    return "\N{EN DASH}".join(told)


def _end_clock(at: datetime, say: Figures) -> str:
    """Return when a span of one date ends: its midnight is 24:00, not the morning's 00:00."""
    clock = say.clock(at)
    midnight = at.replace(hour=0, minute=0, second=0, microsecond=0)
    return "24:00" if say.clock_hours == 24 and clock == say.clock(midnight) else clock


def _comes_twice(at: datetime) -> bool:
    """Whether the clock of the place shows this time twice that day."""
    return at.replace(fold=0).utcoffset() != at.replace(fold=1).utcoffset()


def _degrees(value_deg: float, say: Figures) -> str:
    return f"{say.number(value_deg, 0 if value_deg == round(value_deg) else 1)}°"


def _hour(hour: int, say: Figures) -> str:
    """Return an hour of the clock without its minutes: "14", or "2 pm"."""
    if say.clock_hours == 24:
        return f"{hour:02d}"
    half = _("am") if hour % 24 < 12 else _("pm")
    return f"{(hour - 1) % 12 + 1}{NO_BREAK}{half}"


def _day(day: date) -> str:
    return formats.date_format(day, "DATE_FORMAT")


def _short(day: date) -> str:
    return formats.date_format(day, "j M")


def _weekday(day: date) -> str:
    # Django's own short names of days are said with the words of this site: "Sun" is one of them.
    return f"{formats.date_format(day, 'l')[:3]} {formats.date_format(day, 'j M Y')}"


def _month(day: date) -> str:
    return formats.date_format(day, "M Y")
