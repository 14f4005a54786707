"""Mails of a workshop: what was sent, and what the office sends to everybody."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from workshops.access import found, found_workshop, may
from workshops.letters import shown
from workshops.models import Message, Workshop
from workshops.selectors.messages import messages_of, recipients, written_count
from workshops.services.messages import foretold
from workshops.services.rounds import ROUNDS, Timetable, can_be_sent, send_round, text_for
from workshops.services.sending import try_again
from workshops.views.edit import LIST_LENGTH

Purpose = Message.Purpose
# Written by what the office does to a booking or a workshop, not by a page of their own.
BY_THEMSELVES = (
    Purpose.CONFIRMATION,
    Purpose.OFFER,
    Purpose.CANCELLATION,
    Purpose.HANDOUT,
    Purpose.FEEDBACK,
)


@may("view", "message")
def workshop_messages(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    page = Paginator(messages_of(workshop), LIST_LENGTH).get_page(request.GET.get("page"))
    rounds = [(Purpose(one).label, reverse(f"workshop-{one}", args=[pk])) for one in ROUNDS]
    context = {"workshop": workshop, "page": page, "rounds": rounds}
    context["sendable"] = can_be_sent(workshop, timezone.now())
    return render(request, "workshops/messages.html", context)


@may("add", "message")
def workshop_reminder(request: HttpRequest, pk: int) -> HttpResponse:
    return round_page(request, found_workshop(request, pk), Purpose.REMINDER)


@may("add", "message")
def workshop_balance(request: HttpRequest, pk: int) -> HttpResponse:
    return round_page(request, found_workshop(request, pk), Purpose.BALANCE)


@may("add", "message")
def workshop_questionnaire(request: HttpRequest, pk: int) -> HttpResponse:
    return round_page(request, found_workshop(request, pk), Purpose.QUESTIONNAIRE)


def round_page(
    request: HttpRequest, workshop: Workshop, purpose: str, timetable: Timetable = ()
) -> HttpResponse:
    """Show the text and whom it goes to, or send it. The caller asks for the right."""
    now = timezone.now()
    if request.method == "POST":
        return _send(request, workshop, purpose, timetable)
    everybody = recipients(workshop, purpose, now)
    first = [one for one in everybody if one.by_mail] + everybody
    asked = [one for one in everybody if str(one.booking.pk) == request.GET.get("to")]
    chosen = next(iter(asked + first), None)
    text = chosen and text_for(purpose, chosen.booking, now, timetable)
    context = {
        "workshop": workshop,
        "purpose": Purpose(purpose).label,
        "recipients": everybody,
        "chosen": chosen,
        "subject": text and text.subject,
        "text": text and shown(text.body),
        "sendable": can_be_sent(workshop, now),
        "first": [one for one in everybody if one.by_mail and one.last is None],
        "had": [one for one in everybody if one.by_mail and one.last],
        "by_phone": [one for one in everybody if not one.by_mail],
        "written": written_count(workshop, purpose),
    }
    return render(request, "workshops/message_round.html", context)


def _send(
    request: HttpRequest, workshop: Workshop, purpose: str, timetable: Timetable
) -> HttpResponse:
    again = request.POST.get("again", "")
    try:
        count = send_round(
            by=request.user,
            workshop=workshop,
            purpose=purpose,
            now=timezone.now(),
            timetable=timetable,
            again=int(again) if again.isascii() and again.isdigit() and len(again) < 9 else None,
        )
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect(request.path)
    if count:
        said = ngettext("%(n)d mail is on its way.", "%(n)d mails are on their way.", count)
        messages.success(request, said % {"n": count})
    else:
        messages.info(request, _("Nobody lacks it: no mail was written."))
    return redirect("workshop-messages", workshop.pk)


@may("view", "message")
def workshop_foretold(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what goes out by itself: the text of a purpose as it would reach somebody now."""
    workshop = found_workshop(request, pk)
    bookings = list(workshop.bookings.select_related("person", "workshop__terms"))
    chosen = next((one for one in bookings if str(one.pk) == request.GET.get("to")), None)
    chosen = chosen or next(iter(bookings), None)
    purpose = request.GET.get("what")
    purpose = purpose if purpose in BY_THEMSELVES else BY_THEMSELVES[0]
    text = foretold(purpose, chosen, timezone.now()) if chosen else None
    context = {
        "workshop": workshop,
        "purposes": [(one, one.label) for one in BY_THEMSELVES],
        "purpose": purpose,
        "bookings": bookings,
        "chosen": chosen,
        "subject": text and text.subject,
        "text": text and shown(text.body),
    }
    return render(request, "workshops/message_foretold.html", context)


@may("view", "message")
def message(request: HttpRequest, pk: int) -> HttpResponse:
    stored = found(request, Message.objects.select_related("person", "workshop"), pk)
    context = {"message": stored, "workshop": stored.workshop, "text": shown(stored.body)}
    return render(request, "workshops/message.html", context)


@require_POST
@may("add", "message")
def message_again(request: HttpRequest, pk: int) -> HttpResponse:
    stored = found(request, Message, pk)
    try:
        try_again(by=request.user, message=stored)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        messages.success(request, _("It is sent again now."))
    return redirect("message", pk)
