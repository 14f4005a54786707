from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def workshops_list(request: HttpRequest) -> HttpResponse:
    return render(request, "base.html")


def workshop(request, pk):
    return render(request, "base.html")
