"""What a set teaches: one point of the library, in the house's own words where it has any."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from planning.lesson.figure_names import NAMES, unknown
from planning.lesson.points import LIBRARY, PARTS
from workshops.models.base import Record

MOST_LETTERS = 1500  # of one part: a long one leaves no room for the rest of the sheet's back


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

    def clean(self):
        super().clean()
        if faults := {name: fault for name in PARTS if (fault := self._fault(name))}:
            raise ValidationError(faults)

    def _fault(self, name: str) -> str:
        """Return what is wrong with a part as entered, or an empty text."""
        text = getattr(self, name)
        if len(text) > MOST_LETTERS:
            return gettext(
                "%(part)s: %(n)d letters are more than the back of a sheet holds; keep to %(most)d."
            ) % {"part": self._label(name), "n": len(text), "most": MOST_LETTERS}
        if strays := list(dict.fromkeys(unknown(text))):
            return gettext(
                "%(part)s: %(strays)s names no figure. Brackets are kept for the names of "
                "figures: %(names)s."
            ) % {
                "part": self._label(name),
                "strays": ", ".join(strays),
                "names": ", ".join(NAMES),
            }
        return ""

    def _label(self, name: str) -> str:
        return capfirst(str(self._meta.get_field(name).verbose_name))

    def part(self, name: str) -> str:
        """Return one part's text, not yet filled with a set's figures."""
        return getattr(self, name) or self.library_part(name)

    def library_part(self, name: str) -> str:
        """Return the library's text of a part in the reader's language; empty for an own point."""
        known = LIBRARY.get(self.code or "")
        return known.text(name, gettext) if known else ""

    def parts(self) -> dict[str, str]:
        return {name: self.part(name) for name in PARTS}
