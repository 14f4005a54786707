"""Frames as their cameras wrote them down: never the pictures, never a place."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from planning.models.planned_set import PlannedSet
from workshops.models import Booking, Workshop
from workshops.models.base import Record, ranges


class FrameLot(Record):
    """One bringing-in of frames, and what became of each file that was not taken."""

    workshop = models.ForeignKey(
        Workshop, on_delete=models.CASCADE, related_name="frame_lots", verbose_name=_("workshop")
    )
    booking = models.ForeignKey(
        Booking,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="frame_lots",
        verbose_name=_("whose"),
        help_text=_("Empty: of several people, or the instructor's own."),
    )
    name = models.CharField(_("file"), max_length=200, blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        related_name="+",
        verbose_name=_("account"),
    )
    made_at = models.DateTimeField(_("brought in"))
    expected = models.PositiveIntegerField(_("files in all"), null=True, blank=True)
    done = models.PositiveIntegerField(_("files looked at"), default=0)
    taken = models.PositiveIntegerField(_("frames taken"), default=0)
    known = models.PositiveIntegerField(_("frames there already"), default=0)
    faults = models.JSONField(_("files not taken"), default=list)  # [[name, why], ...]
    ended_at = models.DateTimeField(_("ended"), null=True, blank=True)

    part_of = ("workshop",)

    @property
    def not_taken(self) -> int:
        return self.done - self.taken - self.known

    @property
    def not_told(self) -> int:
        """Files not taken beyond those that are told one by one."""
        return max(self.not_taken - len(self.faults), 0)

    class Meta:
        verbose_name = _("frames brought in")
        verbose_name_plural = _("frames brought in")
        ordering = ("-made_at", "-pk")

    def __str__(self) -> str:
        return self.name or str(self.workshop)


class Frame(Record):
    """What the Exif of one frame says (CIPA DC-008), location tags never among it."""

    lot = models.ForeignKey(
        FrameLot, on_delete=models.CASCADE, related_name="frames", verbose_name=_("brought in with")
    )
    workshop = models.ForeignKey(
        Workshop, on_delete=models.CASCADE, related_name="frames", verbose_name=_("workshop")
    )
    booking = models.ForeignKey(
        Booking,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="frames",
        verbose_name=_("whose"),
    )
    digest = models.CharField(max_length=64, editable=False)  # of what was read: twice is once
    file_name = models.CharField(_("file"), max_length=200)
    body = models.CharField(
        _("body"),
        max_length=200,
        blank=True,
        help_text=_("Make, model and serial number as the file has it; empty: it has none."),
    )
    # The camera's own clock as though it stood at UTC: CameraClock says how far off it is.
    clock_at = models.DateTimeField(_("on the camera's clock"), null=True, blank=True)
    offset_min = models.SmallIntegerField(_("offset as written (minutes)"), null=True, blank=True)
    shutter_s = models.FloatField(_("shutter (s)"), null=True, blank=True)
    f_number = models.FloatField(_("f-number"), null=True, blank=True)
    iso = models.FloatField(_("ISO"), null=True, blank=True)
    focal_mm = models.FloatField(_("focal length (mm)"), null=True, blank=True)
    flash_bits = models.PositiveSmallIntegerField(_("Exif flash bits"), null=True, blank=True)
    settled = models.BooleanField(_("set chosen by hand"), default=False)
    planned_set = models.ForeignKey(
        PlannedSet,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="settled_frames",
        verbose_name=_("set chosen by hand"),
        help_text=_("Empty and by hand: of no set."),
    )

    part_of = ("workshop",)

    class Meta:
        verbose_name = _("frame")
        verbose_name_plural = _("frames")
        ordering = ("workshop", "body", "clock_at", "pk")
        constraints = (
            models.UniqueConstraint(fields=("workshop", "digest"), name="frame_once"),
            models.CheckConstraint(
                condition=Q(settled=True) | Q(planned_set=None),
                name="frame_set_is_chosen_by_hand",
            ),
            *ranges(
                "frame",
                shutter_s=(0.000001, 86400),
                f_number=(0.1, 1024),
                iso=(1, 10000000),
                focal_mm=(0.1, 10000),
                offset_min=(-1440, 1440),
            ),
        )

    def __str__(self) -> str:
        return self.file_name


class CameraClock(Record):
    """How far one body's clock is from true: found once, adjustable, with how it was found."""

    class Way(models.TextChoices):
        SHOWN = "shown", _("from a frame of the clock page")
        HAND = "hand", _("by hand")
        FIT = "fit", _("by best fit to the turns")

    workshop = models.ForeignKey(
        Workshop, on_delete=models.CASCADE, related_name="clocks", verbose_name=_("workshop")
    )
    body = models.CharField(
        _("body"), max_length=200, blank=True, help_text=_("Empty: frames whose body is not named.")
    )
    add_s = models.FloatField(
        _("add to its clock (s)"),
        help_text=_("To come from the camera's clock, taken as UTC, to true UTC."),
    )
    way = models.CharField(_("found"), max_length=5, choices=Way.choices)
    frame = models.ForeignKey(
        Frame,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("frame of the clock page"),
    )

    part_of = ("workshop",)

    class Meta:
        verbose_name = _("camera clock")
        verbose_name_plural = _("camera clocks")
        ordering = ("workshop", "body")
        constraints = (
            models.UniqueConstraint(fields=("workshop", "body"), name="clock_once_a_body"),
            *ranges("clock", add_s=(-4e9, 4e9)),
        )

    def __str__(self) -> str:
        return self.body
