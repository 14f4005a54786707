"""Kit: what kinds there are, and the units on the shelf."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record, ranges


class KitKind(Record):
    """A kind of thing on the shelf. Kinds with figures of their own are kept beside it."""

    class Category(models.TextChoices):
        STROBE = "strobe", _("strobe")
        TRIGGER = "trigger", _("trigger")
        MODIFIER = "modifier", _("modifier")
        STAND = "stand", _("stand")
        BALLAST = "ballast", _("ballast")
        BATTERY = "battery", _("battery")
        CHARGER = "charger", _("charger")
        METER = "meter", _("meter")
        ND_FILTER = "nd filter", _("ND filter")
        GEL = "gel", _("gel")
        TETHER = "tether", _("tether")
        OTHER = "other", _("other")

    own_category = ""  # what a kind with figures of its own is filed under
    PLAIN = (Category.TETHER, Category.OTHER)

    category = models.CharField(
        _("category"),
        max_length=10,
        choices=Category.choices,
        default=Category.OTHER,
        help_text=_("Kinds with figures of their own are entered under their own heading."),
    )
    name = models.CharField(
        _("name"), max_length=120, unique=True, help_text=_("Short: it is printed on the sheet.")
    )
    mass_kg = models.FloatField(
        _("mass (kg)"),
        default=0.0,
        help_text=_("Of one, ready to use. A 600 W.s head weighs about 3, an octa 1, a stand 3."),
    )
    maker_text = models.CharField(
        _("make and model"), max_length=120, blank=True, help_text=_("As on its label.")
    )
    notes = models.TextField(_("notes"), blank=True)

    class Meta:
        verbose_name = _("kind of kit")
        verbose_name_plural = _("kinds of kit")
        ordering = ("category", "name")
        constraints = (
            models.CheckConstraint(
                condition=~Q(category="stand") | Q(mass_kg__gt=0),
                name="kind_stand_has_a_mass",
                violation_error_message=_(
                    "Mass: enter what the stand weighs; its weight is what holds it."
                ),
            ),
            *ranges("kind", mass_kg=(0, 100)),
        )

    def __str__(self) -> str:
        return self.name

    def clean(self):
        super().clean()
        if self.own_category:
            self.category = self.own_category
        elif self._state.adding and self.category not in self.PLAIN:
            raise ValidationError(
                {
                    "category": _(
                        "Category: enter this kind under its own heading, with its figures."
                    )
                }
            )

    def save(self, *args, **kwargs):
        self.category = self.own_category or self.category
        super().save(*args, **kwargs)


class KitUnit(Record):
    """One numbered thing. Figures measured on it beat those of its kind."""

    class State(models.TextChoices):
        READY = "ready", _("ready")
        OUT = "out", _("out")
        FAULT = "fault", _("fault")
        RETIRED = "retired", _("retired")

    USABLE = (State.READY, State.OUT)

    kind = models.ForeignKey(
        KitKind, on_delete=models.PROTECT, related_name="units", verbose_name=_("kind")
    )
    tag = models.CharField(
        _("asset tag"), max_length=40, unique=True, help_text=_("As written on the thing itself.")
    )
    serial = models.CharField(_("serial number"), max_length=80, blank=True)
    state = models.CharField(_("state"), max_length=8, choices=State.choices, default=State.READY)
    health_share = models.FloatField(
        _("battery health (share)"),
        default=1.0,
        help_text=_("Battery: what is left of the capacity it was bought with; 1 when new."),
    )
    cycles = models.PositiveIntegerField(
        _("battery cycles"), null=True, blank=True, help_text=_("Battery: full charges so far.")
    )
    flashes_at_full = models.FloatField(
        _("full-power flashes, one charge"),
        null=True,
        blank=True,
        help_text=_("Strobe: counted by you, with this head. Empty: the kind's figure."),
    )
    sync_penalty_stops = models.FloatField(
        _("costs of sync (stops)"),
        null=True,
        blank=True,
        help_text=_("Trigger: measured with this unit. Empty: the kind's figure."),
    )
    channel = models.CharField(
        _("channel"), max_length=20, blank=True, help_text=_("Trigger: if it cannot be changed.")
    )
    incident_constant = models.FloatField(
        _("incident constant C"),
        null=True,
        blank=True,
        help_text=_("Meter: of this unit. ISO 2720: 250 flat disc, about 330 dome. Empty: kind's."),
    )
    reflected_constant = models.FloatField(
        _("reflected constant K"),
        null=True,
        blank=True,
        help_text=_("Meter: of this unit. 12.5 or 14 are usual. Empty: the kind's."),
    )
    notes = models.TextField(_("notes"), blank=True)

    class Meta:
        verbose_name = _("unit of kit")
        verbose_name_plural = _("units of kit")
        ordering = ("kind", "tag")
        constraints = tuple(
            ranges(
                "unit",
                health_share=(0.05, 1),
                flashes_at_full=(1, 100000),
                sync_penalty_stops=(0, 3),
                incident_constant=(100, 600),
                reflected_constant=(5, 30),
            )
        )

    def __str__(self) -> str:
        return f"{self.tag} ({self.kind})"
