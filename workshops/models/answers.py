"""What somebody told the lead instructor about health, of their own accord."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record
from workshops.models.encrypted import EncryptedTextField


class MedicalAnswers(Record):
    """Voluntary answers of one person for one workshop, encrypted, for its lead alone.

    Never in the admin, in lists, exports, mails or logs; erased at closing, at the latest
    14 days after the end of the workshop.
    """

    person = models.ForeignKey(
        "Person", on_delete=models.CASCADE, related_name="medical_answers", verbose_name=_("person")
    )
    workshop = models.ForeignKey(
        "Workshop",
        on_delete=models.CASCADE,
        related_name="medical_answers",
        verbose_name=_("workshop"),
    )
    text = EncryptedTextField(_("answers"))
    answered_at = models.DateTimeField(_("answered"))

    audit_hides = ("person", "text")

    class Meta:
        verbose_name = _("medical answers")
        verbose_name_plural = _("medical answers")
        ordering = ("workshop", "person")
        constraints = (
            models.UniqueConstraint(fields=("person", "workshop"), name="medical_answers_once"),
        )

    def __str__(self) -> str:
        return str(_("medical answers"))  # whose they are stays out of the audit's words
