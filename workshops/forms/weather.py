"""Forms of the weather decision: what is agreed beforehand, and what is decided."""

from django import forms
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.models import Person, WeatherCall


class WeatherCallForm(RecordForm):
    sections = (
        (_("Who decides, and when"), (("decide_at", "decided_by"),)),
        (
            _("Not beyond"),
            (("gust_limit_m_s", "rain_limit_mm_h"), ("coldest_c", "hottest_c")),
        ),
        (_("Otherwise"), ("rain_on", "words")),
    )

    class Meta:
        model = WeatherCall
        exclude = ("workshop", "outcome", "outcome_at", "outcome_reason")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        call = self.instance
        named = Q(roles__workshop=call.workshop_id)
        if call.decided_by_id:
            named |= Q(pk=call.decided_by_id)
        self.fields["decided_by"].queryset = (
            Person.objects.filter(named).distinct().order_by("name", "pk")
        )
        self.fields["decided_by"].help_text = _("Of those who teach, model or help that day.")
        self.fields["words"].widget.attrs["rows"] = 3


class WeatherDecisionForm(RecordForm):
    sections = ((_("The decision"), ("outcome", "outcome_reason")),)

    class Meta:
        model = WeatherCall
        fields = ("outcome", "outcome_reason")

    def _post_clean(self):
        """Leave the record alone: the service sets when it was made, and checks it then."""

    def clean_outcome(self) -> str:
        chosen = self.cleaned_data["outcome"]
        if not chosen:
            raise forms.ValidationError(_("Choose what is decided."))
        return chosen
