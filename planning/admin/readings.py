"""Meter readings of sets and of earlier visits."""

from django.contrib import admin
from django.utils.translation import gettext_lazy as _

from planning.models import Reading
from planning.selectors.places import reading_ev100
from workshops.admin.base import AuditedAdmin, PlaceTimeForm, local_time


@admin.register(Reading)
class ReadingAdmin(AuditedAdmin):
    form = PlaceTimeForm
    list_display = ("__str__", "planned_set", "location", "read", "ev100", "flash_in")
    list_filter = ("kind", "plane", "flash_in", "location")
    list_select_related = ("planned_set__location", "location", "meter__kind__meter")
    search_fields = ("planned_set__title", "location__name", "spot", "notes")
    autocomplete_fields = ("planned_set", "location", "meter")
    fields = (
        "planned_set", "location", "at", "kind", "plane", "f_mark", "tenths", "shutter_s", "iso",
        "ev", "flash_in", "meter", "spread_stops", "spot", "sky", "notes",
    )  # fmt: skip
    read = local_time("at", _("read at"))

    @admin.display(description=_("EV at ISO 100"))
    def ev100(self, reading):
        return f"{reading_ev100(reading):.2f}"
