"""What a meter read of the flash on a set."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from planning.models.planned_set import PlannedSet
from workshops import marks
from workshops.models.base import ranges
from workshops.models.closed import check_not_closed
from workshops.models.fields import PowerField, ShutterField
from workshops.models.meter_reading import MeterReading


class FlashReading(MeterReading):
    """One lamp read at the face: alone, or together with a daylight that was read as well."""

    class How(models.TextChoices):
        ALONE = "alone", _("this lamp alone, dome to the lamp")
        TOGETHER = "together", _("all together, dome to the lens")

    planned_set = models.ForeignKey(
        PlannedSet, on_delete=models.CASCADE, related_name="flash_readings", verbose_name=_("set")
    )
    light_name = models.CharField(
        _("light"), max_length=60, help_text=_("By its name on the set; no other lamp flashed.")
    )
    at = models.DateTimeField(_("read at"))
    how = models.CharField(_("how"), max_length=8, choices=How.choices)
    power = PowerField(_("power"), help_text=_("As the head shows it: 1/4 or 1/4 +0.3."))
    distance_m = models.FloatField(
        _("distance (m)"), help_text=_("Front fabric to the meter, as the cord measured it then.")
    )
    shutter_s = ShutterField(_("at shutter"), help_text=_("As set on the meter."))
    ambient_mark = models.FloatField(
        _("daylight alone read f/"),
        null=True,
        blank=True,
        help_text=_("At the same shutter and ISO, flash off. Empty where it was dark enough."),
    )
    notes = models.CharField(_("notes"), max_length=200, blank=True)

    part_of = ("planned_set",)

    class Meta:
        verbose_name = _("flash reading")
        verbose_name_plural = _("flash readings")
        ordering = ("planned_set", "at", "pk")
        constraints = (
            models.CheckConstraint(
                condition=~Q(how="together") | Q(ambient_mark__isnull=False),
                name="flash_reading_knows_daylight",
                violation_error_message=_(
                    "Daylight alone: enter what the meter read with the flash off; the flash "
                    "cannot be told from the daylight without it."
                ),
            ),
            *ranges(
                "flash_reading",
                f_mark=marks.APERTURES.ends,
                tenths=(0, 9),
                shutter_s=marks.SHUTTERS.ends,
                iso=marks.ISOS.ends,
                power=(marks.LEAST_POWER, 1),
                distance_m=(0.05, 100),
                ambient_mark=(0.1, 256),
            ),
        )

    def __str__(self) -> str:
        return f"{self.light_name}, {self.get_how_display()}"

    def save(self, *args, **kwargs):
        check_not_closed(self.planned_set.workshop_id)
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        check_not_closed(self.planned_set.workshop_id)
        return super().delete(*args, **kwargs)
