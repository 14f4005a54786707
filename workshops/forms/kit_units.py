"""Forms of units on the shelf, and of what was metered with them."""

import re

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.forms.figures import CountField
from workshops.models import GuideNumberReading, KitKind, KitUnit

Category = KitKind.Category
MOST_UNITS = 100  # added in one go

# What is asked of one unit, by the category of its kind; the rest means nothing there.
FIGURES_OF = {
    Category.BATTERY: ("health_share", "cycles"),
    Category.STROBE: ("flashes_at_full",),
    Category.TRIGGER: ("sync_penalty_stops", "channel"),
    Category.METER: ("incident_constant", "reflected_constant"),
}
ALL_FIGURES = tuple(name for names in FIGURES_OF.values() for name in names)


class UnitForm(RecordForm):
    """One unit: only what makes sense for its kind."""

    sections = (
        (_("The thing itself"), (("tag", "serial"),)),
        (_("Measured on this one"), (ALL_FIGURES,)),
        (_("State"), ("state", "notes")),
    )

    class Meta:
        model = KitUnit
        exclude = ("kind",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["notes"].widget.attrs["rows"] = 3
        asked = FIGURES_OF.get(self.instance.kind.category, ())
        for name in ALL_FIGURES:
            if name not in asked:
                del self.fields[name]
        self.sections = tuple(
            (heading, rows) for heading, rows in self.sections if asked or rows != (ALL_FIGURES,)
        )
        self.helper.layout = self._layout()

    def clean(self):
        cleaned = super().clean()
        gone = (KitUnit.State.FAULT, KitUnit.State.RETIRED)
        if cleaned.get("state") in gone and not cleaned.get("notes", "").strip():
            self.add_error("notes", _("Notes: say what is wrong with it, or why it is retired."))
        return cleaned


class UnitsForm(UnitForm):
    """One new unit or several at once, by a list of tags or a prefix and a number."""

    tags = forms.CharField(
        label=_("asset tags"),
        required=False,
        max_length=4000,
        help_text=_("As written on the things themselves, with commas between: T1, T2, T3."),
    )
    prefix_text = forms.CharField(
        label=_("or numbered from a prefix"),
        required=False,
        max_length=30,
        help_text=_("“T” makes T-1, T-2 and so on; numbers in use are left out."),
    )
    count = CountField(
        label=_("how many"), required=False, min_value=1, max_value=MOST_UNITS, help_text=""
    )

    sections = (
        (_("Tags"), ("tags", ("prefix_text", "count"))),
        (_("The same for all of them"), (ALL_FIGURES,)),
        (_("Notes"), ("notes",)),
    )

    class Meta:
        model = KitUnit
        exclude = ("kind", "tag", "serial", "state")

    def clean_tags(self) -> list[str]:
        parts = (one.strip() for one in re.split(r"[,;\n]", self.cleaned_data["tags"]))
        tags = [one for one in parts if one]
        longest = KitUnit._meta.get_field("tag").max_length
        if long := next((one for one in tags if len(one) > longest), None):
            sentence = _("Shorten %(tag)s…: a tag has %(longest)s characters at most.")
            raise ValidationError(sentence, params={"tag": long[:longest], "longest": longest})
        if len(tags) > MOST_UNITS:
            raise ValidationError(
                _("Enter %(most)s tags at most in one go."), params={"most": MOST_UNITS}
            )
        return tags

    def clean(self):
        cleaned = super().clean()
        prefix, count = cleaned.get("prefix_text", "").strip(), cleaned.get("count")
        if "tags" in self.errors or "count" in self.errors or "prefix_text" in self.errors:
            return cleaned
        if cleaned["tags"] and (prefix or count):
            self.add_error("tags", _("Give either the tags, or a prefix and a number."))
        elif prefix and not count:
            self.add_error("count", _("How many: enter how many to add."))
        elif count and not prefix:
            self.add_error("prefix_text", _("Enter what their tags begin with, such as T."))
        elif not cleaned["tags"] and not prefix:
            self.add_error("tags", _("Enter at least one asset tag, or a prefix and a number."))
        return cleaned

    def details(self) -> dict:
        """Return what all the new units share, as the service takes it."""
        names = [*ALL_FIGURES, "notes"]
        return {name: self.cleaned_data[name] for name in names if name in self.fields}


class GuideNumberForm(RecordForm):
    sections = (
        (_("Set up"), ("modifier", ("distance_m", "power"), "flash_alone")),
        (_("The meter says"), (("f_mark", "tenths"), ("iso", "meter"))),
        (_("When"), (("read_on", "notes"),)),
    )

    class Meta:
        model = GuideNumberReading
        exclude = ("strobe",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["modifier"].empty_label = _("bare: the standard reflector")
        self.fields["modifier"].help_text = ""
        self.fields["meter"].empty_label = _("not told")
        for name in ("f_mark", "iso"):
            self.fields[name].widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}
