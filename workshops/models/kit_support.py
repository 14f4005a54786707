"""Kit around the light: triggers, stands, ballast, batteries, meters, filters."""

from django.db import models
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from workshops.models.base import ranges
from workshops.models.fields import FractionField
from workshops.models.kit import KitKind


class Trigger(KitKind):
    """A radio trigger for the hot shoe."""

    own_category = KitKind.Category.TRIGGER

    advanced = models.BooleanField(
        _("advanced"),
        default=False,
        help_text=_("Sets power and high-speed sync from the camera. Simple ones only say fire."),
    )
    hss = models.BooleanField(_("high-speed sync"), default=False)
    ttl = models.BooleanField(_("automatic flash exposure (TTL)"), default=False)
    fits = models.CharField(
        pgettext_lazy("a flash system", "fits"),
        max_length=60,
        blank=True,
        help_text=_("Flash system it is made for, in the cameras' words. Empty: any shoe."),
    )
    sync_penalty_stops = FractionField(
        _("costs of sync (stops)"),
        default=1 / 3,
        help_text=_("Delay of the radio. Simple triggers about 1/3; 0 for a dedicated one."),
    )
    channel = models.CharField(_("channel"), max_length=20, blank=True)

    class Meta:
        verbose_name = _("trigger")
        verbose_name_plural = _("triggers")
        constraints = tuple(ranges("trigger", sync_penalty_stops=(0, 3)))


class Stand(KitKind):
    """A light stand on three legs."""

    own_category = KitKind.Category.STAND

    leg_radius_m = models.FloatField(
        _("leg radius (m)"),
        help_text=_("From the pole to the tip of a leg as set up: 0.4 to 0.6."),
    )
    top_height_m = models.FloatField(
        _("top height (m)"), help_text=_("Fully extended: 2.4 to 2.8, a heavy one up to 4.")
    )
    rated_load_kg = models.FloatField(
        _("rated load (kg)"), null=True, blank=True, help_text=_("From the maker, if given.")
    )

    class Meta:
        verbose_name = _("stand")
        verbose_name_plural = _("stands")
        constraints = tuple(
            ranges(
                "stand", leg_radius_m=(0.05, 3), top_height_m=(0.1, 10), rated_load_kg=(0.1, 200)
            )
        )


class Ballast(KitKind):
    """A sandbag or water bag; what counts is its mass."""

    own_category = KitKind.Category.BALLAST

    class Meta:
        verbose_name = _("ballast")
        verbose_name_plural = _("ballast")


class Battery(KitKind):
    """A battery pack for strobes."""

    own_category = KitKind.Category.BATTERY

    capacity_wh = models.FloatField(
        _("capacity (Wh)"),
        help_text=_("Volts times ampere hours: about 40 for 200 W.s, 90 to 100 for 600 W.s."),
    )
    charge_min = models.FloatField(
        _("full charge (minutes)"),
        null=True,
        blank=True,
        help_text=_("From empty, on its own charger: from the maker, or as you timed it."),
    )

    class Meta:
        verbose_name = _("battery")
        verbose_name_plural = _("batteries")
        constraints = tuple(ranges("battery", capacity_wh=(1, 5000), charge_min=(1, 2880)))


class Charger(KitKind):
    """What fills packs the night before."""

    own_category = KitKind.Category.CHARGER

    slots = models.PositiveSmallIntegerField(
        _("packs at once"), default=1, help_text=_("How many it fills side by side.")
    )
    power_w = models.FloatField(
        _("power for one pack (W)"),
        null=True,
        blank=True,
        help_text=_("What it gives to each of them. Empty: the minutes of the pack count."),
    )
    battery_kind = models.ForeignKey(
        Battery,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("fills"),
        help_text=_("The maker's pack for it. Empty: any, if its plug and voltage allow."),
    )

    class Meta:
        verbose_name = _("charger")
        verbose_name_plural = _("chargers")
        constraints = tuple(ranges("charger", slots=(1, 20), power_w=(1, 3000)))


class Meter(KitKind):
    """A light meter and the constants its makers built in."""

    class Receptor(models.TextChoices):
        DOME = "dome", _("dome")
        FLAT = "flat", _("flat disc")
        BOTH = "both", _("dome and flat disc")

    own_category = KitKind.Category.METER

    receptor = models.CharField(
        _("receptor"), max_length=8, choices=Receptor.choices, default=Receptor.DOME
    )
    incident_constant = models.FloatField(
        _("incident constant C"),
        default=250.0,
        help_text=_("ISO 2720: 250 for a flat disc, about 330 for a dome. From its manual."),
    )
    reflected_constant = models.FloatField(
        _("reflected constant K"), default=12.5, help_text=_("ISO 2720: 12.5; some makers use 14.")
    )
    reads_spot = models.BooleanField(_("reads spots"), default=False)
    reads_hss = models.BooleanField(
        _("reads high-speed sync"),
        default=False,
        help_text=_("Most flash meters do not: then high-speed sync is set by the histogram."),
    )

    class Meta:
        verbose_name = _("meter")
        verbose_name_plural = _("meters")
        constraints = tuple(
            ranges("meter", incident_constant=(100, 600), reflected_constant=(5, 30))
        )


class NdFilter(KitKind):
    """A neutral-density filter for the lens."""

    own_category = KitKind.Category.ND_FILTER

    stops = models.FloatField(_("stops"), help_text=_("2, 3 or 6 are usual; 0.9 density is 3."))
    thread_mm = models.FloatField(
        _("thread (mm)"), null=True, blank=True, help_text=_("67 to 82; with rings for the rest.")
    )

    class Meta:
        verbose_name = _("ND filter")
        verbose_name_plural = _("ND filters")
        constraints = tuple(ranges("filter", stops=(0.1, 12), thread_mm=(20, 150)))


class Gel(KitKind):
    """A colour filter for the lamp."""

    own_category = KitKind.Category.GEL

    loss_stops = models.FloatField(
        _("costs (stops)"), help_text=_("Warming: quarter 0.25, half 0.5, full 1.1; blue 1.5.")
    )
    shift_mired = models.FloatField(
        _("shift (mired)"),
        help_text=_("Warming is positive: quarter 42 to 64, half 81 to 109, full 159 to 167."),
    )

    class Meta:
        verbose_name = _("gel")
        verbose_name_plural = _("gels")
        constraints = tuple(ranges("gel", loss_stops=(0, 6), shift_mired=(-150, 500)))
