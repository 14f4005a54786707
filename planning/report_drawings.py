"""A day compared -> its drawings, each with a heading: minutes, flashes, frames, gusts, packs."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from planning.after.compared import SetComparison
from planning.after.seen import NOT_NOTED, Pair
from planning.after.strobes import PackDay, Read, StrobeDay
from planning.after.totals import DayComparison
from planning.drawings.after import BarRow, GustRow, Mark, gust_strips, longest, pair_bars
from planning.drawings.after_packs import PackLine, packs_read
from planning.drawings.drawdown import Draw
from planning.figures import Figures
from planning.templatetags import figures

PACKS_MM = 52.0
IN_SHARE, OUT_SHARE = 0.06, 0.94  # where in a set a reading without a time is drawn
MOST_TITLE = 24
MOST_ROWS, MOST_STRIPS = 18, 6  # of one drawing: half a page of paper each
HEIGHT = re.compile(r'height="([0-9.]+)mm"')


@dataclass(frozen=True)
class Drawn:
    heading: str
    svg: str
    beside: str = ""  # what found no room in it
    continued: bool = False  # it goes on from the drawing before it

    @property
    def height_mm(self) -> float:
        return float(HEIGHT.search(self.svg)[1])


def drawings(day: DayComparison, say: Figures, *, width_mm: float) -> list[Drawn]:
    """Return the drawings there is something to draw for; call it in the house's language."""
    return [
        *_minutes(day, say, width_mm),
        *_flashes(day, say, width_mm),
        *_frames(day, say, width_mm),
        *_gusts(day, say, width_mm),
        *(_packs(day, one, say, width_mm) for one in day.strobes if one.packs),
    ]


def _bar(name: str, pair: Pair, show) -> BarRow:
    return BarRow(
        name,
        pair.planned,
        pair.actual,
        _("no plan") if pair.planned is None else show(pair.planned),
        _(NOT_NOTED) if pair.actual is None else show(pair.actual),
    )


def _set_name(one: SetComparison) -> str:
    return _("set %(number)s") % {"number": one.number}


def _minutes(day: DayComparison, say: Figures, width_mm: float) -> Iterator[Drawn]:
    rows = [
        _bar(_set_name(one), one.minutes, lambda n: figures.minutes(n, say)) for one in day.sets
    ]
    yield from _bars(_("Minutes of each set"), rows, say, width_mm)


def _flashes(day: DayComparison, say: Figures, width_mm: float) -> Iterator[Drawn]:
    rows = [
        _bar(_("%(number)s, %(light)s") % {"number": one.number, "light": head.light}, head.flashes,
             say.number)
        for one in day.sets
        for head in one.heads
    ]  # fmt: skip
    yield from _bars(_("Flashes of each set and lamp"), rows, say, width_mm)


def _frames(day: DayComparison, say: Figures, width_mm: float) -> Iterator[Drawn]:
    rows = [_bar(one.name, one.frames, say.number) for one in day.people]
    yield from _bars(_("Frames of each attendee"), rows, say, width_mm)


def _bars(heading: str, rows: Sequence[BarRow], say: Figures, width_mm: float) -> Iterator[Drawn]:
    if all(row.planned is None and row.actual is None for row in rows):
        return
    most = longest(rows)
    for some, title in _parts(rows, heading, MOST_ROWS):
        drawn = pair_bars(some, title, say, width_mm=width_mm, most=most)
        yield Drawn(title, mark_safe(drawn), continued=title != heading)


def _parts(rows: Sequence, heading: str, most: int) -> Iterator[tuple[Sequence, str]]:
    """Yield the rows in drawings that fit a page, those after the first called continued."""
    for start in range(0, len(rows), most):
        title = _("%(heading)s, continued") % {"heading": heading} if start else heading
        yield rows[start : start + most], title


def _gusts(day: DayComparison, say: Figures, width_mm: float) -> Iterator[Drawn]:
    rows = [_gust_row(one, say) for one in day.sets]
    if not any(row.met or row.forecast for row in rows):
        return
    heading = _("Gusts, forecast and limits")
    for some, title in _parts(rows, heading, MOST_STRIPS):
        drawn = gust_strips(some, title, say, width_mm=width_mm)
        rest = ", ".join(words for label in drawn.left_over for words in label.lines)
        yield Drawn(title, mark_safe(drawn.svg), rest, continued=title != heading)


def _gust_row(one: SetComparison, say: Figures) -> GustRow:
    wind = one.wind
    lowest: dict[str, float] = {}
    for limit in wind.limits:
        lowest[limit.what] = min(limit.gust_m_s, lowest.get(limit.what, limit.gust_m_s))
    strongest, forecast = wind.gust.actual, wind.gust.planned
    return GustRow(
        name=_set_name(one),
        forecast=Mark(forecast, _("forecast %(speed)s") % {"speed": say.speed(forecast)})
        if forecast is not None
        else None,
        met=tuple(gust for _at, gust in wind.met),
        strongest=Mark(strongest, say.speed(strongest)) if strongest is not None else None,
        limits=tuple(
            Mark(gust, f"{_limit_word(what, say)} {say.limit_speed(gust)}")
            for what, gust in lowest.items()
        ),
        words="" if wind.met else _(NOT_NOTED),
    )


def _limit_word(what: str, say: Figures) -> str:
    return _("more ballast") if what == "more ballast" else say.term(what)


def _packs(day: DayComparison, one: StrobeDay, say: Figures, width_mm: float) -> Drawn:
    """The packs of one kind of head; planned is the head of it that takes most in each set."""
    draws, place = [], {}
    for found in day.sets:
        shares = [head.charge.planned for head in found.heads if head.strobe == one.strobe]
        if shares:
            place[found.number] = (len(draws), found)
            known = [share for share in shares if share is not None]
            draws.append(Draw(_set_name(found), max(known) if known else None))
    lines = [_line(pack, one.strobe, place) for pack in one.packs]
    heading = _("Packs of %(strobe)s") % {"strobe": figures.short(one.strobe, MOST_TITLE)}
    drawn = packs_read(draws, lines, heading, say, width_mm=width_mm, height_mm=PACKS_MM)
    rest = ", ".join(words for label in drawn.left_over for words in label.lines)
    return Drawn(heading, mark_safe(drawn.svg), rest)


def _line(pack: PackDay, strobe: str, place: dict[int, tuple[int, SetComparison]]) -> PackLine:
    reads = [
        (_along(read, *place[read.set_number]), read.share)
        for read in pack.reads
        if read.share is not None and read.strobe == strobe
    ]
    return PackLine(pack.tag, tuple(reads))


def _along(read: Read, index: int, one: SetComparison) -> float:
    """Where in the day, sets laid end to end, a pack was read: by the clock where one is noted."""
    share = IN_SHARE if read.is_in else OUT_SHARE
    begins = one.began.actual or one.began.planned
    ends = one.ended.actual or one.ended.planned
    if read.at is not None and ends > begins:
        share = min(max((read.at - begins) / (ends - begins), IN_SHARE), OUT_SHARE)
    return index + share
