"""Forms of people and their cameras."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.forms.choices import language_choices
from workshops.models import CameraBody, Person


class PersonForm(RecordForm):
    language = forms.ChoiceField(label=_("language"))

    sections = (
        (_("Who"), ("name", ("email", "phone"), "language")),
        (_("In an emergency"), (("emergency_name", "emergency_phone"),)),
        (_("What they know and bring"), ("experience", "goal", "equipment", "own_trigger")),
        (_("On the day"), ("access_needs", ("dietary", "swims"))),
        (_("Pictures"), ("photo_consent",)),
        (
            _("Under 18"),
            (("birth_date", "under_age"), ("guardian_name", "guardian_phone")),
        ),
        (_("For the office"), ("notes",)),
    )

    class Meta:
        model = Person
        fields = "__all__"

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["language"].choices = language_choices(self.instance.language)
        if not self.instance.pk:
            self.initial["language"] = self.rebuilt_with["house"].language
        for name in ("experience", "equipment", "access_needs", "notes"):
            self.fields[name].widget.attrs["rows"] = 3


class CameraForm(RecordForm):
    sections = (
        (
            _("The body"),
            (("name", "firmware"), ("sensor_width_mm", "sensor_height_mm"), "flash_system"),
        ),
        (
            _("Its shutter"),
            (
                ("sync_s", "fastest_shutter_s"),
                "sync_known",
                "curtain_s",
                "electronic_only",
                "leaf_shutter",
            ),
        ),
        (_("Flash and film speed"), (("shoe", "pc_socket"), "centre_contact", "lowest_iso")),
    )

    class Meta:
        model = CameraBody
        exclude = ("owner",)
