"""Why there is no plan, as a page says it: by the form's labels, in the reader's language."""

import re
from functools import cache

from django.apps import apps
from django.utils.text import capfirst

from planning.figures import Figures
from planning.physics.errors import OutOfRange
from planning.plan.refusal import NoPlan
from workshops import units

# Where a name stands in several records, the set's own form comes first.
RECORDS = (
    "planning.PlannedSet", "planning.PlannedLight", "planning.Reading", "workshops.Location",
    "workshops.Forecast", "workshops.CameraBody", "workshops.Strobe", "workshops.Modifier",
    "workshops.Stand", "workshops.Trigger", "workshops.NdFilter", "workshops.Battery",
    "workshops.KitUnit", "workshops.House",
)  # fmt: skip
# Inputs of the plan that are called otherwise in the records.
CALLED = {"timezone": "timezone_name"}
_NAME = re.compile(r"\b[a-z]+(?:_[a-z0-9]+)+\b")


def in_words(reason: OutOfRange, say: Figures) -> str:
    """Return why no plan can be made, each input by the label of its form."""
    if not isinstance(reason, NoPlan):
        # A formula's own refusal, met only where a record holds what its form would refuse.
        return _NAME.sub(lambda name: label(name[0], say) or name[0], str(reason))
    where = ", ".join(one for one in (reason.part, label(reason.field, say)) if one)
    sentence = say.words(reason.words)
    return f"{where}: {sentence}" if where else capfirst(sentence)


def label(field: str, say: Figures) -> str:
    """Return what the forms call an input of the plan, in the house's units; empty for none."""
    name = CALLED.get(field, field)
    words = _labels().get(name)
    if words is None:
        return ""
    imperial = say.units == "imperial"
    return units.relabelled(capfirst(str(words)), units.unit_of(name), imperial=imperial)


@cache
def _labels() -> dict[str, object]:
    """The lazy labels by field; they are translated when a page says them."""
    found: dict[str, object] = {}
    for record in RECORDS:
        for field in apps.get_model(record)._meta.concrete_fields:
            found.setdefault(field.name, field.verbose_name)
    return found
