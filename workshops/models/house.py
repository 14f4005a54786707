"""The house: one record of how this business works, and its booking terms."""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record, phone_number, ranges, validate_timezone


class House(Record):
    """The one record of house rules; every figure is a default of the plans."""

    class Paper(models.TextChoices):
        A4 = "a4", _("A4")
        LETTER = "letter", _("US Letter")

    class Units(models.TextChoices):
        METRIC = "metric", _("metres, kilograms, Celsius")
        IMPERIAL = "imperial", _("feet, pounds, Fahrenheit")

    class Clock(models.TextChoices):
        HOURS_24 = "24", _("24 hours (14:10)")
        HOURS_12 = "12", _("12 hours (2:10 pm)")

    class Flip(models.TextChoices):
        LONG = "long", _("over the long edge, like a book")
        SHORT = "short", _("over the short edge, like a clipboard")

    id = models.PositiveSmallIntegerField(primary_key=True, default=1, editable=False)
    name = models.CharField(
        _("name of the house"), max_length=120, help_text=_("Printed on every sheet.")
    )
    paper = models.CharField(
        _("paper"),
        max_length=8,
        choices=Paper.choices,
        default=Paper.A4,
        help_text=_("Sheets print on this paper unless told otherwise."),
    )
    sheet_flip_side = models.CharField(
        _("second side turns"),
        max_length=8,
        choices=Flip.choices,
        default=Flip.LONG,
        help_text=_("How a set sheet is turned over on its clipboard."),
    )
    units = models.CharField(
        _("units"),
        max_length=8,
        choices=Units.choices,
        default=Units.METRIC,
        help_text=_("For reading; records are always kept in metres, kilograms and Celsius."),
    )
    clock = models.CharField(
        _("clock"), max_length=2, choices=Clock.choices, default=Clock.HOURS_24
    )
    currency = models.CharField(
        _("currency"), max_length=3, default="EUR", help_text=_("Three letters, such as EUR.")
    )
    language = models.CharField(
        _("language"), max_length=10, default="en", help_text=_("Language code, such as en.")
    )
    timezone_name = models.CharField(
        _("time zone"),
        max_length=64,
        default="UTC",
        validators=[validate_timezone],
        help_text=_("Of the office, as an IANA name such as Europe/London."),
    )
    safety_factor = models.FloatField(
        _("safety factor on overturning"),
        default=1.5,
        help_text=_(
            "Ballast must hold this many times the overturning moment of the gust. "
            "1.5 is usual; it equals 1.22 on wind speed."
        ),
    )
    hold_force_n = models.FloatField(
        _("somebody holds the stand from (N)"),
        default=40.0,
        help_text=_("Wind force on the modifier. 40 N is the weight of 4 kg."),
    )
    modifier_off_force_n = models.FloatField(
        _("modifier comes off above (N)"),
        default=80.0,
        help_text=_("No smaller than the holding force. 80 N is what one person can hold."),
    )
    gust_limit_m_s = models.FloatField(
        _("strike everything above a gust of (m/s)"),
        default=11.0,
        help_text=_("11 m/s is 40 km/h or 25 mph. Makers' limits come first where lower."),
    )
    carry_cap_kg = models.FloatField(
        _("ballast carried for one stand, at most (kg)"),
        default=25.0,
        help_text=_("What somebody will really carry to the place. Above it the modifier goes."),
    )
    gust_factor_inland = models.FloatField(
        _("gust over mean wind, inland"),
        default=1.7,
        help_text=_("Used where a forecast gives only the mean wind."),
    )
    gust_factor_sea = models.FloatField(
        _("gust over mean wind, at sea"),
        default=1.4,
        help_text=_("The same on an open shore or pier."),
    )
    sync_outlier_stops = models.FloatField(
        _("a slow camera gets its own line from (stops)"),
        default=1.0,
        help_text=_("A body that would cost the group this much is planned by itself."),
    )
    tide_margin_min = models.FloatField(
        _("margin before the path floods (minutes)"),
        default=60.0,
        help_text=_("The group is off the path this long before the water reaches it."),
    )
    test_flash_share = models.FloatField(
        _("test flashes on top of the frames (share)"),
        default=0.1,
        help_text=_("Meter and test pops: 0.1 adds one flash to every ten."),
    )
    stops_under = models.FloatField(
        _("backdrop under by (stops), for new sets"),
        default=1.0,
        help_text=_("1 keeps the backdrop readable, 2 is for drama."),
    )

    offer_hours = models.FloatField(
        _("an offered seat is kept for (hours)"),
        default=48.0,
        help_text=_("Then the next on the waitlist is asked. 24 to 48 is usual."),
    )
    preparation_hours = models.FloatField(
        _("kit is promised from (hours before the start)"),
        default=24.0,
        help_text=_("Packing, charging and the way there. The same unit cannot go elsewhere then."),
    )
    return_hours = models.FloatField(
        _("kit is promised until (hours after the end)"),
        default=24.0,
        help_text=_("The way back, drying, charging and mending."),
    )
    # Spares of the suggested kit list: common practice, no source.
    heads_per_spare = models.PositiveSmallIntegerField(
        _("a spare head for every (heads)"),
        default=2,
        help_text=_("And a spare pack for as many. 0: none."),
    )
    triggers_per_spare = models.PositiveSmallIntegerField(
        _("a spare trigger for every (triggers)"), default=3, help_text=_("0: by the least alone.")
    )
    least_spare_triggers = models.PositiveSmallIntegerField(
        _("spare triggers, at least"), default=2
    )
    stands_per_spare = models.PositiveSmallIntegerField(
        _("a spare stand for every (stands)"), default=3, help_text=_("0: none.")
    )
    spare_cell_sets = models.PositiveSmallIntegerField(
        _("spare sets of cells for each trigger"), default=2
    )
    spare_sync_cords = models.PositiveSmallIntegerField(
        _("sync cords, as a last resort"), default=1
    )
    label_sheet = models.ForeignKey(
        "LabelSheet",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("sheet of labels"),
        help_text=_("What the labels of the kit are printed on."),
    )
    picture_terms = models.TextField(
        _("what may be done with the pictures"),
        max_length=600,
        blank=True,
        help_text=_("Printed on every handout. Empty: ask before you publish, name who worked."),
    )
    postal_address = models.TextField(
        _("postal address"), blank=True, help_text=_("Printed on invoices and receipts.")
    )
    phone = models.CharField(
        _("phone on the day"), max_length=31, blank=True, validators=[phone_number]
    )
    email = models.EmailField(
        _("e-mail of the office"), blank=True, help_text=_("Where answers to the site's mails go.")
    )
    tax_name = models.CharField(
        _("name of the tax"), max_length=20, blank=True, help_text=_("Such as VAT.")
    )
    tax_percent = models.DecimalField(
        _("tax in the price (%)"),
        max_digits=5,
        decimal_places=2,
        default=0,
        help_text=_("Prices include it. 0: no tax line is printed."),
    )
    tax_number = models.CharField(_("tax number"), max_length=40, blank=True)
    invoice_prefix = models.CharField(_("invoice numbers begin with"), max_length=10, blank=True)
    receipt_prefix = models.CharField(
        _("receipt numbers begin with"), max_length=10, blank=True, default="R"
    )

    class Meta:
        verbose_name = _("house")
        verbose_name_plural = _("house")
        constraints = (
            models.CheckConstraint(condition=Q(id=1), name="one_house"),
            models.CheckConstraint(
                condition=Q(modifier_off_force_n__gte=models.F("hold_force_n")),
                name="house_off_force_not_below_hold",
                violation_error_message=_(
                    "Modifier comes off above: enter no less than the force from which "
                    "somebody holds the stand."
                ),
            ),
            *ranges(
                "house",
                safety_factor=(1, 5),
                hold_force_n=(1, 500),
                modifier_off_force_n=(1, 500),
                gust_limit_m_s=(1, 30),
                carry_cap_kg=(0, 200),
                gust_factor_inland=(1, 3),
                gust_factor_sea=(1, 3),
                sync_outlier_stops=(0, 6),
                tide_margin_min=(0, 600),
                test_flash_share=(0, 2),
                stops_under=(-3, 5),
                offer_hours=(1, 720),
                preparation_hours=(0, 720),
                return_hours=(0, 720),
                heads_per_spare=(0, 100),
                triggers_per_spare=(0, 100),
                least_spare_triggers=(0, 100),
                stands_per_spare=(0, 100),
                spare_cell_sets=(0, 10),
                spare_sync_cords=(0, 100),
                tax_percent=(0, 100),
            ),
        )

    def __str__(self) -> str:
        return self.name


class Terms(Record):
    """Booking terms by name; what is refunded stands in its rows."""

    name = models.CharField(_("name"), max_length=80, unique=True)
    text = models.TextField(_("in words"), blank=True, help_text=_("Shown to whoever books."))
    deposit_share = models.FloatField(
        _("deposit (share of the price)"),
        default=0.0,
        help_text=_("0.5 asks for half when the seat is given; 0 asks for none."),
    )
    balance_days = models.PositiveSmallIntegerField(
        _("balance due (days before the start)"),
        default=14,
        help_text=_("Whoever owes is reminded from then on."),
    )

    class Meta:
        verbose_name = _("booking terms")
        verbose_name_plural = _("booking terms")
        ordering = ("name",)
        constraints = (*ranges("terms", deposit_share=(0, 1), balance_days=(0, 365)),)

    def __str__(self) -> str:
        return self.name


class TermsRow(Record):
    """So much is refunded when a booking is cancelled this early or earlier."""

    terms = models.ForeignKey(
        Terms, on_delete=models.CASCADE, related_name="rows", verbose_name=_("terms")
    )
    days_before = models.PositiveSmallIntegerField(
        _("days before the start"),
        validators=[MinValueValidator(0)],
        help_text=_("90 with a share of 1 reads: up to 90 days before, all is refunded."),
    )
    refunded_share = models.FloatField(
        _("share refunded"), help_text=_("Of the price: 0 nothing, 0.5 half, 1 all.")
    )

    part_of = ("terms",)

    class Meta:
        verbose_name = _("terms row")
        verbose_name_plural = _("terms rows")
        ordering = ("terms", "-days_before")
        constraints = (
            models.UniqueConstraint(
                fields=("terms", "days_before"),
                name="terms_day_once",
                violation_error_message=_("Days before: these terms have a row for that day."),
            ),
            *ranges("terms", refunded_share=(0, 1)),
        )

    def __str__(self) -> str:
        return f"{self.terms}: {self.days_before}"
