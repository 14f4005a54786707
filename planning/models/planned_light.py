"""One lamp of a planned set and where it stands."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from planning.models.planned_set import PlannedSet
from workshops.models import Battery, Gel, KitUnit, Modifier, Stand, Strobe
from workshops.models.base import Record, ranges
from workshops.words import number_text


class PlannedLight(Record):
    """A head with its modifier, gel, battery, stand and ballast."""

    class Role(models.TextChoices):
        KEY = "key", _("key")
        FILL = "fill", _("fill")
        RIM = "rim", _("rim")
        BACKGROUND = "background", _("background")

    planned_set = models.ForeignKey(
        PlannedSet, on_delete=models.CASCADE, related_name="lights", verbose_name=_("set")
    )
    position = models.PositiveSmallIntegerField(_("order"), default=1)
    name = models.CharField(
        _("name"), max_length=60, help_text=_("As you call it on the set: octa, edge, wall.")
    )
    role = models.CharField(_("role"), max_length=10, choices=Role.choices, default=Role.KEY)
    target_stops = models.FloatField(
        _("wanted (stops)"),
        default=0.0,
        help_text=_(
            "Key 0; two keys share in the ratio of their targets. Fill in a key set: under the "
            "working aperture, -2. Fill in a fill set: where the shadow side shall stand against "
            "the sunny side, -1. Rim +0.5 to +1."
        ),
    )
    strobe = models.ForeignKey(
        Strobe, on_delete=models.PROTECT, related_name="+", verbose_name=_("strobe")
    )
    strobe_unit = models.ForeignKey(
        KitUnit,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("which one"),
        limit_choices_to={"kind__category": "strobe"},
        help_text=_("The unit, if settled: its own counted flashes are then used."),
    )
    modifier = models.ForeignKey(
        Modifier,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("modifier"),
        help_text=_("Empty: the standard reflector."),
    )
    gel = models.ForeignKey(
        Gel,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("gel"),
    )
    battery = models.ForeignKey(
        Battery,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("battery"),
        help_text=_("Empty: the strobe's own kind."),
    )
    battery_count = models.PositiveSmallIntegerField(
        _("charged packs"),
        null=True,
        blank=True,
        help_text=_("For this light. Empty: those of the kind on the workshop's kit list."),
    )
    distance_m = models.FloatField(
        _("distance (m)"),
        help_text=_("Front fabric to face, along the slant: what a knotted cord measures."),
    )
    angle_deg = models.FloatField(
        _("angle (degrees)"),
        help_text=_(
            "Seen from the subject, off the camera's direction: 45 to the camera's right, "
            "-45 to its left, 180 straight behind."
        ),
    )
    lamp_height_m = models.FloatField(_("height of the lamp (m)"))
    hand_held = models.BooleanField(
        _("hand held"), default=False, help_text=_("Somebody carries it on a pole: no stand.")
    )
    stand = models.ForeignKey(
        Stand,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("stand"),
    )
    bag_kg = models.FloatField(
        _("ballast hung (kg)"),
        default=0.0,
        help_text=_("At the centre, clear of the ground. Always some: 5 to 10."),
    )

    part_of = ("planned_set",)

    class Meta:
        verbose_name = _("light")
        verbose_name_plural = _("lights")
        ordering = ("planned_set", "position", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("planned_set", "name"),
                name="light_name_once",
                violation_error_message=_("Name: this set has a light of that name."),
            ),
            models.CheckConstraint(
                condition=Q(hand_held=True, stand=None) | Q(hand_held=False, stand__isnull=False),
                name="light_on_a_stand_or_in_hand",
                violation_error_message=_(
                    "Stand: choose one, or tick hand held and leave it empty."
                ),
            ),
            models.CheckConstraint(
                condition=~Q(role__in=("key", "fill")) | Q(angle_deg__gt=-150, angle_deg__lt=150),
                name="light_key_and_fill_in_front",
                violation_error_message=_(
                    "Angle: from 150 degrees on the lamp stands behind the subject: make it a "
                    "rim, or bring it round to the front."
                ),
            ),
            *ranges(
                "light",
                target_stops=(-6, 6),
                distance_m=(0.1, 100),
                angle_deg=(-180, 180),
                lamp_height_m=(0.05, 20),
                bag_kg=(0, 200),
                battery_count=(1, 100),
            ),
        )

    def __str__(self) -> str:
        return f"{self.name} ({self.get_role_display()})"

    def clean(self):
        super().clean()
        faults = {}
        if self.strobe_unit_id and self.strobe_unit.kind_id != self.strobe_id:
            faults["strobe_unit"] = _("Which one: choose a unit of the strobe above.")
        if self.stand_id and self.lamp_height_m and self.lamp_height_m > self.stand.top_height_m:
            faults["lamp_height_m"] = _(
                "Height of the lamp: this stand reaches %(top)s m; enter no more, "
                "or choose a taller one."
            ) % {"top": number_text(self.stand.top_height_m)}
        if self.planned_set_id and self.lamp_height_m is not None and self.distance_m is not None:
            rise_m = abs(self.lamp_height_m - self.planned_set.face_height_m)
            if self.distance_m < rise_m:
                faults["distance_m"] = _(
                    "Distance: the cord does not reach from the face to a lamp that high; enter "
                    "at least %(rise)s m, or lower the lamp."
                ) % {"rise": number_text(rise_m)}
        if faults:
            raise ValidationError(faults)
