"""A season as tables to carry away: plain figures, their units in the headings."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.after.opinions import Marks, marks
from planning.after.season import LATE_DAYS, SetRow, WorkshopRow
from planning.after.spread import spread
from planning.after.takings import DayMoney
from planning.season_drawings import cause_words
from planning.selectors.season import SeasonRows
from workshops.lists.writing import Cell
from workshops.models import Booking, KitKind

# Code of each table, as it stands in its address, and its title.
TITLES = (
    ("workshops", gettext_lazy("Workshops")),
    ("sets", gettext_lazy("Sets")),
    ("attendees", gettext_lazy("Attendees")),
    ("misfires", gettext_lazy("Misfires")),
    ("batteries", gettext_lazy("Batteries")),
    ("gusts", gettext_lazy("Gusts")),
    ("kit", gettext_lazy("Kit")),
)
CODES = tuple(code for code, _title in TITLES)


Made = tuple[list[str], list[list[Cell]]]


@dataclass(frozen=True)
class Table:
    """One table by its code, with a title in words."""

    code: str
    title: str
    header: list[str]
    rows: list[list[Cell]]


def tables(found: SeasonRows) -> list[Table]:
    """Return every table of a season, in the order of ``CODES``."""
    return [table(found, code) for code in CODES]


def table(found: SeasonRows, code: str) -> Table:
    """Return the table of that code. Raises KeyError for any that is not in ``CODES``."""
    makers = {
        "workshops": _workshops,
        "sets": _sets,
        "attendees": _attendees,
        "misfires": _misfires,
        "batteries": _batteries,
        "gusts": _gusts,
        "kit": _kit,
    }
    header, rows = makers[code](found)
    return Table(code, str(dict(TITLES)[code]), header, rows)


def _workshops(found: SeasonRows) -> Made:
    late = _("Of these in the last %(days)d days") % {"days": LATE_DAYS}
    header = [
        _("Begins"), _("Workshop"), _("Called off"), _("Seats offered"), _("Booked"), _("Came"),
        _("Absent"), _("Left by the attendee"), late,
        _("Answers"), _("It taught what it promised (1 to 5)"), _("I felt safe (1 to 5)"),
    ]  # fmt: skip
    money: dict[int, list[Cell]] = defaultdict(lambda: [None] * 4)
    if found.money is not None:
        header += [_("Currency"), _("Takings without tax"), _("Costs"), _("Left over")]
        money |= {one.workshop_id: _money(one) for one in found.money}
    rows = [
        _workshop(one) + (money[one.id] if found.money is not None else [])
        for one in found.workshops
    ]
    return header, rows


def _workshop(one: WorkshopRow) -> list[Cell]:
    noted = bool(one.attended or one.absent)
    return [
        _at(one.start_at),
        one.title,
        _yes(one.called_off),
        one.offered,
        one.booked,
        one.attended if noted else None,
        one.absent if noted else None,
        len(one.left_days),
        sum(days < LATE_DAYS for days in one.left_days),
        len(one.answers),
        _average(marks(answer.taught for answer in one.answers)),
        _average(marks(answer.safe for answer in one.answers)),
    ]


def _money(one: DayMoney) -> list[Cell]:
    return [one.currency, float(one.takings), float(one.costs), float(one.result)]


def _sets(found: SeasonRows) -> Made:
    header = [
        _("Planned for"), _("Workshop"), _("Set"), _("Place"), _("Planned (min)"), _("Began"),
        _("Ended"), _("Over plan (min)"), _("Turns given"), _("Called in vain"),
        _("From turn to turn, the middle (min)"), _("Frames of each attendee, the middle"),
        _("Misfires"), _("Near misses"),
    ]  # fmt: skip
    return header, [_set(one) for one in found.sets]


def _set(one: SetRow) -> list[Cell]:
    return [
        _at(one.start_at),
        one.workshop,
        one.title,
        one.place,
        (one.end_at - one.start_at).total_seconds() / 60,
        _at(one.began_at),
        _at(one.ended_at),
        _rounded(one.minutes_over, 1),
        one.turns,
        one.missed,
        _middle(one.turn_min),
        _middle(one.frames),
        one.misfires,
        one.near_misses,
    ]


def _attendees(found: SeasonRows) -> Made:
    header = [
        _("Workshop"), _("Name"), _("Booking"), _("Turns given"), _("Called in vain"), _("Frames"),
        _("Misfires"),
    ]  # fmt: skip
    states = dict(Booking.State.choices)
    rows = [
        [
            one.workshop,
            one.name,
            str(states[one.state]),
            one.turns,
            one.missed,
            one.frames,
            one.misfires,
        ]
        for one in found.people
    ]
    return header, rows


def _misfires(found: SeasonRows) -> Made:
    header = [
        _("At"), _("Workshop"), _("Set"), _("Attendee"), _("Cause"), _("Trigger"), _("Body"),
        _("Notes"),
    ]  # fmt: skip
    rows = [
        [
            _at(one.at),
            one.workshop,
            one.set_title,
            one.attendee,
            cause_words(one.cause),
            one.trigger,
            one.body,
            one.notes,
        ]
        for one in found.misfires
    ]
    return header, rows


def _batteries(found: SeasonRows) -> Made:
    header = [
        _("At"), _("Pack"), _("In"), _("Workshop"), _("Set"), _("Full-power flashes counted"),
        _("Used, idling taken off (share of a charge)"), _("Left by the cold (share)"),
        _("Full-power flashes a charge"), _("No fewer than"), _("No more than"),
        _("New, or as counted"), _("Counted or estimated"),
    ]  # fmt: skip
    sources = {"own": _("counted"), "estimate": _("from its watt-hours"), "": None}
    rows = [
        [
            _at(one.at),
            one.tag,
            one.strobe,
            one.workshop,
            one.set_title,
            _rounded(one.full_power_flashes, 1),
            _rounded(one.used_share, 3),
            _rounded(one.cold_share, 3),
            _rounded(one.a_charge, 1),
            _rounded(one.low, 1),
            _rounded(one.high, 1),
            _rounded(one.nominal, 1),
            sources[one.nominal_source],
        ]
        for one in found.packs.drawdowns
    ]
    return header, rows


def _gusts(found: SeasonRows) -> Made:
    header = [
        _("At"), _("Workshop"), _("Set"), _("Place"), _("Gust met (m/s)"),
        _("Forecast for the place (m/s)"), _("Everything comes down above (m/s)"),
        _("Above the limit"), _("Minutes until the set ended"),
    ]  # fmt: skip
    rows = [
        [
            _at(one.at),
            one.workshop,
            one.set_title,
            one.place,
            _rounded(one.gust_m_s, 2),
            _rounded(one.forecast_m_s, 2),
            one.limit_m_s,
            _yes(one.over),
            _rounded(one.ended_min, 1),
        ]
        for one in found.gusts
    ]
    return header, rows


def _kit(found: SeasonRows) -> Made:
    header = [
        _("Kit"), _("Units fit for use"), _("Unit-days promised"), _("Unit-days available"),
        _("Most at once"),
    ]  # fmt: skip
    names = dict(KitKind.Category.choices)
    rows = [
        [
            str(names[one.category]),
            one.units,
            _rounded(one.promised_days, 2),
            one.available_days,
            one.most_at_once,
        ]
        for one in found.kit
    ]
    return header, rows


def _at(at: datetime | None) -> str | None:
    """Return an instant on the clock of its place, as every spreadsheet sorts it."""
    return f"{at:%Y-%m-%d %H:%M}" if at else None


def _yes(told: bool) -> str:
    return _("yes") if told else _("no")


def _rounded(value: float | None, places: int) -> float | None:
    return None if value is None else round(value, places)


def _average(told: Marks | None) -> float | None:
    return None if told is None else round(told.average, 2)


def _middle(values: Iterable[float]) -> float | None:
    found = spread(values)
    return None if found is None else round(found.median, 1)
