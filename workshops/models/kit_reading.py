"""What the house has metered with its own heads and modifiers."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops import marks
from workshops.models.base import ranges
from workshops.models.fields import FractionField
from workshops.models.kit_light import Modifier, Strobe
from workshops.models.meter_reading import MeterReading


class GuideNumberReading(MeterReading):
    """One flash reading of a head with a modifier, daylight kept out."""

    strobe = models.ForeignKey(
        Strobe, on_delete=models.CASCADE, related_name="readings", verbose_name=_("strobe")
    )
    modifier = models.ForeignKey(
        Modifier,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="readings",
        verbose_name=_("modifier"),
        help_text=_("Empty: the standard reflector."),
    )
    read_on = models.DateField(_("read on"))
    distance_m = models.FloatField(
        _("distance (m)"), help_text=_("Front fabric or rim to the meter, along the cord; 2 m.")
    )
    power = FractionField(_("power"), default=1.0, help_text=_("As set: 1, 1/2, 1/4."))
    flash_alone = models.BooleanField(
        _("flash alone"),
        default=True,
        help_text=_("Dark room, or daylight at least four stops down. Others teach nothing."),
    )
    notes = models.CharField(_("notes"), max_length=200, blank=True)

    part_of = ("strobe",)

    class Meta:
        verbose_name = _("guide number reading")
        verbose_name_plural = _("guide number readings")
        ordering = ("strobe", "modifier", "read_on", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(flash_alone=True),
                name="reading_is_flash_alone",
                violation_error_message=_(
                    "Flash alone: take the reading without daylight and tick this."
                ),
            ),
            *ranges(
                "guide_reading",
                distance_m=(0.05, 100),
                f_mark=marks.APERTURES.ends,
                tenths=(0, 9),
                power=(1 / 8192, 1),
                iso=marks.ISOS.ends,
            ),
        )

    def __str__(self) -> str:
        modifier = self.modifier or _("standard reflector")
        return f"{self.strobe}, {modifier}"
