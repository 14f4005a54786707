"""Why a measurement does not count, and from when on a figure does."""

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from planning.models import CountsFrom, LeftOut
from workshops.forms.base import DateInput, plain_helper


class LeaveOutForm(forms.ModelForm):
    """Which measurement is left out, and why."""

    witness = forms.ChoiceField(label=_("Measurement"))

    class Meta:
        model = LeftOut
        fields = ("reason",)

    field_order = ("witness", "reason")

    def __init__(self, *args, witnesses: list[tuple[str, str]], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["witness"].choices = witnesses
        self.fields["reason"].label = capfirst(self.fields["reason"].label)
        self.helper = plain_helper()


class BeginAnewForm(forms.ModelForm):
    """The date a figure counts from, and why."""

    from_on = forms.DateField(
        label=_("counts from"), widget=DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )

    class Meta:
        model = CountsFrom
        fields = ("reason",)

    field_order = ("from_on", "reason")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            field.label = capfirst(field.label)
        self.helper = plain_helper()
