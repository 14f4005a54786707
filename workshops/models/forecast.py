"""What moves at a place: weather as forecast, tides as tabled."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record, ranges
from workshops.models.location import Location


class Sky(models.TextChoices):
    CLEAR = "clear", _("clear: 0 to 3 tenths of cloud")
    PARTLY = "partly", _("partly: 4 to 7 tenths")
    OVERCAST = "overcast", _("overcast: 8 to 10 tenths")


class Forecast(Record):
    """A forecast as it was read once. A newer one is added, the old one is kept."""

    location = models.ForeignKey(
        Location, on_delete=models.CASCADE, related_name="forecasts", verbose_name=_("location")
    )
    valid_from = models.DateTimeField(_("holds from"))
    valid_to = models.DateTimeField(_("until"))
    taken_at = models.DateTimeField(
        _("read at"), help_text=_("Of several for the same hours the newest counts.")
    )
    source = models.CharField(_("source"), max_length=120, help_text=_("Who forecasts it."))
    sky = models.CharField(
        _("sky"),
        max_length=8,
        choices=Sky.choices,
        help_text=_("Clear and overcast differ by stops: choose by tenths of cloud."),
    )
    temperature_c = models.FloatField(
        _("temperature (°C)"),
        null=True,
        blank=True,
        help_text=_("Cold shortens batteries; cold and heat raise cautions."),
    )
    humidity_percent = models.FloatField(
        _("humidity (%)"),
        null=True,
        blank=True,
        help_text=_("With the temperature: how hot it feels."),
    )
    wind_m_s = models.FloatField(
        _("mean wind (m/s)"),
        null=True,
        blank=True,
        help_text=_("At 10 m, as forecasts give it. 1 m/s is 3.6 km/h, 2.2 mph, 1.9 knots."),
    )
    gust_m_s = models.FloatField(
        _("gust (m/s)"),
        null=True,
        blank=True,
        help_text=_("No smaller than the mean. Empty: reckoned from the mean by the house."),
    )
    wind_from_deg = models.FloatField(
        _("wind from (degrees true)"),
        null=True,
        blank=True,
        help_text=_("A stand falls the other way."),
    )
    rain_mm_h = models.FloatField(
        _("rain (mm an hour)"),
        null=True,
        blank=True,
        help_text=_("The most of these hours. Under 0.5 drizzle, 2 to 4 steady, above 10 heavy."),
    )
    thunder = models.BooleanField(
        _("thunder possible"),
        default=False,
        help_text=_("Tick at any chance of it: everything comes down."),
    )
    uv_index = models.FloatField(
        _("UV index"),
        null=True,
        blank=True,
        help_text=_("Of the day; from 3 on the sheet says hats."),
    )
    pressure_hpa = models.FloatField(
        _("pressure (hPa)"), null=True, blank=True, help_text=_("At sea level; low lifts the sea.")
    )

    part_of = ("location",)

    class Meta:
        verbose_name = _("forecast")
        verbose_name_plural = _("forecasts")
        ordering = ("location", "-valid_from", "-taken_at", "-pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(valid_to__gt=F("valid_from")),
                name="forecast_ends_after_start",
                violation_error_message=_("Until: enter a time after the beginning."),
            ),
            models.CheckConstraint(
                condition=Q(gust_m_s=None) | Q(wind_m_s=None) | Q(gust_m_s__gte=F("wind_m_s")),
                name="forecast_gust_not_below_mean",
                violation_error_message=_(
                    "Gust: enter no less than the mean wind, or leave it empty."
                ),
            ),
            *ranges(
                "forecast",
                temperature_c=(-40, 60),
                humidity_percent=(0, 100),
                wind_m_s=(0, 80),
                rain_mm_h=(0, 300),
                gust_m_s=(0, 120),
                wind_from_deg=(0, 360),
                uv_index=(0, 25),
                pressure_hpa=(850, 1100),
            ),
        )

    def __str__(self) -> str:
        return f"{self.location}, {self.source}"


class TidePoint(Record):
    """One high or low water of the official table for the place."""

    class Turn(models.TextChoices):
        HIGH = "high", _("high water")
        LOW = "low", _("low water")

    location = models.ForeignKey(
        Location, on_delete=models.CASCADE, related_name="tide_points", verbose_name=_("location")
    )
    at = models.DateTimeField(
        _("at"),
        help_text=_("On the clock of the place. Many tables keep standard time in summer: add 1."),
    )
    height_m = models.FloatField(_("height (m)"), help_text=_("Above the table's datum."))
    turn = models.CharField(_("turn"), max_length=4, choices=Turn.choices)
    source = models.CharField(
        _("table"), max_length=120, blank=True, help_text=_("Name of the table, and its port.")
    )

    part_of = ("location",)

    class Meta:
        verbose_name = _("tide")
        verbose_name_plural = _("tides")
        ordering = ("location", "at")
        constraints = (
            models.UniqueConstraint(
                fields=("location", "at"),
                name="tide_once",
                violation_error_message=_("At: this place has a tide for that time."),
            ),
            *ranges("tide", height_m=(-20, 20)),
        )

    def __str__(self) -> str:
        return f"{self.get_turn_display()} {self.height_m:g} m"
