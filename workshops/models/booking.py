"""Who holds a seat."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record, ranges
from workshops.models.fields import ShutterField

LIVE = ("held", "confirmed", "attended", "absent")  # holds a seat, also after the day


class BookingQuerySet(models.QuerySet):
    def live(self):
        """Bookings that hold a seat."""
        return self.filter(state__in=LIVE)

    def waiting(self):
        """Bookings on the waitlist, with an offer or without."""
        return self.filter(state=Booking.State.WAITLISTED)


class Booking(Record):
    """A person's place at a workshop, or on its waitlist.

    On the waitlist a seat means an offer: it is kept for that person until ``offer_expires_at``.
    Readers take an offer past that time for lapsed, whether or not it was cleared away already.
    """

    class State(models.TextChoices):
        HELD = "held", _("held")
        CONFIRMED = "confirmed", _("confirmed")
        WAITLISTED = "waitlisted", _("on the waitlist")
        CANCELLED = "cancelled", _("cancelled")
        ATTENDED = "attended", _("attended")
        ABSENT = "absent", _("absent")

    class CalledOffBy(models.TextChoices):
        ATTENDEE = "attendee", _("the attendee")
        HOUSE = "house", _("the house")

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
    arrives_at = models.DateTimeField(
        _("comes at"), null=True, blank=True, help_text=_("Empty: from the start.")
    )
    leaves_at = models.DateTimeField(
        _("leaves at"), null=True, blank=True, help_text=_("Empty: stays to the end.")
    )
    booked_at = models.DateTimeField(_("booked"))
    cancelled_at = models.DateTimeField(_("cancelled"), null=True, blank=True)
    cancelled_by = models.CharField(
        _("called off by"), max_length=8, choices=CalledOffBy.choices, blank=True
    )
    cancelled_reason = models.CharField(_("reason of the cancellation"), max_length=200, blank=True)
    refund_share = models.FloatField(
        _("share of the price not kept"),
        null=True,
        blank=True,
        help_text=_("By the terms as they were on the day of the cancellation; 1 by the house."),
    )
    offer_expires_at = models.DateTimeField(_("offer stands until"), null=True, blank=True)
    offer_lapsed_at = models.DateTimeField(_("last offer lapsed"), null=True, blank=True)
    price = models.DecimalField(
        _("agreed price"),
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        help_text=_("Empty: the workshop's price."),
    )
    request_key = models.UUIDField(null=True, blank=True, unique=True, editable=False)
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
                condition=~Q(state="cancelled"),
                name="one_live_booking_each",
                violation_error_message=_("Person: already holds a booking of this workshop."),
            ),
            models.UniqueConstraint(
                fields=("seat",),
                condition=~Q(state="cancelled"),
                name="one_live_booking_a_seat",
                violation_error_message=_("Seat: another booking holds it; choose a free one."),
            ),
            models.CheckConstraint(
                condition=Q(
                    state__in=LIVE,
                    seat__isnull=False,
                    cancelled_at=None,
                    offer_expires_at=None,
                )
                | Q(
                    state="waitlisted",
                    seat__isnull=False,
                    cancelled_at=None,
                    offer_expires_at__isnull=False,
                )
                | Q(state="waitlisted", seat=None, cancelled_at=None, offer_expires_at=None)
                | Q(
                    state="cancelled",
                    seat=None,
                    cancelled_at__isnull=False,
                    offer_expires_at=None,
                ),
                name="live_booking_has_a_seat",
                violation_error_message=_(
                    "Seat: a live booking holds one; on the waitlist only an offer with an end "
                    "does; a cancelled one holds none and says when."
                ),
            ),
            models.CheckConstraint(
                condition=Q(arrives_at=None) | Q(leaves_at=None) | Q(leaves_at__gt=F("arrives_at")),
                name="booking_leaves_after_coming",
                violation_error_message=_("Leaves at: enter a time after the coming."),
            ),
            *ranges("booking", refund_share=(0, 1), price=(0, None)),
        )

    def __str__(self) -> str:
        return f"{self.person}, {self.workshop}"

    def is_offered(self, now) -> bool:
        """Return whether a seat is kept for somebody on the waitlist at that instant."""
        return self.offer_expires_at is not None and now < self.offer_expires_at

    def clean(self):
        super().clean()
        if self.seat_id and self.seat.workshop_id != self.workshop_id:
            raise ValidationError({"seat": _("Seat: choose one of this workshop.")})
        if self.trigger_unit_id and self.trigger_unit.kind.category != "trigger":
            raise ValidationError({"trigger_unit": _("Trigger: choose a unit of that kind.")})
