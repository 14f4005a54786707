"""Pictures of a set that its handouts show."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from planning.models.planned_set import PlannedSet
from workshops.models.base import Record


class SetPicture(Record):
    """A picture made anew when it came in (``planning.pictures``), with whose it is."""

    planned_set = models.ForeignKey(
        PlannedSet, on_delete=models.CASCADE, related_name="pictures", verbose_name=_("set")
    )
    content = models.BinaryField(_("picture"))
    width_px = models.PositiveIntegerField(_("width"), editable=False)
    height_px = models.PositiveIntegerField(_("height"), editable=False)
    words = models.CharField(
        _("what it shows"), max_length=200, help_text=_("Also read to whoever does not see it.")
    )
    credit = models.CharField(
        _("whose it is"), max_length=120, help_text=_("Who took it, and who is to be named.")
    )

    audit_hides = ("content",)
    part_of = ("planned_set",)

    class Meta:
        verbose_name = _("picture")
        verbose_name_plural = _("pictures")
        ordering = ("planned_set", "pk")

    def __str__(self) -> str:
        return self.words
