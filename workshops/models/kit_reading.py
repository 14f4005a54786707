"""What the house has metered with its own heads and modifiers."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record, ranges
from workshops.models.fields import ApertureField, FractionField, IsoField
from workshops.models.kit import KitUnit
from workshops.models.kit_light import Modifier, Strobe


class GuideNumberReading(Record):
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
    f_mark = ApertureField(_("meter says f/"), help_text=_("The whole mark: 11."))
    tenths = models.PositiveSmallIntegerField(
        _("and tenths"), default=0, help_text=_("The small figure: 3 reads f/11 and three tenths.")
    )
    power = FractionField(_("power"), default=1.0, help_text=_("As set: 1, 1/2, 1/4."))
    iso = IsoField(_("ISO"), default="100")
    flash_alone = models.BooleanField(
        _("flash alone"),
        default=True,
        help_text=_("Dark room, or daylight at least four stops down. Others teach nothing."),
    )
    meter = models.ForeignKey(
        KitUnit,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("meter"),
        limit_choices_to={"kind__category": "meter"},
    )
    notes = models.CharField(_("notes"), max_length=200, blank=True)

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
                f_mark=(0.7, 128),
                tenths=(0, 9),
                power=(1 / 8192, 1),
                iso=(25, 110000),
            ),
        )

    def __str__(self) -> str:
        return f"{self.strobe}, {self.modifier or _('standard reflector')}"

    @property
    def f_number(self) -> float:
        """The exact f-number of mark and tenths."""
        return self.f_mark * 2 ** (self.tenths / 20)
