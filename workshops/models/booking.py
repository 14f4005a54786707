"""Who holds a seat."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record
from workshops.models.fields import ShutterField

LIVE = ("held", "confirmed")


class BookingQuerySet(models.QuerySet):
    def live(self):
        """Bookings that still hold a seat."""
        return self.filter(state__in=LIVE)


class Booking(Record):
    """A person's place at a workshop: held, confirmed, or cancelled and without a seat."""

    class State(models.TextChoices):
        HELD = "held", _("held")
        CONFIRMED = "confirmed", _("confirmed")
        CANCELLED = "cancelled", _("cancelled")

    workshop = models.ForeignKey(
        "Workshop", on_delete=models.PROTECT, related_name="bookings", verbose_name=_("workshop")
    )
    person = models.ForeignKey(
        "Person", on_delete=models.PROTECT, related_name="bookings", verbose_name=_("person")
    )
    seat = models.ForeignKey(
        "Seat",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="bookings",
        verbose_name=_("seat"),
    )
    state = models.CharField(_("state"), max_length=10, choices=State.choices, default=State.HELD)
    camera = models.ForeignKey(
        "CameraBody",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("camera on the day"),
        help_text=_("The own body or one on loan. Its sync and lowest ISO enter the plan."),
    )
    trigger_unit = models.ForeignKey(
        "KitUnit",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("trigger"),
        limit_choices_to={"kind__category": "trigger"},
        help_text=_("The unit this person shoots with, if it is settled already."),
    )
    measured_sync_s = ShutterField(
        _("measured sync"),
        null=True,
        blank=True,
        help_text=_("Fastest shutter without a band, tried with this trigger. Beats the manual."),
    )
    booked_at = models.DateTimeField(_("booked"))
    cancelled_at = models.DateTimeField(_("cancelled"), null=True, blank=True)
    notes = models.TextField(_("notes"), blank=True)

    part_of = ("workshop",)

    objects = BookingQuerySet.as_manager()

    class Meta:
        verbose_name = _("booking")
        verbose_name_plural = _("bookings")
        ordering = ("booked_at", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("workshop", "person"),
                condition=Q(state__in=LIVE),
                name="one_live_booking_each",
                violation_error_message=_("Person: already holds a booking of this workshop."),
            ),
            models.UniqueConstraint(
                fields=("seat",),
                condition=Q(state__in=LIVE),
                name="one_live_booking_a_seat",
                violation_error_message=_("Seat: another booking holds it; choose a free one."),
            ),
            models.CheckConstraint(
                condition=(Q(state__in=LIVE) & Q(seat__isnull=False, cancelled_at=None))
                | (Q(state="cancelled") & Q(seat=None, cancelled_at__isnull=False)),
                name="live_booking_has_a_seat",
                violation_error_message=_(
                    "Seat: a live booking holds one; a cancelled one holds none and says when."
                ),
            ),
        )

    def __str__(self) -> str:
        return f"{self.person}, {self.workshop}"

    def clean(self):
        super().clean()
        if self.seat_id and self.seat.workshop_id != self.workshop_id:
            raise ValidationError({"seat": _("Seat: choose one of this workshop.")})
        if self.trigger_unit_id and self.trigger_unit.kind.category != "trigger":
            raise ValidationError({"trigger_unit": _("Trigger: choose a unit of that kind.")})
