"""Model fields that take what a camera shows and keep the exact figure."""

import math
from collections.abc import Callable

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from workshops import marks
from workshops.typed import NotUnderstood


class TypedNumber(forms.CharField):
    """Text in, exact number out; a bound form keeps what was typed."""

    def __init__(self, *, parse: Callable, show: Callable, sample: str, **kwargs):
        super().__init__(**kwargs)
        self.parse, self.show, self.sample = parse, show, sample

    def to_python(self, value):
        text = super().to_python(value)
        if text in self.empty_values:
            return None
        return parsed(text, self.parse, self.sample)

    def prepare_value(self, value):
        return self.show(value) if isinstance(value, int | float) else value

    def has_changed(self, initial, data):
        return super().has_changed(self.prepare_value(initial), data)


def parsed(value, parse: Callable, sample: str) -> float:
    """Return the exact number, or raise ValidationError saying what to enter."""
    try:
        return parse(value)
    except (TypeError, ValueError) as refusal:
        raise ValidationError(
            _("%(why)s: enter it like %(sample)s."),
            code="mark",
            params={"why": _said(refusal), "sample": sample},
        ) from None


def _said(refusal: Exception) -> str:
    """Return why a text was refused, in the reader's language where the refusal has one."""
    if isinstance(refusal, NotUnderstood):
        return gettext(refusal.message) % refusal.figures
    return str(refusal)


class TypedField(models.FloatField):
    """A number that is typed as a text of the trade; the database holds the exact figure."""

    sample = ""

    @staticmethod
    def parse(value):
        raise NotImplementedError

    @staticmethod
    def show(value) -> str:
        raise NotImplementedError

    def to_python(self, value):
        return None if value in (None, "") else parsed(value, self.parse, self.sample)

    def get_default(self):
        return self.to_python(super().get_default())

    def get_prep_value(self, value):
        if hasattr(value, "resolve_expression"):
            return value
        return super().get_prep_value(self.to_python(value))

    def formfield(self, **kwargs):
        # Asked for as some other number's field, it would no longer understand its own marks.
        kind = {"parse": self.parse, "show": self.show, "sample": self.sample}
        return models.Field.formfield(self, **{**kind, **kwargs, "form_class": TypedNumber})


class ShutterField(TypedField):
    sample = _("1/160 or 0.8 s")
    parse = staticmethod(marks.shutter_s)
    show = staticmethod(marks.SHUTTERS.mark)


class ApertureField(TypedField):
    sample = _("f/11 or 11")
    parse = staticmethod(marks.f_number)
    show = staticmethod(marks.APERTURES.mark)


class IsoField(TypedField):
    sample = "100"
    parse = staticmethod(marks.iso)
    show = staticmethod(marks.ISOS.mark)


class FractionField(TypedField):
    """A positive number people write as a fraction: power 1/256, a step of 1/3 stop."""

    sample = _("1/256 or 0.1")

    @staticmethod
    def parse(value) -> float:
        return marks.number(value) if isinstance(value, str) else float(value)

    @staticmethod
    def show(value) -> str:
        whole = round(1 / value) if value else 0
        return f"1/{whole}" if whole > 1 and abs(value * whole - 1) < 1e-9 else f"{value:.10g}"


class PowerField(TypedField):
    """The share of full power a head is set to, typed as the head shows it."""

    sample = _("1/4 or 1/4 +0.3")
    parse = staticmethod(marks.power)

    @staticmethod
    def show(value) -> str:
        stops = -math.log2(value)
        whole = math.ceil(stops - 0.05)
        extra = whole - stops
        more = f" +{extra:.1f}" if extra >= 0.05 else ""
        return f"1/{2**whole}{more}"
