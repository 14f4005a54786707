"""The texts of mails, in the language of whoever gets them."""

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext_lazy as _

from workshops.house_rules import spoken
from workshops.models import Booking, Message, Person, Workshop
from workshops.selectors.house import house

Purpose = Message.Purpose

LINK = "{link}"  # stands in a stored text where the signed link goes when it is sent
SUBJECT_LENGTH = 200

SUBJECTS = {
    Purpose.CONFIRMATION: _("Your seat: %(workshop)s"),
    Purpose.QUESTIONNAIRE: _("A few questions before %(workshop)s"),
    Purpose.JOINING: _("Joining notes: %(workshop)s"),
    Purpose.BALANCE: _("Balance due: %(workshop)s"),
    Purpose.REMINDER: _("Reminder: %(workshop)s"),
    Purpose.OFFER: _("A seat is free for you: %(workshop)s"),
    Purpose.LAPSED: _("The seat went on to the next: %(workshop)s"),
    Purpose.CANCELLATION: _("Cancelled: %(workshop)s"),
}


@dataclass(frozen=True)
class Letter:
    """What a mail says: a subject of one line, and the text."""

    subject: str
    body: str


def one_line(text: object) -> str:
    """Return a text without line breaks and control signs: fit for a header of a mail."""
    shown = "".join(sign if sign.isprintable() else " " for sign in str(text))
    return " ".join(shown.split())


def letter(purpose: str, *, person: Person, workshop: Workshop, **context) -> Letter:
    """Return the mail of a purpose about a workshop, in the person's language.

    ``context`` is what the template of that purpose wants besides, as its first line says.
    """
    rules = house()
    shown = {"house": rules, "name": one_line(person.name), "person": person}
    shown |= {"workshop": workshop, "title": one_line(workshop.title), "link": LINK, **context}
    shown["places"] = [place.location for place in workshop.places.select_related("location")]
    with spoken_to(person):
        subject = one_line(SUBJECTS[purpose] % {"workshop": workshop.title})
        body = render_to_string(f"mail/{purpose}.txt", shown)
    return Letter(subject[:SUBJECT_LENGTH], _tidy(body))


def spoken_to(person: Person) -> translation.override:
    """Return a context in which texts are in the language of that person."""
    return translation.override(spoken(person.language))


def _tidy(text: str) -> str:
    """Return the text with one empty line where a template left several."""
    lines = [line.rstrip() for line in text.strip().splitlines()]
    kept = [one for n, one in enumerate(lines) if one or (n and lines[n - 1])]
    return "\n".join(kept) + "\n"


def price_of(booking: Booking) -> Decimal:
    """Return what was agreed for a booking."""
    return booking.workshop.price if booking.price is None else booking.price


def terms_of(booking: Booking) -> dict:
    """Return price and terms for the templates: price, terms, deposit, balance_by, refunds."""
    workshop, price = booking.workshop, price_of(booking)
    terms = workshop.terms
    told = {"price": price, "terms": terms}
    if terms and price:
        told["deposit"] = (price * Decimal(str(terms.deposit_share))).quantize(Decimal("0.01"))
        told["balance_by"] = workshop.start_at - timedelta(days=terms.balance_days)
        told["refunds"] = [
            {"days": row.days_before, "amount": price * Decimal(str(row.refunded_share))}
            for row in terms.rows.order_by("-days_before")
        ]
    return told
