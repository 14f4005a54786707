"""What the page of a season shows: its rows added up, in words and beside their drawings."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext as _

from planning import season_drawings as draw
from planning.after.drawdowns import Drawdown
from planning.after.opinions import MARKS, Marks, marks
from planning.after.season import (
    LATE_DAYS,
    GustRow,
    Line,
    Seats,
    WorkshopRow,
    by_month,
    counted,
    grouped,
    over_by_part,
    over_by_set,
    seats,
)
from planning.after.spread import Spread, spread
from planning.after.takings import DayMoney, Takings, takings
from planning.figures import Figures
from planning.season_drawings import Drawn
from planning.selectors.season import Dates, SeasonRows
from workshops.models import Feedback, House, KitKind


@dataclass(frozen=True)
class Told:
    """A name, its figure in words, and what it rests on."""

    name: str
    middle: str
    half: str  # the middle half, or of a few the ends
    count: int


@dataclass(frozen=True)
class WorkshopLine:
    """One workshop in the table of seats."""

    row: WorkshopRow
    seats: Seats
    noted: bool
    money: DayMoney | None


@dataclass(frozen=True)
class Said:
    """What people said to one question."""

    question: str
    marks: Marks | None
    counts: tuple[tuple[str, int], ...]  # (answer in words, how often)
    count: int


@dataclass(frozen=True)
class PackLine:
    """One pack in one kind of head: its drawdowns, their spread, what is promised of it."""

    tag: str
    strobe: str
    told: Told
    nominal: float | None
    counted: bool  # whether the nominal was
    rows: tuple[Drawdown, ...]


@dataclass(frozen=True)
class PlaceGusts:
    """The gusts met at one place, and how far they lay above the forecasts."""

    place: str
    count: int
    most_m_s: float
    over: int
    beyond: Told | None


@dataclass(frozen=True)
class SeasonPage:
    """Everything the template shows."""

    seats: Seats
    late_days: int
    lines: list[WorkshopLine]
    months: list[tuple[date, Seats]]
    seats_drawn: Drawn
    over: Told | None
    sets_noted: int
    over_lines: list[Told]
    over_drawn: Drawn | None
    parts: list[Told]
    turns: Told | None
    frames: Told | None
    frames_a_day: Told | None
    turns_given: int
    causes: list[tuple[str, int]]
    causes_drawn: Drawn | None
    triggers: list[tuple[str, int]]
    bodies: list[tuple[str, int]]
    packs: list[PackLine]
    packs_drawn: list[Drawn]
    packs_left_out: list[tuple[str, int]]
    gusts_over: int
    gusts_drawn: Drawn | None
    places: list[PlaceGusts]
    beyond: Told | None
    kit: list[tuple[str, object]]
    said: list[Said]
    answered: int
    takings: list[Takings] | None


def season_page(found: SeasonRows, house: House, say: Figures) -> SeasonPage:
    """Return a season as its page shows it."""
    dates = drawn_dates(found)
    over, causes = over_by_set(found.sets), counted(one.cause for one in found.misfires)
    minutes = _known(one.minutes_over for one in found.sets)
    beyond = _known(one.beyond_m_s for one in found.gusts)
    return SeasonPage(
        seats=seats(found.workshops),
        late_days=LATE_DAYS,
        lines=_workshop_lines(found),
        months=by_month(found.workshops),
        seats_drawn=draw.seats_drawing(found.workshops, say),
        over=_told("", spread(minutes), lambda value: _signed(value, say)),
        sets_noted=len(minutes),
        over_lines=_lines(sorted(over, key=lambda line: -line.spread.median), say),
        over_drawn=draw.over_drawing(over, say) if over else None,
        parts=_lines(over_by_part(found.sets), say, _part_words()),
        turns=_told("", spread(_flat(one.turn_min for one in found.sets)), _tenths(say)),
        frames=_told("", spread(_flat(one.frames for one in found.sets)), say.number),
        frames_a_day=_told("", spread(_known(one.frames for one in found.people)), say.number),
        turns_given=sum(one.turns for one in found.sets),
        causes=[(draw.cause_words(cause), count) for cause, count in causes],
        causes_drawn=draw.causes_drawing(causes, say) if causes else None,
        triggers=counted(one.trigger for one in found.misfires if one.trigger),
        bodies=counted(one.body for one in found.misfires if one.body),
        packs=_packs(found.packs.drawdowns, say),
        packs_drawn=draw.packs_drawings(found.packs.drawdowns, dates, say),
        packs_left_out=[(_(why), n) for why, n in found.packs.left_out.items()],
        gusts_over=sum(one.over for one in found.gusts),
        gusts_drawn=_gusts(found, dates, house, say),
        places=_places(found.gusts, say),
        beyond=_told("", spread(beyond), say.speed_change),
        kit=[(str(dict(KitKind.Category.choices)[one.category]), one) for one in found.kit],
        said=_said(found),
        answered=sum(len(one.answers) for one in found.workshops),
        takings=None if found.money is None else takings(found.money),
    )


def _workshop_lines(found: SeasonRows) -> list[WorkshopLine]:
    money = {one.workshop_id: one for one in found.money or ()}
    return [
        WorkshopLine(row, seats([row]), bool(row.attended or row.absent), money.get(row.id))
        for row in found.workshops
    ]


def drawn_dates(found: SeasonRows) -> Dates:
    """Return the months in which there are workshops: no chart is mostly empty."""
    days = [row.start_at.date() for row in found.workshops] or [found.dates.first]
    days += [row.end_at.date() for row in found.workshops]
    following = max(days).replace(day=28) + timedelta(days=4)
    return Dates(min(days).replace(day=1), following.replace(day=1) - timedelta(days=1))


def _gusts(found: SeasonRows, dates: Dates, house: House, say: Figures) -> Drawn | None:
    if not found.gusts:
        return None
    return draw.gusts_drawing(found.gusts, dates, house.gust_limit_m_s, say)


def _places(rows: Iterable[GustRow], say: Figures) -> list[PlaceGusts]:
    return [
        PlaceGusts(
            place=place,
            count=len(met),
            most_m_s=max(one.gust_m_s for one in met),
            over=sum(one.over for one in met),
            beyond=_told(
                place,
                spread(_known(one.beyond_m_s for one in met)),
                say.speed_change,
            ),
        )
        for place, met in sorted(grouped(rows, lambda one: one.place).items())
    ]


def _told(name: str, found: Spread | None, write) -> Told | None:
    """Return a spread in words; None where there is nothing to tell."""
    if found is None:
        return None
    ends = {"low": write(found.low), "high": write(found.high)}
    half = "" if ends["low"] == ends["high"] else _("%(low)s to %(high)s") % ends
    return Told(name, write(found.median), half, found.count)


def _lines(lines: Iterable[Line], say: Figures, names: dict[str, str] | None = None) -> list[Told]:
    return [
        _told(
            (names or {}).get(line.name, line.name), line.spread, lambda value: _signed(value, say)
        )
        for line in lines
    ]


def _part_words() -> dict[str, str]:
    return {
        "morning": _("begun before noon"),
        "afternoon": _("begun from noon to five"),
        "evening": _("begun after five"),
    }


def _signed(value: float, say: Figures) -> str:
    return say.number(value, sign=True)


def _tenths(say: Figures):
    return lambda value: say.number(value, 1)


def _known(values: Iterable[float | None]) -> list[float]:
    return [value for value in values if value is not None]


def _flat(rows: Iterable[Sequence[float]]) -> list[float]:
    return [value for row in rows for value in row]


def _packs(rows: Iterable[Drawdown], say: Figures) -> list[PackLine]:
    packs = grouped(rows, lambda row: (row.tag, row.strobe))
    return [
        PackLine(
            tag=tag,
            strobe=strobe,
            told=_told(tag, spread(row.a_charge for row in found), say.number),
            nominal=found[-1].nominal,
            counted=found[-1].nominal_source == "own",
            rows=tuple(found),
        )
        for (tag, strobe), found in sorted(packs.items())
    ]


def _said(found: SeasonRows) -> list[Said]:
    answers = [answer for row in found.workshops for answer in row.answers]
    fields = {name: Feedback._meta.get_field(name) for name in ("taught", "safe", "turns", "pace")}
    told = [
        _marked(str(fields[name].verbose_name), marks(getattr(one, name) for one in answers))
        for name in ("taught", "safe")
    ]
    for name in ("turns", "pace"):
        given = [getattr(one, name) for one in answers if getattr(one, name)]
        counts = tuple((str(words), given.count(value)) for value, words in fields[name].choices)
        told.append(Said(str(fields[name].verbose_name), None, counts, len(given)))
    return told


def _marked(question: str, found: Marks | None) -> Said:
    if found is None:
        return Said(question, None, (), 0)
    counts = tuple((str(mark), count) for mark, count in zip(MARKS, found.each, strict=True))
    return Said(question, found, counts, found.count)
