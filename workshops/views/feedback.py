"""Feedback: five questions behind a signed link, and their answers for whoever taught."""

from datetime import datetime

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from workshops.access import found_workshop, may
from workshops.forms.feedback import FeedbackForm
from workshops.house_rules import spoken
from workshops.models import Feedback, SignedLink, Workshop
from workshops.selectors.feedback import asked_for_feedback, feedback_table, put_together
from workshops.services import links
from workshops.services.feedback import (
    FEEDBACK,
    ask_for_feedback,
    make_feedback_link,
    revoke_feedback_links,
    save_feedback,
)
from workshops.views.edit import BAD, add_refusal
from workshops.views.linked import private
from workshops.views.lists import csv_file, xlsx_file

KEPT = "feedback"  # under which the session keeps the one link it may look at
NOT_FOUND, GONE, OTHER_FORM = 404, 410, 409


@login_not_required
@require_safe
def feedback_open(request: HttpRequest, signed: str) -> HttpResponse:
    """Only remember which questions the link opens, and lead on to an address that says nothing."""
    link = links.opened(FEEDBACK, signed, timezone.now())
    if link is None:
        return _closed(request, NOT_FOUND)
    request.session[KEPT] = link.pk.hex
    return private(redirect("feedback"))


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def feedback(request: HttpRequest) -> HttpResponse:
    """Show the five questions with what was answered before, or take the answers."""
    link = _kept(request)
    if link is None:
        return _closed(request, GONE if KEPT in request.session else NOT_FOUND)
    with translation.override(spoken(link.booking.person.language)):
        if request.method == "POST" and request.POST.get("of") != link.pk.hex:
            other = render(request, "workshops/feedback_other.html", status=OTHER_FORM)
            return private(other, "same-origin")
        return private(_form(request, link), "same-origin")


def _form(request: HttpRequest, link: SignedLink) -> HttpResponse:
    told = Feedback.objects.filter(booking=link.booking_id).first()
    typed = request.POST if request.method == "POST" else None
    form = FeedbackForm(typed, instance=told or Feedback(booking=link.booking))
    if request.method == "POST" and form.is_valid():
        try:
            save_feedback(link=link, answers=form.cleaned_data, now=timezone.now())
        except ValidationError as refusal:
            add_refusal(form, refusal)
        else:
            return redirect("feedback-thanks")
    context = {"form": form, "link": link, "booking": link.booking, "told": told}
    status = BAD if request.method == "POST" else 200
    return render(request, "workshops/feedback.html", context, status=status)


@login_not_required
@require_safe
def feedback_thanks(request: HttpRequest) -> HttpResponse:
    link = _kept(request)
    if link is None or link.answered_at is None:
        return _closed(request, GONE if KEPT in request.session else NOT_FOUND)
    with translation.override(spoken(link.booking.person.language)):
        context = {"link": link, "workshop": link.booking.workshop}
        return private(render(request, "workshops/feedback_thanks.html", context))


def _kept(request: HttpRequest) -> SignedLink | None:
    key = request.session.get(KEPT)
    return links.still_open(FEEDBACK, key, timezone.now()) if key else None


def _closed(request: HttpRequest, status: int) -> HttpResponse:
    return private(render(request, "workshops/feedback_closed.html", status=status))


@may("view", "feedback")
def workshop_feedback(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the answers put together, and who was asked; POST makes or ends one link."""
    workshop, now = found_workshop(request, pk), timezone.now()
    if request.method == "POST":
        if not request.user.has_perm("workshops.change_signedlink"):
            raise PermissionDenied
        _act(request, workshop, now)
        return redirect("workshop-feedback", pk)
    asked = asked_for_feedback(workshop, now)
    told = [one.told for one in asked if one.told]
    context = {
        "workshop": workshop,
        "rows": [(one, links.address(one.link) if one.link else "") for one in asked],
        "answered": len(told),
        "questions": put_together(told),
        "words": [one for one in asked if one.told and one.told.words],
    }
    return render(request, "workshops/workshop_feedback.html", context)


def _act(request: HttpRequest, workshop: Workshop, now: datetime) -> None:
    """Do what the button pressed says, and tell about it."""
    pressed = next((name for name in ("send", "make", "end") if name in request.POST), "")
    rows = {str(one.booking.pk): one.booking for one in asked_for_feedback(workshop, now)}
    booking = rows.get(request.POST.get(pressed, ""))
    if booking is None:
        messages.error(request, _("Choose somebody who was there."))
        return
    told, about = {"person": booking.person}, {"by": request.user, "now": now}
    try:
        if pressed == "send":
            sent = ask_for_feedback(bookings=[booking], **about)
            words = (
                _("%(person)s is written to.")
                if sent.now
                else _("%(person)s was asked before, or has no e-mail address that works.")
            )
            messages.success(request, words % told)
        elif pressed == "make":
            make_feedback_link(booking=booking, **about)
            messages.success(request, _("The link is made: copy it and hand it on."))
        else:
            revoke_feedback_links(booking=booking, **about)
            messages.success(request, _("The link opens nothing any more."))
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))


@may("view", "feedback")
def workshop_feedback_csv(request: HttpRequest, pk: int) -> HttpResponse:
    return csv_file(*_table(request, pk))


@may("view", "feedback")
def workshop_feedback_xlsx(request: HttpRequest, pk: int) -> HttpResponse:
    return xlsx_file(*_table(request, pk))


def _table(request: HttpRequest, pk: int) -> tuple[str, list[str], list]:
    workshop = found_workshop(request, pk)
    title = _("feedback on %(workshop)s") % {"workshop": workshop}
    return title, *feedback_table(asked_for_feedback(workshop, timezone.now()), workshop)
