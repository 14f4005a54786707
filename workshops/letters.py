"""The texts of mails, in the language of whoever gets them."""

from dataclasses import dataclass
from datetime import timedelta

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from workshops import coordinates, grids, money
from workshops.coordinates import Coordinates
from workshops.house_rules import spoken
from workshops.models import Booking, Message, Person, WeatherCall, Workshop
from workshops.models.base import in_zone
from workshops.selectors.house import house
from workshops.selectors.money import price_of, rows_of

Purpose = Message.Purpose

LINK = "{link}"  # stands in a stored text where the signed link goes when it is sent
SUBJECT_LENGTH = 200
WEATHER_HOUR = 18  # of the day before, at the place: common practice, no source

SUBJECTS = {
    Purpose.CONFIRMATION: _("Your seat: %(workshop)s"),
    Purpose.QUESTIONNAIRE: _("A few questions before %(workshop)s"),
    Purpose.JOINING: _("Joining notes: %(workshop)s"),
    Purpose.BALANCE: _("Still to pay: %(workshop)s"),
    Purpose.REMINDER: _("Reminder: %(workshop)s"),
    Purpose.OFFER: _("A seat is free for you: %(workshop)s"),
    Purpose.LAPSED: _("The seat went on to the next: %(workshop)s"),
    Purpose.CANCELLATION: _("Cancelled: %(workshop)s"),
    Purpose.HANDOUT: _("Your handout: %(workshop)s"),
    Purpose.FEEDBACK: _("How was it? %(workshop)s"),
}


@dataclass(frozen=True)
class Letter:
    """What a mail says: a subject of one line, and the text."""

    subject: str
    body: str


def shown(body: str) -> str:
    """Return a stored text as pages show it: a link is for whoever gets the mail."""
    return body.replace(LINK, gettext("(link)"))


def one_line(text: object) -> str:
    """Return a text without line breaks and control signs: fit for a header of a mail."""
    shown = "".join(sign if sign.isprintable() else " " for sign in str(text))
    return " ".join(shown.split())


def letter(purpose: str, *, person: Person, workshop: Workshop, **context) -> Letter:
    """Return the mail of a purpose about a workshop, in the person's language.

    ``context`` is what the template of that purpose wants besides, as its first line says.
    """
    rules = house()
    told = {"house": rules, "name": one_line(person.name), "person": person}
    told |= {"workshop": workshop, "title": one_line(workshop.title), "link": LINK}
    told |= meeting(workshop) | context
    with spoken_to(person):
        subject = one_line(SUBJECTS[purpose] % {"workshop": workshop.title})
        body = render_to_string(f"mail/{purpose}.txt", told)
    return Letter(subject[:SUBJECT_LENGTH], _tidy(body))


def spoken_to(person: Person) -> translation.override:
    """Return a context in which texts are in the language of that person."""
    return translation.override(spoken(person.language))


def _tidy(text: str) -> str:
    """Return the text with one empty line where a template left several."""
    lines = [line.rstrip() for line in text.strip().splitlines()]
    kept = [one for n, one in enumerate(lines) if one or (n and lines[n - 1])]
    return "\n".join(kept) + "\n"


def terms_of(booking: Booking) -> dict:
    """Return price and terms for the templates: price, terms, deposit, balance_by, refunds."""
    workshop, price = booking.workshop, price_of(booking)
    terms = workshop.terms
    told = {"price": price, "terms": terms}
    if terms and price:
        told["deposit"] = money.deposit(price, terms.deposit_share, workshop.currency)
        zone = workshop.timezone_name
        told["balance_by"] = money.due_on(workshop.start_at, zone, terms.balance_days)
        told["refunds"] = [
            {"days": days, "amount": price - money.kept(price, share, workshop.currency)}
            for days, share in rows_of(terms)
        ]
    return told


def meeting(workshop: Workshop) -> dict:
    """Return the meeting point for the templates: place, coordinates, grid; and weather_by."""
    first = workshop.places.select_related("location").order_by("position", "pk").first()
    place = first.location if first else None
    first_day, last_day = (
        in_zone(at, workshop.timezone_name) for at in (workshop.start_at, workshop.end_at)
    )
    eve = first_day - timedelta(days=1)
    told = {"place": place, "weather_by": eve.replace(hour=WEATHER_HOUR, minute=0)}
    # Nobody is told of a decider or a rain date before they are agreed.
    if call := WeatherCall.objects.filter(workshop=workshop).select_related("decided_by").first():
        told |= {"weather_by": call.decide_at, "weather_call": call}
    told["one_day"] = first_day.date() == last_day.date()
    if place and place.latitude_deg is not None:
        point = Coordinates(place.latitude_deg, place.longitude_deg)
        told |= {"coordinates": coordinates.show(point), "grid": grids.show(point)}
    return told
