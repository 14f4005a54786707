"""Signed links: made, opened, revoked. The address carries a signature and is stored nowhere."""

from datetime import datetime

from django.conf import settings
from django.core.signing import BadSignature, Signer
from django.db import transaction
from django.urls import reverse

from workshops import audit
from workshops.models import SignedLink, User

PAGES = {  # the route that opens each purpose
    SignedLink.Purpose.QUESTIONNAIRE: "questionnaire-open",
    SignedLink.Purpose.OFFER: "offer-open",
    SignedLink.Purpose.CALENDAR: "calendar-feed",
    SignedLink.Purpose.HANDOUT: "handout-open",
    SignedLink.Purpose.FEEDBACK: "feedback-open",
}


def _signer(purpose: str) -> Signer:
    # A salt of its own: a signature for one purpose opens nothing else.
    return Signer(salt=f"workshops.links.{purpose}", sep="~")


def token(link: SignedLink) -> str:
    """Return what follows the route in the link's address."""
    return _signer(link.purpose).sign(link.pk.hex)


def address(link: SignedLink) -> str:
    """Return the whole address, fit for a mail."""
    site = settings.SITE_URL or "http://localhost:8000"
    return site + reverse(PAGES[link.purpose], args=[token(link)])


def known(purpose: str, signed: str) -> SignedLink | None:
    """Return the link a token was made for, open or not; None when it is forged."""
    try:
        key = _signer(purpose).unsign(signed)
    except BadSignature:
        return None
    return of_key(purpose, key)


def opened(purpose: str, signed: str, now: datetime) -> SignedLink | None:
    """Return the link a token opens at that instant; None when forged, run out or revoked."""
    link = known(purpose, signed)
    return link if link and link.is_open(now) else None


def still_open(purpose: str, key: str, now: datetime) -> SignedLink | None:
    """Return the link of that key while it opens anything, with all it speaks of."""
    link = of_key(purpose, key)
    return link if link and link.is_open(now) else None


def of_key(purpose: str, key: str) -> SignedLink | None:
    """Return the link of that key, open or not, with all it speaks of."""
    rows = SignedLink.objects.select_related("person", "workshop", "booking__person", "user")
    return rows.filter(purpose=purpose, pk=key).first()


@transaction.atomic
def make_link(
    *, by: User | None, purpose: str, now: datetime, expires_at: datetime | None, **opens
) -> SignedLink:
    """Return a new link; ``opens`` are the fields it speaks of. Raises Refused for a wrong one."""
    link = SignedLink(purpose=purpose, made_at=now, expires_at=expires_at, **opens)
    return audit.write(link, by=by)


@transaction.atomic
def revoke_link(*, by: User | None, link: SignedLink, now: datetime) -> SignedLink:
    """Return the link, opening nothing from now on."""
    link = SignedLink.objects.select_for_update().get(pk=link.pk)
    link.revoked_at = link.revoked_at or now
    return audit.write(link, by=by)
