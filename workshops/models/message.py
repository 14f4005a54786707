"""Mail to people: written down with the change that causes it, sent afterwards."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record


class Message(Record):
    """One mail to one person for one purpose; ``key`` lets it be written only once.

    Links are not in the stored text: a placeholder stands for them until it is sent.
    """

    class Purpose(models.TextChoices):
        CONFIRMATION = "confirmation", _("confirmation of the booking")
        QUESTIONNAIRE = "questionnaire", _("questionnaire")
        JOINING = "joining", _("joining notes")
        BALANCE = "balance", _("reminder of the balance")
        REMINDER = "reminder", _("reminder of the day")
        OFFER = "offer", _("offer of a seat")
        LAPSED = "lapsed", _("an offer lapsed")
        CANCELLATION = "cancellation", _("cancellation")
        HANDOUT = "handout", _("handout")
        FEEDBACK = "feedback", _("question for feedback")

    class State(models.TextChoices):
        QUEUED = "queued", _("to be sent")
        SENT = "sent", _("sent")
        FAILED = "failed", _("could not be sent")
        WITHDRAWN = "withdrawn", _("withdrawn")

    purpose = models.CharField(_("purpose"), max_length=13, choices=Purpose.choices)
    key = models.CharField(max_length=120, unique=True, editable=False)
    person = models.ForeignKey(
        "Person",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="messages",
        verbose_name=_("person"),
    )
    workshop = models.ForeignKey(
        "Workshop",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="messages",
        verbose_name=_("workshop"),
    )
    booking = models.ForeignKey(
        "Booking",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="messages",
        verbose_name=_("booking"),
    )
    link = models.ForeignKey(
        "SignedLink",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("link in the text"),
    )
    to_address = models.EmailField(_("to"))
    subject = models.CharField(_("subject"), max_length=200)
    body = models.TextField(_("text"))
    calendar = models.TextField(_("calendar file"), blank=True)
    state = models.CharField(_("state"), max_length=9, choices=State.choices, default=State.QUEUED)
    attempts = models.PositiveSmallIntegerField(_("attempts"), default=0)
    next_try_at = models.DateTimeField(_("next try"), null=True, blank=True)
    sent_at = models.DateTimeField(_("sent"), null=True, blank=True)
    last_error = models.CharField(_("last error"), max_length=200, blank=True)
    made_at = models.DateTimeField(_("written"))

    audit_hides = ("body", "calendar")

    class Meta:
        verbose_name = _("message")
        verbose_name_plural = _("messages")
        ordering = ("-made_at", "-pk")
        indexes = (models.Index(fields=("state", "next_try_at"), name="message_queue"),)
        constraints = (
            models.CheckConstraint(
                condition=Q(state="sent", sent_at__isnull=False)
                | (~Q(state="sent") & Q(sent_at=None)),
                name="message_sent_says_when",
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_purpose_display()}: {self.to_address}"
