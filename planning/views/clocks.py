"""The clock page, and how far each camera's clock is from it."""

from datetime import datetime
from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from planning.after.clocks import FIT, HAND, SHOWN, add_from_shown_s
from planning.clock_words import about_text, ahead_text
from planning.forms.clocks import HandForm, ShownForm
from planning.frames_shown import body_lines, fit_shown
from planning.selectors.frames import Body, WorkshopFrames, best_fit, workshop_frames
from planning.services.clocks import forget_clock, set_clock
from workshops.access import found_workshop, may
from workshops.errors import Refused
from workshops.models.base import in_zone
from workshops.views.edit import BAD, add_refusal

FIRST_FRAMES = 200  # offered by their file names: the briefing comes first
FIT_SAME_S = 1.0


@never_cache
@may("view", "frame", "planning")
def workshop_clock(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    at = in_zone(timezone.now(), workshop.timezone_name)
    told = {
        "time": f"{at:%H:%M:%S}",
        "date": f"{at:%Y-%m-%d}",
        "offset": f"{at:%z}"[:3] + ":" + f"{at:%z}"[3:5],
    }
    context = {"workshop": workshop, "at": at, "told": told}
    return render(request, "planning/clock.html", context)


@never_cache
@may("view", "frame", "planning")
def clock_now(request: HttpRequest, pk: int) -> JsonResponse:
    """Answer the server's time, and how far the place is ahead of UTC, for the page's script."""
    workshop = found_workshop(request, pk)
    at: datetime = in_zone(timezone.now(), workshop.timezone_name)
    return JsonResponse(
        {
            "now_ms": round(at.timestamp() * 1000),
            "offset_s": at.utcoffset().total_seconds(),
            "date": f"{at:%Y-%m-%d}",
        }
    )


@may("view", "frame", "planning")
def frames_clocks(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    found = workshop_frames(workshop)
    context = {"workshop": workshop, "bodies": body_lines(found)}
    return render(request, "planning/frames_clocks.html", context)


@may("change", "cameraclock", "planning")
def frames_clock(request: HttpRequest, pk: int) -> HttpResponse:
    """One body, named by ``?body=``: what its clock is taken for, and three ways to find it."""
    workshop = found_workshop(request, pk)
    found = workshop_frames(workshop)
    named = request.GET.get("body") or next((one.body for one in found.bodies if one.body), "")
    body = next((one for one in found.bodies if one.body == named), None)
    if body is None and "body" in request.GET:
        raise Http404
    do = request.POST.get("do", "")
    shown_form = ShownForm(request.POST if do == SHOWN else None, workshop=workshop, body=named)
    hand_form = HandForm(request.POST if do == HAND else None, workshop=workshop)
    if request.method == "POST" and body and _pressed(request, found, body, shown_form, hand_form):
        return redirect(f"{reverse('frames-clock', args=[pk])}?{urlencode({'body': named})}")
    lines = [line for line in found.lines.values() if line.body == named and line.clock_at]
    context = {
        "workshop": workshop,
        "body": next((one for one in body_lines(found) if body and one.body == named), None),
        "shown_form": shown_form,
        "hand_form": hand_form,
        "files": [line.file_name for line in lines[:FIRST_FRAMES]],
        "fit": fit_shown(found, named) if body else None,
    }
    refused = request.method == "POST"
    return render(request, "planning/frames_clock.html", context, status=BAD if refused else 200)


def _pressed(
    request: HttpRequest,
    found: WorkshopFrames,
    body: Body,
    shown_form: ShownForm,
    hand_form: HandForm,
) -> bool:
    """Do what was pressed; False keeps the page with what was typed and why it was refused."""
    do, workshop, asked = request.POST.get("do"), found.workshop, {}
    form = {SHOWN: shown_form, HAND: hand_form}.get(do)
    if form is not None and not form.is_valid():
        return False
    try:
        if do == "none":
            forget_clock(by=request.user, workshop=workshop, body=body.body)
            messages.success(request, _("The clock of %(body)s is open again.") % _named(body))
            return True
        if do == SHOWN:
            frame = form.cleaned_data["file_name"]
            shown_at = form.cleaned_data["shown_at"]
            asked = {"add_s": add_from_shown_s(frame.clock_at, shown_at), "frame": frame}
        elif do == HAND:
            asked = {"add_s": form.add_s()}
        elif do == FIT:
            asked = {"add_s": _accepted(request, found, body)}
        else:
            raise Refused(_("This press could not be read. Look again, then try anew."))
        set_clock(by=request.user, workshop=workshop, body=body.body, way=do, **asked)
    except ValidationError as refusal:
        if form is not None:
            add_refusal(form, refusal)
        else:
            messages.error(request, " ".join(refusal.messages))
        return False
    in_words = about_text if do == FIT else ahead_text
    told = _named(body) | {"ahead": in_words(-(asked["add_s"] + found.place_offset_s))}
    messages.success(request, _("%(body)s: %(ahead)s.") % told)
    return True


def _named(body: Body) -> dict:
    return {"body": body.body}


def _accepted(request: HttpRequest, found: WorkshopFrames, body: Body) -> float:
    """Return the best fit if it is still what was shown when it was accepted."""
    best = best_fit(found, body.body)
    if best is None or not best.sure:
        raise Refused(_("The best fit is not clear any more: look at it again."))
    try:
        shown_s = float(request.POST.get("add_s", ""))
    except ValueError:
        shown_s = float("nan")
    if not abs(shown_s - best.add_s) < FIT_SAME_S:
        raise Refused(_("Frames or turns have changed meanwhile: look at the best fit again."))
    return best.add_s
