"""Locations, their landmarks and tides, and the forecasts kept for them."""

from django import forms
from django.contrib import admin
from django.core.exceptions import ValidationError
from django.db import models
from django.forms.fields import InvalidJSONInput
from django.utils.translation import gettext_lazy as _

from workshops.admin.base import AuditedAdmin, PlaceTimeForm, TabularRows, local_time
from workshops.models import Forecast, Landmark, Location, TidePoint, TravelTime


class HorizonField(forms.JSONField):
    """Pairs as typed; whatever is no list of pairs is refused and stays in the form."""

    def to_python(self, value):
        try:
            return super().to_python(value)
        # Brackets without end and numbers too long to read are no JSON either.
        except (ValidationError, RecursionError, ValueError):
            raise ValidationError(
                _("Horizon: enter pairs like [[0, 3], [90, 12.5], [200, 0]].")
            ) from None

    def bound_data(self, data, initial):
        try:
            return super().bound_data(data, initial)
        except (RecursionError, ValueError):
            return InvalidJSONInput(data)


class LandmarkInline(TabularRows):
    model = Landmark
    extra = 1


class WayInline(TabularRows):
    model = TravelTime
    fk_name = "location"
    extra = 0
    autocomplete_fields = ("to",)


class TideInline(TabularRows):
    model = TidePoint
    form = PlaceTimeForm
    extra = 1


@admin.register(Location)
class LocationAdmin(AuditedAdmin):
    list_display = ("name", "latitude_deg", "longitude_deg", "water", "permission_until")
    list_filter = ("water", "at_sea", "under_trees")
    search_fields = ("name", "access", "hazards", "permission_number", "notes")
    autocomplete_fields = ("fallback",)
    inlines = (LandmarkInline, WayInline, TideInline)
    formfield_overrides = AuditedAdmin.formfield_overrides | {
        models.JSONField: {"form_class": HorizonField}
    }
    fieldsets = (
        (
            None,
            {"fields": ("name", "latitude_deg", "longitude_deg", "elevation_m", "timezone_name")},
        ),
        (
            _("Light"),
            {
                "fields": (
                    "horizon",
                    "sky_cover_share",
                    "under_trees",
                    "ground_reflectance",
                    "declination_deg",
                    "declination_on",
                )
            },
        ),
        (
            _("Ground and wind"),
            {"fields": ("footing", "slope_deg", "wind_exposure_factor", "at_sea")},
        ),
        (
            _("Water"),
            {
                "fields": (
                    "water",
                    "path_low_point_m",
                    "stand_height_m",
                    "water_bearing_deg",
                    "water_distance_m",
                    "walk_min",
                )
            },
        ),
        (
            _("Permission"),
            {
                "fields": (
                    "permission_number",
                    "permission_until",
                    "permission_hours",
                    "head_limit",
                    "stands_clause",
                )
            },
        ),
        (
            _("Getting there, and help"),
            {
                "fields": (
                    "access",
                    "parking",
                    "toilets",
                    "signal",
                    "emergency",
                    "hazards",
                    "fallback",
                )
            },
        ),
        (None, {"fields": ("notes",)}),
    )


@admin.register(Forecast)
class ForecastAdmin(AuditedAdmin):
    form = PlaceTimeForm
    list_display = ("location", "from_", "until", "taken", "source", "sky", "wind_m_s", "gust_m_s")
    list_filter = ("sky", "thunder", "location")
    list_select_related = ("location",)
    search_fields = ("location__name", "source")
    autocomplete_fields = ("location",)
    from_ = local_time("valid_from", _("holds from"))
    until = local_time("valid_to", _("until"))
    taken = local_time("taken_at", _("read at"))
