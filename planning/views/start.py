"""The start page: what needs doing next, and the first steps of a new house."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from planning.todo import days_to_come, sets_of_today, steps
from workshops.access import sees_all
from workshops.selectors.needs import to_close

SHOWN = 5  # workshops whose plans are looked at; the others stand in the list


def start(request: HttpRequest) -> HttpResponse:
    """Say what needs doing next; the first steps go on until a second set is planned."""
    all_seen, teaches = sees_all(request.user), request.user.has_perm("workshops.view_workshop")
    now, rules = timezone.now(), request.house
    days = days_to_come(request.user, now, rules, most=SHOWN) if teaches else []
    unclosed = to_close(now).exclude(pk__in=[day.workshop.pk for day in days]) if all_seen else []
    context = {
        "to_close": unclosed[:SHOWN],
        "days": days,
        "today": sets_of_today(request.user, now, rules) if teaches else [],
        "steps": steps() if all_seen else [],
        "teaches": teaches,
        "mends": all_seen,  # what is lacking is on pages of the office
        "zone": rules.timezone_name,
    }
    return render(request, "planning/start.html", context)
