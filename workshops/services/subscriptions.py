"""The secret address of an account's calendar: one at a time, made and ended by its owner."""

from datetime import datetime

from django.db import transaction

from workshops.models import SignedLink, User
from workshops.services.links import make_link, revoke_link

PURPOSE = SignedLink.Purpose.CALENDAR


def calendar_link(user: User) -> SignedLink | None:
    """Return the link that opens the account's calendar, if there is one."""
    return user.links.filter(purpose=PURPOSE, revoked_at=None).order_by("-made_at").first()


@transaction.atomic
def new_calendar_link(*, user: User, now: datetime) -> SignedLink:
    """Return a new link to the account's calendar; any earlier one opens nothing any more."""
    revoke_calendar_links(user=user, now=now)
    return make_link(by=user, purpose=PURPOSE, now=now, expires_at=None, user=user)


@transaction.atomic
def revoke_calendar_links(*, user: User, now: datetime) -> None:
    """Let every link to the account's calendar open nothing from now on."""
    User.objects.select_for_update().get(pk=user.pk)
    for link in user.links.filter(purpose=PURPOSE, revoked_at=None):
        revoke_link(by=user, link=link, now=now)
