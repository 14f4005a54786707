"""What every reading of a meter holds, whatever it was read for."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record
from workshops.models.fields import ApertureField, IsoField


class MeterReading(Record):
    """A whole mark and tenths of a stop, at an ISO, by a meter."""

    f_mark = ApertureField(_("meter says f/"), help_text=_("The whole mark: 11."))
    tenths = models.PositiveSmallIntegerField(
        _("and tenths"), default=0, help_text=_("The small figure: 3 reads f/11 and three tenths.")
    )
    iso = IsoField(_("ISO set on the meter"), default="100")
    meter = models.ForeignKey(
        "workshops.KitUnit",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("meter"),
        limit_choices_to={"kind__category": "meter"},
        help_text=_("Its constant is reckoned in. Empty: C 250, K 12.5."),
    )

    class Meta:
        abstract = True

    @property
    def f_number(self) -> float:
        """The exact f-number of mark and tenths."""
        return self.f_mark * 2 ** (self.tenths / 20)
