"""What keeps a form from being saved, each with the place to mend it."""

from dataclasses import dataclass

from django import forms, template
from django.core.exceptions import NON_FIELD_ERRORS

register = template.Library()


@dataclass(frozen=True)
class Fault:
    """A sentence that names its field, and the id to jump to; empty for the form as a whole."""

    words: str
    anchor: str


@register.filter
def faults(form: forms.BaseForm) -> list[Fault]:
    """Return every fault of a form in the order of its fields, each told with its field's name."""
    found = [Fault(str(words), "") for words in form.non_field_errors()]
    for name, sentences in form.errors.items():
        if name == NON_FIELD_ERRORS or name not in form.fields:
            continue
        label = str(form.fields[name].label or "")
        for words in sentences:
            anchor = form[name].id_for_label or f"id_{form.add_prefix(name)}"
            found.append(Fault(named(str(words), label), anchor))
    return found


def named(words: str, label: str) -> str:
    """Return a sentence with the field's name before it, unless it begins with that already."""
    told = words.partition(":")[0].lower()
    return words if not label or label.lower().startswith(told) else f"{label}: {words}"
