"""What a workshop still lacks, in words and with the page that mends it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshops.models import (
    LIVE,
    Booking,
    Checkout,
    Forecast,
    KitUnit,
    Reservation,
    Workshop,
    WorkshopPlace,
)
from workshops.models.base import in_zone

COMING = (Workshop.Status.DRAFT, Workshop.Status.OPEN, Workshop.Status.CONFIRMED)
CLOSABLE = (Workshop.Status.CONFIRMED, Workshop.Status.RUN)  # once they are over
FORECAST_FROM = timedelta(days=5)  # before that a forecast says little: common practice, no source


@dataclass(frozen=True)
class Need:
    """One thing to do, and where."""

    words: str
    place: str  # address of the page


def coming(now: datetime) -> QuerySet[Workshop]:
    """Return the workshops still to be run, the next first, with all that ``needs`` looks at.

    One that is over stays among them until the last of its kit is back.
    """
    out = Checkout.objects.filter(workshop=OuterRef("pk"), in_at=None)
    wanted = Q(status__in=COMING) | Q(Exists(out), end_at__lt=now)
    rows = Workshop.objects.filter(wanted).order_by("start_at", "pk")
    return with_parts(rows)


def to_close(now: datetime) -> QuerySet[Workshop]:
    """Return the workshops that have run and are over, the latest first: each is to be closed."""
    rows = Workshop.objects.filter(status=Workshop.Status.RUN, end_at__lt=now)
    return rows.order_by("-end_at", "-pk")


def with_parts(rows: QuerySet[Workshop]) -> QuerySet[Workshop]:
    """Return the workshops with seats, people, kit and places read in a fixed number of queries."""
    bookings = Booking.objects.select_related("person", "camera", "trigger_unit").order_by(
        "booked_at", "pk"
    )
    places = WorkshopPlace.objects.select_related("location").order_by("position", "pk")
    out = Checkout.objects.filter(in_at=None).select_related("unit", "person")
    return rows.prefetch_related(
        "seats",
        "roles__person",
        "weather_call__decided_by",
        Prefetch("bookings", bookings),
        "bookings__person__cameras",
        Prefetch("kit", Reservation.objects.select_related("unit__kind")),
        Prefetch("places", places),
        Prefetch("checkouts", out.order_by("unit__tag", "pk"), to_attr="still_out"),
    )


def forecasts_of(workshops: Iterable[Workshop]) -> set[tuple[int, int]]:
    """Return (workshop, location) for each place that has a forecast for hours of the day."""
    rows = list(workshops)
    if not rows:
        return set()
    places = {place.location_id for row in rows for place in row.places.all()}
    spans = Forecast.objects.filter(
        location__in=places,
        valid_from__lt=max(row.end_at for row in rows),
        valid_to__gt=min(row.start_at for row in rows),
    ).values_list("location_id", "valid_from", "valid_to")
    known = list(spans)
    return {
        (row.pk, location)
        for row in rows
        for location, begins, ends in known
        if begins < row.end_at and ends > row.start_at
    }


def live_bookings(workshop: Workshop) -> list[Booking]:
    return [booking for booking in workshop.bookings.all() if booking.state in LIVE]


def needs(workshop: Workshop, now: datetime, forecasts: set[tuple[int, int]]) -> list[Need]:
    """Return what the workshop lacks, most pressing first; it comes from ``with_parts``."""
    if workshop.end_at < now:
        found = _still_out(workshop)
        if workshop.status in CLOSABLE:
            page = reverse("workshop-close", args=[workshop.pk])
            found.append(Need(_("The day is over: close it."), page))
        elif workshop.status in COMING:
            words = _("The day is over: has it run? Set its status.")
            found.append(Need(words, _edit(workshop)))
        return found
    if workshop.status not in COMING:
        return []
    return [*_people(workshop), *_places(workshop, now, forecasts), *kit_needs(workshop)]


def _edit(workshop: Workshop) -> str:
    return reverse("workshop-edit", args=[workshop.pk])


def _still_out(workshop: Workshop) -> list[Need]:
    if not workshop.still_out:
        return []
    told = ", ".join(
        _("%(unit)s with %(person)s") % {"unit": one.unit.tag, "person": one.person}
        for one in workshop.still_out
    )
    page = reverse("workshop-checkouts", args=[workshop.pk])
    return [Need(_("Kit is still out: %(units)s.") % {"units": told}, page)]


def _role(workshop: Workshop, role: str) -> str:
    return f"{reverse('role-new', args=[workshop.pk])}?role={role}"


def _people(workshop: Workshop) -> list[Need]:
    live, roles = live_bookings(workshop), {role.role for role in workshop.roles.all()}
    found = []
    if "lead" not in roles:
        found.append(Need(_("No lead instructor is named."), _role(workshop, "lead")))
    if not roles & {"model", "stand-in"}:
        found.append(Need(_("No model is named."), _role(workshop, "model")))
    confirmed = sum(one.state == Booking.State.CONFIRMED for one in live)
    if (missing := workshop.minimum_to_run - confirmed) > 0:
        words = ngettext(
            "%(n)d more confirmed booking is needed to run.",
            "%(n)d more confirmed bookings are needed to run.",
            missing,
        )
        page = reverse("workshop", args=[workshop.pk]) + "#attendees"
        found.append(Need(words % {"n": missing}, page))
    without = [one for one in live if not one.camera and len(one.person.cameras.all()) != 1]
    if without:
        words = ngettext(
            "%(n)d attendee has no camera recorded: sync and ISO are not known.",
            "%(n)d attendees have no camera recorded: sync and ISO are not known.",
            len(without),
        )
        page = reverse("booking-edit", args=[without[0].pk])
        found.append(Need(words % {"n": len(without)}, page))
    return found


def _places(workshop: Workshop, now: datetime, forecasts: set[tuple[int, int]]) -> list[Need]:
    found = []
    if not workshop.places.all():
        return [Need(_("No place is chosen."), _edit(workshop))]
    on = in_zone(workshop.end_at, workshop.timezone_name).date()
    for place in workshop.places.all():
        location = place.location
        page = reverse("location", args=[location.pk])
        told = {"place": location}
        if location.latitude_deg is None:
            found.append(Need(_("%(place)s has no coordinates: no sun, no sheet.") % told, page))
        if location.permission_until and location.permission_until < on:
            found.append(Need(_("The permit of %(place)s ends before the day.") % told, page))
        soon = workshop.start_at - now <= FORECAST_FROM
        if soon and (workshop.pk, location.pk) not in forecasts:
            found.append(Need(_("No forecast yet for %(place)s.") % told, page))
    return found


def kit_needs(workshop: Workshop) -> list[Need]:
    """Return what the kit list lacks; the workshop comes from ``with_parts``."""
    page = reverse("workshop-kit", args=[workshop.pk])
    units = [row.unit for row in workshop.kit.all()]
    if not units:
        return [Need(_("No kit is on the list."), page)]
    found = []
    for unit in units:
        if unit.state not in KitUnit.USABLE:
            told = {"unit": unit.tag, "state": unit.get_state_display()}
            found.append(
                Need(_("%(unit)s is on the list, but its state is %(state)s.") % told, page)
            )
    usable = [unit for unit in units if unit.state in KitUnit.USABLE]
    if not any(unit.kind.category == "strobe" for unit in usable):
        found.append(Need(_("No strobe is on the list."), page))
    triggers = sum(unit.kind.category == "trigger" for unit in usable)
    people = len(live_bookings(workshop))
    if not triggers:
        found.append(Need(_("No trigger is on the list."), page))
    elif triggers < people:
        words = ngettext(
            "%(triggers)d triggers for %(n)d attendee: somebody cannot fire the light.",
            "%(triggers)d triggers for %(n)d attendees: somebody cannot fire the light.",
            people,
        )
        found.append(Need(words % {"triggers": triggers, "n": people}, page))
    return found
