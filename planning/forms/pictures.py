"""The form of a picture for the handouts."""

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.models import SetPicture
from workshops.forms.base import plain_helper


class PictureForm(forms.ModelForm):
    file = forms.FileField(
        label=_("Picture"),
        help_text=_("JPEG, PNG or WebP. Place, time and all that hangs on it are left out."),
        error_messages={
            "required": _("Choose a picture first."),
            "empty": _("The file is empty: choose another."),
        },
    )

    class Meta:
        model = SetPicture
        fields = ("words", "credit")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.order_fields(("file", "words", "credit"))
        self.fields["file"].widget.attrs["accept"] = "image/jpeg,image/png,image/webp"
        self.helper = plain_helper()
