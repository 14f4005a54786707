"""The questionnaire, opened by a signed link: no account, one form, nobody else in sight."""

from datetime import datetime

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from workshops.errors import Stale
from workshops.forms.questionnaire import Questionnaire
from workshops.house_rules import spoken
from workshops.models import SignedLink
from workshops.selectors.questionnaire import still_asked
from workshops.services import links
from workshops.services.questionnaire import PURPOSE, note_opened, save_answers
from workshops.views.edit import BAD, STALE, add_refusal
from workshops.views.linked import private

OPENED = "questionnaire"  # in the session: the key of the one link it was opened by
NOT_FOUND, GONE, OTHER_FORM = 404, 410, 409
TEMPLATE = "workshops/questionnaire.html"


@login_not_required
@require_safe
def questionnaire_open(request: HttpRequest, signed: str) -> HttpResponse:
    """Point the session at one form and lead on to an address that tells nothing.

    Mail scanners fetch links before people do: nothing is changed here and nothing is used up.
    Source: RFC 9110, section 9.2.1 (safe methods).
    """
    link = links.known(PURPOSE, signed)
    if not still_asked(link, timezone.now()):
        return _closed(request, link)
    request.session[OPENED] = link.pk.hex
    return private(redirect("questionnaire"))


@login_not_required
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def questionnaire(request: HttpRequest) -> HttpResponse:
    """Show the form of the link this session was opened by, or save it."""
    now = timezone.now()
    link = _link(request)
    if not still_asked(link, now):
        return _closed(request, link)
    if request.method == "POST" and request.POST.get("of") != link.pk.hex:
        return _told(request, "workshops/questionnaire_other.html", status=OTHER_FORM)
    with translation.override(spoken(link.person.language)):
        return private(_form(request, link, now), "same-origin")


def _form(request: HttpRequest, link: SignedLink, now: datetime) -> HttpResponse:
    if request.method != "POST":
        return _page(request, Questionnaire(link, request.house))
    note_opened(link=link, now=now)
    page = Questionnaire(link, request.house, request.POST)
    if "another" in request.POST:
        return _page(request, page.with_another())
    if page.is_valid():
        seen = page.person.cleaned_data["seen"]
        try:
            save_answers(link=link, answers=page.answers(), seen=seen, now=now)
        except Stale as reason:
            page.ask_again(reason.messages)
            return _page(request, page, status=STALE)
        except ValidationError as refusal:
            add_refusal(page.person, refusal)
        else:
            return redirect("questionnaire-thanks")
    return _page(request, page, status=BAD)


@login_not_required
@require_safe
def questionnaire_thanks(request: HttpRequest) -> HttpResponse:
    link = _link(request)
    if not still_asked(link, timezone.now()) or link.answered_at is None:
        return _closed(request, link)
    return _told(request, "workshops/questionnaire_thanks.html", link=link)


def _link(request: HttpRequest) -> SignedLink | None:
    """Return the link of this session, open or not."""
    key = request.session.get(OPENED)
    return links.of_key(PURPOSE, key) if key else None


def _page(request: HttpRequest, page: Questionnaire, status: int = 200) -> HttpResponse:
    return render(request, TEMPLATE, {"page": page, "link": page.link}, status=status)


def _closed(request: HttpRequest, link: SignedLink | None) -> HttpResponse:
    """Say that there is no such link, or that it opens nothing any more."""
    status = GONE if link else NOT_FOUND
    return _told(request, "workshops/questionnaire_closed.html", link=link, status=status)


def _told(
    request: HttpRequest, template: str, *, link: SignedLink | None = None, status: int = 200
) -> HttpResponse:
    language = link.person.language if link else request.house.language
    with translation.override(spoken(language)):
        answer = render(request, template, {"link": link}, status=status)
        return private(answer)
