"""The list of ready-made kinds, to tick and to count."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext as _

from workshops.forms.figures import CountField
from workshops.forms.kit import fact, kind_form
from workshops.forms.kit_units import MOST_UNITS
from workshops.models import House, KitKind
from workshops.ready_made import BY_ENGLISH, KINDS, ReadyMade


@dataclass(frozen=True)
class Line:
    """One ready-made kind on the page; no boxes where its name is on the shelf already."""

    ready: ReadyMade
    record: KitKind
    figures: list[tuple[str, str, str]]  # label, figure, source
    pick: forms.BoundField | None
    units: forms.BoundField | None

    @property
    def brings(self) -> str:
        """The name of the battery it brings along."""
        return BY_ENGLISH[self.ready.battery].name if self.ready.battery else ""


def _units_field(kind: str) -> CountField:
    told = _("%(kind)s: enter how many units, 0 to %(most)s.") % {"kind": kind, "most": MOST_UNITS}
    codes = ("invalid", "min_value", "max_value")
    return CountField(
        required=False,
        initial=1,
        min_value=0,
        max_value=MOST_UNITS,
        label=_("Units"),
        error_messages=dict.fromkeys(codes, told),
    )


class ReadyMadeForm(forms.Form):
    """A tick and a number of units for each kind that is not ``there`` yet."""

    def __init__(self, *args, house: House, there: set[str], **kwargs):
        super().__init__(*args, **kwargs)
        self.house = house
        self.free = {ready.key: ready for ready in KINDS if not ready.names & there}
        for key, ready in self.free.items():
            self.fields[f"pick-{key}"] = forms.BooleanField(required=False, label=ready.name)
            self.fields[f"units-{key}"] = _units_field(ready.name)

    def clean(self):
        cleaned = super().clean()
        if not self.errors and not self.counts():
            raise forms.ValidationError(_("Nothing is ticked: tick what your house has."))
        return cleaned

    def counts(self) -> dict[str, int]:
        """Return how many units of each ticked kind to make, by its English name."""
        return {
            ready.english: self.cleaned_data.get(f"units-{key}") or 0
            for key, ready in self.free.items()
            if self.cleaned_data.get(f"pick-{key}")
        }

    @cached_property
    def groups(self) -> list[tuple[str, list[Line]]]:
        """Every ready-made kind under the name of its category, in the order of the shelf."""
        order = list(KitKind.Category)
        lines = sorted(self._lines(), key=lambda line: order.index(line.record.category))
        found = groupby(lines, key=lambda line: line.record.get_category_display())
        return [(category, list(lines)) for category, lines in found]

    def _lines(self) -> Iterator[Line]:
        for ready in KINDS:
            record = ready.record()
            form = kind_form(record, house=self.house)
            figures = [
                (str(form.fields[name].label), fact(form, name), figure.words)
                for name, figure in ready.figures.items()
                if name in form.fields and name != "category"
            ]
            free = ready.key in self.free
            boxes = [self[f"{box}-{ready.key}"] if free else None for box in ("pick", "units")]
            yield Line(ready, record, figures, *boxes)
