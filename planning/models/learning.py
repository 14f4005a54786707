"""What the house wants left out of its own figures, and from when on they count."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record


class LeftOut(Record):
    """One witness of a figure that does not count, with the reason."""

    figure = models.CharField(
        _("figure"), max_length=120
    )  # "guide-number:7:3", "minutes-per-turn", ...
    witness = models.CharField(_("witness"), max_length=60)  # "flash-reading:12", "set:5", ...
    reason = models.CharField(
        _("why it does not count"), max_length=200, help_text=_("Meter slipped, wrong power, rain.")
    )

    class Meta:
        verbose_name = _("left out of a figure")
        verbose_name_plural = _("left out of figures")
        ordering = ("figure", "witness")
        constraints = (
            models.UniqueConstraint(fields=("figure", "witness"), name="left_out_once"),
            models.CheckConstraint(
                condition=~Q(reason=""),
                name="left_out_has_a_reason",
                violation_error_message=_("Why it does not count: say it in a few words."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.figure}: {self.witness}"


class CountsFrom(Record):
    """A figure begun anew: what was seen before does not count any more."""

    figure = models.CharField(_("figure"), max_length=120, unique=True)
    from_at = models.DateTimeField(_("counts from"))
    reason = models.CharField(
        _("why it begins anew"), max_length=200, help_text=_("New fabric, new cell, new tube.")
    )

    class Meta:
        verbose_name = _("figure begun anew")
        verbose_name_plural = _("figures begun anew")
        ordering = ("figure",)
        constraints = (
            models.CheckConstraint(
                condition=~Q(reason=""),
                name="counts_from_has_a_reason",
                violation_error_message=_("Why it begins anew: say it in a few words."),
            ),
        )

    def __str__(self) -> str:
        return self.figure
