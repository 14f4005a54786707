"""The calendar of an account's own workshops, by a secret link that needs no log-in."""

from hashlib import sha256

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from workshops import calendars
from workshops.access import own_workshops
from workshops.models import SignedLink
from workshops.services.links import opened
from workshops.services.subscriptions import new_calendar_link, revoke_calendar_links

PURPOSE = SignedLink.Purpose.CALENDAR


@require_safe
@login_not_required
def calendar_feed(request: HttpRequest, signed: str) -> HttpResponse:
    link = opened(PURPOSE, signed.removesuffix(".ics"), timezone.now())
    if link is None or not link.user.is_active:
        raise Http404
    # Whoever lost the right to see workshops sees none here either.
    if not link.user.has_perm("workshops.view_workshop"):
        raise Http404
    rows = calendars.with_places(own_workshops(link.user))
    text = calendars.feed(rows, name=request.house.name or "One Stop Under")
    etag = quote_etag(sha256(text).hexdigest())
    headers = {
        "ETag": etag,
        "Cache-Control": "private, no-cache",  # keep it, and ask whether it still holds
        "Content-Disposition": 'inline; filename="workshops.ics"',
        "Referrer-Policy": "no-referrer",
        "X-Robots-Tag": "noindex",
    }
    answer = HttpResponse(text, content_type="text/calendar; charset=utf-8", headers=headers)
    return get_conditional_response(request, etag=etag, response=answer) or answer


@require_POST
def calendar_link_new(request: HttpRequest) -> HttpResponse:
    new_calendar_link(user=request.user, now=timezone.now())
    messages.success(request, _("Your calendar has an address now; any earlier one has ended."))
    return redirect("account")


@require_POST
def calendar_link_end(request: HttpRequest) -> HttpResponse:
    revoke_calendar_links(user=request.user, now=timezone.now())
    messages.success(request, _("The address of your calendar has ended: it shows nothing now."))
    return redirect("account")
