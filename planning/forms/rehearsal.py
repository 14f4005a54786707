"""The form of one try: this camera, this trigger, each lamp."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import plain_helper
from workshops.models import Booking, KitUnit, Rehearsal
from workshops.models.fields import ShutterField

NOT_TRIED = ("", _("not tried"))


class RehearsalForm(forms.Form):
    """A trigger, a result for each lamp, and the fastest shutter without a band."""

    trigger_unit = forms.ModelChoiceField(KitUnit.objects.none(), label=_("Trigger"))

    def __init__(self, *args, booking: Booking, triggers, lamps, **kwargs):
        super().__init__(*args, **kwargs)
        self.helper = plain_helper()
        self.booking, self.lamps = booking, {f"lamp{lamp.pk}": lamp for lamp in lamps}
        chosen = self.fields["trigger_unit"]
        chosen.queryset = KitUnit.objects.filter(pk__in=[unit.pk for unit in triggers])
        chosen.queryset = chosen.queryset.select_related("kind")
        for name, lamp in self.lamps.items():
            self.fields[name] = forms.ChoiceField(
                label=_("With %(lamp)s") % {"lamp": lamp},
                choices=[NOT_TRIED, *Rehearsal.Result.choices],
                widget=forms.RadioSelect,
                required=False,
            )
        sync = ShutterField(null=True, blank=True).formfield()
        sync.label = _("Fastest shutter without a band")
        sync.help_text = _("One mark slower at a time until the band is gone, such as 1/125.")
        self.fields["measured_sync_s"] = sync

    def results(self) -> dict[KitUnit, str]:
        """Return the result by lamp, of those that were tried."""
        return {
            lamp: self.cleaned_data[name]
            for name, lamp in self.lamps.items()
            if self.cleaned_data[name]
        }
