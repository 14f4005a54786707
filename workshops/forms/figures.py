"""Form fields for figures: decimal comma or point, and the units of the house."""

import math

from django import forms
from django.core.exceptions import ValidationError
from django.utils import formats
from django.utils.translation import gettext_lazy as _

from workshops import units


class FigureField(forms.FloatField):
    """A number as people type it, never dropped: a text box, not the browser's number box.

    ``unit`` is the unit the record keeps; with ``imperial`` a bare number is in the house's.
    """

    widget = forms.TextInput
    default_error_messages = {"invalid": _("Enter a number, such as 2.5.")}

    def __init__(self, *, unit: units.Unit | None = None, imperial: bool = False, **kwargs):
        self.unit, self.imperial = unit, imperial
        super().__init__(**kwargs)

    def to_python(self, value):
        if value in self.empty_values or not str(value).strip():
            return None
        try:
            figure = units.read(str(value), self.unit, imperial=self.imperial)
        except (ValueError, OverflowError):
            raise ValidationError(self.error_messages["invalid"], code="invalid") from None
        if not math.isfinite(figure):
            raise ValidationError(self.error_messages["invalid"], code="invalid")
        return figure

    def prepare_value(self, value):
        if isinstance(value, bool) or not isinstance(value, int | float):
            return value
        text = units.shown(value, self.unit, imperial=self.imperial)
        return text.replace(".", formats.get_format("DECIMAL_SEPARATOR"))

    def has_changed(self, initial, data):
        shown = self.prepare_value(initial)
        return ("" if shown is None else str(shown)) != ("" if data is None else str(data).strip())

    def widget_attrs(self, widget):
        return {"inputmode": "decimal", "autocomplete": "off"}


class CountField(forms.IntegerField):
    """A whole number in a text box: what is no number comes back with its message."""

    widget = forms.TextInput
    default_error_messages = {"invalid": _("Enter a whole number, such as 6.")}

    def widget_attrs(self, widget):
        return {"inputmode": "numeric", "autocomplete": "off"}


class MoneyField(forms.DecimalField):
    """An amount with decimal comma or point."""

    widget = forms.TextInput
    default_error_messages = {"invalid": _("Enter an amount, such as 120 or 120.50.")}

    def to_python(self, value):
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)

    def widget_attrs(self, widget):
        return {"inputmode": "decimal", "autocomplete": "off"}


class RecordChoiceField(forms.ModelChoiceField):
    """A choice among records; a number no database holds is no choice either."""

    def to_python(self, value):
        try:
            return super().to_python(value)
        except OverflowError:
            raise ValidationError(
                self.error_messages["invalid_choice"],
                code="invalid_choice",
                params={"value": str(value)[:20]},
            ) from None


class CurrencyField(forms.CharField):
    """The three letters of a currency (ISO 4217), kept in capitals."""

    def clean(self, value):
        text = super().clean(value).upper()
        if text and not (len(text) == 3 and text.isascii() and text.isalpha()):
            raise ValidationError(_("Currency: enter its three letters, such as EUR."))
        return text


def as_typed(name: str, field: forms.Field, *, imperial: bool) -> forms.Field:
    """Return the field a form shows for a number of a record; another field as it is."""
    given = {"required": field.required, "label": field.label, "help_text": field.help_text}
    given |= {"initial": field.initial}
    if type(field) is forms.FloatField:
        unit = units.unit_of(name)
        given["label"] = units.relabelled(str(field.label or ""), unit, imperial=imperial)
        return FigureField(unit=unit, imperial=imperial, **given)
    if type(field) is forms.IntegerField:
        return CountField(min_value=field.min_value, max_value=field.max_value, **given)
    if type(field) is forms.ModelChoiceField:
        kept = {"queryset": field.queryset, "to_field_name": field.to_field_name}
        return RecordChoiceField(empty_label=field.empty_label, **kept, **given)
    if type(field) is forms.DecimalField:
        kept = {"max_digits": field.max_digits, "decimal_places": field.decimal_places}
        return MoneyField(**kept, **given)
    return field
