"""What every record has, and the range constraint that speaks for its field."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.db import models
from django.db.models import CheckConstraint, Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

phone_number = RegexValidator(
    r"^\+?[0-9 ()./-]{5,30}$", _("Enter a phone number: digits, spaces, perhaps a + in front.")
)


class Record(models.Model):
    """A record that knows when it last changed: sheets print that instant."""

    changed_at = models.DateTimeField(_("last changed"), auto_now=True, editable=False)

    # Fields whose values stay out of the audit table; that they changed is still kept.
    audit_hides: tuple[str, ...] = ()

    # What is read with this one in it: it counts as changed when this is changed or erased.
    part_of: tuple[str, ...] = ()

    class Meta:
        abstract = True


class Within(CheckConstraint):
    """Forbids a figure outside ``low`` to ``high``; the message stands at the field."""

    def __init__(self, *, field: str, low: float | None, high: float | None, name: str):
        self.field, self.low, self.high = field, low, high
        condition = Q()
        if low is not None:
            condition &= Q(**{f"{field}__gte": low})
        if high is not None:
            condition &= Q(**{f"{field}__lte": high})
        super().__init__(condition=condition, name=name)

    def validate(self, model, instance, exclude=None, using="default"):
        try:
            super().validate(model, instance, exclude=exclude, using=using)
        except ValidationError:
            raise ValidationError({self.field: self.sentence(model)}, code="range") from None

    def sentence(self, model, *, show=None, label: str = "") -> str:
        """Return what may be entered; a form in other units brings its own ``show`` and label."""
        field = model._meta.get_field(self.field)
        # A mark where the field speaks in marks.
        show = show or getattr(field, "show", "{:g}".format)
        ends = {"low": self.low, "high": self.high}
        words = {name: "" if end is None else show(end) for name, end in ends.items()}
        words["field"] = label or field.verbose_name
        if self.high is None:
            return gettext("%(field)s: enter %(low)s or more.") % words
        if self.low is None:
            return gettext("%(field)s: enter %(high)s or less.") % words
        return gettext("%(field)s: enter %(low)s to %(high)s.") % words

    def deconstruct(self):
        path, args, _kwargs = super().deconstruct()
        kept = {"field": self.field, "low": self.low, "high": self.high, "name": self.name}
        return path, args, kept


def ranges(prefix: str, **limits: tuple[float | None, float | None]) -> list[Within]:
    """Return one range constraint for each ``field=(low, high)``, ends included."""
    return [
        Within(field=field, low=low, high=high, name=f"{prefix}_{field}_range")
        for field, (low, high) in limits.items()
    ]


def validate_timezone(name: str) -> None:
    """Refuse what is no IANA time zone name."""
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise ValidationError(
            _("%(name)s is no time zone: enter an IANA name such as Europe/London."),
            params={"name": name},
        ) from None


def in_zone(at: datetime, timezone_name: str) -> datetime:
    """Return the same instant on the clock of a place."""
    return at.astimezone(ZoneInfo(timezone_name))
