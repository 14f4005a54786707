"""What a camera shows, on pages of the records: ``{{ camera.sync_s|shutter_mark }}``."""

from django import template

from workshops import marks
from workshops.models.fields import FractionField

register = template.Library()
NOT_KNOWN = "\N{EM DASH}"


@register.filter
def shutter_mark(value_s: float | None) -> str:
    return NOT_KNOWN if value_s is None else marks.SHUTTERS.mark(value_s)


@register.filter
def aperture_mark(value: float | None) -> str:
    return NOT_KNOWN if value is None else marks.APERTURES.mark(value)


@register.filter
def iso_mark(value: float | None) -> str:
    return NOT_KNOWN if value is None else marks.ISOS.mark(value)


@register.filter
def fraction(value: float | None) -> str:
    """Return a power or a step as people write it: "1/4"."""
    return NOT_KNOWN if value is None else FractionField.show(value)
