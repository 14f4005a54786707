"""Who says when, and by which limits, whether the day goes ahead."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from workshops.models.base import Record, ranges
from workshops.models.workshop import Workshop


class WeatherCall(Record):
    """The weather decision of a workshop: agreed beforehand, answered when its hour comes."""

    class Outcome(models.TextChoices):
        OPEN = "open", pgettext_lazy("a decision", "not made yet")
        GOES = "goes", _("goes ahead")
        FALLBACK = "fallback", _("goes ahead at the fallback places")
        MOVED = "moved", _("moved to the rain date")
        OFF = "off", _("called off")

    workshop = models.OneToOneField(
        Workshop,
        on_delete=models.CASCADE,
        related_name="weather_call",
        verbose_name=_("workshop"),
    )
    decide_at = models.DateTimeField(
        _("decided at"), help_text=_("Late enough for a good forecast, early enough to travel.")
    )
    decided_by = models.ForeignKey(
        "Person",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("decided by"),
    )
    gust_limit_m_s = models.FloatField(
        _("no gusts above (m/s)"),
        null=True,
        blank=True,
        help_text=_("Empty: the house's own limit, at which everything is struck."),
    )
    rain_limit_mm_h = models.FloatField(
        _("no rain above (mm an hour)"), default=0.5, help_text=_("0.5 is drizzle.")
    )
    coldest_c = models.FloatField(_("no colder than (°C)"), null=True, blank=True)
    hottest_c = models.FloatField(_("no hotter than (°C)"), null=True, blank=True)
    rain_on = models.DateField(
        _("rain date"), null=True, blank=True, help_text=_("Kept free for the case.")
    )
    words = models.TextField(
        _("in words"), blank=True, help_text=_("What else counts, and how people are told.")
    )
    outcome = models.CharField(
        _("decision"), max_length=8, choices=Outcome.choices, default=Outcome.OPEN
    )
    outcome_at = models.DateTimeField(_("made at"), null=True, blank=True)
    outcome_reason = models.CharField(_("reason"), max_length=200, blank=True)

    part_of = ("workshop",)

    class Meta:
        verbose_name = _("weather decision")
        verbose_name_plural = _("weather decisions")
        constraints = (
            models.CheckConstraint(
                condition=Q(outcome="open", outcome_at=None)
                | (~Q(outcome="open") & Q(outcome_at__isnull=False)),
                name="weather_call_made_says_when",
                violation_error_message=_("Made at: a decision says when it was made."),
            ),
            *ranges(
                "weather_call",
                gust_limit_m_s=(1, 60),
                rain_limit_mm_h=(0, 300),
                coldest_c=(-40, 60),
                hottest_c=(-40, 60),
            ),
        )

    def __str__(self) -> str:
        return str(self.workshop)
