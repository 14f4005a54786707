from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def locations_list(request: HttpRequest) -> HttpResponse:
    return render(request, "base.html")


def location(request, pk=None):
    return render(request, "base.html")
