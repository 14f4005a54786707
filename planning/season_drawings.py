"""A season's charts: its rows -> drawings with the house's words and units on them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.after.drawdowns import Drawdown
from planning.after.season import GustRow, Line, WorkshopRow, grouped
from planning.drawings.season_charts import (
    Dot,
    DotRow,
    Level,
    SeatBar,
    along_the_dates,
    count_bars,
    dot_rows,
    seat_bars,
)
from planning.figures import Figures
from planning.models import TallyEvent
from planning.selectors.season import Dates
from workshops.units import METRES_A_SECOND_A_MILE_AN_HOUR

MOST_ROWS = 24  # of one chart; the table beside it has all
MOST_PACKS = 12


@dataclass(frozen=True)
class Drawn:
    """A drawing, and how many rows of how many it shows."""

    svg: str
    shown: int
    of: int

    @property
    def is_part(self) -> bool:
        return self.shown < self.of


def seats_drawing(rows: Sequence[WorkshopRow], say: Figures) -> Drawn:
    """Return the latest workshops that were not called off, the first of them on top."""
    held = [row for row in rows if not row.called_off]
    shown = held[-MOST_ROWS:]
    bars = [
        SeatBar(
            name=f"{short_date(row.start_at.date())} {row.title}",
            offered=row.offered,
            booked=row.booked,
            came=row.attended if row.attended or row.absent else None,
            words=_seat_words(row),
        )
        for row in shown
    ]
    return Drawn(seat_bars(bars, _("Seats filled, by workshop"), say), len(shown), len(held))


def _seat_words(row: WorkshopRow) -> str:
    told = {"booked": row.booked, "offered": row.offered, "came": row.attended}
    if row.attended or row.absent:
        return _("%(booked)d of %(offered)d booked, %(came)d came") % told
    return _("%(booked)d of %(offered)d booked") % told


def causes_drawing(counts: Sequence[tuple[str, int]], say: Figures) -> Drawn:
    rows = [(cause_words(cause), count) for cause, count in counts]
    return Drawn(count_bars(rows, _("Why a lamp did not fire"), say), len(rows), len(rows))


def cause_words(cause: str) -> str:
    return str(dict(TallyEvent.Cause.choices).get(cause, cause))


def over_drawing(rows: Sequence[Line], say: Figures) -> Drawn:
    """Return the minutes over plan of each set, what runs over most on top."""
    worst = sorted(rows, key=lambda row: -row.spread.median)[:MOST_ROWS]
    told = [DotRow(row.name, row.values, row.spread.median, _over_words(row, say)) for row in worst]
    title = _("Minutes over plan, by set")
    return Drawn(dot_rows(told, _("as planned"), title, say), len(worst), len(rows))


def _over_words(row: Line, say: Figures) -> str:
    told = {"minutes": say.number(row.spread.median, sign=True), "n": row.spread.count}
    return ngettext("%(minutes)s min, once", "%(minutes)s min, %(n)d times", told["n"]) % told


def gusts_drawing(rows: Sequence[GustRow], dates: Dates, limit_m_s: float, say: Figures) -> Drawn:
    """Return the gusts met along the dates against the house's limit; rings: as forecast."""
    unit = say.speed(1.0).split("\N{NO-BREAK SPACE}")[-1]
    dots = [
        Dot(
            along=_along(row.at.date(), dates),
            value=_in_unit(row.gust_m_s, say),
            against=None if row.forecast_m_s is None else _in_unit(row.forecast_m_s, say),
            words=short_date(row.at.date()) if row.over else "",
        )
        for row in rows
    ]
    told = _("everything down above %(limit)s") % {"limit": say.limit_speed(limit_m_s)}
    heading = _("Gusts in %(unit)s: black met, ring as forecast") % {"unit": unit}
    level = Level(_in_unit(limit_m_s, say), told)
    title = _("Gusts met over the season")
    drawn = along_the_dates(dots, level, month_ticks(dates), heading, title, say)
    return Drawn(drawn, len(rows), len(rows))


def packs_drawings(rows: Iterable[Drawdown], dates: Dates, say: Figures) -> list[Drawn]:
    """Return a chart for each pack in each kind of head, those read most often first."""
    packs = grouped(rows, lambda row: (row.tag, row.strobe))
    first = sorted(packs.items(), key=lambda item: (-len(item[1]), item[0]))[:MOST_PACKS]
    return [
        Drawn(_pack_drawing(tag, strobe, found, dates, say), len(first), len(packs))
        for (tag, strobe), found in first
    ]


def _pack_drawing(
    tag: str, strobe: str, rows: Sequence[Drawdown], dates: Dates, say: Figures
) -> str:
    dots = [
        Dot(_along(row.at.date(), dates), row.a_charge, low=row.low, high=row.high) for row in rows
    ]
    nominal = rows[-1].nominal
    level = None
    if nominal is not None:
        told = {"flashes": say.number(nominal)}
        words = {
            "own": _("as counted: %(flashes)s"),
            "estimate": _("new, by its watt-hours: %(flashes)s"),
        }
        level = Level(nominal, words[rows[-1].nominal_source] % told)
    told = {"tag": tag, "strobe": strobe}
    heading = _("%(tag)s in %(strobe)s: full-power flashes a charge") % told
    title = _("Full-power flashes a charge of %(tag)s, by date") % told
    return along_the_dates(dots, level, month_ticks(dates), heading, title, say)


def month_ticks(dates: Dates) -> list[tuple[float, str]]:
    """Return where each month of the dates begins, and its name; January says its year."""
    ticks, month = [], dates.first.replace(day=1)
    while month <= dates.last:
        if month >= dates.first or not ticks:
            year = month.month == 1 or not ticks
            words = formats.date_format(month, "M Y" if year else "M")
            ticks.append((max(0.0, _along(month, dates)), words))
        month = (month + timedelta(days=32)).replace(day=1)
    return ticks


def _along(day: date, dates: Dates) -> float:
    """Return where a date lies between the first and the last one, the last one's end being 1."""
    return (day - dates.first).days / ((dates.last - dates.first).days + 1)


def _in_unit(speed_m_s: float, say: Figures) -> float:
    return speed_m_s if say.units == "metric" else speed_m_s / METRES_A_SECOND_A_MILE_AN_HOUR


def short_date(day: date) -> str:
    return formats.date_format(day, "j M Y")
