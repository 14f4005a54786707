"""The certificate of attendance: one leaf in a frame, for the wall or for an application."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from planning.sheets import pdf
from planning.sheets.options import PrintOptions
from planning.sheets.pages import in_language
from workshops.words import clock_text, date_text, number_text

# The longest name and title set large, in letters: longer ones are set smaller, not cut.
LARGE, MIDDLE = 26, 52
SIGNED_LETTERS, MOST_SIGNED, SIGNED_LINE_MM = 30, 130, 4.6  # of a line below a signature
MOST_TAUGHT = 12  # points; more are counted
BELOW_MM = 69.0  # of the side: the frame and its inside, the signatures, two lines below them
MINUTES_OF_AN_HOUR = 60.0


@dataclass(frozen=True)
class Certificate:
    """What it says. The times are those the attendee was there for."""

    name: str
    title: str
    start_at: datetime
    end_at: datetime
    timezone: str
    several_days: bool  # their hours are not told: nights lie between
    places: tuple[str, ...]
    taught: tuple[str, ...]
    led_by: tuple[str, ...]  # the lead first
    issuer: tuple[str, ...]  # name of the house, then its address

    @property
    def hours(self) -> float:
        return (self.end_at - self.start_at).total_seconds() / MINUTES_OF_AN_HOUR**2


def certificate_pdf(told: Certificate, options: PrintOptions) -> bytes:
    """Return one leaf. Raises SheetFailed when the renderer has a complaint."""
    with in_language(options):
        leaf = {
            "told": told,
            "day": _day(told),
            "time": _time(told, options),
            "taught": told.taught[:MOST_TAUGHT],
            "more": len(told.taught) - MOST_TAUGHT,
            "lead": told.led_by[0] if told.led_by else "",
            "name_size": _size(told.name),
            "title_size": _size(told.title),
            "above_mm": options.text_height_mm - BELOW_MM - _more_below_mm(told),
        }
    return pdf.leaves_pdf("sheets/certificate.html", [leaf], options)


def _day(told: Certificate) -> str:
    first, last = (date_text(at, told.timezone) for at in (told.start_at, told.end_at))
    return first if first == last else f"{first} \N{EN DASH} {last}"


def _time(told: Certificate, options: PrintOptions) -> str:
    if told.several_days:
        return ""
    begins, ends = (
        clock_text(at, told.timezone, int(options.clock)) for at in (told.start_at, told.end_at)
    )
    words = {"times": f"{begins}\N{EN DASH}{ends}", "hours": number_text(told.hours, 1)}
    return _("%(times)s, %(hours)s hours") % words


def _more_below_mm(told: Certificate) -> float:
    """Return how much higher than on one line the names below the signatures stand."""
    longest = max(map(len, ("".join(told.led_by[:1]), ", ".join(told.issuer[1:]))))
    return SIGNED_LINE_MM * (min(longest, MOST_SIGNED) // SIGNED_LETTERS)


def _size(text: str) -> str:
    return "large" if len(text) <= LARGE else "middle" if len(text) <= MIDDLE else "long"
