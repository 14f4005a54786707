"""Links that open one thing to somebody without an account."""

from uuid import uuid4

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record


class SignedLink(Record):
    """What a link opens, until when; the address itself is signed, never stored."""

    class Purpose(models.TextChoices):
        QUESTIONNAIRE = "questionnaire", _("questionnaire")
        OFFER = "offer", _("offer of a seat")
        CALENDAR = "calendar", _("calendar of workshops")
        HANDOUT = "handout", _("handout")
        FEEDBACK = "feedback", _("feedback")

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    purpose = models.CharField(_("opens"), max_length=13, choices=Purpose.choices)
    person = models.ForeignKey(
        "Person",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="links",
        verbose_name=_("person"),
    )
    workshop = models.ForeignKey(
        "Workshop",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="links",
        verbose_name=_("workshop"),
    )
    booking = models.ForeignKey(
        "Booking",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="links",
        verbose_name=_("booking"),
    )
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="links",
        verbose_name=_("account"),
    )
    made_at = models.DateTimeField(_("made"))
    expires_at = models.DateTimeField(_("runs out"), null=True, blank=True)
    revoked_at = models.DateTimeField(_("revoked"), null=True, blank=True)
    used_at = models.DateTimeField(_("last opened"), null=True, blank=True)
    answered_at = models.DateTimeField(_("answered"), null=True, blank=True)

    class Meta:
        verbose_name = _("signed link")
        verbose_name_plural = _("signed links")
        ordering = ("-made_at", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(
                    purpose="questionnaire",
                    person__isnull=False,
                    workshop__isnull=False,
                    booking=None,
                    user=None,
                    expires_at__isnull=False,
                )
                | Q(
                    purpose__in=("offer", "handout", "feedback"),
                    booking__isnull=False,
                    person=None,
                    workshop=None,
                    user=None,
                    expires_at__isnull=False,
                )
                | Q(
                    purpose="calendar", user__isnull=False, person=None, workshop=None, booking=None
                ),
                name="link_opens_one_thing",
            ),
        )

    def __str__(self) -> str:
        return self.get_purpose_display()

    def is_open(self, now) -> bool:
        """Return whether the link opens anything at that instant."""
        return self.revoked_at is None and (self.expires_at is None or now < self.expires_at)
