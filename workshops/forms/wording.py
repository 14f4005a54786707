"""What every form says of a field left empty: what to do, instead of what it is."""

from django import forms
from django.utils.translation import gettext_lazy as _

# A field has the words of the first of its classes that has any.
EMPTY = {
    forms.Field: _("Enter it here; it cannot stay empty."),
    forms.ChoiceField: _("Choose one; it cannot stay empty."),
    forms.ModelChoiceField: _("Choose one; it cannot stay empty."),
    forms.BooleanField: _("Tick it to go on."),
    forms.FileField: _("Choose the file first."),
}


def say_what_to_do() -> None:
    """Word it once for all forms, the admin's and the log-in's too; called when the site starts."""
    for field, words in EMPTY.items():
        own = field.__dict__.get("default_error_messages", {})
        field.default_error_messages = {**own, "required": words}
