"""What happened on the day, as events that are added and never changed."""

from uuid import uuid4

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from planning.models.planned_set import PlannedSet
from workshops import marks
from workshops.errors import Refused
from workshops.models import Booking, KitUnit, Sky
from workshops.models.base import Record, ranges
from workshops.models.closed import check_not_closed
from workshops.models.fields import ApertureField, IsoField, PowerField, ShutterField


class TallyEvent(Record):
    """One event of a set: a repeat of the same ``uuid`` is the same event, a counter-entry undoes.

    The device that notes it makes the ``uuid``, so that sending it twice is harmless.
    """

    class Kind(models.TextChoices):
        TURN_GIVEN = "turn given", _("turn given")
        TURN_MISSED = "turn missed", _("turn missed")
        RECIPE_LOCKED = "recipe locked", _("recipe locked")
        SET_BEGAN = "set began", _("set began")
        SET_ENDED = "set ended", _("set ended")
        FLASHES = "flashes", _("flashes counted")
        FRAMES = "frames", _("frames counted")
        PACK_IN = "pack in", _("pack put into a head")
        PACK_OUT = "pack out", _("pack taken out or read")
        MISFIRE = "misfire", _("misfire")
        WIND_SEEN = "wind seen", _("gust met")
        SKY_SEEN = "sky seen", _("sky as it was")
        NEAR_MISS = "near miss", _("near miss")
        NOTE = "note", _("note")

    class Cause(models.TextChoices):
        """Why a lamp did not fire, as a practitioner finds it out (trade checklists)."""

        CHANNEL = "channel", _("wrong channel or group")
        CONTACT = "contact", _("trigger not seated, dirty contact")
        CELL = "cell", _("empty cell in the trigger")
        CAMERA = "camera", _("camera setting: silent shutter, flash switched off")
        SHUTTER = "shutter", _("shutter faster than sync: a dark band")
        BODY = "body", _("this body and this trigger do not go together")
        RECYCLE = "recycle", _("fired before the head was ready")
        HEAD = "head", _("head: hot, asleep, pack empty")
        RANGE = "range", _("too far, or something in the way")
        OTHER = "other", _("another cause")
        UNKNOWN = "unknown", _("not found out")

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    planned_set = models.ForeignKey(
        PlannedSet, on_delete=models.PROTECT, related_name="events", verbose_name=_("set")
    )
    kind = models.CharField(_("what"), max_length=16, choices=Kind.choices)
    booking = models.ForeignKey(
        Booking,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="events",
        verbose_name=_("attendee"),
    )
    round = models.PositiveSmallIntegerField(_("round"), null=True, blank=True)
    station = models.CharField(_("station"), max_length=40, blank=True)
    at = models.DateTimeField(_("at"))
    f_number = ApertureField(_("aperture"), null=True, blank=True)
    shutter_s = ShutterField(_("shutter"), null=True, blank=True)
    iso = IsoField(_("ISO"), null=True, blank=True)
    light_name = models.CharField(
        _("light"), max_length=60, blank=True, help_text=_("By its name on the set.")
    )
    power = PowerField(
        _("power"), null=True, blank=True, help_text=_("As the head shows it: 1/4 or 1/4 +0.3.")
    )
    count = models.PositiveIntegerField(
        _("how many"), null=True, blank=True, help_text=_("Flashes or frames since the last count.")
    )
    unit = models.ForeignKey(
        KitUnit,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="events",
        verbose_name=_("unit"),
        help_text=_("The pack by its tag; of a misfire, the trigger."),
    )
    charge_share = models.FloatField(
        _("charge (share)"), null=True, blank=True, help_text=_("1 is full, 0.55 reads 55 %.")
    )
    charge_lamps = models.PositiveSmallIntegerField(
        _("of so many lamps"),
        null=True,
        blank=True,
        help_text=_("A pack that shows lamps instead of per cent: how many it has."),
    )
    cause = models.CharField(_("cause"), max_length=8, choices=Cause.choices, blank=True)
    gust_m_s = models.FloatField(_("gust (m/s)"), null=True, blank=True)
    sky = models.CharField(_("sky"), max_length=8, choices=Sky.choices, blank=True)
    takes_back = models.OneToOneField(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="taken_back_by",
        verbose_name=_("takes back"),
    )
    notes = models.CharField(_("notes"), max_length=500, blank=True)

    part_of = ("planned_set",)

    class Meta:
        verbose_name = _("event of the day")
        verbose_name_plural = _("events of the day")
        ordering = ("planned_set", "at", "pk")
        constraints = (
            models.CheckConstraint(
                condition=~Q(kind__in=("turn given", "turn missed")) | Q(booking__isnull=False),
                name="event_turn_is_somebodys",
                violation_error_message=_("Attendee: choose whose turn it was."),
            ),
            models.CheckConstraint(
                condition=~Q(kind="recipe locked")
                | Q(f_number__isnull=False, shutter_s__isnull=False, iso__isnull=False),
                name="event_recipe_is_whole",
                violation_error_message=_("Recipe: enter aperture, shutter and ISO."),
            ),
            models.CheckConstraint(
                condition=~Q(kind="flashes") | (Q(count__isnull=False) & ~Q(light_name="")),
                name="event_flashes_of_a_light",
                violation_error_message=_("Flashes: enter how many, and of which light."),
            ),
            models.CheckConstraint(
                condition=~Q(kind="frames") | Q(count__isnull=False, booking__isnull=False),
                name="event_frames_are_somebodys",
                violation_error_message=_("Frames: enter how many, and whose."),
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=("pack in", "pack out")) | Q(unit__isnull=False),
                name="event_pack_is_a_unit",
                violation_error_message=_("Pack: choose it by its tag."),
            ),
            models.CheckConstraint(
                condition=~Q(kind="misfire") | ~Q(cause=""),
                name="event_misfire_has_a_cause",
                violation_error_message=_("Misfire: choose the cause, or that it was not found."),
            ),
            models.CheckConstraint(
                condition=~Q(kind="wind seen") | Q(gust_m_s__isnull=False),
                name="event_wind_says_how_much",
                violation_error_message=_("Gust: enter how strong it was."),
            ),
            models.CheckConstraint(
                condition=~Q(kind="sky seen") | ~Q(sky=""),
                name="event_sky_says_which",
                violation_error_message=_("Sky: choose one."),
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=("near miss", "note")) | ~Q(notes=""),
                name="event_note_has_words",
                violation_error_message=_("Notes: say in words what happened."),
            ),
            *ranges(
                "event",
                count=(0, 100000),
                charge_share=(0, 1),
                charge_lamps=(2, 20),
                gust_m_s=(0, 80),
                f_number=marks.APERTURES.ends,
                shutter_s=marks.SHUTTERS.ends,
                iso=marks.ISOS.ends,
                power=(marks.LEAST_POWER, 1),
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.planned_set}"

    def save(self, *args, **kwargs):
        if not self._state.adding:
            raise Refused(gettext("An event stays as it is: take it back by a new one."))
        check_not_closed(self.planned_set.workshop_id)
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        raise Refused(gettext("An event stays as it is: take it back by a new one."))
