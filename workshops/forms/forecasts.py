"""The file of forecasts, sent from a page."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import plain_helper


class ForecastFileForm(forms.Form):
    file = forms.FileField(
        label=_("File"),
        allow_empty_file=True,
        help_text=_("A JSON file as below, of one place or several, 512 KB at the most."),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.helper = plain_helper()
