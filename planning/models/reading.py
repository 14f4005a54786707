"""Meter readings, kept as what they are."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from planning.models.planned_set import PlannedSet
from workshops import marks
from workshops.models import Location, Sky
from workshops.models.base import ranges
from workshops.models.closed import check_not_closed
from workshops.models.fields import ApertureField, ShutterField
from workshops.models.meter_reading import MeterReading


class Reading(MeterReading):
    """One reading: for a set, where it replaces the estimate, or from an earlier visit."""

    class Kind(models.TextChoices):
        INCIDENT = "incident", _("incident")
        SPOT = "spot", _("spot, reflected")
        SKY = "sky", _("spot of the sky")

    class Plane(models.TextChoices):
        BACKDROP = "backdrop", _("backdrop")
        FACE = "face", _("face, lit side")
        SHADE = "shade", _("face, shadow side")
        SKY = "sky", _("sky")

    planned_set = models.ForeignKey(
        PlannedSet,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="readings",
        verbose_name=_("set"),
    )
    location = models.ForeignKey(
        Location,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="readings",
        verbose_name=_("location"),
        help_text=_("For a reading of the recce, without a set."),
    )
    at = models.DateTimeField(
        _("read at"),
        help_text=_("The plan carries it on from this time by the change of the daylight."),
    )
    kind = models.CharField(
        _("kind"), max_length=8, choices=Kind.choices, help_text=_("How the meter was used.")
    )
    plane = models.CharField(
        _("of what"),
        max_length=8,
        choices=Plane.choices,
        help_text=_("What it was pointed at or held in front of."),
    )
    f_mark = ApertureField(
        _("meter says f/"), null=True, blank=True, help_text=_("The whole mark: 11.")
    )
    shutter_s = ShutterField(
        _("at shutter"), null=True, blank=True, help_text=_("As set on the meter.")
    )
    ev = models.FloatField(
        _("or EV"),
        null=True,
        blank=True,
        help_text=_("As the meter shows it at that ISO, instead of f/ and shutter."),
    )
    flash_in = models.BooleanField(
        _("flash in the reading"),
        default=False,
        help_text=_("Only readings without flash replace the daylight estimate."),
    )
    spread_stops = models.FloatField(
        _("right within (stops)"), default=0.2, help_text=_("0.2 is what careful metering holds.")
    )
    spot = models.CharField(
        _("which backdrop"),
        max_length=120,
        blank=True,
        help_text=_("Recce: the backdrop's words, as the sets call it. Empty: any there."),
    )
    sky = models.CharField(
        _("sky at the time"),
        max_length=8,
        choices=Sky.choices,
        blank=True,
        help_text=_("Recce: the reading serves days of the same sky only."),
    )
    notes = models.CharField(_("notes"), max_length=200, blank=True)

    part_of = ("planned_set", "location")

    class Meta:
        verbose_name = _("meter reading")
        verbose_name_plural = _("meter readings")
        ordering = ("at", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(planned_set__isnull=False, location=None)
                | Q(planned_set=None, location__isnull=False),
                name="reading_of_set_or_location",
                violation_error_message=_("Set or location: choose exactly one of them."),
            ),
            models.CheckConstraint(
                condition=Q(ev__isnull=False, f_mark=None, shutter_s=None)
                | Q(ev=None, f_mark__isnull=False, shutter_s__isnull=False),
                name="reading_mark_or_ev",
                violation_error_message=_("Meter says: enter f/ and shutter, or the EV alone."),
            ),
            models.CheckConstraint(
                condition=Q(kind="sky", plane="sky") | (~Q(kind="sky") & ~Q(plane="sky")),
                name="reading_sky_of_sky",
                violation_error_message=_("Of what: a sky reading is of the sky, and only it is."),
            ),
            models.CheckConstraint(
                condition=~Q(kind="spot") | ~Q(plane__in=("face", "shade")),
                name="reading_spot_of_backdrop",
                violation_error_message=_(
                    "Of what: a spot reading is of the backdrop: read the face with the dome, "
                    "or choose the backdrop."
                ),
            ),
            *ranges(
                "reading",
                f_mark=marks.APERTURES.ends,
                tenths=(0, 9),
                shutter_s=marks.SHUTTERS.ends,
                iso=marks.ISOS.ends,
                ev=(-10, 25),
                spread_stops=(0, 4),
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.get_plane_display()}"

    def save(self, *args, **kwargs):
        self._check_open()
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        self._check_open()
        return super().delete(*args, **kwargs)

    def _check_open(self) -> None:
        if self.planned_set_id:  # one of a place belongs to no workshop
            check_not_closed(self.planned_set.workshop_id)
