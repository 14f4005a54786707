"""Kit promised to a workshop, and kit handed out to people."""

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Func, Q
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Record, ranges


class OnPostgresql(ExclusionConstraint):
    """An exclusion constraint that other engines pass over: there a trigger says the same."""

    def constraint_sql(self, model, schema_editor):
        return self._here(schema_editor, super().constraint_sql, model)

    def create_sql(self, model, schema_editor):
        return self._here(schema_editor, super().create_sql, model)

    def remove_sql(self, model, schema_editor):
        return self._here(schema_editor, super().remove_sql, model)

    def _here(self, schema_editor, sql, model):
        return (
            sql(model, schema_editor) if schema_editor.connection.vendor == "postgresql" else None
        )

    def validate(self, model, instance, exclude=None, using="default"):
        # The service refuses first, naming the other workshop; the database has the last word.
        return None


class Reservation(Record):
    """A unit promised to a workshop for a half-open span, margins included.

    The database refuses two spans of one unit that overlap: on PostgreSQL by this constraint,
    on SQLite by the trigger of ``workshops.guards``.
    """

    workshop = models.ForeignKey(
        "Workshop", on_delete=models.CASCADE, related_name="kit", verbose_name=_("workshop")
    )
    unit = models.ForeignKey(
        "KitUnit", on_delete=models.PROTECT, related_name="reservations", verbose_name=_("unit")
    )
    start_at = models.DateTimeField(_("promised from"), editable=False)
    end_at = models.DateTimeField(_("promised until"), editable=False)

    part_of = ("workshop",)

    class Meta:
        verbose_name = _("kit of the workshop")
        verbose_name_plural = _("kit of the workshop")
        ordering = ("workshop", "unit")
        constraints = (
            models.UniqueConstraint(
                fields=("workshop", "unit"),
                name="reservation_unit_once",
                violation_error_message=_("Unit: is on this workshop's list already."),
            ),
            models.CheckConstraint(
                condition=Q(end_at__gt=F("start_at")), name="reservation_ends_after_start"
            ),
            OnPostgresql(
                name="unit_promised_once",
                expressions=[
                    ("unit", RangeOperators.EQUAL),
                    (
                        Func(
                            F("start_at"),
                            F("end_at"),
                            function="TSTZRANGE",
                            output_field=DateTimeRangeField(),
                        ),
                        RangeOperators.OVERLAPS,
                    ),
                ],
            ),
        )

    def __str__(self) -> str:
        return str(self.unit)


class Checkout(Record):
    """A unit signed out to somebody at a workshop, until it is taken back."""

    workshop = models.ForeignKey(
        "Workshop", on_delete=models.PROTECT, related_name="checkouts", verbose_name=_("workshop")
    )
    unit = models.ForeignKey(
        "KitUnit", on_delete=models.PROTECT, related_name="checkouts", verbose_name=_("unit")
    )
    person = models.ForeignKey(
        "Person", on_delete=models.PROTECT, related_name="checkouts", verbose_name=_("who has it")
    )
    out_at = models.DateTimeField(_("signed out"))
    condition_out = models.CharField(_("condition when signed out"), max_length=200, blank=True)
    in_at = models.DateTimeField(_("taken back"), null=True, blank=True)
    condition_in = models.CharField(_("condition when taken back"), max_length=200, blank=True)
    fault = models.BooleanField(_("came back with a fault"), default=False)

    part_of = ("workshop",)

    class Meta:
        verbose_name = _("kit signed out")
        verbose_name_plural = _("kit signed out")
        ordering = ("-out_at", "-pk")
        constraints = (
            models.UniqueConstraint(
                fields=("unit",),
                condition=Q(in_at=None),
                name="unit_out_once",
                violation_error_message=_("Unit: somebody has it already; take it back first."),
            ),
            models.CheckConstraint(
                condition=Q(in_at=None) | Q(in_at__gte=F("out_at")),
                name="checkout_back_after_out",
                violation_error_message=_("Taken back: enter no time before it was signed out."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.unit.tag}, {self.person}"


class LabelSheet(Record):
    """A sheet of self-adhesive labels as stationers sell it, by its measures."""

    PAPER_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1
    SLACK_MM = 0.05  # measures are given to a tenth

    name = models.CharField(_("name"), max_length=60, unique=True)
    paper = models.CharField(
        _("paper"), max_length=8, choices=(("a4", _("A4")), ("letter", _("US Letter")))
    )
    columns = models.PositiveSmallIntegerField(_("labels across"))
    rows = models.PositiveSmallIntegerField(_("labels down"))
    label_width_mm = models.FloatField(_("label width (mm)"))
    label_height_mm = models.FloatField(_("label height (mm)"))
    left_mm = models.FloatField(_("first label from the left edge (mm)"))
    top_mm = models.FloatField(_("first label from the top edge (mm)"))
    column_step_mm = models.FloatField(_("from one label to the next across (mm)"))
    row_step_mm = models.FloatField(_("from one label to the next down (mm)"))

    class Meta:
        verbose_name = _("sheet of labels")
        verbose_name_plural = _("sheets of labels")
        ordering = ("paper", "name")
        constraints = tuple(
            ranges(
                "labels",
                columns=(1, 20),
                rows=(1, 40),
                label_width_mm=(20, 216),  # smaller, a code of an address is hard to scan
                label_height_mm=(15, 297),
                left_mm=(0, 100),
                top_mm=(0, 100),
                column_step_mm=(20, 216),
                row_step_mm=(15, 297),
            )
        )

    def __str__(self) -> str:
        return self.name

    @property
    def count(self) -> int:
        """How many labels are on one sheet."""
        return self.columns * self.rows

    def clean(self):
        super().clean()
        if self.paper not in self.PAPER_MM:
            return
        wide, high = self.PAPER_MM[self.paper]
        self._check_side(
            "label_width_mm", "column_step_mm", "columns", self.left_mm, wide, _("across")
        )
        self._check_side("label_height_mm", "row_step_mm", "rows", self.top_mm, high, _("down"))

    def _check_side(self, label: str, step: str, count: str, first_mm, paper_mm, way) -> None:
        """Raise ValidationError when labels lie on one another or run over the paper's edge."""
        label_mm, step_mm, n = (getattr(self, name) for name in (label, step, count))
        if None in (label_mm, step_mm, n, first_mm):
            return  # the fields say so themselves
        if n > 1 and step_mm < label_mm - self.SLACK_MM:
            sentence = _("From one label to the next %(way)s: enter no less than the label itself.")
            raise ValidationError({step: sentence % {"way": way}})
        used_mm = first_mm + (n - 1) * step_mm + label_mm
        if used_mm > paper_mm + self.SLACK_MM:
            sentence = _("Labels %(way)s: they take %(used)s mm, the paper has %(paper)s mm.")
            told = {"way": way, "used": f"{used_mm:g}", "paper": f"{paper_mm:g}"}
            raise ValidationError({count: sentence % told})
