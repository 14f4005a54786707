"""What needs doing next: the records' needs and the plans' warnings, day by day."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _

from planning.eve import charging_needs, weather_needs
from planning.models import PlannedSet
from planning.showing import SetLine, lines_of
from workshops.access import own
from workshops.models import House, User, Workshop
from workshops.models.base import in_zone
from workshops.selectors.needs import COMING, Need, coming, forecasts_of, live_bookings, needs
from workshops.selectors.steps import Step, record_steps

NEAR = timedelta(hours=38)  # no clock on Earth is further from another, with a day's length


def sets_of_today(user: User, now: datetime, house: House) -> list[SetLine]:
    """Return the account's sets of this day, on the clock of each place, with their plans."""
    rows = own(user, PlannedSet.objects.select_related("location", "workshop"))
    rows = rows.filter(workshop__status__in=(*COMING, Workshop.Status.RUN))
    near = rows.filter(start_at__gt=now - NEAR, start_at__lt=now + NEAR)
    here = [one for one in near.order_by("start_at", "pk") if _is_today(one, now)]
    return lines_of(here, house)


def _is_today(planned_set: PlannedSet, now: datetime) -> bool:
    zone = planned_set.location.timezone_name
    same_day = in_zone(planned_set.start_at, zone).date() == in_zone(now, zone).date()
    return same_day or planned_set.start_at <= now <= planned_set.end_at


@dataclass(frozen=True)
class Day:
    """A workshop to come: who holds seats, what it lacks, its sets with their plans."""

    workshop: Workshop
    held: int
    seats: int
    needs: list[Need]
    lines: list[SetLine]

    @property
    def without_plan(self) -> list[SetLine]:
        return [line for line in self.lines if line.planned.plan is None]

    @property
    def stopped(self) -> list[SetLine]:
        return [line for line in self.lines if line.planned.stops]


def days_to_come(user: User, now: datetime, house: House, *, most: int) -> list[Day]:
    """Return the account's next workshops; the number of queries does not grow with them."""
    workshops = list(own(user, coming(now), "pk")[:most])
    forecasts = forecasts_of(workshops)
    rows = PlannedSet.objects.filter(workshop__in=workshops).select_related("location")
    lines = lines_of(rows.order_by("workshop_id", "position", "pk"), house)
    days = []
    for workshop in workshops:
        sets = [line for line in lines if line.record.workshop_id == workshop.pk]
        lacks = needs(workshop, now, forecasts)
        if not sets and workshop.end_at >= now:
            lacks.append(Need(_("No set is planned."), reverse("sets", args=[workshop.pk])))
        lacks += [*weather_needs(workshop, now, house), *charging_needs(workshop, now, house)]
        held, seats = len(live_bookings(workshop)), len(workshop.seats.all())
        days.append(Day(workshop, held, seats, lacks, sets))
    return days


def steps() -> list[Step]:
    """Return the first steps with those of planning; none once a second set is planned."""
    if PlannedSet.objects.count() > 1:
        return []
    workshop = Workshop.objects.order_by("-start_at", "-pk").first()
    planned = PlannedSet.objects.first()
    return [
        *record_steps(),
        Step(
            _("Set"),
            _("One place, one light, one lesson: the plan grows beside the form as you type."),
            _("Plan the first set"),
            reverse("set-new", args=[workshop.pk]) if workshop else "",
            planned is not None,
        ),
        Step(
            _("Sheet"),
            _("One leaf of paper for the set. Print it, and take it to the place."),
            _("Open the sheet as PDF"),
            reverse("set-sheet", args=[planned.pk]) if planned else "",
            False,
        ),
    ]
