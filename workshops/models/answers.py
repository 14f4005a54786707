"""What somebody told the lead instructor about health, of their own accord."""

import json
from datetime import datetime, timedelta

from django.db import models
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record
from workshops.models.encrypted import EncryptedTextField
from workshops.models.workshop import Workshop

KEPT_AFTER_END = timedelta(days=14)
CALM = "no_strobe"
# They ask for the effect, not for the diagnosis: what the day must be like, and what to do.
QUESTIONS = {
    CALM: _("No strobe effects near me: flicker or bursts of flashes could harm me"),
    "rest": _("I need to sit or rest: how often, and what helps"),
    "stings": _("Stings or plants I react to: what happens, and what to do"),
    "avoid": _("Food, latex or anything else to keep away from me"),
    "carried": _("Medication I carry: where it is, and when I take it"),
    "distance": _("An implant or device of mine that must keep its distance from magnets or radio"),
    "emergency": _("Anything the instructor must know or do in an emergency"),
}
Told = dict[str, str | bool]


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

    @property
    def told(self) -> Told | None:
        """The answers by the names of QUESTIONS; None when no key reads them any more."""
        return None if self.text is None else json.loads(self.text)

    @told.setter
    def told(self, answers: Told) -> None:
        self.text = json.dumps(answers)


def medical_answers_over(workshop: Workshop, now: datetime) -> bool:
    """Return whether medical answers for a workshop may be kept no longer."""
    over = workshop.status in (Workshop.Status.CLOSED, Workshop.Status.CANCELLED)
    return over or now >= workshop.end_at + KEPT_AFTER_END
