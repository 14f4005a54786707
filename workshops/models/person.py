"""People and the cameras they bring."""

from datetime import date, timedelta

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from workshops import marks
from workshops.models.base import Record, phone_number, ranges
from workshops.models.fields import IsoField, ShutterField

OF_AGE_YEARS = 18
EARLIEST_BIRTH = date(1900, 1, 1)  # before it a year is a slip of the finger
AHEAD = timedelta(hours=14)  # the easternmost clock, UTC+14: where today comes first


def birth_day(day: date) -> None:
    """Refuse a day on which nobody who comes can have been born.

    A validator of the field, so that every form, list and service asks it: hence the clock here.
    """
    if not EARLIEST_BIRTH <= day <= (timezone.now() + AHEAD).date():
        raise ValidationError(
            _("Birth date: enter a day from 1900 to today, such as 2009-05-08."), code="birth"
        )


class Person(Record):
    """Somebody who books, teaches, models or helps."""

    class Consent(models.TextChoices):
        UNASKED = "unasked", _("not asked yet")
        YES = "yes", _("yes")
        NO = "no", _("no")

    name = models.CharField(
        _("name"), max_length=120, help_text=_("As it is printed in the order of turns.")
    )
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(
        _("phone on the day"), max_length=31, blank=True, validators=[phone_number]
    )
    emergency_name = models.CharField(_("emergency contact"), max_length=120, blank=True)
    emergency_phone = models.CharField(
        _("emergency phone"), max_length=31, blank=True, validators=[phone_number]
    )
    language = models.CharField(
        _("language"), max_length=10, default="en", help_text=_("Language code, such as en.")
    )
    experience = models.TextField(
        _("experience"),
        blank=True,
        help_text=_("Manual exposure? Flash off the camera before? The goal in one sentence."),
    )
    goal = models.CharField(
        _("goal"),
        max_length=200,
        blank=True,
        help_text=_("What they want to take home, in one line."),
    )
    equipment = models.TextField(
        _("what else they bring"),
        blank=True,
        help_text=_("Lenses, ND filters and their thread, the kind of memory card."),
    )
    own_trigger = models.CharField(
        _("own trigger"),
        max_length=120,
        blank=True,
        help_text=_("Whether they have one, and what radio system it speaks."),
    )
    access_needs = models.TextField(
        _("access needs"),
        blank=True,
        help_text=_("Walking, standing, lifting, hearing, sight and colour vision, left-handed."),
    )
    dietary = models.CharField(_("dietary"), max_length=200, blank=True)
    swims = models.CharField(
        _("can swim"),
        max_length=8,
        choices=Consent.choices,
        default=Consent.UNASKED,
        help_text=_("Asked where a place has water."),
    )
    photo_consent = models.CharField(
        _("may be in pictures of the day"),
        max_length=8,
        choices=Consent.choices,
        default=Consent.UNASKED,
    )
    birth_date = models.DateField(
        _("birth date"),
        null=True,
        blank=True,
        validators=[birth_day],
        help_text=_("Only needed under 18; settles the question by the day of the workshop."),
    )
    under_age = models.BooleanField(
        _("under 18"), default=False, help_text=_("Tick where no birth date is given.")
    )
    guardian_name = models.CharField(
        _("guardian"),
        max_length=120,
        blank=True,
        help_text=_("The adult who stays with somebody under 18. Required with the tick above."),
    )
    guardian_phone = models.CharField(
        _("guardian's phone"), max_length=31, blank=True, validators=[phone_number]
    )
    notes = models.TextField(_("notes"), blank=True)

    audit_hides = ("access_needs", "dietary", "birth_date")

    class Meta:
        verbose_name = _("person")
        verbose_name_plural = _("people")
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(under_age=False) | ~Q(guardian_name=""),
                name="under_age_has_guardian",
                violation_error_message=_(
                    "Guardian: enter the adult who comes along with somebody under 18."
                ),
            ),
        )

    def __str__(self) -> str:
        return self.name

    def is_under_age(self, on: date) -> bool:
        """Return whether the person is under 18 on that day, as far as is known."""
        if self.birth_date is None:
            return self.under_age
        had_birthday = (on.month, on.day) >= (self.birth_date.month, self.birth_date.day)
        return on.year - self.birth_date.year - (not had_birthday) < OF_AGE_YEARS


class CameraBody(Record):
    """A camera as its manual describes it; the slowest sync of the day rules the group."""

    class Shoe(models.TextChoices):
        STANDARD = "standard", _("standard")
        OTHER = "other", _("another foot or rail: needs an adapter")
        NONE = "none", _("none")

    owner = models.ForeignKey(
        Person, on_delete=models.CASCADE, related_name="cameras", verbose_name=_("owner")
    )
    name = models.CharField(_("make and model"), max_length=120)
    firmware = models.CharField(_("firmware"), max_length=60, blank=True)
    sync_s = ShutterField(
        _("flash sync speed"),
        help_text=_("Fastest shutter for flash, from the manual: 1/160 to 1/250, old ones 1/60."),
    )
    sync_known = models.BooleanField(
        _("sync speed known"),
        default=True,
        help_text=_("Untick while it is assumed: look it up, or try it before the first set."),
    )
    fastest_shutter_s = ShutterField(
        _("fastest shutter"), default="1/4000", help_text=_("Mechanical: usually 1/4000 or 1/8000.")
    )
    lowest_iso = IsoField(
        _("lowest native ISO"), default="100", help_text=_("64, 100 or 200; not the extended one.")
    )
    curtain_s = ShutterField(
        _("shortest curtain travel"),
        null=True,
        blank=True,
        help_text=_("Only if measured; empty: taken as the sync speed."),
    )
    sensor_width_mm = models.FloatField(
        _("sensor width (mm)"),
        default=36.0,
        help_text=_("36 full frame, about 23.5 APS-C, 17.3 four thirds."),
    )
    sensor_height_mm = models.FloatField(
        _("sensor height (mm)"),
        default=24.0,
        help_text=_("24 full frame, about 15.6 APS-C, 13 four thirds."),
    )
    shoe = models.CharField(
        _("hot shoe"), max_length=8, choices=Shoe.choices, default=Shoe.STANDARD
    )
    centre_contact = models.BooleanField(
        _("centre contact"),
        default=True,
        help_text=_("Untick if the shoe lacks the middle contact: simple triggers never fire."),
    )
    pc_socket = models.BooleanField(
        _("PC sync socket"),
        null=True,
        blank=True,
        help_text=_("A trigger can hang on it by a cord where the shoe fails."),
    )
    leaf_shutter = models.BooleanField(
        _("leaf shutter"),
        default=False,
        help_text=_("A shutter in the lens: flash works at far shorter times."),
    )
    electronic_only = models.BooleanField(
        _("electronic shutter only"),
        default=False,
        help_text=_("No mechanical shutter: most such bodies cannot use flash."),
    )
    flash_system = models.CharField(
        _("flash system"),
        max_length=60,
        blank=True,
        help_text=_("The family of dedicated flashes it talks to, in your own words."),
    )

    class Meta:
        verbose_name = _("camera body")
        verbose_name_plural = _("camera bodies")
        ordering = ("owner", "name", "pk")
        constraints = (
            *ranges(
                "camera",
                sync_s=(marks.SHUTTERS.ends[0], 1),
                fastest_shutter_s=(marks.SHUTTERS.ends[0], 1),
                curtain_s=(marks.SHUTTERS.ends[0], 1),
                lowest_iso=(marks.ISOS.ends[0], marks.iso("3200")),
                sensor_width_mm=(4, 100),
                sensor_height_mm=(3, 100),
            ),
            models.CheckConstraint(
                condition=Q(fastest_shutter_s__lte=models.F("sync_s")),
                name="camera_fastest_not_slower_than_sync",
                violation_error_message=_(
                    "Fastest shutter: enter a time no slower than the flash sync speed."
                ),
            ),
        )

    def __str__(self) -> str:
        return f"{self.name} ({self.owner})"
