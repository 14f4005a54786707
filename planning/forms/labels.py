"""Which labels to print, and where on the sheet to begin."""

from collections.abc import Iterable

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from workshops.forms.checkouts import OneOf, SomeOf
from workshops.forms.figures import CountField
from workshops.models import KitUnit, LabelSheet


class LabelsForm(forms.Form):
    """Units ticked, whole kinds, or all of them, on one of the house's sheets."""

    kinds = SomeOf(required=False)
    units = SomeOf(required=False)
    sheet = OneOf(label=_("Sheet of labels"), widget=forms.Select)
    first = CountField(
        label=_("Begin at label"),
        min_value=1,
        initial=1,
        help_text=_("1 is the first of a fresh sheet; count along the rows of one used already."),
    )

    def __init__(self, *args, units: Iterable[KitUnit], sheet: LabelSheet | None, **kwargs):
        super().__init__(*args, **kwargs)
        self.all_units = list(units)
        self.fields["units"].offer(self.all_units)
        self.fields["kinds"].offer({unit.kind_id: unit.kind for unit in self.all_units}.values())
        self.fields["sheet"].offer(LabelSheet.objects.order_by("paper", "name"))
        if sheet:
            self.initial["sheet"] = str(sheet.pk)

    def ticked(self, name: str) -> list[str]:
        return [str(one) for one in self[name].value() or ()]

    def ticked_units(self) -> list[str]:
        return self.ticked("units")

    def ticked_kinds(self) -> list[str]:
        return self.ticked("kinds")

    def clean(self):
        cleaned = super().clean()
        sheet, first = cleaned.get("sheet"), cleaned.get("first")
        if sheet and first and first > sheet.count:
            sentence = _("Begin at label: this sheet has %(n)d; enter 1 to %(n)d.")
            self.add_error("first", ValidationError(sentence, params={"n": sheet.count}))
        if not self.errors and not self.chosen():
            self.add_error(None, _("Tick units, or a whole kind, or print all of them."))
        return cleaned

    def chosen(self) -> list[KitUnit]:
        """Return the units to print, in the order of the shelf."""
        if "everything" in self.data:
            return self.all_units
        units = {unit.pk for unit in self.cleaned_data["units"]}
        kinds = {kind.pk for kind in self.cleaned_data["kinds"]}
        return [one for one in self.all_units if one.pk in units or one.kind_id in kinds]
