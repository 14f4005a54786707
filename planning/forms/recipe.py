"""The form of a recipe locked on the set: camera, and each head as it shows its power."""

from uuid import uuid4

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.models import PlannedSet, TallyEvent
from workshops import marks
from workshops.forms.base import FigureForm
from workshops.models.fields import PowerField, TypedNumber


class RecipeForm(FigureForm):
    """Aperture, shutter, ISO and the power of each light; one press makes one recipe."""

    key = forms.UUIDField(widget=forms.HiddenInput)
    sections = ((gettext_lazy("As it is set now"), (("f_number", "shutter_s", "iso"), "at")),)

    class Meta:
        model = TallyEvent
        fields = ("f_number", "shutter_s", "iso", "at")

    def __init__(self, *args, planned_set: PlannedSet, powers: dict[str, float], **kwargs):
        self.light_names = list(planned_set.lights.values_list("name", flat=True))
        instance = TallyEvent(planned_set=planned_set, kind=TallyEvent.Kind.RECIPE_LOCKED)
        super().__init__(*args, instance=instance, **kwargs)
        self.initial["key"] = uuid4()
        for name in ("f_number", "shutter_s", "iso"):
            self.fields[name].required = True
        for number, name in enumerate(self.light_names):
            self.fields[f"power_{number}"] = TypedNumber(
                label=_("%(light)s: power of the head") % {"light": name},
                parse=marks.power,
                show=PowerField.show,
                sample=PowerField.sample,
                required=False,
                help_text=PowerField.sample,
                initial=powers.get(name),
            )
        rows = tuple(f"power_{number}" for number in range(len(self.light_names)))
        if rows:
            self.sections = (*self.sections, (_("The heads"), (rows,)))
        self.helper.layout = self._layout()

    def powers(self) -> dict[str, float]:
        """Return the powers entered, by the light's name."""
        typed = {
            name: self.cleaned_data.get(f"power_{number}")
            for number, name in enumerate(self.light_names)
        }
        return {name: power for name, power in typed.items() if power}
