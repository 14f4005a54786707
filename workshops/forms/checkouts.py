"""Forms of signing kit out and taking it back: short, for a phone in the field."""

from collections.abc import Iterable

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.models import Checkout, KitUnit
from workshops.selectors.checkouts import Taker

MOST_WORDS = 1000  # about a fault


class ConditionField(forms.CharField):
    def __init__(self, **kwargs):
        kwargs = {"label": _("Condition"), "required": False, "max_length": 200} | kwargs
        super().__init__(**kwargs)


class _Choosing:
    """A choice among records read already: what is not among them is refused in words."""

    records: dict[str, object]

    def offer(self, rows: Iterable) -> None:
        self.records = {str(row.pk): row for row in rows}
        self.choices = [(key, str(row)) for key, row in self.records.items()]


class OneOf(_Choosing, forms.ChoiceField):
    widget = forms.RadioSelect

    def clean(self, value):
        return self.records.get(super().clean(value))


class SomeOf(_Choosing, forms.MultipleChoiceField):
    widget = forms.CheckboxSelectMultiple

    def clean(self, value):
        return [self.records[key] for key in super().clean(value)]


class SignOutForm(forms.Form):
    """One person of the workshop, and how the unit looks."""

    person = OneOf(
        label=_("Who takes it"),
        error_messages={
            "required": _("Who takes it: choose a person."),
            "invalid_choice": _("Who takes it: choose a person of this workshop."),
        },
    )
    condition = ConditionField(label=_("Condition now"))

    def __init__(self, *args, takers: list[Taker], **kwargs):
        super().__init__(*args, **kwargs)
        self.takers = takers
        self.fields["person"].offer(one.person for one in takers)

    def chosen(self) -> str:
        """Return the number of the person ticked."""
        return str(self["person"].value() or "")


class BriefingForm(SignOutForm):
    """Several units to one person, as at the briefing."""

    units = SomeOf(
        label=_("Units"),
        error_messages={
            "required": _("Units: tick at least one."),
            "invalid_choice": _("Units: one of them has left the kit list meanwhile."),
            "invalid_list": _("Units: tick at least one."),
        },
    )

    def __init__(self, *args, listed: Iterable[KitUnit], **kwargs):
        super().__init__(*args, **kwargs)
        # All of the list, not the free ones alone: the service says who has the others.
        self.fields["units"].offer(listed)

    def ticked(self) -> list[str]:
        return [str(one) for one in self["units"].value() or ()]

    def is_done_already(self, out: Iterable[Checkout]) -> bool:
        """Return whether the person has all of it, as after a second press of the button."""
        person = self.cleaned_data["person"]
        has = {one.unit_id for one in out if one.person_id == person.pk}
        return has.issuperset(unit.pk for unit in self.cleaned_data["units"])


class ReturnsForm(forms.Form):
    """Everything that came back in order."""

    checkouts = SomeOf(
        label=_("Back, in order"),
        error_messages={
            "required": _("Back, in order: tick at least one."),
            "invalid_choice": _("Back, in order: choose what was handed out here."),
            "invalid_list": _("Back, in order: tick at least one."),
        },
    )

    def __init__(self, *args, checkouts: Iterable[Checkout], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["checkouts"].offer(checkouts)

    def ticked(self) -> list[str]:
        return [str(one) for one in self["checkouts"].value() or ()]


class NoteForm(forms.Form):
    """Words about a fault."""

    note = forms.CharField(
        label=_("What is wrong"),
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={
            "required": _("What is wrong: say it in a few words, for whoever mends it.")
        },
    )


class BackForm(NoteForm):
    condition = ConditionField(label=_("Condition when it came back"))
    fault = forms.BooleanField(label=_("It has a fault"), required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["note"].required = False  # without a fault there is nothing to say

    def clean(self):
        cleaned = super().clean()
        # Whoever says what is wrong has found a fault, ticked or not.
        cleaned["fault"] = cleaned.get("fault") or bool(cleaned.get("note"))
        return cleaned


class MendForm(forms.Form):
    note = forms.CharField(
        label=_("What was done"),
        required=False,
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
