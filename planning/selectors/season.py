"""The rows of a season's workshops, in a number of queries that does not grow with them."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Count

from planning.after.season import (
    Answers,
    GustRow,
    KitDays,
    MisfireRow,
    Promise,
    SetRow,
    WorkshopRow,
    kit_days,
)
from planning.after.takings import DayMoney
from planning.selectors.season_kit import Packs, packs_of
from planning.selectors.season_sets import (
    PersonRow,
    gust_rows,
    misfire_rows,
    person_rows,
    set_rows,
    sets_noted,
)
from workshops import refunds
from workshops.access import own_workshops
from workshops.models import (
    LIVE,
    Booking,
    Feedback,
    House,
    KitKind,
    KitUnit,
    Reservation,
    User,
    Workshop,
)
from workshops.models.base import in_zone
from workshops.selectors.day_money import day_results

DAY = timedelta(days=1)
MOST_DAYS = 3660  # of one season: ten years
State = Booking.State


@dataclass(frozen=True)
class Dates:
    """The first and the last date of a season, both in it."""

    first: date
    last: date

    def span(self, timezone_name: str) -> tuple[datetime, datetime]:
        """Return the half-open span of the dates on the clock of a place."""
        zone = ZoneInfo(timezone_name)
        begins = datetime.combine(self.first, time(), zone)
        return begins, datetime.combine(self.last + DAY, time(), zone)


@dataclass(frozen=True)
class SeasonRows:
    """Everything a season is added up from."""

    dates: Dates
    workshops: list[WorkshopRow]
    kit: list[KitDays]
    sets: list[SetRow]
    people: list[PersonRow]
    misfires: list[MisfireRow]
    gusts: list[GustRow]
    packs: Packs
    money: list[DayMoney] | None  # None: not for this account


def season_rows(
    user: User, dates: Dates, house: House, now: datetime, *, with_money: bool
) -> SeasonRows:
    """Return what there is of the account's own workshops that begin on these dates."""
    found = season_workshops(user, dates)
    held = [one for one in found if one.status != Workshop.Status.CANCELLED]
    rows, day = workshop_rows(found, now), sets_noted(held)
    return SeasonRows(
        dates=dates,
        workshops=rows,
        kit=kit_days(
            promises(held, dates, house.timezone_name),
            units_of_the_shelf(),
            *dates.span(house.timezone_name),
        ),
        sets=set_rows(day),
        people=person_rows(held, day),
        misfires=misfire_rows(day),
        gusts=gust_rows(day, house),
        packs=packs_of(day),
        money=money_rows(held, rows, house) if with_money else None,
    )


def season_workshops(user: User, dates: Dates) -> list[Workshop]:
    """Return the account's own workshops that begin on these dates of the place's clock.

    Drafts are no workshops yet. The first one comes first.
    """
    rows = own_workshops(user).exclude(status=Workshop.Status.DRAFT)
    first, last = dates.span("UTC")
    # Clocks are at the most 14 hours off UTC: a day more on both sides, then by the date itself.
    near = rows.filter(start_at__gte=first - DAY, start_at__lt=last + DAY).annotate(
        offered=Count("seats")
    )
    return [
        one
        for one in near.order_by("start_at", "pk")
        if dates.first <= in_zone(one.start_at, one.timezone_name).date() <= dates.last
    ]


def whole_span(user: User) -> Dates | None:
    """Return from which date to which the account's workshops lie; None where there are none."""
    rows = own_workshops(user).exclude(status=Workshop.Status.DRAFT).order_by("start_at")
    ends = [rows.first(), rows.last()]
    if ends[0] is None:
        return None
    return Dates(*(in_zone(one.start_at, one.timezone_name).date() for one in ends))


def workshop_rows(workshops: list[Workshop], now: datetime) -> list[WorkshopRow]:
    """Return the workshops with their seats, who came, who left when, and what people said."""
    bookings = defaultdict(list)
    for one in Booking.objects.filter(workshop__in=_pks(workshops)).exclude(state=State.WAITLISTED):
        bookings[one.workshop_id].append(one)
    answers = _answers(workshops)
    return [_workshop(one, bookings[one.pk], answers.get(one.pk, ()), now) for one in workshops]


def _workshop(
    workshop: Workshop, bookings: list[Booking], answers: tuple[Answers, ...], now: datetime
) -> WorkshopRow:
    zone = workshop.timezone_name
    states = [one.state for one in bookings]
    left = [
        refunds.whole_days_left(workshop.start_at, one.cancelled_at, zone)
        for one in bookings
        if one.state == State.CANCELLED and one.cancelled_by == Booking.CalledOffBy.ATTENDEE
    ]
    return WorkshopRow(
        id=workshop.pk,
        title=workshop.title,
        start_at=in_zone(workshop.start_at, zone),
        end_at=in_zone(workshop.end_at, zone),
        called_off=workshop.status == Workshop.Status.CANCELLED,
        over=workshop.end_at <= now,
        offered=workshop.offered,
        booked=sum(state in LIVE for state in states),
        attended=states.count(State.ATTENDED),
        absent=states.count(State.ABSENT),
        left_days=tuple(sorted(left)),
        answers=answers,
    )


def _answers(workshops: list[Workshop]) -> dict[int, tuple[Answers, ...]]:
    found: dict[int, tuple[Answers, ...]] = {}
    rows = Feedback.objects.filter(booking__workshop__in=_pks(workshops))
    for workshop, *told in rows.order_by("pk").values_list(
        "booking__workshop", "taught", "safe", "turns", "pace"
    ):
        found[workshop] = (*found.get(workshop, ()), Answers(*told))
    return found


def money_rows(workshops: list[Workshop], rows: list[WorkshopRow], house: House) -> list[DayMoney]:
    """Return what each workshop that is over brought and cost, agreed prices without the tax."""
    days = {one.id: one.days for one in rows if one.over}
    over = [one for one in workshops if one.pk in days]
    results = day_results(over, house)
    return [
        DayMoney(
            workshop_id=one.pk,
            currency=one.currency,
            days=days[one.pk],
            takings=results[one.pk].takings,
            costs=results[one.pk].takings - results[one.pk].result,
        )
        for one in over
    ]


def promises(workshops: list[Workshop], dates: Dates, timezone_name: str) -> list[Promise]:
    """Return the kit promised to these workshops."""
    first, last = dates.span(timezone_name)
    rows = Reservation.objects.filter(
        workshop__in=_pks(workshops), start_at__lt=last, end_at__gt=first
    ).values_list("unit__kind__category", "start_at", "end_at")
    return [Promise(*row) for row in rows]


def units_of_the_shelf() -> dict[str, int]:
    """Return how many units fit for use there are of each category, in the shelf's own order."""
    rows = KitUnit.objects.filter(state__in=KitUnit.USABLE).values_list("kind__category")
    found = dict(rows.annotate(Count("pk")).order_by())
    return {name: found[name] for name in KitKind.Category.values if name in found}


def _pks(workshops: list[Workshop]) -> list[int]:
    return [one.pk for one in workshops]
