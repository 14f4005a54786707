"""The start page: what needs doing next, and the first steps of a new house."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from planning.todo import days_to_come, steps

SHOWN = 5  # workshops whose plans are looked at; the others stand in the list


def start(request: HttpRequest) -> HttpResponse:
    """Say what needs doing next; the first steps go on until a second set is planned."""
    days = days_to_come(timezone.now(), request.house, most=SHOWN)
    context = {"days": days, "steps": steps(), "zone": request.house.timezone_name}
    return render(request, "planning/start.html", context)
