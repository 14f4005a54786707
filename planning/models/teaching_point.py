"""What a set teaches: one point of the library, in the house's own words where it has any."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from planning.lesson.points import LIBRARY, PARTS
from workshops.models.base import Record


class TeachingPoint(Record):
    """A point of the library, or one of the house's own.

    A part left empty in a point of the library says what the library says, in the language of
    whoever reads; a part with words of the house says these.
    """

    code = models.SlugField(
        _("code"),
        max_length=40,
        null=True,
        blank=True,
        unique=True,
        editable=False,
    )
    position = models.PositiveSmallIntegerField(
        _("order"), default=100, help_text=_("Of the lists to choose from.")
    )
    name = models.CharField(_("name"), max_length=80, blank=True)
    objective = models.TextField(
        _("objective"), blank=True, help_text=_("What everybody can do afterwards: one sentence.")
    )
    demo = models.TextField(_("demo steps"), blank=True, help_text=_("One step a line."))
    task = models.TextField(
        _("attendees' task"), blank=True, help_text=_("What each does in a turn. One step a line.")
    )
    vary = models.TextField(_("what to vary"), blank=True, help_text=_("One thing a line."))
    faults = models.TextField(
        _("faults and cures"), blank=True, help_text=_("One a line: fault: cure.")
    )
    critique = models.TextField(
        _("questions for talking over"), blank=True, help_text=_("One a line.")
    )
    exercise = models.TextField(_("exercise for home"), blank=True)
    hidden = models.BooleanField(
        _("not offered"), default=False, help_text=_("Ticked: sets that have it keep it.")
    )

    class Meta:
        verbose_name = _("teaching point")
        verbose_name_plural = _("teaching points")
        ordering = ("position", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(code__isnull=False) | (~Q(name="") & ~Q(objective="")),
                name="point_of_the_house_has_words",
                violation_error_message=_("Name and objective: enter both."),
            ),
        )

    def __str__(self) -> str:
        return self.part("name")

    def part(self, name: str) -> str:
        """Return one part's text, not yet filled with a set's figures."""
        own = getattr(self, name)
        known = LIBRARY.get(self.code or "")
        return own or (str(_(getattr(known, name))) if known and getattr(known, name) else "")

    def parts(self) -> dict[str, str]:
        return {name: self.part(name) for name in PARTS}
