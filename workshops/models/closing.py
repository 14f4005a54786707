"""A workshop closed for good: what was let go by, and what those who came say of it."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record, ranges


class Closing(Record):
    """When a workshop was closed, by whom; and, if it was opened again, why."""

    workshop = models.ForeignKey(
        "Workshop", on_delete=models.CASCADE, related_name="closings", verbose_name=_("workshop")
    )
    closed_at = models.DateTimeField(_("closed"))
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("account"),
    )
    reopened_at = models.DateTimeField(_("opened again"), null=True, blank=True)
    reopened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("opened again by"),
    )
    reopened_reason = models.CharField(_("why it was opened again"), max_length=200, blank=True)

    part_of = ("workshop",)

    class Meta:
        verbose_name = _("closing")
        verbose_name_plural = _("closings")
        ordering = ("-closed_at", "-pk")
        constraints = (
            models.UniqueConstraint(
                fields=("workshop",),
                condition=Q(reopened_at=None),
                name="one_closing_stands",
                violation_error_message=_("Workshop: it is closed already."),
            ),
            models.CheckConstraint(
                condition=(Q(reopened_at=None) & Q(reopened_reason=""))
                | (Q(reopened_at__isnull=False) & ~Q(reopened_reason="")),
                name="closing_opened_again_for_a_reason",
                violation_error_message=_("Why it was opened again: enter a reason."),
            ),
        )

    def __str__(self) -> str:
        return str(self.workshop)


class LetBy(Record):
    """Something still open when a workshop was closed, with the reason why it was closed."""

    closing = models.ForeignKey(
        Closing, on_delete=models.CASCADE, related_name="let_by", verbose_name=_("closing")
    )
    what = models.CharField(_("what was open"), max_length=200)
    reason = models.CharField(_("why it was closed all the same"), max_length=200)

    part_of = ("closing",)

    class Meta:
        verbose_name = _("left open at the closing")
        verbose_name_plural = _("left open at the closing")
        ordering = ("closing", "pk")
        constraints = (
            models.UniqueConstraint(fields=("closing", "what"), name="let_by_once"),
            models.CheckConstraint(
                condition=~Q(reason=""),
                name="let_by_has_a_reason",
                violation_error_message=_("Why it was closed all the same: enter a reason."),
            ),
        )

    def __str__(self) -> str:
        return self.what


class Feedback(Record):
    """Five answers of somebody who was there; nobody has to give any."""

    class Turns(models.TextChoices):
        FEW = "few", _("too few")
        RIGHT = "right", _("enough")
        MANY = "many", _("more than I could use")

    class Pace(models.TextChoices):
        SLOW = "slow", _("too slow")
        RIGHT = "right", _("right")
        FAST = "fast", _("too fast")

    booking = models.OneToOneField(
        "Booking", on_delete=models.CASCADE, related_name="feedback", verbose_name=_("attendee")
    )
    given_at = models.DateTimeField(_("given"))
    taught = models.PositiveSmallIntegerField(
        _("It taught what it promised"),
        null=True,
        blank=True,
        help_text=_("1: not at all, 5: all of it."),
    )
    turns = models.CharField(
        _("My own turns were"), max_length=5, choices=Turns.choices, blank=True
    )
    pace = models.CharField(_("The pace was"), max_length=5, choices=Pace.choices, blank=True)
    safe = models.PositiveSmallIntegerField(
        _("I felt safe"), null=True, blank=True, help_text=_("1: not at all, 5: all the time.")
    )
    words = models.TextField(
        _("What did you learn, and what should be different?"), blank=True, max_length=4000
    )

    part_of = ("booking",)
    audit_hides = ("words",)  # what somebody takes out again is not kept elsewhere

    class Meta:
        verbose_name = _("feedback")
        verbose_name_plural = _("feedback")
        ordering = ("-given_at", "-pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(taught__isnull=False)
                | Q(safe__isnull=False)
                | ~Q(turns="")
                | ~Q(pace="")
                | ~Q(words=""),
                name="feedback_says_something",
                violation_error_message=_("Answer at least one of the five."),
            ),
            *ranges("feedback", taught=(1, 5), safe=(1, 5)),
        )

    def __str__(self) -> str:
        return str(self.booking)
