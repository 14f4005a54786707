"""The form of somebody's role at a workshop."""

from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.forms.somebody import SomebodyForm
from workshops.models import WorkshopRole


class RoleForm(SomebodyForm, RecordForm):
    """Somebody's role; a person not entered yet is entered along with it."""

    sections = (
        (_("Who"), ("person",)),
        (SomebodyForm.heading_of_new, (("name", "phone"),)),
        (_("What they do"), ("role", ("start_at", "end_at"))),
        (
            _("In front of the camera"),
            (("minutes_limit", "skin_reflectance"), "release_signed"),
        ),
        (_("For the office"), ("notes",)),
    )

    class Meta:
        model = WorkshopRole
        exclude = ("workshop",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["notes"].widget.attrs["rows"] = 2
        if self.instance.pk:
            self.no_new_people()

    def _get_validation_exclusions(self):
        # The person may be entered only when the role is saved: the service checks it then.
        return super()._get_validation_exclusions() | {"person"}
