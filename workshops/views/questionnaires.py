"""What the office does with questionnaires, and what the lead alone reads."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.debug import sensitive_variables

from workshops.access import found, found_workshop, leads, may
from workshops.forms.links import LinkEndForm
from workshops.models import Booking, Workshop, WorkshopRole
from workshops.models.answers import CALM, QUESTIONS
from workshops.selectors.confidence import decided, opened
from workshops.selectors.history import told
from workshops.selectors.questionnaire import asked, asked_one
from workshops.services import links
from workshops.services.medical import read_medical
from workshops.services.questionnaire import (
    Sent,
    let_run_until,
    new_questionnaire_link,
    send_questionnaire,
    send_to_all,
)
from workshops.views.edit import BAD, add_refusal


@may("view", "signedlink")
def workshop_questionnaires(request: HttpRequest, pk: int) -> HttpResponse:
    """Show how far everybody has come; POST sends it to all who have not answered."""
    workshop, now = found_workshop(request, pk), timezone.now()
    if request.method == "POST":
        return _sent_to_all(request, workshop)
    rows = [(one, *one.state(now)) for one in asked(workshop)]
    context = {"workshop": workshop, "rows": rows, "over": workshop.end_at <= now}
    return render(request, "workshops/questionnaires.html", context)


def _sent_to_all(request: HttpRequest, workshop: Workshop) -> HttpResponse:
    if not request.user.has_perm("workshops.add_signedlink"):
        raise PermissionDenied
    try:
        sent = send_to_all(by=request.user, workshop=workshop, now=timezone.now())
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        _tell(request, sent)
    return redirect("workshop-questionnaires", workshop.pk)


def _tell(request: HttpRequest, sent: Sent) -> None:
    words = ngettext("%(n)d mail is written.", "%(n)d mails are written.", sent.now)
    told = [words % {"n": sent.now}]
    if sent.before:
        told.append(_("%(n)d had theirs before.") % {"n": sent.before})
    messages.success(request, " ".join(told))
    if sent.without_address:
        names = ", ".join(str(person) for person in sent.without_address)
        sentence = _("No e-mail address that works: %(names)s. Copy their link and hand it on.")
        messages.warning(request, sentence % {"names": names})


@may("view", "signedlink")
def booking_questionnaire(request: HttpRequest, pk: int) -> HttpResponse:
    rows = Booking.objects.select_related("workshop", "person")
    return _one(request, found(request, rows, pk))


@may("view", "signedlink")
def role_questionnaire(request: HttpRequest, pk: int) -> HttpResponse:
    rows = WorkshopRole.objects.select_related("workshop", "person")
    return _one(request, found(request, rows, pk))


def _one(request: HttpRequest, row: Booking | WorkshopRole) -> HttpResponse:
    """Show one person's link; POST makes a new one, sends, revokes or ends it another time."""
    now = timezone.now()
    one = asked_one(row)
    # Before the form fills in what was typed: a link is as open as it is stored.
    is_open, (state, since) = one.is_open(now), one.state(now)
    address = links.address(one.link) if is_open else ""
    form = is_open and LinkEndForm(instance=one.link, house=request.house)
    if request.method == "POST":
        if not request.user.has_perm("workshops.change_signedlink"):
            raise PermissionDenied
        if "until" in request.POST and form:
            form = LinkEndForm(request.POST, instance=one.link, house=request.house)
        try:
            if "until" not in request.POST or (form and form.is_valid()):
                _act(request, one, form)
                return redirect(one.place)
        except ValidationError as refusal:
            if "until" in request.POST and form:
                add_refusal(form, refusal)
            else:
                messages.error(request, " ".join(refusal.messages))
                return redirect(one.place)
    context = {
        "one": one,
        "workshop": one.workshop,
        "address": address,
        "form": form,
        "state": state,
        "since": since,
        "over": one.workshop.end_at <= now,
    }
    status = BAD if form and form.errors else 200
    return render(request, "workshops/questionnaire_link.html", context, status=status)


def _act(request: HttpRequest, one, form) -> None:
    """Do what the button pressed says, and tell about it. Raises Refused."""
    now = timezone.now()
    whose = {"by": request.user, "person": one.person, "workshop": one.workshop, "now": now}
    told = {"person": one.person, "address": one.person.email}
    if "send" in request.POST:
        mail = send_questionnaire(**whose)
        if mail is None:
            sentence = _("%(person)s has no e-mail address that works: copy the link below.")
            messages.warning(request, sentence % told)
        elif mail.made_at != now:
            messages.warning(request, _("This link has been sent already; a new one can be sent."))
        else:
            messages.success(request, _("The link goes to %(address)s.") % told)
    elif "revoke" in request.POST and one.link:
        links.revoke_link(by=request.user, link=one.link, now=now)
        messages.success(request, _("The link of %(person)s opens nothing any more.") % told)
    elif "until" in request.POST and form:
        let_run_until(
            by=request.user, link=one.link, until=form.cleaned_data["expires_at"], now=now
        )
        messages.success(request, _("Saved when the link runs out."))
    elif "new" in request.POST:
        new_questionnaire_link(**whose)
        messages.success(
            request, _("A new link for %(person)s is made; it is not sent yet.") % told
        )


@sensitive_variables("people", "context")
def medical_answers(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the lead instructor, and nobody else, what people told; each reading is noted."""
    workshop = get_object_or_404(Workshop, pk=pk)
    if not leads(request.user, workshop):
        raise PermissionDenied
    people = [(one, _lines(one.told)) for one in read_medical(by=request.user, workshop=workshop)]
    context = {
        "workshop": workshop,
        "people": people,
        "opened": opened(workshop),
        "decided": told(decided(workshop)),
    }
    answer = render(request, "workshops/medical_answers.html", context)
    answer.headers["Cache-Control"] = "no-store"
    return answer


@sensitive_variables("told")
def _lines(told: dict | None) -> list[tuple] | None:
    """Return question and answer of what was told; None where it cannot be read any more."""
    if told is None:
        return None
    return [
        (question, "" if name == CALM else told[name])
        for name, question in QUESTIONS.items()
        if told.get(name)
    ]
