"""What happened on the day, as events that are added and never changed."""

from uuid import uuid4

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from planning.models.planned_set import PlannedSet
from workshops import marks
from workshops.errors import Refused
from workshops.models import Booking
from workshops.models.base import Record, ranges
from workshops.models.fields import ApertureField, IsoField, PowerField, ShutterField


class TallyEvent(Record):
    """One event of a set: a repeat of the same ``uuid`` is the same event, a counter-entry undoes.

    The device that notes it makes the ``uuid``, so that sending it twice is harmless.
    """

    class Kind(models.TextChoices):
        TURN_GIVEN = "turn given", _("turn given")
        TURN_MISSED = "turn missed", _("turn missed")
        RECIPE_LOCKED = "recipe locked", _("recipe locked")

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    planned_set = models.ForeignKey(
        PlannedSet, on_delete=models.PROTECT, related_name="events", verbose_name=_("set")
    )
    kind = models.CharField(_("what"), max_length=16, choices=Kind.choices)
    booking = models.ForeignKey(
        Booking,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="events",
        verbose_name=_("attendee"),
    )
    round = models.PositiveSmallIntegerField(_("round"), null=True, blank=True)
    station = models.CharField(_("station"), max_length=40, blank=True)
    at = models.DateTimeField(_("at"))
    f_number = ApertureField(_("aperture"), null=True, blank=True)
    shutter_s = ShutterField(_("shutter"), null=True, blank=True)
    iso = IsoField(_("ISO"), null=True, blank=True)
    light_name = models.CharField(
        _("light"), max_length=60, blank=True, help_text=_("By its name on the set.")
    )
    power = PowerField(
        _("power"), null=True, blank=True, help_text=_("As the head shows it: 1/4 or 1/4 +0.3.")
    )
    takes_back = models.OneToOneField(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="taken_back_by",
        verbose_name=_("takes back"),
    )
    notes = models.CharField(_("notes"), max_length=200, blank=True)

    part_of = ("planned_set",)

    class Meta:
        verbose_name = _("event of the day")
        verbose_name_plural = _("events of the day")
        ordering = ("planned_set", "at", "pk")
        constraints = (
            models.CheckConstraint(
                condition=~Q(kind__in=("turn given", "turn missed")) | Q(booking__isnull=False),
                name="event_turn_is_somebodys",
                violation_error_message=_("Attendee: choose whose turn it was."),
            ),
            models.CheckConstraint(
                condition=~Q(kind="recipe locked")
                | Q(f_number__isnull=False, shutter_s__isnull=False, iso__isnull=False),
                name="event_recipe_is_whole",
                violation_error_message=_("Recipe: enter aperture, shutter and ISO."),
            ),
            *ranges(
                "event",
                f_number=marks.APERTURES.ends,
                shutter_s=marks.SHUTTERS.ends,
                iso=marks.ISOS.ends,
                power=(marks.LEAST_POWER, 1),
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.planned_set}"

    def save(self, *args, **kwargs):
        if not self._state.adding:
            raise Refused(gettext("An event stays as it is: take it back by a new one."))
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        raise Refused(gettext("An event stays as it is: take it back by a new one."))
