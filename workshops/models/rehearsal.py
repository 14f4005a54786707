"""The try before the first set: does this trigger fire that lamp on this camera."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record
from workshops.models.fields import ShutterField


class Rehearsal(Record):
    """One try of an attendee's camera with a trigger and a lamp; the newest of a pair counts."""

    class Result(models.TextChoices):
        FIRES = "fires", _("fires")
        BAND = "band", _("a dark band")
        NO = "no", _("does not fire")

    booking = models.ForeignKey(
        "Booking", on_delete=models.CASCADE, related_name="rehearsals", verbose_name=_("attendee")
    )
    trigger_unit = models.ForeignKey(
        "KitUnit", on_delete=models.PROTECT, related_name="+", verbose_name=_("trigger")
    )
    lamp_unit = models.ForeignKey(
        "KitUnit", on_delete=models.PROTECT, related_name="+", verbose_name=_("lamp")
    )
    result = models.CharField(_("result"), max_length=5, choices=Result.choices)
    measured_sync_s = ShutterField(
        _("fastest shutter without a band"),
        null=True,
        blank=True,
        help_text=_("As tried now. Beats what the questionnaire says."),
    )
    tried_at = models.DateTimeField(_("tried"))

    part_of = ("booking",)

    class Meta:
        verbose_name = _("rehearsal")
        verbose_name_plural = _("rehearsals")
        ordering = ("booking", "tried_at", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("booking", "trigger_unit", "lamp_unit"), name="rehearsal_once"
            ),
            models.CheckConstraint(
                condition=~Q(result="no") | Q(measured_sync_s=None),
                name="rehearsal_sync_only_when_it_fires",
                violation_error_message=_(
                    "Fastest shutter: leave it empty where the lamp does not fire."
                ),
            ),
        )

    def __str__(self) -> str:
        return f"{self.booking}: {self.get_result_display()}"
