"""Forms of a workshop's kit: by numbers of each kind, and by ticks."""

from collections.abc import Iterable
from datetime import datetime

from django import forms
from django.core.exceptions import ValidationError
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.forms.figures import CountField
from workshops.models import KitKind, KitUnit, Workshop
from workshops.selectors.promises import CategoryHere

DIGITS_OF_A_KEY = 18  # a key is a signed whole number of 64 bits
MOST_OF_A_KIND = 500


class TickedUnits(forms.ModelMultipleChoiceField):
    """Units by their numbers; a number no database could hold is no choice."""

    def clean(self, value):
        longest = max((len(str(one)) for one in value or ()), default=0)
        if longest > DIGITS_OF_A_KEY:
            raise ValidationError(self.error_messages["invalid_choice"], code="invalid_choice")
        return super().clean(value)


class KitListForm(RecordForm):
    """What comes along: units of the shelf to tick, drawn by the page itself."""

    units = TickedUnits(
        KitUnit.objects.select_related("kind").order_by("kind__category", "kind__name", "tag"),
        label=_("units"),
        required=False,
        error_messages={
            "invalid_choice": _("One of the units ticked is not on the shelf any more."),
            "invalid_pk_value": _("One of the units ticked is not on the shelf any more."),
        },
    )

    class Meta:
        model = Workshop
        fields = ()

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial["units"] = list(self.instance.kit.values_list("unit_id", flat=True))

    def ticked(self) -> set[str]:
        """Return the numbers of the units ticked, as they stand in the page."""
        return {str(one) for one in self["units"].value() or ()}


class ReleaseForm(forms.Form):
    """Units of the list to be given free."""

    gone = TickedUnits(
        KitUnit.objects.none(),
        required=True,
        error_messages={
            "required": _("Tick the units that are to be free again."),
            "invalid_choice": _("One of the units ticked is not on the list any more."),
            "invalid_pk_value": _("One of the units ticked is not on the list any more."),
        },
    )

    def __init__(self, *args, workshop: Workshop, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["gone"].queryset = KitUnit.objects.filter(reservations__workshop=workshop)


class NumbersForm(forms.Form):
    """So many more units of each kind, free ones by tag: one small box a kind."""

    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args, workshop: Workshop, shelf: Iterable[CategoryHere], **kwargs):
        # The page has another form, with a version of its own.
        super().__init__(*args, auto_id="number_%s", **kwargs)
        self.initial["seen"] = workshop.changed_at.isoformat()
        self.shelf = list(shelf)
        for kind in self._kinds():
            box = CountField(label=kind.name, required=False, min_value=0, max_value=MOST_OF_A_KIND)
            box.widget.attrs["class"] = "count"
            self.fields[self.name_of(kind)] = box

    def _kinds(self) -> list[KitKind]:
        return [line.kind for group in self.shelf for line in group.kinds]

    @staticmethod
    def name_of(kind: KitKind) -> str:
        return f"kind_{kind.pk}"

    def clean_seen(self) -> datetime | None:
        """Return the instant the reader's version dates from."""
        try:
            return parse_datetime(self.cleaned_data["seen"])
        except ValueError:
            return None

    def clean(self):
        cleaned = super().clean()
        if not self.errors and not self.wanted():
            raise ValidationError(_("Enter a number beside at least one kind."))
        return cleaned

    def wanted(self) -> dict[KitKind, int]:
        """Return how many more of each kind are asked for."""
        asked = {kind: self.cleaned_data.get(self.name_of(kind)) for kind in self._kinds()}
        return {kind: count for kind, count in asked.items() if count}

    def groups(self) -> list[tuple[CategoryHere, list[tuple]]]:
        """Return the shelf, each kind with its box."""
        return [
            (group, [(line, self[self.name_of(line.kind)]) for line in group.kinds])
            for group in self.shelf
        ]
