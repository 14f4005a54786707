"""The questionnaire: about the person, each camera, and what only the lead reads."""

import re
from collections.abc import Mapping

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm, plain_helper
from workshops.forms.cameras import CameraAnswersForm
from workshops.forms.choices import language_choices
from workshops.models import House, MedicalAnswers, Person, SignedLink
from workshops.models.answers import CALM, QUESTIONS
from workshops.models.base import in_zone
from workshops.selectors.questionnaire import has_water
from workshops.services.questionnaire import Answers

MOST_CAMERAS = 12
LONGEST_ANSWER = 1000  # characters
CAMERA = re.compile(r"(camera-(?:new)?(\d{1,18}))-name")


class PersonAnswersForm(RecordForm):
    """What somebody tells about itself; name and e-mail stay the office's."""

    sections = (
        (_("How to reach you"), (("phone", "language"),)),
        (_("In an emergency"), (("emergency_name", "emergency_phone"),)),
        (_("What you know and want"), ("experience", "goal")),
        (_("What you need on the day"), ("access_needs", ("dietary", "swims"))),
        (_("Pictures of the day"), ("photo_consent",)),
        (
            _("Only if you are under 18"),
            (("birth_date", "under_age"), ("guardian_name", "guardian_phone")),
        ),
    )
    language = forms.ChoiceField(label=_("language"))
    labels = {
        "phone": _("Your phone on the day"),
        "language": _("Language we write to you in"),
        "emergency_name": _("Whom we call"),
        "emergency_phone": _("Their phone"),
        "experience": _("Your experience"),
        "goal": _("Your goal in one sentence"),
        "access_needs": _("What makes the day easier for you"),
        "dietary": _("What you eat or do not eat"),
        "swims": _("Can you swim? There is water at the place"),
        "photo_consent": _("May you be seen in pictures of the day?"),
        "birth_date": _("Your birth date"),
        "under_age": _("I am under 18 on the day"),
        "guardian_name": _("The adult who comes along"),
        "guardian_phone": _("Their phone on the day"),
    }
    hints = {
        "experience": _(
            "Do you set exposure by hand? Have you used a flash off the camera? "
            "A picture you wish you could make?"
        ),
        "goal": "",
        "swims": "",
        "access_needs": _(
            "Walking on rough ground, standing, lifting, hearing, sight and colours, left-handed."
        ),
        "birth_date": "",
        "under_age": _("Tick if you give no birth date."),
        "guardian_name": "",
    }

    class Meta:
        model = Person
        fields = (
            "phone", "language", "emergency_name", "emergency_phone", "experience", "goal",
            "access_needs", "dietary", "swims", "photo_consent", "birth_date", "under_age",
            "guardian_name", "guardian_phone",
        )  # fmt: skip

    def __init__(self, *args, link: SignedLink, **kwargs):
        super().__init__(*args, **kwargs)
        workshop = link.workshop
        self.on = in_zone(workshop.start_at, workshop.timezone_name).date()
        self.fields["language"].choices = language_choices(self.instance.language)
        for name in ("emergency_name", "emergency_phone"):
            self.fields[name].required = True
        for name in ("experience", "access_needs"):
            self.fields[name].widget.attrs["rows"] = 3
        for name in ("swims", "photo_consent"):
            words = {"unasked": _("not answered yet")}
            self.fields[name].choices = [
                (value, words.get(value, label)) for value, label in Person.Consent.choices
            ]
            self.fields[name].required = False
        for name, label in self.labels.items():
            self.fields[name].label = label
            self.fields[name].help_text = self.hints.get(name, self.fields[name].help_text)
        if not has_water(workshop):
            del self.fields["swims"]
        self.helper.layout = self._layout()

    def clean(self):
        cleaned = super().clean()
        for name in self.fields.keys() & {"swims", "photo_consent"}:
            cleaned[name] = cleaned.get(name) or Person.Consent.UNASKED
        born, ticked = cleaned.get("birth_date"), cleaned.get("under_age")
        minor = Person(birth_date=born, under_age=bool(ticked)).is_under_age(self.on)
        for name in ("guardian_name", "guardian_phone"):
            if minor and name not in self.errors and not cleaned.get(name):
                self.add_error(name, _("Enter the adult who comes along with you."))
        return cleaned


class KitAnswersForm(RecordForm):
    """What somebody brings besides cameras."""

    sections = ((_("What else you bring"), ("equipment", "own_trigger")),)

    class Meta:
        model = Person
        fields = ("equipment", "own_trigger")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        del self.fields["seen"]  # the person's own form has it
        self.fields["equipment"].label = _("Lenses, ND filters, memory cards")
        self.fields["equipment"].help_text = _(
            "Which lenses; which ND filters and the thread they screw into (77 mm); the kind of "
            "memory card, so that pictures can be copied."
        )
        self.fields["equipment"].widget.attrs["rows"] = 3
        self.fields["own_trigger"].label = _("A radio trigger of your own")
        self.fields["own_trigger"].help_text = _(
            "Which one, and which radio system it speaks. You need none: one is lent to you."
        )
        self.helper.layout = self._layout()


class MedicalForm(forms.Form):
    """Voluntary answers for the lead instructor; what was told before is never shown again."""

    KEEP, REPLACE, ERASE = "keep", "replace", "erase"
    CHOICES = (
        (KEEP, _("keep what I told before")),
        (REPLACE, _("put what stands below in its place")),
        (ERASE, _("erase it")),
    )

    def __init__(self, *args, before: MedicalAnswers | None, **kwargs):
        super().__init__(*args, **kwargs)
        if before:
            self.fields["before"] = forms.ChoiceField(
                label=_("What you told before"), choices=self.CHOICES, initial=self.KEEP
            )
        for name, question in QUESTIONS.items():
            if name == CALM:
                self.fields[name] = forms.BooleanField(label=question, required=False)
                continue
            widget = forms.Textarea(attrs={"rows": 2})
            self.fields[name] = forms.CharField(
                label=question, required=False, max_length=LONGEST_ANSWER, widget=widget
            )
        self.helper = plain_helper()

    def clean(self):
        cleaned = super().clean()
        given = [name for name in QUESTIONS if cleaned.get(name)]
        if cleaned.get("before") in (self.KEEP, self.ERASE) and given:
            sentence = _("Choose to put what stands below in its place, or empty it.")
            self.add_error("before", sentence)
        return cleaned

    def told(self) -> dict | None:
        """Return the answers, all empty to erase them; None to leave what was told before."""
        choice = self.cleaned_data.get("before", self.REPLACE)
        if choice == self.KEEP:
            return None
        kept = choice == self.REPLACE
        return {name: self.cleaned_data[name] if kept else "" for name in QUESTIONS}


class Questionnaire:
    """All forms of one page: bound to ``data`` as sent, or showing what is known."""

    def __init__(self, link: SignedLink, house: House, data: Mapping | None = None):
        self.link, self.house, self.data = link, house, data
        self.owned = {camera.pk: camera for camera in link.person.cameras.order_by("pk")}
        rows = MedicalAnswers.objects.filter(person=link.person, workshop=link.workshop)
        self.before = rows.defer("text").first()
        self.person = PersonAnswersForm(data, instance=link.person, house=house, link=link)
        self.kit = KitAnswersForm(data, instance=link.person, house=house)
        self.medical = MedicalForm(data, before=self.before, prefix="medical")
        self.cameras = [self._camera(prefix, pk, data) for prefix, pk in self._asked()]
        self._number()

    def _asked(self) -> list[tuple[str, int | None]]:
        """The cameras of the page as (prefix, number of a known one)."""
        if self.data is None:
            known = [(f"camera-{pk}", pk) for pk in self.owned]
            return known or [("camera-new0", None)]
        sent = [match for name in self.data if (match := CAMERA.fullmatch(name))]
        found = [(one[1], int(one[2]) if "new" not in one[1] else None) for one in sent]
        # Of a body the office deleted meanwhile, what was typed makes a new one.
        return [(prefix, pk if pk in self.owned else None) for prefix, pk in found[:MOST_CAMERAS]]

    def _camera(self, prefix: str, pk: int | None, data: Mapping | None) -> CameraAnswersForm:
        return CameraAnswersForm(
            data, prefix=prefix, house=self.house, camera=self.owned.get(pk), owner=self.link.person
        )

    def _number(self) -> None:
        for number, form in enumerate(self.cameras, start=1):
            form.be_number(number)

    @property
    def parts(self) -> list[forms.BaseForm]:
        return [self.person, *self.cameras, self.kit, self.medical]

    @property
    def room_for_more(self) -> bool:
        return len(self.cameras) < MOST_CAMERAS

    def is_valid(self) -> bool:
        return not self.faulty

    @property
    def faulty(self) -> list[forms.BaseForm]:
        """The forms with something to mend; every one is checked, to show each fault at once."""
        return [form for form in self.parts if form.errors]

    def ask_again(self, sentences: list[str]) -> None:
        """Say why it must be sent once more; sent again, it is saved over what is stored now."""
        stored = Person.objects.get(pk=self.link.person.pk)
        self.person.add_error(None, sentences)
        self.person.data = self.person.data.copy()
        self.person.data["seen"] = stored.changed_at.isoformat()

    def answers(self) -> Answers:
        """Return what a valid page says."""
        told = [form for form in self.cameras if form.told()]
        return Answers(
            person=self.link.person,
            cameras=[form.instance for form in told if not form.cleaned_data.get("gone")],
            gone=[form.instance for form in told if form.cleaned_data.get("gone")],
            medical=self.medical.told(),
        )

    def with_another(self) -> "Questionnaire":
        """Return the page as typed, unchecked, with one more camera to fill in."""
        page = Questionnaire(self.link, self.house)
        page.cameras = [page._camera(*asked, None) for asked in self._asked()]
        for shown, typed in zip(page.parts, self.parts, strict=True):
            for name, field in typed.fields.items():
                prefixed = typed.add_prefix(name)
                shown.initial[name] = field.widget.value_from_datadict(self.data, {}, prefixed)
        if page.room_for_more:
            taken = {form.prefix for form in page.cameras}
            free = next(n for n in range(MOST_CAMERAS + 1) if f"camera-new{n}" not in taken)
            page.cameras.append(page._camera(f"camera-new{free}", None, None))
        page._number()
        return page
