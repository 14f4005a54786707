"""The form of the house settings."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.forms.choices import LongSelect, language_choices, timezone_choices
from workshops.forms.figures import CurrencyField
from workshops.models import House


class HouseForm(RecordForm):
    language = forms.ChoiceField(label=_("language"))
    timezone_name = forms.ChoiceField(widget=LongSelect, label=_("time zone of the office"))
    currency = CurrencyField(label=_("currency"), help_text=_("Three letters, such as EUR."))

    sections = (
        (
            _("The house"),
            (
                "name",
                ("language", "timezone_name"),
                "currency",
                "postal_address",
                ("phone", "email"),
            ),
        ),
        (_("Bookings"), ("offer_hours",)),
        (
            _("Invoices and receipts"),
            (
                ("tax_name", "tax_percent"),
                "tax_number",
                ("invoice_prefix", "receipt_prefix"),
            ),
        ),
        (
            _("On paper and screen"),
            (("paper", "sheet_flip_side"), ("units", "clock"), "label_sheet", "picture_terms"),
        ),
        (
            _("Stands and wind"),
            (
                ("safety_factor", "gust_limit_m_s"),
                ("hold_force_n", "modifier_off_force_n"),
                ("carry_cap_kg",),
                ("gust_factor_inland", "gust_factor_sea"),
            ),
        ),
        (
            _("Plans"),
            (
                ("stops_under", "sync_outlier_stops"),
                ("test_flash_share", "tide_margin_min"),
            ),
        ),
        (_("Kit is promised"), (("preparation_hours", "return_hours"),)),
        (
            _("Spares of the suggested kit list"),
            (
                ("heads_per_spare", "stands_per_spare"),
                ("triggers_per_spare", "least_spare_triggers"),
                ("spare_cell_sets", "spare_sync_cords"),
            ),
        ),
    )

    class Meta:
        model = House
        exclude = ("id",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name in ("postal_address", "picture_terms"):
            self.fields[name].widget.attrs["rows"] = 3
        self.fields["language"].choices = language_choices(self.instance.language)
        self.fields["timezone_name"].choices = timezone_choices(self.instance.timezone_name)
