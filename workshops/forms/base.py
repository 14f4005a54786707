"""The form of one record: figures as typed, times of the place, a guard against stale edits."""

import re
from datetime import date, datetime

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Fieldset, Layout
from django import forms
from django.utils.dateparse import parse_datetime
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from workshops.forms.figures import FigureField, as_typed
from workshops.forms.place_time import PlaceTimeForm
from workshops.models import House
from workshops.models.base import Within


class FigureForm(PlaceTimeForm):
    """A form whose figures are text boxes in the house's units, in ``sections``.

    A section is (heading, rows), a row a field's name or several side by side.
    """

    sections: tuple[tuple[str, tuple], ...] = ()

    def __init__(self, *args, house: House, **kwargs):
        super().__init__(*args, **kwargs)
        self.rebuilt_with = {"house": house}  # what the same form of another version needs
        self.imperial = house.units == House.Units.IMPERIAL
        for name, field in self.fields.items():
            self.fields[name] = as_typed(name, field, imperial=self.imperial)
            self.fields[name].label = capfirst(self.fields[name].label or "")
            _widget_for_times(self.fields[name])
        self.helper = plain_helper()
        self.helper.layout = self._layout()

    def clean(self):
        cleaned = super().clean()
        # What was shown rounded and left alone keeps the exact figure behind it.
        for name, field in self.fields.items():
            if isinstance(field, FigureField) and name in cleaned and name not in self.changed_data:
                cleaned[name] = self.get_initial_for_field(field, name)
        return cleaned

    def _post_clean(self):
        super()._post_clean()
        for constraints in (own for _model, own in self.instance.get_constraints()):
            for limit in constraints:
                if isinstance(limit, Within) and limit.field in self.errors:
                    self._say_in_our_unit(limit)

    def _say_in_our_unit(self, limit: Within) -> None:
        """Word a range in the unit the field is typed in: the record's limits are metric."""
        field, model = self.fields.get(limit.field), type(self.instance)
        if not isinstance(field, FigureField):
            return
        told = limit.sentence(model)
        ours = limit.sentence(model, show=field.prepare_value, label=str(field.label))
        sentences = [ours if words == told else words for words in self.errors[limit.field]]
        # The id ties the sentences to their field for whoever hears the page.
        self.errors[limit.field] = self.error_class(
            sentences, renderer=self.renderer, field_id=self[limit.field].auto_id
        )

    def _layout(self) -> Layout:
        told = [name for _heading, rows in self.sections for row in rows for name in _row(row)]
        parts = [_section(heading, rows, self.fields) for heading, rows in self.sections]
        rest = [name for name in self.fields if name not in told]
        return Layout(*parts, *rest)


class RecordForm(FigureForm):
    """The form of one record, which remembers the version its reader saw.

    ``seen`` carries when the record last changed; the service refuses to save over a newer one.
    """

    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.pk and self.instance.changed_at:
            self.initial["seen"] = self.instance.changed_at.isoformat()

    @property
    def history_kind(self) -> str:
        """The label of the record's model, for the page of its changes; empty for a new one."""
        return self.instance._meta.label_lower if self.instance.pk else ""

    def clean_seen(self) -> datetime | None:
        """Return the instant the reader's version dates from; None for a new record."""
        try:
            return parse_datetime(self.cleaned_data["seen"])
        except ValueError:
            return None


def plain_helper() -> FormHelper:
    """Return a crispy helper that leaves the form element and its buttons to the template."""
    helper = FormHelper()
    helper.form_tag = False
    helper.disable_csrf = True
    helper.use_custom_control = False
    return helper


def _row(row) -> tuple[str, ...]:
    return (row,) if isinstance(row, str) else tuple(row)


def _section(heading, rows, fields) -> Fieldset | Div:
    parts = []
    for row in rows:
        names = [name for name in _row(row) if name in fields]
        parts.append(names[0] if len(names) == 1 else Div(*names, css_class="fields"))
    return Fieldset(heading, *parts) if heading else Div(*parts)


class _Kept:
    """A browser's field for dates shows nothing but dates: what is none is shown as text."""

    def get_context(self, name, value, attrs):
        context = super().get_context(name, value, attrs)
        shown = context["widget"]["value"]
        if shown and not self.shape.fullmatch(shown):
            context["widget"]["type"] = "text"
        return context


class DateTimeInput(_Kept, forms.DateTimeInput):
    shape = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d)?")


class DateInput(_Kept, forms.DateInput):
    shape = re.compile(r"\d{4}-\d\d-\d\d")


class TimeInput(_Kept, forms.TimeInput):
    shape = re.compile(r"([01]\d|2[0-3]):[0-5]\d(:[0-5]\d)?")


def _widget_for_times(field: forms.Field) -> None:
    if isinstance(field, forms.DateTimeField):
        field.widget = DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
        field.error_messages["invalid"] = _("Enter a date and a time, such as 2027-05-08 14:10.")
    elif isinstance(field, forms.DateField):
        field.widget = DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
        field.error_messages["invalid"] = _("Enter a date, such as 2027-05-08.")


def typed_text(form: forms.BaseForm, name: str, value) -> str:
    """Return a value as the form's field shows it, for people to compare."""
    field = form.fields[name]
    if isinstance(field, forms.BooleanField):
        return str(_("yes") if value and value != "False" else _("no"))
    shown = field.prepare_value(value)
    if isinstance(field, forms.ModelMultipleChoiceField):
        return ", ".join(str(one) for one in field.queryset.filter(pk__in=shown or ()))
    if isinstance(field, forms.ModelChoiceField):
        choice = field.queryset.filter(pk=shown).first() if shown else None
        return str(choice or "")
    if isinstance(field, forms.ChoiceField):
        flat = dict(field.choices) if all(len(pair) == 2 for pair in field.choices) else {}
        return str(flat.get(shown, shown or ""))
    if isinstance(field, forms.DateTimeField) and isinstance(shown, str):
        return shown.replace("T", " ")
    if isinstance(shown, datetime):
        return f"{shown:%Y-%m-%d %H:%M}"
    if isinstance(shown, date):
        return f"{shown:%Y-%m-%d}"
    return "" if shown is None else str(shown)
