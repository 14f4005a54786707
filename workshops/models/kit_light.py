"""Kit that makes and shapes the light."""

import math

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import ranges
from workshops.models.fields import FractionField
from workshops.models.kit import KitKind
from workshops.models.kit_support import Battery

POWER_STEPS = (
    (1.0, _("whole stops")),
    (1 / 2, _("half stops")),
    (1 / 3, _("third stops")),
    (1 / 10, _("tenth stops")),
)


class Strobe(KitKind):
    """A flash head and what it can do."""

    class Scale(models.TextChoices):
        FRACTION = "fraction", _("fractions: 1/1, 1/2, 1/4")
        TEN = "ten", _("tens: 10.0 is full, one whole less is a stop less")

    own_category = KitKind.Category.STROBE

    energy_ws = models.FloatField(
        _("energy (W.s)"),
        null=True,
        blank=True,
        help_text=_("Hot-shoe flash 50 to 75, portable 200 to 600. Or give a guide number."),
    )
    guide_number_m = models.FloatField(
        _("guide number (m, ISO 100)"),
        null=True,
        blank=True,
        help_text=_(
            "At full power with the standard reflector: metres times f-number. 200 W.s: about "
            "46, 600 W.s: about 80. Empty: guessed from the W.s, a stop either way."
        ),
    )
    guide_number_spread_stops = models.FloatField(
        _("guide number is right within (stops)"),
        default=0.5,
        help_text=_("Makers measure with different reflectors: 0.5; metered by you: 0.2."),
    )
    least_power = FractionField(
        _("least power"),
        default=1 / 256,
        help_text=_("As a share of full: 1/256, 1/128, simple heads 1/32."),
    )
    power_step_stops = FractionField(
        _("power step"),
        choices=POWER_STEPS,
        default=1 / 3,
        help_text=_("The finest the head is set in."),
        error_messages={
            "invalid_choice": _("Power step: choose whole, half, third or tenth stops.")
        },
    )
    power_scale = models.CharField(
        _("power scale"), max_length=8, choices=Scale.choices, default=Scale.FRACTION
    )
    flash_duration_s = FractionField(
        _("flash duration t0.1 at full (s)"),
        null=True,
        blank=True,
        help_text=_("1/200 to 1/1000. Not t0.5, which is about a third of it."),
    )
    recycle_s = models.FloatField(
        _("recycle time at full (s)"), null=True, blank=True, help_text=_("0.5 to 3.")
    )
    overheat_flashes = models.PositiveIntegerField(
        _("full-power flashes in ten minutes, at most"),
        null=True,
        blank=True,
        help_text=_("From the manual: it then pauses to cool."),
    )
    idle_w = models.FloatField(
        _("draw when idle (W)"), default=0.0, help_text=_("Switched on and charged: 2 to 5.")
    )
    modelling_w = models.FloatField(
        _("modelling lamp (W)"),
        default=0.0,
        help_text=_("As used on location: 0 if it stays off, LED 10 to 30."),
    )
    hss = models.BooleanField(_("high-speed sync"), default=False)
    ttl = models.BooleanField(_("automatic flash exposure (TTL)"), default=False)
    hss_overhead_stops = models.FloatField(
        _("high-speed sync overhead (stops)"),
        default=1.0,
        help_text=_("Lost at once on switching over: 0.5 to 1.5. From one pair of readings."),
    )
    mains = models.BooleanField(_("needs mains"), default=False, help_text=_("Never near water."))
    flashes_at_full = models.FloatField(
        _("full-power flashes, one charge"),
        null=True,
        blank=True,
        help_text=_("Counted. Empty: from the battery's watt-hours at 75 %."),
    )
    battery_kind = models.ForeignKey(
        Battery,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="strobes",
        verbose_name=_("battery"),
    )
    head_width_m = models.FloatField(
        _("width of the head (m)"),
        default=0.18,
        help_text=_("Of the standard reflector, without a modifier: the wind sees a disc of it."),
    )

    class Meta:
        verbose_name = _("strobe")
        verbose_name_plural = _("strobes")
        constraints = (
            models.CheckConstraint(
                condition=Q(energy_ws__isnull=False) | Q(guide_number_m__isnull=False),
                name="strobe_has_a_figure",
                violation_error_message=_("Energy: enter the W.s, or a guide number."),
            ),
            models.CheckConstraint(
                condition=Q(power_step_stops__in=[step for step, _words in POWER_STEPS]),
                name="strobe_power_step",
                violation_error_message=_("Power step: choose whole, half, third or tenth stops."),
            ),
            *ranges(
                "strobe",
                energy_ws=(1, 20000),
                guide_number_m=(1, 1000),
                guide_number_spread_stops=(0, 4),
                least_power=(1 / 8192, 1),
                flash_duration_s=(1 / 100000, 1 / 10),
                recycle_s=(0.01, 60),
                overheat_flashes=(1, 100000),
                idle_w=(0, 100),
                modelling_w=(0, 1000),
                hss_overhead_stops=(0, 4),
                flashes_at_full=(1, 100000),
                head_width_m=(0.02, 1),
            ),
        )


class Modifier(KitKind):
    """What is put on a head: its light, its size and its grip on the wind."""

    class Shape(models.TextChoices):
        ROUND = "round", _("round, octa, umbrella")
        RECTANGLE = "rectangle", _("rectangle, strip")

    class Face(models.TextChoices):
        DIFFUSE = "diffuse", _("diffuse: fabric, umbrella, dish")
        BEAM = "beam", _("beam: deep, gridded or bare reflector")

    own_category = KitKind.Category.MODIFIER

    shape = models.CharField(_("shape"), max_length=10, choices=Shape.choices, default=Shape.ROUND)
    width_m = models.FloatField(_("width (m)"), help_text=_("Of the face, edge to edge."))
    height_m = models.FloatField(
        _("height (m)"), null=True, blank=True, help_text=_("Rectangles. Empty: same as the width.")
    )
    face = models.CharField(
        _("light"),
        max_length=8,
        choices=Face.choices,
        default=Face.DIFFUSE,
        help_text=_("A diffuse face falls off slowly near by; a beam starts behind its rim."),
    )
    source_diameter_m = models.FloatField(
        _("diameter as a light source (m)"),
        null=True,
        blank=True,
        help_text=_("Diffuse faces only. Empty: a disc of the same area as the face."),
    )
    source_offset_m = models.FloatField(
        _("beam starts behind the rim by (m)"),
        default=0.0,
        help_text=_("Beams only, from two readings at two distances. 0 if not known."),
    )
    beam_deg = models.FloatField(
        _("beam angle (degrees)"),
        null=True,
        blank=True,
        help_text=_("Edge to edge at half the light: grid 10 to 40, standard reflector 60 to 80."),
    )
    stops = models.FloatField(
        _("stops against the standard reflector"),
        default=0.0,
        help_text=_(
            "A loss is negative. Deep reflector +1 to +2; grid 40/20/10 degrees -0.3/-1/-1.7; "
            "dish -0.5 to -1; umbrella -1 to -2; octa 90 -2, 120 -2 to -2.5. Usual figures: "
            "meter yours once and enter the reading under guide number readings."
        ),
    )
    drag_coefficient = models.FloatField(
        _("drag coefficient"),
        default=1.42,
        help_text=_("Open hollow shell, the worst case: 1.42. Flat plate: 1.2."),
    )
    overhang_m = models.FloatField(
        _("centre of mass ahead of the pole (m)"),
        default=0.0,
        help_text=_("Of the modifier on its head: softboxes about 0.3."),
    )

    class Meta:
        verbose_name = _("modifier")
        verbose_name_plural = _("modifiers")
        constraints = (
            models.CheckConstraint(
                condition=Q(face="diffuse", source_offset_m=0)
                | Q(face="beam", source_diameter_m=None),
                name="modifier_diameter_or_offset",
                violation_error_message=_(
                    "Light: a diffuse face has a diameter and no beam start; "
                    "a beam has no diameter. Empty the one that does not belong."
                ),
            ),
            *ranges(
                "modifier",
                width_m=(0.02, 5),
                height_m=(0.02, 5),
                source_diameter_m=(0.01, 5),
                source_offset_m=(0, 10),
                beam_deg=(1, 179),
                stops=(-8, 5),
                drag_coefficient=(0.1, 3),
                overhang_m=(0, 2),
            ),
        )

    @property
    def face_area_m2(self) -> float:
        """Area the face shows to the wind."""
        full_m2 = self.width_m * (self.height_m or self.width_m)
        return full_m2 if self.shape == self.Shape.RECTANGLE else math.pi / 4 * full_m2

    @property
    def effective_diameter_m(self) -> float:
        """Diameter of the face as a light source; 0 for a beam."""
        if self.face == self.Face.BEAM:
            return 0.0
        return self.source_diameter_m or 2 * math.sqrt(self.face_area_m2 / math.pi)
