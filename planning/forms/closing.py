"""The reasons why a workshop is closed over what is still open."""

from collections.abc import Iterable

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.selectors.closing import Check, Item
from workshops.models import Closing, LetBy

KEPT = LetBy._meta.get_field("reason").max_length


class ReasonsForm(forms.Form):
    """A box beside each open item, named by its key."""

    def __init__(self, *args, checks: Iterable[Check], **kwargs):
        super().__init__(*args, **kwargs)
        self.checks = list(checks)
        for item in (item for one in self.checks for item in one.items):
            label = _("Note, if you like") if item.warning else _("Why it is closed all the same")
            self.fields[item.key] = forms.CharField(label=label, required=False, max_length=KEPT)

    def lines(self) -> list[tuple[Check, list[tuple[Item, forms.BoundField]]]]:
        """Return each line of the checklist with its open items and their boxes."""
        return [(one, [(item, self[item.key]) for item in one.items]) for one in self.checks]


class OpenAgainForm(forms.Form):
    reason = forms.CharField(
        label=_("Why it is opened again"),
        max_length=Closing._meta.get_field("reopened_reason").max_length,
        help_text=_("Kept with the closing. Mails that went out and what was erased stay so."),
    )
