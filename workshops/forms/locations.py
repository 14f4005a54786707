"""Forms of a place, its landmarks and tides, and the forecasts for it."""

from collections.abc import Callable
from functools import partial

from crispy_forms.layout import HTML, Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from workshops import coordinates, horizon_text, tide_text, zones
from workshops.forms.base import RecordForm, plain_helper
from workshops.forms.choices import LongSelect, timezone_choices
from workshops.models import Forecast, House, Landmark, Location, TravelTime
from workshops.typed import NotUnderstood, gettext_noop

SUN_REACHES_DEG = 89.8  # of latitude, as the record allows: nearer the poles no sun is reckoned
POLE = gettext_noop(
    "The latitude stays within %(most)s degrees: nearer the poles no sun is reckoned."
)


class UnderstoodField(forms.CharField):
    """A text read by a parser of ours; what it cannot read stays, with what to enter."""

    def __init__(self, *, read: Callable, **kwargs):
        super().__init__(**kwargs)
        self.read = read

    def to_python(self, value):
        text = super().to_python(value)
        if not text.strip():
            return None
        try:
            return self.read(text)
        except NotUnderstood as fault:
            words = gettext(fault.message)
            raise ValidationError(words % fault.figures if fault.figures else words) from None

    def has_changed(self, initial, data):
        # As text: what is shown rounded and left alone keeps the exact figures behind it.
        return _lines(initial) != _lines(data)


def _lines(text: str | None) -> list[str]:
    return (text or "").strip().splitlines()


def _point(text: str) -> coordinates.Coordinates:
    point = coordinates.parse(text)
    if abs(point.latitude_deg) > SUN_REACHES_DEG:
        raise NotUnderstood(POLE, most=SUN_REACHES_DEG)
    return point


class LocationForm(RecordForm):
    """A place: coordinates pasted as they come, the horizon as pairs."""

    coordinates = UnderstoodField(
        label=_("coordinates"),
        read=_point,
        required=False,
        help_text=_(
            "Paste them as they come: 50.7351, -3.5320 or 50°44'06\"N 3°31'55\"W or "
            "geo:50.7351,-3.5320. Sheets need them; empty until you know."
        ),
    )
    timezone_name = forms.ChoiceField(
        widget=LongSelect,
        label=_("time zone"),
        required=False,
        help_text=_("Times at the place are typed and printed on its clock."),
    )
    horizon_pairs = UnderstoodField(
        label=_("horizon"),
        read=horizon_text.read,
        required=False,
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text=_(
            "Heights of hills, trees and roofs, one pair a line: direction and elevation in "
            "degrees, such as 90 12.5 or SSW 8. Straight between, joined round north. Empty: level."
        ),
    )

    # The template that draws the horizon as it is typed, under the field of that name.
    drawn_under = "horizon_pairs"
    drawing = HTML('{% include "workshops/_horizon_typed.html" %}')

    sections = (
        (_("Where"), ("name", "coordinates", "timezone_name", "elevation_m")),
        (_("Help"), ("emergency", "signal", "hazards")),
        (
            _("Light"),
            (
                "horizon_pairs",
                ("sky_cover_share", "ground_reflectance"),
                "under_trees",
                ("declination_deg", "declination_on"),
            ),
        ),
        (
            _("Ground and wind"),
            (("footing", "slope_deg"), ("wind_exposure_factor", "at_sea")),
        ),
        (
            _("Water"),
            (
                "water",
                ("path_low_point_m", "stand_height_m"),
                ("water_bearing_deg", "water_distance_m"),
                "walk_min",
            ),
        ),
        (
            _("Permission"),
            (
                ("permission_number", "permission_until"),
                ("permission_hours", "head_limit"),
                "stands_clause",
            ),
        ),
        (_("Getting there"), ("access", "parking", "toilets", "fallback")),
        (_("For yourself"), ("notes",)),
    )

    class Meta:
        model = Location
        exclude = ("latitude_deg", "longitude_deg", "horizon")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        place = self.instance
        self.fields["timezone_name"].choices = timezone_choices(
            place.timezone_name, empty=_("find it from the coordinates")
        )
        others = Location.objects.exclude(pk=place.pk) if place.pk else Location.objects.all()
        self.fields["fallback"].queryset = others.order_by("name", "pk")
        self.fields["water"].help_text = _(
            "The figures below only matter with water. Tidal water needs its tide table too: "
            "enter it on the page of the location."
        )
        for name in ("hazards", "access", "notes"):
            self.fields[name].widget.attrs["rows"] = 3
        if place.latitude_deg is not None:
            point = coordinates.Coordinates(place.latitude_deg, place.longitude_deg)
            self.initial["coordinates"] = coordinates.show(point)
        self.initial["horizon_pairs"] = horizon_text.show(place.horizon)

    def _layout(self) -> Layout:
        layout = super()._layout()
        for section in layout:
            inside = getattr(section, "fields", [])  # what stands in no section is a bare name
            if self.drawn_under in inside:
                inside.insert(inside.index(self.drawn_under) + 1, self.drawing)
        return layout

    def clean(self):
        point = self.cleaned_data.get("coordinates")
        found = zones.zone_at(point.latitude_deg, point.longitude_deg) if point else None
        self.zone_found = found  # what the coordinates say, whatever was chosen
        self.zone_sought = not self.cleaned_data.get("timezone_name")
        if self.zone_sought and "coordinates" not in self.errors:
            if found is None:
                words = _("Time zone: choose one, or enter coordinates to find it from.")
                self.add_error("timezone_name", words)
            self.cleaned_data["timezone_name"] = found or ""
        cleaned = super().clean()
        if "coordinates" in self.cleaned_data and "coordinates" in self.changed_data:
            self.instance.latitude_deg = point.latitude_deg if point else None
            self.instance.longitude_deg = point.longitude_deg if point else None
        if "horizon_pairs" in self.cleaned_data and "horizon_pairs" in self.changed_data:
            self.instance.horizon = self.cleaned_data["horizon_pairs"] or []
        return cleaned


class LandmarkForm(RecordForm):
    class Meta:
        model = Landmark
        exclude = ("location",)


class WayForm(RecordForm):
    class Meta:
        model = TravelTime
        exclude = ("location",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        others = Location.objects.exclude(pk=self.instance.location_id)
        self.fields["to"].queryset = others.order_by("name", "pk")


class ForecastForm(RecordForm):
    sections = (
        (_("For when, and by whom"), (("valid_from", "valid_to"), ("source", "taken_at"))),
        (_("Sky"), ("sky", ("temperature_c", "humidity_percent"), ("rain_mm_h", "thunder"))),
        (_("Wind"), (("wind_m_s", "gust_m_s"), "wind_from_deg")),
        (_("More"), (("uv_index", "pressure_hpa"),)),
    )

    class Meta:
        model = Forecast
        exclude = ("location",)


class TideForm(forms.Form):
    """Rows of the official table, pasted or typed, a line each."""

    rows = UnderstoodField(
        label=_("High and low waters"),
        read=tide_text.read,
        widget=forms.Textarea(attrs={"rows": 8}),
    )
    source = forms.CharField(
        label=_("Table"),
        max_length=120,
        required=False,
        help_text=_("Name of the official table, and its port."),
    )

    def __init__(self, *args, house: House, **kwargs):
        super().__init__(*args, **kwargs)
        imperial = house.units == House.Units.IMPERIAL
        self.fields["rows"].read = partial(tide_text.read, imperial=imperial)
        self.fields["rows"].help_text = _(
            "One a line: date, time, height (%(unit)s), high or low, such as 2027-05-08 17:40 6.4 "
            "high. On the clock of the place: many tables keep standard time in summer, add 1 "
            "hour then. A time that is there already is corrected."
        ) % {"unit": "ft" if imperial else "m"}
        self.helper = plain_helper()
