"""A workshop day, its places, its people and its seats."""

from uuid import uuid4

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from workshops.models.base import Record, ranges, validate_timezone


class Workshop(Record):
    """A day, or several, in which a small group learns on location."""

    class Status(models.TextChoices):
        DRAFT = "draft", _("draft")
        OPEN = "open", _("open for booking")
        CONFIRMED = "confirmed", _("confirmed: it will run")
        RUN = "run", _("has run")
        CLOSED = "closed", _("closed")
        CANCELLED = "cancelled", pgettext_lazy("a workshop", "cancelled")

    class Level(models.TextChoices):
        FIRST = "first", _("first steps with a strobe")
        SOME = "some", _("has used flash off the camera")
        ADVANCED = "advanced", _("advanced")

    title = models.CharField(_("title"), max_length=120)
    level = models.CharField(
        _("level"),
        max_length=10,
        choices=Level.choices,
        default=Level.FIRST,
        help_text=_("What people need to know before they come."),
    )
    start_at = models.DateTimeField(_("start"))
    end_at = models.DateTimeField(_("end"))
    timezone_name = models.CharField(
        _("time zone"),
        max_length=64,
        validators=[validate_timezone],
        help_text=_("Of the place, as an IANA name such as Europe/London."),
    )
    locations = models.ManyToManyField(
        "Location", through="WorkshopPlace", related_name="workshops", verbose_name=_("places")
    )
    status = models.CharField(
        _("status"),
        max_length=10,
        choices=Status.choices,
        default=Status.DRAFT,
        help_text=_("Bookings are taken while it is open or confirmed."),
    )
    cancelled_reason = models.CharField(
        _("reason of the cancellation"),
        max_length=200,
        blank=True,
        help_text=_("Required with the status cancelled, and only then."),
    )
    minimum_to_run = models.PositiveSmallIntegerField(
        _("people needed to run"),
        default=1,
        help_text=_("Below this many confirmed bookings it is usually called off."),
    )
    price = models.DecimalField(
        _("price"), max_digits=9, decimal_places=2, default=0, help_text=_("For one seat.")
    )
    currency = models.CharField(
        _("currency"), max_length=3, default="EUR", help_text=_("Three letters, such as EUR.")
    )
    terms = models.ForeignKey(
        "Terms",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        verbose_name=_("booking terms"),
        help_text=_("What is refunded when somebody cancels."),
    )
    radio_channel = models.CharField(
        _("radio channel"),
        max_length=20,
        blank=True,
        help_text=_("Of heads and triggers; not the channel every set leaves the shop with."),
    )
    strobe_sensitive = models.BooleanField(
        _("somebody must not be near strobe effects"),
        default=False,
        help_text=_("Raises a caution on the sheets of the day. Whose answer it is, is not kept."),
    )
    intro_min = models.FloatField(
        _("welcome and briefing (minutes)"),
        default=30.0,
        help_text=_("Before the first set: sign-in, safety, kit handed out."),
    )
    closing_min = models.FloatField(
        _("closing (minutes)"),
        default=30.0,
        help_text=_("After the last set: kit counted in, what everybody learnt."),
    )
    calendar_uid = models.UUIDField(default=uuid4, unique=True, editable=False)
    # Entries of before names were bare went out as uuid@host: calendars know them by that for good.
    calendar_host = models.CharField(max_length=255, blank=True, editable=False)
    notes = models.TextField(_("notes"), blank=True)

    class Meta:
        verbose_name = _("workshop")
        verbose_name_plural = _("workshops")
        ordering = ("-start_at", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(end_at__gt=F("start_at")),
                name="workshop_ends_after_start",
                violation_error_message=_("End: enter a time after the start."),
            ),
            models.CheckConstraint(
                condition=(Q(status="cancelled") & ~Q(cancelled_reason=""))
                | (~Q(status="cancelled") & Q(cancelled_reason="")),
                name="workshop_reason_with_cancelled",
                violation_error_message=_(
                    "Reason of the cancellation: enter one with the status cancelled, "
                    "and leave it empty otherwise."
                ),
            ),
            *ranges(
                "workshop",
                minimum_to_run=(1, 1000),
                price=(0, None),
                intro_min=(0, 600),
                closing_min=(0, 600),
            ),
        )

    def __str__(self) -> str:
        return self.title


class WorkshopPlace(Record):
    """A location the workshop uses, in the order of the day."""

    workshop = models.ForeignKey(
        Workshop, on_delete=models.CASCADE, related_name="places", verbose_name=_("workshop")
    )
    location = models.ForeignKey(
        "Location", on_delete=models.PROTECT, related_name="+", verbose_name=_("location")
    )
    position = models.PositiveSmallIntegerField(_("order"), default=1)

    class Meta:
        verbose_name = _("place of the workshop")
        verbose_name_plural = _("places of the workshop")
        ordering = ("workshop", "position", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("workshop", "location"),
                name="workshop_place_once",
                violation_error_message=_("Location: this workshop has it already."),
            ),
        )

    def __str__(self) -> str:
        return str(self.location)


class WorkshopBreak(Record):
    """A rest that the day's order keeps free: lunch, tea, the model's change of clothes."""

    workshop = models.ForeignKey(
        Workshop, on_delete=models.CASCADE, related_name="breaks", verbose_name=_("workshop")
    )
    title = models.CharField(_("what for"), max_length=60, help_text=_("Such as lunch."))
    earliest_at = models.DateTimeField(_("begins no sooner than"))
    latest_at = models.DateTimeField(_("begins no later than"))
    minutes = models.FloatField(_("minutes"), default=40.0)

    part_of = ("workshop",)

    class Meta:
        verbose_name = _("break")
        verbose_name_plural = _("breaks")
        ordering = ("workshop", "earliest_at", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(latest_at__gte=F("earliest_at")),
                name="break_begins_in_its_span",
                violation_error_message=_(
                    "Begins no later than: enter a time no earlier than the one before."
                ),
            ),
            *ranges("break", minutes=(1, 600)),
        )

    def __str__(self) -> str:
        return self.title


class WorkshopRole(Record):
    """What somebody does at a workshop without holding a seat."""

    class Role(models.TextChoices):
        LEAD = "lead", _("lead instructor")
        INSTRUCTOR = "instructor", _("instructor")
        MODEL = "model", _("model")
        STAND_IN = "stand-in", _("stand-in")
        HELPER = "helper", _("helper")
        CHAPERONE = "chaperone", _("chaperone")

    workshop = models.ForeignKey(
        Workshop, on_delete=models.CASCADE, related_name="roles", verbose_name=_("workshop")
    )
    person = models.ForeignKey(
        "Person", on_delete=models.PROTECT, related_name="roles", verbose_name=_("person")
    )
    role = models.CharField(
        _("role"),
        max_length=10,
        choices=Role.choices,
        help_text=_("Everybody listed counts for the head limit of a permit."),
    )
    start_at = models.DateTimeField(_("from"), null=True, blank=True)
    end_at = models.DateTimeField(_("until"), null=True, blank=True)
    minutes_limit = models.PositiveSmallIntegerField(
        _("minutes in front of the camera, at most"),
        null=True,
        blank=True,
        help_text=_("On one set, before a break. Models and stand-ins only."),
    )
    skin_reflectance = models.FloatField(
        _("skin reflectance"),
        default=0.30,
        help_text=_("0.18 is mid-grey; light skin about 0.35, deep skin 0.10. 0.30 if not known."),
    )
    release_signed = models.BooleanField(_("model release signed"), default=False)
    notes = models.TextField(_("notes"), blank=True)

    part_of = ("workshop",)

    class Meta:
        verbose_name = _("role at the workshop")
        verbose_name_plural = _("roles at the workshop")
        ordering = ("workshop", "role", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("workshop", "person", "role"),
                name="workshop_role_once",
                violation_error_message=_("Person: has that role at this workshop already."),
            ),
            models.UniqueConstraint(
                fields=("workshop",),
                condition=Q(role="lead"),
                name="workshop_one_lead",
                violation_error_message=_("Role: this workshop has a lead instructor already."),
            ),
            models.CheckConstraint(
                condition=Q(start_at=None) | Q(end_at=None) | Q(end_at__gt=F("start_at")),
                name="role_ends_after_start",
                violation_error_message=_("Until: enter a time after the beginning."),
            ),
            *ranges("role", skin_reflectance=(0.01, 1), minutes_limit=(1, 1440)),
        )

    def __str__(self) -> str:
        return f"{self.person}, {self.get_role_display()} ({self.workshop})"


class Seat(Record):
    """One place for one attendee. A live booking holds one; only free ones can be removed."""

    workshop = models.ForeignKey(
        Workshop, on_delete=models.CASCADE, related_name="seats", verbose_name=_("workshop")
    )
    number = models.PositiveSmallIntegerField(_("number"))

    class Meta:
        verbose_name = _("seat")
        verbose_name_plural = _("seats")
        ordering = ("workshop", "number")
        constraints = (
            models.UniqueConstraint(fields=("workshop", "number"), name="seat_number_once"),
            *ranges("seat", number=(1, 1000)),
        )

    def __str__(self) -> str:
        return f"{self.workshop}, {self.number}"
