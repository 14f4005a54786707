"""Places, scouted: where they are, what stands and flows there, and who to ask."""

import math

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record, ranges, validate_timezone


def validate_horizon(profile) -> None:
    """Refuse a profile that is not pairs of rising azimuth and an elevation."""
    hint = _("enter pairs like [[0, 3], [90, 12.5], [200, 0]], azimuth rising from 0 to below 360")
    if not isinstance(profile, list):
        raise ValidationError(_("Horizon: %(hint)s."), params={"hint": hint})
    last_deg = -1.0
    for pair in profile:
        good = isinstance(pair, list | tuple) and len(pair) == 2
        if not good or not all(_is_figure(x) for x in pair):
            raise ValidationError(
                _("Horizon: %(pair)s is no pair of numbers; %(hint)s."),
                params={"pair": str(pair)[:80], "hint": hint},
            )
        azimuth_deg, elevation_deg = pair
        if not 0 <= azimuth_deg < 360 or not -10 <= elevation_deg < 90:
            raise ValidationError(
                _(
                    "Horizon: %(pair)s lies outside; azimuth 0 to below 360, elevation -10 to "
                    "below 90."
                ),
                params={"pair": pair},
            )
        if azimuth_deg <= last_deg:
            raise ValidationError(
                _("Horizon: azimuth %(now)s comes after %(last)s; sort the pairs, each once."),
                params={"now": f"{azimuth_deg:g}", "last": f"{last_deg:g}"},
            )
        last_deg = azimuth_deg


def _is_figure(value) -> bool:
    """Whether a JSON value is a number that a computer can reckon with."""
    try:
        return (
            isinstance(value, int | float)
            and value is not True
            and value is not False
            and (math.isfinite(value))
        )
    except OverflowError:
        return False


class Location(Record):
    """A place as found on the recce. Bearings are degrees from true north."""

    class Water(models.TextChoices):
        NONE = "none", _("none")
        STILL = "still", _("still")
        RIVER = "river", _("river")
        TIDAL = "tidal", _("tidal")

    name = models.CharField(_("name"), max_length=120, help_text=_("As the group calls it."))
    latitude_deg = models.FloatField(
        _("latitude (degrees)"),
        null=True,
        blank=True,
        help_text=_("North positive, decimal: 50.7351. Sheets need it."),
    )
    longitude_deg = models.FloatField(
        _("longitude (degrees)"),
        null=True,
        blank=True,
        help_text=_("East positive, decimal: -3.5320."),
    )
    elevation_m = models.FloatField(
        _("elevation (m)"),
        default=0.0,
        help_text=_("For the record; sun times take the level horizon."),
    )
    timezone_name = models.CharField(
        _("time zone"),
        max_length=64,
        validators=[validate_timezone],
        help_text=_("IANA name such as Europe/London. Times of the place are typed in it."),
    )
    declination_deg = models.FloatField(
        _("magnetic declination (degrees)"),
        null=True,
        blank=True,
        help_text=_("East positive, from a current chart. Sheets then print compass bearings."),
    )
    declination_on = models.DateField(_("declination as of"), null=True, blank=True)
    ground_reflectance = models.FloatField(
        _("ground reflectance"),
        default=0.2,
        help_text=_("Grass 0.2, dark soil 0.1, dry sand 0.35, concrete 0.3, fresh snow 0.8."),
    )
    footing = models.CharField(
        _("footing"),
        max_length=60,
        blank=True,
        help_text=_("What stands stand on: firm, sand, mud, shingle, deck, paving."),
    )
    slope_deg = models.FloatField(
        _("slope (degrees)"),
        default=0.0,
        help_text=_("Up to 30. A stand on a slope tips sooner."),
    )
    wind_exposure_factor = models.FloatField(
        _("wind exposure"),
        default=1.0,
        help_text=_("1 open and level; crest, pier, bridge or gap 1.3 to 1.5. Never below 1."),
    )
    at_sea = models.BooleanField(
        _("at the sea"), default=False, help_text=_("Winds there gust less over their mean.")
    )
    horizon = models.JSONField(
        _("horizon"),
        default=list,
        blank=True,
        validators=[validate_horizon],
        help_text=_(
            "Height of hills, trees and roofs: [[azimuth, elevation], ...] in degrees, azimuth "
            "rising, straight between, joined round north. Empty: level."
        ),
    )
    sky_cover_share = models.FloatField(
        _("share of the sky hidden"),
        default=0.0,
        help_text=_("By walls and trees, 0 to 0.95: a street 0.4, a courtyard 0.6."),
    )
    under_trees = models.BooleanField(
        _("under trees"),
        default=False,
        help_text=_("Light there is patchy, and branches fall in gusts."),
    )
    water = models.CharField(
        _("water"),
        max_length=8,
        choices=Water.choices,
        default=Water.NONE,
        help_text=_("Tidal water needs the tide table below and the way out."),
    )
    path_low_point_m = models.FloatField(
        _("lowest point of the way out (m)"),
        null=True,
        blank=True,
        help_text=_("Above the datum of the tide table. It floods before the set does."),
    )
    stand_height_m = models.FloatField(
        _("ground under the stands (m)"),
        null=True,
        blank=True,
        help_text=_("Above the same datum."),
    )
    water_bearing_deg = models.FloatField(
        _("bearing to the water's edge"),
        null=True,
        blank=True,
        help_text=_("From where the subject stands, degrees true: drawn on the plan view."),
    )
    water_distance_m = models.FloatField(
        _("distance to the water's edge (m)"),
        null=True,
        blank=True,
        help_text=_("From the subject to the edge."),
    )
    walk_min = models.FloatField(
        _("walk with the kit (minutes)"), default=0.0, help_text=_("Past the low point, one way.")
    )
    permission_number = models.CharField(
        _("permit"), max_length=80, blank=True, help_text=_("As the owner writes it.")
    )
    permission_until = models.DateField(_("permit expires"), null=True, blank=True)
    permission_hours = models.CharField(_("permitted hours"), max_length=120, blank=True)
    stands_clause = models.CharField(
        _("what it says of stands"),
        max_length=200,
        blank=True,
        help_text=_("Such as: no stands on the footway, 1.5 m left free."),
    )
    head_limit = models.PositiveSmallIntegerField(
        _("heads permitted"),
        null=True,
        blank=True,
        help_text=_("Everybody counts: model and helpers too."),
    )
    access = models.TextField(
        _("access"), blank=True, help_text=_("Track, steps, stiles; who can walk it.")
    )
    parking = models.CharField(
        _("parking"), max_length=200, blank=True, help_text=_("Where, and for how many.")
    )
    toilets = models.CharField(
        _("toilets"), max_length=200, blank=True, help_text=_("The nearest, and when it is open.")
    )
    signal = models.CharField(
        _("phone signal"), max_length=120, blank=True, help_text=_("Where the nearest is.")
    )
    emergency = models.CharField(
        _("nearest emergency department"),
        max_length=200,
        blank=True,
        help_text=_("With address, and the grid reference to give for this place."),
    )
    hazards = models.TextField(
        _("hazards and controls"), blank=True, help_text=_("One line each: hazard, then control.")
    )
    fallback = models.ForeignKey(
        "self",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("fallback place"),
    )
    notes = models.TextField(_("notes"), blank=True)

    class Meta:
        verbose_name = _("location")
        verbose_name_plural = _("locations")
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(latitude_deg=None, longitude_deg=None)
                | Q(latitude_deg__isnull=False, longitude_deg__isnull=False),
                name="location_both_coordinates",
                violation_error_message=_("Latitude and longitude: enter both, or none yet."),
            ),
            *ranges(
                "location",
                latitude_deg=(-89.8, 89.8),
                longitude_deg=(-180, 180),
                elevation_m=(-450, 9000),
                declination_deg=(-180, 180),
                ground_reflectance=(0, 1),
                slope_deg=(0, 30),
                wind_exposure_factor=(1, 3),
                sky_cover_share=(0, 0.95),
                path_low_point_m=(-20, 100),
                stand_height_m=(-20, 100),
                water_bearing_deg=(0, 360),
                water_distance_m=(0, 10000),
                walk_min=(0, 600),
                head_limit=(1, 10000),
            ),
        )

    def __str__(self) -> str:
        return self.name


class Landmark(Record):
    """Something seen from the place, to turn the compass on."""

    location = models.ForeignKey(
        Location, on_delete=models.CASCADE, related_name="landmarks", verbose_name=_("location")
    )
    name = models.CharField(_("name"), max_length=80)
    bearing_deg = models.FloatField(_("bearing (degrees true)"))
    distance_m = models.FloatField(_("distance (m)"), null=True, blank=True)

    part_of = ("location",)

    class Meta:
        verbose_name = _("landmark")
        verbose_name_plural = _("landmarks")
        ordering = ("location", "bearing_deg", "pk")
        constraints = tuple(ranges("landmark", bearing_deg=(0, 360), distance_m=(0, 500000)))

    def __str__(self) -> str:
        return self.name


class TravelTime(Record):
    """How long the group with its kit takes from one place to another, set down to set up.

    Both ways, unless the way back has a row of its own.
    """

    location = models.ForeignKey(
        Location, on_delete=models.CASCADE, related_name="ways_out", verbose_name=_("from")
    )
    to = models.ForeignKey(
        Location, on_delete=models.CASCADE, related_name="ways_in", verbose_name=_("to")
    )
    minutes = models.FloatField(
        _("minutes"), help_text=_("With kit and everybody: loading, driving, parking, walking.")
    )

    part_of = ("location",)

    class Meta:
        verbose_name = _("way to another place")
        verbose_name_plural = _("ways to other places")
        ordering = ("location", "minutes", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("location", "to"),
                name="way_once",
                violation_error_message=_("To: there is a way to that place already."),
            ),
            models.CheckConstraint(
                condition=~Q(location=F("to")),
                name="way_leads_elsewhere",
                violation_error_message=_("To: choose another place."),
            ),
            *ranges("way", minutes=(0, 1440)),
        )

    def __str__(self) -> str:
        return f"{self.location} – {self.to}"
