"""Forms of the money: entries of a ledger, invoices, costs of the day."""

from datetime import date
from decimal import Decimal
from uuid import uuid4

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import FigureForm, RecordForm
from workshops.models import Booking, DayCost, Invoice, Payment
from workshops.money import NOTHING, Account, Standing, payable
from workshops.words import date_text, decimals_refused

ENTERED = (Payment.Kind.DEPOSIT, Payment.Kind.BALANCE, Payment.Kind.REFUND)
LONGEST_TEXT = 1000


class OnceForm(FigureForm):
    """A form that makes its record once, however often its button is pressed."""

    request_key = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("request_key", uuid4())


class PaymentForm(OnceForm):
    """An amount received or paid back; begins with what the account asks for."""

    sections = (
        (_("How much"), (("kind", "amount"),)),
        (_("When and how"), (("paid_on", "method"), "notes")),
    )

    class Meta:
        model = Payment
        fields = ("kind", "amount", "paid_on", "method", "notes")

    def __init__(self, *args, account: Account, today: date, **kwargs):
        kind, amount = _asked(account)
        given = {"kind": kind, "amount": amount or None, "paid_on": today}
        super().__init__(*args, initial=given, **kwargs)
        self.fields["kind"].choices = [(one.value, one.label) for one in ENTERED]
        self.fields["amount"].help_text = _("Above 0, also for a refund.")


def _asked(account: Account) -> tuple[str, Decimal]:
    if account.standing == Standing.BACK:
        return Payment.Kind.REFUND, account.owed_back
    if account.paid < account.deposit:
        return Payment.Kind.DEPOSIT, account.deposit - account.paid
    return Payment.Kind.BALANCE, account.owed


class CorrectionForm(FigureForm):
    """Why an entry is taken back."""

    class Meta:
        model = Payment
        fields = ("notes",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["notes"].label = _("Why it is taken back")
        self.fields["notes"].required = True


class InvoiceForm(OnceForm):
    """An invoice to issue: begins with the person, the workshop and what is not billed yet."""

    addressee = forms.CharField(
        label=_("addressee"),
        max_length=LONGEST_TEXT,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Name and postal address, as they are printed."),
    )
    description = forms.CharField(
        label=_("for"), max_length=LONGEST_TEXT, widget=forms.Textarea(attrs={"rows": 3})
    )

    sections = ((_("Who it goes to"), ("addressee",)), (_("What for"), ("description", "amount")))

    class Meta:
        model = Invoice
        fields = ("addressee", "description", "amount")

    def __init__(self, *args, booking: Booking, left: Decimal, **kwargs):
        workshop = booking.workshop
        words = {
            "workshop": workshop,
            "date": date_text(workshop.start_at, workshop.timezone_name),
            "person": booking.person,
        }
        given = {
            "addressee": booking.person.name,
            "description": gettext("%(workshop)s, %(date)s. One seat for %(person)s.") % words,
            "amount": left if left > NOTHING else None,
        }
        super().__init__(*args, initial=given, **kwargs)
        self.fields["amount"].help_text = _("Tax included. Less than the price bills a part.")


class CreditForm(FigureForm):
    """Why an invoice is taken back; printed on the credit note."""

    description = forms.CharField(
        label=_("why it is taken back"),
        max_length=LONGEST_TEXT,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Printed on the credit note."),
    )

    class Meta:
        model = Invoice
        fields = ("description",)


class DayCostForm(RecordForm):
    """What the day costs, once or for everybody."""

    class Meta:
        model = DayCost
        fields = ("name", "amount", "each")

    def clean_amount(self):
        amount, currency = self.cleaned_data["amount"], self.instance.workshop.currency
        if not payable(amount, currency):
            raise forms.ValidationError(decimals_refused(currency))
        return amount
