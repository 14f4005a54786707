"""The form of a sheet of labels, by its measures."""

from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.models import LabelSheet


class LabelSheetForm(RecordForm):
    sections = (
        (_("The sheet"), (("name", "paper"), ("columns", "rows"))),
        (
            _("Measures, as on its packet"),
            (
                ("label_width_mm", "label_height_mm"),
                ("left_mm", "top_mm"),
                ("column_step_mm", "row_step_mm"),
            ),
        ),
    )

    class Meta:
        model = LabelSheet
        exclude = ()
