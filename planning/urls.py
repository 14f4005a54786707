"""The start page, and the sets of a workshop."""

from django.urls import path

from planning.views import start

urlpatterns = [
    path("", start.start, name="start"),
]
