"""Five questions after the day: each may stay unanswered, one at least is answered."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import plain_helper
from workshops.models import Feedback
from workshops.selectors.feedback import SCALE

UNSAID = ("", _("no answer"))
ENDS = {1: _("1: not at all"), 5: _("5: all of it")}
ENDS_OF_SAFE = {1: _("1: not at all"), 5: _("5: all the time")}


class ScaleField(forms.TypedChoiceField):
    """A mark of 1 to 5, each a button; none where nothing is said."""

    def __init__(self, ends: dict, **kwargs):
        marks = [(mark, ends.get(mark, str(mark))) for mark in SCALE]
        super().__init__(
            choices=[*marks, UNSAID],
            coerce=int,
            empty_value=None,
            required=False,
            widget=forms.RadioSelect,
            **kwargs,
        )


class FeedbackForm(forms.ModelForm):
    """What somebody who was there says, by a link and without an account."""

    taught = ScaleField(ENDS, label=Feedback._meta.get_field("taught").verbose_name)
    turns = forms.ChoiceField(
        label=Feedback._meta.get_field("turns").verbose_name,
        choices=[*Feedback.Turns.choices, UNSAID],
        required=False,
        widget=forms.RadioSelect,
    )
    pace = forms.ChoiceField(
        label=Feedback._meta.get_field("pace").verbose_name,
        choices=[*Feedback.Pace.choices, UNSAID],
        required=False,
        widget=forms.RadioSelect,
    )
    safe = ScaleField(ENDS_OF_SAFE, label=Feedback._meta.get_field("safe").verbose_name)

    class Meta:
        model = Feedback
        fields = ("taught", "turns", "pace", "safe", "words")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.helper = plain_helper()
        self.fields["words"].widget.attrs["rows"] = 6
        for name in ("taught", "safe"):
            if self.initial.get(name) is None:
                self.initial[name] = ""  # the button that says so

    @property
    def choices(self) -> list:
        """The questions answered by a button each."""
        return [self[name] for name in ("taught", "turns", "pace", "safe")]
