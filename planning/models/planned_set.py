"""A set as the instructor plans it: inputs only, never results."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from planning.models.teaching_point import TeachingPoint
from workshops import marks
from workshops.models import CameraBody, Location, Workshop, WorkshopRole
from workshops.models.base import Record, ranges
from workshops.models.fields import ApertureField, IsoField, ShutterField


class Job(models.TextChoices):
    KEY = "key", _("key: the flash is the main light")
    FILL = "fill", _("fill: the flash lifts the shadows of the sun")
    RIM = "rim", _("rim: the flash draws an edge")


class BaseKind(models.TextChoices):
    INCIDENT = "incident", _("incident, at the backdrop: it keeps its own tone")
    SPOT = "spot", _("spot, off the backdrop: it lands where placement says")
    SKY = "sky", _("spot, off the sky: it lands where placement says")


USUAL_TURN_MIN = 5.0  # common practice, no source
USUAL_FRAMES = 25  # the same


class PlannedSet(Record):
    """One place, one light, one lesson, everybody's turn."""

    workshop = models.ForeignKey(
        Workshop,
        on_delete=models.PROTECT,
        related_name="sets",
        verbose_name=_("workshop"),
        help_text=_("Whose people, kit and channel the plan uses."),
    )
    location = models.ForeignKey(
        Location,
        on_delete=models.PROTECT,
        related_name="sets",
        verbose_name=_("location"),
        help_text=_("Its sun, wind, water and ground enter the plan."),
    )
    position = models.PositiveSmallIntegerField(
        _("number in the day"), default=1, help_text=_("Shifts who begins, so that it is fair.")
    )
    title = models.CharField(_("title"), max_length=120, help_text=_("Short: it heads the sheet."))
    main_point = models.ForeignKey(
        TeachingPoint,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("teaches"),
        help_text=_("One point a set: its lesson stands on the back of the sheet."),
    )
    second_point = models.ForeignKey(
        TeachingPoint,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("and in passing"),
        help_text=_("Better none: fewer points leave more turns."),
    )
    objective = models.TextField(
        _("objective"),
        blank=True,
        help_text=_("What everybody can do afterwards. Empty: that of the point taught."),
    )
    start_at = models.DateTimeField(_("start"), help_text=_("From rigging on."))
    end_at = models.DateTimeField(
        _("end"),
        help_text=_("Struck and packed. Light, tide and batteries are reckoned up to here."),
    )
    pinned = models.BooleanField(
        _("keep this time"),
        default=False,
        help_text=_("The day's order is then proposed round it."),
    )
    earliest_at = models.DateTimeField(
        _("not before"), null=True, blank=True, help_text=_("A permit's hours, a gate, a train.")
    )
    latest_at = models.DateTimeField(
        _("over by"), null=True, blank=True, help_text=_("Struck and gone by then.")
    )
    wanted_from_deg = models.FloatField(
        _("wanted sun from (degrees true)"),
        null=True,
        blank=True,
        help_text=_("Clockwise to the next one: 200 to 250 is south-west."),
    )
    wanted_to_deg = models.FloatField(
        _("wanted sun to (degrees true)"), null=True, blank=True, help_text=_("360 is allowed.")
    )
    wanted_low_deg = models.FloatField(
        _("wanted sun no lower than (degrees)"),
        null=True,
        blank=True,
        help_text=_("Height over the level horizon: a low sun 5 to 25, a high one from 45."),
    )
    wanted_high_deg = models.FloatField(
        _("wanted sun no higher than (degrees)"), null=True, blank=True
    )
    channel = models.CharField(
        _("radio channel"), max_length=20, blank=True, help_text=_("Empty: the workshop's.")
    )
    job = models.CharField(
        _("job of the flash"),
        max_length=4,
        choices=Job.choices,
        default=Job.KEY,
        help_text=_(
            "Key: one stop under. Fill: base on the sunny side, stops under 0. Rim: an edge alone."
        ),
    )

    camera = models.ForeignKey(
        CameraBody,
        on_delete=models.PROTECT,
        related_name="+",
        verbose_name=_("camera"),
        help_text=_(
            "The instructor's body: frame, curtain and fastest shutter are reckoned by it."
        ),
    )
    camera_facing_deg = models.FloatField(
        _("camera faces (degrees true)"), help_text=_("0 north, 90 east. Not the compass reading.")
    )
    focal_mm = models.FloatField(
        _("focal length (mm)"),
        default=85.0,
        help_text=_("As written on the lens: frame and depth of field follow it."),
    )
    camera_distance_m = models.FloatField(
        _("camera to subject (m)"), default=4.0, help_text=_("For frame and depth of field.")
    )
    widest_f_number = ApertureField(
        _("widest aperture"), default="2.8", help_text=_("Of the lens.")
    )
    smallest_f_number = ApertureField(
        _("smallest aperture"),
        default="22",
        help_text=_("The smallest you want to use; beyond f/16 pictures soften."),
    )
    iso = IsoField(_("ISO"), default="100", help_text=_("The lowest the group works at."))
    highest_iso = IsoField(_("highest ISO"), default="1600", help_text=_("For dusk and shade."))
    slowest_hand_held_s = ShutterField(
        _("slowest hand-held shutter"),
        default="1/60",
        help_text=_("About one over the focal length; the ladder says where hands give out."),
    )
    white_balance_k = models.FloatField(
        _("white balance (K)"),
        default=5500.0,
        help_text=_("5500 matches a bare flash; about 3800 with a half warm gel; low sun 4000."),
    )
    advanced_trigger = models.BooleanField(
        _("the instructor's advanced trigger is used"),
        default=True,
        help_text=_("Untick to plan with simple triggers alone: no high-speed sync."),
    )

    base_kind = models.CharField(
        _("base reading"),
        max_length=8,
        choices=BaseKind.choices,
        default=BaseKind.INCIDENT,
        help_text=_("What the meter is pointed at, flash off, to find the base."),
    )
    placement_stops = models.FloatField(
        _("placement (stops over mid-grey)"),
        default=0.0,
        help_text=_("Spot readings only: sky +1, stone 0, dark wood -1."),
    )
    stops_under = models.FloatField(
        _("backdrop under by (stops)"),
        default=1.0,
        help_text=_("1 as a rule, 2 for drama, 0 for a fill set."),
    )
    wanted_f_number = ApertureField(
        _("wanted aperture"),
        null=True,
        blank=True,
        help_text=_("A wider one than the plan gives, such as f/2.8: its price is then printed."),
    )
    given_f_number = ApertureField(
        _("low light: aperture"),
        null=True,
        blank=True,
        help_text=_("Where light fades: the aperture to work at. Empty: chosen by the plan."),
    )
    given_iso = IsoField(_("low light: ISO"), null=True, blank=True)
    least_ratio = models.FloatField(
        _("least ratio, lit to shadow"),
        null=True,
        blank=True,
        help_text=_("4 means 4:1. The ladder ends where it is lost."),
    )

    backdrop = models.CharField(
        _("backdrop"), max_length=120, blank=True, help_text=_("In words: slate wall, sea, sky.")
    )
    backdrop_facing_deg = models.FloatField(
        _("backdrop faces (degrees true)"),
        null=True,
        blank=True,
        help_text=_("Where its face looks. Empty: at the camera."),
    )
    backdrop_tilt_deg = models.FloatField(
        _("backdrop tilt (degrees)"), default=90.0, help_text=_("90 a wall, 0 flat ground.")
    )
    backdrop_reflectance = models.FloatField(
        _("backdrop reflectance"),
        default=0.18,
        help_text=_("Dark wood 0.08, slate 0.12, grey stone 0.25, white render 0.7."),
    )
    backdrop_in_sun = models.BooleanField(
        _("backdrop in the sun"), default=True, help_text=_("When the sun is out and reaches it.")
    )
    gap_behind_m = models.FloatField(
        _("subject to backdrop (m)"),
        null=True,
        blank=True,
        help_text=_("Empty: open sky, or too far for the flash."),
    )
    sky_patch_elevation_deg = models.FloatField(
        _("height of the sky patch (degrees)"),
        default=20.0,
        help_text=_("Above the horizon, behind the subject, where the sky is read."),
    )
    subject_in_sun = models.BooleanField(
        _("subject in the sun"),
        default=True,
        help_text=_("Untick where a wall, a tree or cloth keeps the sun off the face."),
    )
    face_height_m = models.FloatField(
        _("height of the face (m)"), default=1.55, help_text=_("Standing 1.55, seated 1.1.")
    )
    subject_height_m = models.FloatField(_("height of the subject (m)"), default=1.75)
    model = models.ForeignKey(
        WorkshopRole,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("model"),
        limit_choices_to={"role__in": ("model", "stand-in")},
        help_text=_("Of this workshop. Skin and time limit come from there."),
    )
    wardrobe = models.CharField(
        _("wardrobe"),
        max_length=120,
        blank=True,
        help_text=_("In words: black coat. Its tone is printed lit and shaded."),
    )
    wardrobe_reflectance = models.FloatField(
        _("wardrobe reflectance"),
        default=0.18,
        help_text=_("Black wool 0.04, denim 0.1, grey 0.18, white cotton 0.8."),
    )

    frames_per_attendee = models.PositiveSmallIntegerField(
        _("frames each"),
        null=True,
        blank=True,
        help_text=_(
            "On this set, over all rounds: batteries are reckoned by it. Empty: as your own "
            "workshops had it, 25 to begin with."
        ),
    )
    demo_frames = models.PositiveSmallIntegerField(_("frames in the demonstration"), default=40)
    rounds = models.PositiveSmallIntegerField(
        _("rounds"), default=1, help_text=_("2 short ones where light fades: everybody has a pass.")
    )
    rig_min = models.FloatField(_("rigging (minutes)"), default=12.0)
    brief_min = models.FloatField(_("briefing (minutes)"), default=3.0)
    demo_min = models.FloatField(_("demonstration (minutes)"), default=10.0)
    stations = models.CharField(
        _("stations"),
        max_length=120,
        blank=True,
        help_text=_(
            "Names with commas where several work side by side: wall, gate. Each needs "
            "its own light, channel and teacher. Empty: one."
        ),
    )
    turn_min = models.FloatField(
        _("one turn (minutes)"),
        null=True,
        blank=True,
        help_text=_("Empty: as your own workshops had it, 5 to begin with. 3 where light fades."),
    )
    changeover_min = models.FloatField(_("between turns (minutes)"), default=1.0)
    critique_min = models.FloatField(_("talking over (minutes)"), default=8.0)
    strike_min = models.FloatField(_("striking (minutes)"), default=8.0)
    notes = models.TextField(_("notes"), blank=True, help_text=_("For yourself: not printed."))

    class Meta:
        verbose_name = _("planned set")
        verbose_name_plural = _("planned sets")
        ordering = ("workshop", "position", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("workshop", "position"),
                name="set_position_once",
                violation_error_message=_(
                    "Number in the day: this workshop has a set of that number; enter the next."
                ),
            ),
            models.CheckConstraint(
                condition=Q(end_at__gt=F("start_at")),
                name="set_ends_after_start",
                violation_error_message=_("End: enter a time after the start."),
            ),
            models.CheckConstraint(
                condition=~Q(base_kind="incident") | Q(placement_stops=0),
                name="set_incident_keeps_tone",
                violation_error_message=_(
                    "Placement: an incident reading keeps the backdrop's own tone: "
                    "set placement to 0, or choose a spot reading."
                ),
            ),
            models.CheckConstraint(
                condition=Q(smallest_f_number__gte=F("widest_f_number")),
                name="set_smallest_not_wider",
                violation_error_message=_(
                    "Smallest aperture: enter an f-number no lower than the widest one's."
                ),
            ),
            models.CheckConstraint(
                condition=Q(highest_iso__gte=F("iso")),
                name="set_highest_iso_not_lower",
                violation_error_message=_("Highest ISO: enter no less than the ISO."),
            ),
            models.CheckConstraint(
                condition=Q(camera_distance_m__gt=F("focal_mm") / 1000.0),
                name="set_camera_beyond_focal_length",
                violation_error_message=_(
                    "Camera to subject: enter more than the focal length; nothing nearer is sharp."
                ),
            ),
            models.CheckConstraint(
                condition=Q(earliest_at=None)
                | Q(latest_at=None)
                | Q(latest_at__gt=F("earliest_at")),
                name="set_over_after_not_before",
                violation_error_message=_("Over by: enter a time after the one before."),
            ),
            models.CheckConstraint(
                condition=Q(wanted_from_deg=None, wanted_to_deg=None)
                | Q(wanted_from_deg__isnull=False, wanted_to_deg__isnull=False),
                name="set_wanted_arc_whole",
                violation_error_message=_("Wanted sun: enter both ends of the arc, or neither."),
            ),
            models.CheckConstraint(
                condition=Q(wanted_low_deg=None)
                | Q(wanted_high_deg=None)
                | Q(wanted_high_deg__gte=F("wanted_low_deg")),
                name="set_wanted_heights_in_order",
                violation_error_message=_(
                    "Wanted sun no higher than: enter no less than the lower height."
                ),
            ),
            models.CheckConstraint(
                condition=Q(second_point=None)
                | (Q(main_point__isnull=False) & ~Q(second_point=F("main_point"))),
                name="set_second_point_after_main",
                violation_error_message=_(
                    "And in passing: choose the main point first, and another one here."
                ),
            ),
            *ranges(
                "set",
                wanted_from_deg=(0, 360),
                wanted_to_deg=(0, 360),
                wanted_low_deg=(-12, 90),
                wanted_high_deg=(-12, 90),
                position=(1, 100),
                camera_facing_deg=(0, 360),
                focal_mm=(4, 2000),
                camera_distance_m=(0.1, 1000),
                widest_f_number=marks.APERTURES.ends,
                smallest_f_number=marks.APERTURES.ends,
                iso=marks.ISOS.ends,
                highest_iso=marks.ISOS.ends,
                slowest_hand_held_s=marks.SHUTTERS.ends,
                white_balance_k=(1500, 20000),
                placement_stops=(-6, 6),
                stops_under=(-3, 6),
                wanted_f_number=marks.APERTURES.ends,
                given_f_number=marks.APERTURES.ends,
                given_iso=marks.ISOS.ends,
                least_ratio=(1, 1000),
                backdrop_facing_deg=(0, 360),
                backdrop_tilt_deg=(0, 180),
                backdrop_reflectance=(0.01, 1),
                gap_behind_m=(0, 1000),
                sky_patch_elevation_deg=(0, 90),
                face_height_m=(0.1, 10),
                subject_height_m=(0.1, 20),
                wardrobe_reflectance=(0.01, 1),
                rounds=(1, 20),
                rig_min=(0, 600),
                brief_min=(0, 600),
                demo_min=(0, 600),
                turn_min=(0.5, 600),
                changeover_min=(0, 600),
                critique_min=(0, 600),
                strike_min=(0, 600),
            ),
        )

    def __str__(self) -> str:
        return f"{self.position} {self.title}"

    def clean(self):
        super().clean()
        if self.model_id and self.model.workshop_id != self.workshop_id:
            raise ValidationError({"model": _("Model: choose somebody of this workshop.")})
