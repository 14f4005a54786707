"""What there is to do before a day goes out: decide on the weather, charge the packs."""

from datetime import datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.charging import charge_plan_of
from workshops.models import House, Workshop
from workshops.models.base import in_zone
from workshops.selectors.needs import FORECAST_FROM, Need
from workshops.words import clock_text


def weather_needs(workshop: Workshop, now: datetime, house: House) -> list[Need]:
    """Return what there is to do about the weather decision; the workshop comes from ``coming``."""
    if workshop.end_at < now:
        return []
    page = reverse("workshop-weather", args=[workshop.pk])
    call = getattr(workshop, "weather_call", None)
    if call is None:
        soon = workshop.start_at - now <= FORECAST_FROM
        words = _("Nobody has said who decides on the weather, and when.")
        return [Need(words, page)] if soon else []
    if call.outcome != call.Outcome.OPEN:
        return []
    due_on, today = (in_zone(at, workshop.timezone_name).date() for at in (call.decide_at, now))
    if due_on > today:
        return []
    told = {"time": clock_text(call.decide_at, workshop.timezone_name, int(house.clock))}
    told["name"] = call.decided_by or _("nobody named")
    if due_on == today:
        return [Need(_("Weather decision due today at %(time)s: %(name)s.") % told, page)]
    return [Need(_("The weather decision is overdue: %(name)s.") % told, page)]


def charging_needs(workshop: Workshop, now: datetime, house: House) -> list[Need]:
    """Return when charging begins, on the day before: only then are the packs read for it."""
    first, today = (in_zone(at, workshop.timezone_name) for at in (workshop.start_at, now))
    if first.date() - today.date() != timedelta(days=1):
        return []
    plan, _units = charge_plan_of(workshop)
    page = reverse("workshop-charging", args=[workshop.pk])
    found = []
    if plan.start_by_at:
        at = clock_text(plan.start_by_at, workshop.timezone_name, int(house.clock))
        found.append(Need(_("Charge the packs today: begin by %(time)s.") % {"time": at}, page))
    if plan.no_charger:
        words = ngettext(
            "%(n)d pack on the list has no charger.",
            "%(n)d packs on the list have no charger.",
            len(plan.no_charger),
        )
        found.append(Need(words % {"n": len(plan.no_charger)}, page))
    return found
