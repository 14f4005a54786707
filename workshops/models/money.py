"""What was paid and billed, and what a day costs."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from workshops.errors import Refused
from workshops.models.base import Record, ranges


class Entry(Record):
    """A record of money: never changed and never deleted, taken back by another one."""

    class Meta:
        abstract = True

    def save(self, *args, **kwargs):
        if not self._state.adding:
            raise Refused(self._kept())
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        raise Refused(self._kept())

    def _kept(self) -> str:
        return gettext("%(number)s stays as it is: take it back by a new entry.") % {"number": self}


class Payment(Entry):
    """One entry of a booking's ledger: never changed, corrected by a counter-entry."""

    class Kind(models.TextChoices):
        DEPOSIT = "deposit", _("deposit")
        BALANCE = "balance", _("balance")
        REFUND = "refund", _("refund")
        CORRECTION = "correction", _("correction of an entry")

    booking = models.ForeignKey(
        "Booking", on_delete=models.PROTECT, related_name="payments", verbose_name=_("booking")
    )
    kind = models.CharField(_("what for"), max_length=10, choices=Kind.choices)
    amount = models.DecimalField(
        _("amount"),
        max_digits=9,
        decimal_places=2,
        help_text=_("Above 0 was received, below 0 was paid back."),
    )
    paid_on = models.DateField(_("paid on"))
    method = models.CharField(
        _("how"), max_length=60, blank=True, help_text=_("Such as bank transfer or cash.")
    )
    number = models.CharField(_("receipt number"), max_length=40, unique=True, editable=False)
    issuer = models.TextField(
        _("issued by"),
        blank=True,
        editable=False,
        help_text=_("Name, address and tax number of the house as they were."),
    )
    tax_name = models.CharField(_("name of the tax"), max_length=20, blank=True)
    tax_percent = models.DecimalField(_("tax (%)"), max_digits=5, decimal_places=2, default=0)
    tax_amount = models.DecimalField(_("of it tax"), max_digits=9, decimal_places=2, default=0)
    corrects = models.OneToOneField(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="corrected_by",
        verbose_name=_("takes back"),
    )
    request_key = models.UUIDField(null=True, blank=True, unique=True, editable=False)
    notes = models.CharField(_("notes"), max_length=200, blank=True)

    part_of = ("booking",)

    class Meta:
        verbose_name = _("payment")
        verbose_name_plural = _("payments")
        ordering = ("booking", "paid_on", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(kind__in=("deposit", "balance"), amount__gt=0, corrects=None)
                | Q(kind="refund", amount__lt=0, corrects=None)
                | (Q(kind="correction", corrects__isnull=False) & ~Q(amount=0)),
                name="payment_sign_by_kind",
                violation_error_message=_(
                    "Amount: a deposit or balance is above 0, a refund below; a correction says "
                    "which entry it takes back."
                ),
            ),
        )

    def __str__(self) -> str:
        return self.number


class Invoice(Entry):
    """A bill as it was issued, or the credit note that takes one back; never changed."""

    booking = models.ForeignKey(
        "Booking", on_delete=models.PROTECT, related_name="invoices", verbose_name=_("booking")
    )
    number = models.CharField(_("number"), max_length=40, unique=True, editable=False)
    issued_on = models.DateField(_("issued on"))
    issuer = models.TextField(
        _("issued by"), help_text=_("Name, address and tax number of the house as they were.")
    )
    addressee = models.TextField(_("addressee"))
    description = models.TextField(_("for"))
    currency = models.CharField(_("currency"), max_length=3)
    amount = models.DecimalField(
        _("amount, tax included"),
        max_digits=9,
        decimal_places=2,
        help_text=_("Below 0 on a credit note."),
    )
    tax_name = models.CharField(_("name of the tax"), max_length=20, blank=True)
    tax_percent = models.DecimalField(_("tax (%)"), max_digits=5, decimal_places=2, default=0)
    tax_amount = models.DecimalField(_("of it tax"), max_digits=9, decimal_places=2, default=0)
    credits = models.OneToOneField(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="credited_by",
        verbose_name=_("takes back"),
    )
    request_key = models.UUIDField(null=True, blank=True, unique=True, editable=False)

    part_of = ("booking",)

    class Meta:
        verbose_name = _("invoice")
        verbose_name_plural = _("invoices")
        ordering = ("issued_on", "pk")
        constraints = (
            models.CheckConstraint(
                condition=Q(credits=None, amount__gte=0) | Q(credits__isnull=False, amount__lte=0),
                name="invoice_sign_by_kind",
            ),
        )

    def __str__(self) -> str:
        return self.number


class NumberSeries(models.Model):
    """The last number given out in a series of a year; locked while the next is taken."""

    series = models.CharField(max_length=20)
    year = models.PositiveSmallIntegerField()
    last = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("series", "year"), name="number_series_once"),
        )

    def __str__(self) -> str:
        return f"{self.series} {self.year}"


class DayCost(Record):
    """What a workshop costs the house: once, or for every attendee."""

    workshop = models.ForeignKey(
        "Workshop", on_delete=models.CASCADE, related_name="costs", verbose_name=_("workshop")
    )
    name = models.CharField(
        _("what for"), max_length=80, help_text=_("Model, permit, travel, food, helper.")
    )
    amount = models.DecimalField(_("amount"), max_digits=9, decimal_places=2)
    each = models.BooleanField(_("for every attendee"), default=False)

    class Meta:
        verbose_name = _("cost of the day")
        verbose_name_plural = _("costs of the day")
        ordering = ("workshop", "each", "pk")
        constraints = (*ranges("cost", amount=(0, None)),)

    def __str__(self) -> str:
        return self.name
