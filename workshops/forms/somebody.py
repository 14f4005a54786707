"""Choose a person, or enter a new one in the same form."""

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from workshops.forms.figures import RecordChoiceField
from workshops.models import Person
from workshops.models.fields import IsoField, ShutterField
from workshops.models.person import birth_day, phone_number
from workshops.selectors.people import likely_same

NEW = "new"


class PersonChoice(RecordChoiceField):
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


class LikelySameForm(forms.Form):
    """Asks, before somebody new is entered, about those entered already who may be the same.

    Mixed into a form with ``name`` and ``email``. The question stands in the form only while there
    is somebody to ask about.
    """

    same = forms.ChoiceField(widget=forms.RadioSelect, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.alike: list[Person] = []
        if self.is_bound and "name" in self.fields and not self.data.get("person"):
            typed = (self.data.get(self.add_prefix(name), "") for name in ("name", "email"))
            self.alike = likely_same(*typed)
        if self.alike and self.was_sent():
            self.alike = []  # who was entered by this very form: its second press asks nothing
        if not self.alike:
            del self.fields["same"]
            return
        self.fields["same"].label = _("Entered already?")
        self.fields["same"].choices = [
            *((str(one.pk), _told(one)) for one in self.alike),
            (NEW, _("this is somebody else: enter them as new")),
        ]
        self.helper.layout = self._layout()

    def clean(self):
        cleaned = super().clean()
        if "same" in self.fields and not cleaned.get("same") and "same" not in self.errors:
            names = ", ".join(str(one) for one in self.alike)
            sentence = _("Entered already? Perhaps as %(names)s. Choose below who it is.")
            self.add_error("same", sentence % {"names": names})
        return cleaned

    def was_sent(self) -> bool:
        """Return whether what this form asks for was done by it before."""
        return False

    def same_person(self) -> Person | None:
        """Return the known person that was chosen as the same."""
        chosen = self.cleaned_data.get("same", NEW)
        return next((one for one in self.alike if str(one.pk) == chosen), None)


def _told(person: Person) -> str:
    return " · ".join(filter(None, (person.name, person.email, person.phone)))


class MinorForm(forms.Form):
    """Asks for the guardian of somebody under age on the day of ``self.on``."""

    minor_fields = ("birth_date", "under_age", "guardian_name", "guardian_phone")
    section_of_minors = (
        _("If they are under 18 on the day"),
        (("birth_date", "under_age"), ("guardian_name", "guardian_phone")),
    )

    birth_date = forms.DateField(label=_("birth date"), required=False, validators=[birth_day])
    under_age = forms.BooleanField(label=_("under 18"), required=False)
    guardian_name = forms.CharField(
        label=_("guardian"),
        max_length=120,
        required=False,
        help_text=_("The adult who stays with somebody under 18."),
    )
    guardian_phone = forms.CharField(
        label=_("guardian's phone"), max_length=31, required=False, validators=[phone_number]
    )

    def clean(self):
        cleaned = super().clean()
        typed = Person(
            birth_date=cleaned.get("birth_date"), under_age=bool(cleaned.get("under_age"))
        )
        if not typed.is_under_age(self.on):
            return cleaned
        for name, sentence in (
            (
                "guardian_name",
                _("Guardian: enter the adult who comes along with somebody under 18."),
            ),
            ("guardian_phone", _("Guardian's phone: enter it, for the day itself.")),
        ):
            if name in self.fields and not cleaned.get(name) and name not in self.errors:
                self.add_error(name, sentence)
        return cleaned

    def minor(self) -> dict[str, Any]:
        """Return what was typed of age and guardian."""
        given = self.cleaned_data
        return {name: given[name] for name in self.minor_fields if given.get(name)}


class NewCameraForm(forms.Form):
    """A camera body entered with the person who brings it."""

    section_of_camera = (
        _("The camera they bring"),
        ("camera_name", ("sync_s", "lowest_iso")),
    )

    camera_name = forms.CharField(
        label=_("make and model"),
        max_length=120,
        required=False,
        help_text=_("A body not entered yet. Empty: the first one entered for the person."),
    )
    sync_s = ShutterField(_("flash sync speed")).formfield(
        required=False, help_text=_("From its manual: 1/160 to 1/250, old ones 1/60.")
    )
    lowest_iso = IsoField(_("lowest native ISO")).formfield(
        required=False, initial="100", help_text=_("64, 100 or 200; not the extended one.")
    )

    def clean(self):
        cleaned = super().clean()
        if "camera_name" in self.errors or "sync_s" in self.errors:
            return cleaned
        if cleaned["camera_name"] and not cleaned["sync_s"]:
            self.add_error("sync_s", _("Flash sync speed: enter it with the camera, like 1/200."))
        elif cleaned["sync_s"] and not cleaned["camera_name"]:
            self.add_error("camera_name", _("Make and model: enter it with the sync speed."))
        return cleaned

    def new_camera(self) -> dict[str, Any]:
        """Return the fields of the camera to enter, empty when none was given."""
        given = self.cleaned_data
        if not given["camera_name"]:
            return {}
        figures = {"sync_s": given["sync_s"], "lowest_iso": given["lowest_iso"]}
        return {"name": given["camera_name"]} | {
            name: value for name, value in figures.items() if value is not None
        }
