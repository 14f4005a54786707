"""The form of a teaching point: the words in force, the library's or the house's own."""

from django import forms
from django.conf import settings
from django.utils.translation import gettext, override
from django.utils.translation import gettext_lazy as _

from planning.lesson.points import PARTS
from planning.models import PlannedSet, TeachingPoint
from workshops.forms.base import RecordForm

WORDED = ("name", *PARTS)
ROWS = {"demo": 6, "task": 4, "vary": 4, "faults": 5, "critique": 4, "exercise": 3, "objective": 2}
BACK = "library_"  # before a part's name: the tick that gives the part back to the library


class PointForm(RecordForm):
    """Shows every part as it is said now; one that says what the library says is kept empty,
    so that it follows the reader's language and a later library.
    """

    class Meta:
        model = TeachingPoint
        fields = (*WORDED, "position", "hidden")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.from_library = bool(self.instance.code)
        for part, rows in ROWS.items():
            self.fields[part].widget.attrs["rows"] = rows
        self.fields["name"].required = self.fields["objective"].required = not self.from_library
        for part in WORDED:
            self.initial[part] = self.initial.get(part) or self.instance.library_part(part)
            if getattr(self.instance, part) and self.instance.library_part(part):
                self.fields[BACK + part] = forms.BooleanField(
                    label=_("Back to the library’s words"), required=False
                )
        # Each tick beneath the part it gives back.
        worded = tuple(name for part in WORDED for name in (part, BACK + part))
        self.sections = (("", (*worded, ("position", "hidden"))),)
        self.helper.layout = self._layout()

    def clean(self):
        cleaned = super().clean()
        for part in WORDED:
            text = "\n".join(
                line.rstrip() for line in (cleaned.get(part) or "").split("\n")
            ).strip()
            text = text.replace("\r", "")
            back = cleaned.get(BACK + part)
            cleaned[part] = "" if back or text in self._library(part) else text
        return cleaned

    def _library(self, part: str) -> set[str]:
        """Return the library's words for a part in every language of the site."""
        said = set()
        for language, _name in settings.LANGUAGES:
            with override(language):
                said.add(self.instance.library_part(part))
        return said


class WithSetForm(forms.Form):
    """Whose figures a preview is filled with."""

    with_set = forms.ModelChoiceField(
        PlannedSet.objects.none(), required=False, label=_("Fill with the figures of")
    )

    def __init__(self, *args, sets, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["with_set"].queryset = sets
        self.fields["with_set"].label_from_instance = lambda one: (
            gettext("%(workshop)s: %(set)s") % {"workshop": one.workshop, "set": one}
        )
