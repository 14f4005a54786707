"""Choose a person, or enter a new one in the same form."""

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from workshops.models import Person
from workshops.models.person import phone_number


class PersonChoice(forms.ModelChoiceField):
    """People by name; ``told`` has words about some of them, by their number."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.told: dict[int, str] = {}

    def label_from_instance(self, person: Person) -> str:
        words = self.told.get(person.pk)
        return f"{person} ({words})" if words else str(person)


class SomebodyForm(forms.Form):
    """The fields of a form that is about a known person or a new one.

    Mixed into a form before its own base. ``people`` are those to choose from; without
    ``new_people`` nobody can be entered.
    """

    heading_of_new = _("Or somebody new")
    new_fields: tuple[str, ...] = ("name", "phone")

    person = PersonChoice(
        Person.objects.none(),
        label=_("person"),
        required=False,
        error_messages={"invalid_choice": _("Person: choose somebody from the list.")},
    )
    name = forms.CharField(label=_("name"), max_length=120, required=False)
    phone = forms.CharField(
        label=_("phone on the day"), max_length=31, required=False, validators=[phone_number]
    )

    def __init__(self, *args, people: QuerySet[Person], new_people: bool = True, **kwargs):
        super().__init__(*args, **kwargs)
        self.rebuilt_with |= {"people": people, "new_people": new_people}
        self.fields["person"].queryset = people
        self.fields["person"].empty_label = _("somebody new, entered below")
        if not new_people:
            self.no_new_people()

    def no_new_people(self) -> None:
        """Ask for a known person only."""
        for name in self.new_fields:
            del self.fields[name]
        self.fields["person"].required = True
        self.fields["person"].empty_label = "---------"
        self.sections = tuple(
            (heading, rows) for heading, rows in self.sections if heading != self.heading_of_new
        )
        self.helper.layout = self._layout()

    def clean(self):
        cleaned = super().clean()
        if "person" in self.errors or "name" in self.errors or "name" not in self.fields:
            return cleaned
        typed = [name for name in self.new_fields if name != "name" and cleaned.get(name)]
        if cleaned.get("person") and (cleaned.get("name") or typed):
            sentence = _("Choose “somebody new” above, or empty what stands here.")
            self.add_error("name", sentence)
        elif not cleaned.get("person") and not cleaned.get("name"):
            where = "name" if typed else "person"
            self.add_error(where, _("Person: choose one, or enter the name of a new one."))
        return cleaned

    def new_person(self) -> dict[str, Any]:
        """Return the fields of the person to enter, empty when one was chosen."""
        given = self.cleaned_data
        return {name: given[name] for name in self.new_fields} if given.get("name") else {}
