"""What was noted of a workshop's day, in four tables."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from planning.day_tally import day_tally
from planning.sheets.options import print_options
from workshops.access import found_workshop, may


@may("view", "tallyevent", "planning")
def workshop_tallies(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    context = {
        "workshop": workshop,
        "day": day_tally(workshop, request.house),
        "say": print_options(request.house).figures(workshop.timezone_name),
    }
    return render(request, "planning/day_tally.html", context)
