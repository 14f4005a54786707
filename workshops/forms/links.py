"""The form of a signed link: when it runs out."""

from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.models import SignedLink


class LinkEndForm(RecordForm):
    sections = ((_("When it runs out"), ("expires_at",)),)

    class Meta:
        model = SignedLink
        fields = ("expires_at",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["expires_at"].required = True
        self.fields["expires_at"].label = _("Runs out")
        self.fields["expires_at"].help_text = _("On the clock of the place.")
        del self.fields["seen"]
        self.helper.layout = self._layout()
