"""Frames of a workshop: brought in, whose they are, what became of each file."""

from collections import Counter

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied, TooManyFilesSent, ValidationError
from django.http import (
    HttpRequest,
    HttpResponse,
    HttpResponseBadRequest,
    JsonResponse,
    UnreadablePostError,
)
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt, csrf_protect
from django.views.decorators.http import require_POST

from planning.after.jpeg import FIRST_BYTES
from planning.bringing import begin, bring, delete_whole, go_on, why_open
from planning.forms.frames import BodyForm, FramesForm, whose
from planning.frames_in import FrameFile, store
from planning.frames_in.table import COLUMNS
from planning.frames_in.uploads import FrameUploads, Uploaded
from planning.frames_shown import body_lines
from planning.models import FrameLot
from planning.selectors.frame_bodies import body_rows, person_rows
from planning.selectors.frames import workshop_frames as workshop_frames_of
from planning.services.frames import end_lot, open_lot, settle_body, take_frames
from workshops.access import found, found_workshop, may
from workshops.models import Workshop
from workshops.views.edit import BAD, delete

GO_ON_S = 3  # of one visit, before it says how far it has come
TOO_LARGE = 413


@csrf_exempt  # only until the files are led to where none is kept: the view behind it is protected
@may("view", "framelot", "planning")
def workshop_frames(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the frames of a workshop; POST brings some in."""
    workshop = found_workshop(request, pk)
    if request.method != "POST":
        return _shown(request, workshop)
    if not request.user.has_perm("planning.add_framelot"):
        raise PermissionDenied
    uploads = FrameUploads(request)
    request.upload_handlers = [uploads]
    try:
        request.POST  # noqa: B018 - reads the files
    except UnreadablePostError:
        uploads.close()
        return HttpResponseBadRequest()  # the line broke off: nobody is there to read an answer
    except TooManyFilesSent:
        uploads.close()
        told = {"most": settings.DATA_UPLOAD_MAX_NUMBER_FILES}
        sentence = _("Choose at most %(most)d files at a time, or bring in a ZIP of them.")
        return _page(request, workshop, FramesForm(workshop=workshop), [sentence % told], TOO_LARGE)
    except BaseException:
        uploads.close()
        raise
    return _brought(request, workshop)


@csrf_protect
def _brought(request: HttpRequest, workshop: Workshop) -> HttpResponse:
    form = FramesForm(request.POST, workshop=workshop)
    files: list[Uploaded] = request.FILES.getlist("files")
    in_parts = "application/json" in request.headers.get("Accept", "")
    if not form.is_valid():
        refusals = [fault for faults in form.errors.values() for fault in faults]
    elif not files and not in_parts:
        refusals = [_("Choose the files first: JPEGs, a ZIP of them, or a CSV of their tags.")]
    else:
        try:
            if in_parts:
                return JsonResponse(_part(request, workshop, form.cleaned_data, files))
            _whole(request, workshop, form.cleaned_data["booking"], files)
        except ValidationError as refusal:
            refusals = refusal.messages
        else:
            return redirect(reverse("workshop-frames", args=[workshop.pk]) + "?go=1#lots")
    if in_parts:
        return JsonResponse({"refused": " ".join(refusals)}, status=BAD)
    return _page(request, workshop, form, refusals, BAD)


def _whole(request: HttpRequest, workshop: Workshop, booking, files: list[Uploaded]) -> None:
    """Take what came in one form: single files as one lot, each ZIP and each CSV as its own.

    Raises ValidationError with what is wrong with each of these; the others are taken.
    """
    told = {"by": request.user, "workshop": workshop, "booking": booking, "now": timezone.now()}
    if single := [one.file for one in files if one.file]:
        bring(name=single[0].name if len(single) == 1 else "", files=single, **told)
    refusals = []
    for one in files:
        if one.upload:
            try:
                begin(name=one.name, upload=one.upload, **told)
            except ValidationError as refusal:
                refusals += [f"{one.name}: {message}" for message in refusal.messages]
    if refusals:
        raise ValidationError(refusals)


def _part(request: HttpRequest, workshop: Workshop, told: dict, files: list[Uploaded]) -> dict:
    """Take the heads of some files; where one is too short, take none and say how much to send."""
    if any(one.upload for one in files) or len(told["sizes"]) != len(files):
        raise ValidationError(_("Load the page again, then choose the files anew."))
    more = {
        number: one.needs
        for number, (one, size) in enumerate(zip(files, told["sizes"], strict=True))
        if one.needs and size > one.size
    }
    if more:
        return {"more": more}
    if told["lot"]:
        lot = found(request, FrameLot.objects.filter(workshop=workshop), told["lot"])
    else:
        lot = open_lot(
            by=request.user,
            workshop=workshop,
            booking=told["booking"],
            name="",
            expected=told["expected"],
            now=timezone.now(),
        )
    heads: list[FrameFile] = [one.file for one in files]
    lot = take_frames(by=request.user, lot=lot, files=heads, start=told["start"])
    if told["end"]:
        lot = end_lot(by=request.user, lot=lot, now=timezone.now())
    return {"lot": lot.pk, "done": lot.done, "taken": lot.taken, "known": lot.known}


def _shown(request: HttpRequest, workshop: Workshop) -> HttpResponse:
    """Show the page; at ``?go=1`` whoever brought a file in goes on with it for a few seconds."""
    if "go" in request.GET and request.user.has_perm("planning.add_framelot"):
        for lot in workshop.frame_lots.filter(ended_at=None).order_by("pk"):
            if store.waits(lot.pk):
                go_on(by=request.user, lot=lot, now=timezone.now(), for_s=GO_ON_S)
                break
    return _page(request, workshop, FramesForm(workshop=workshop), [], 200)


def _page(
    request: HttpRequest, workshop: Workshop, form: FramesForm, refusals: list[str], status: int
) -> HttpResponse:
    lots = list(workshop.frame_lots.select_related("booking__person", "by"))
    bookings = list(
        workshop.bookings.select_related("person", "workshop").prefetch_related("person__cameras")
    )
    bodies = body_rows(workshop, bookings)
    at_work = next((lot for lot in lots if not lot.ended_at and store.waits(lot.pk)), None)
    context = {
        "workshop": workshop,
        "form": form,
        "refusals": refusals,
        "lots": [(lot, _why(lot), why_open(lot)) for lot in lots],
        "at_work": at_work,
        "going": "go" in request.GET,
        "bodies": bodies,
        "people": person_rows(bodies),
        # They ask what every frame's set is: not while more of them come in.
        "clocks": body_lines(workshop_frames_of(workshop)) if bodies and not at_work else [],
        "whose": list(whose(workshop)),
        "columns": COLUMNS,
        "head_bytes": FIRST_BYTES,
    }
    return render(request, "planning/frames.html", context, status=status)


def _why(lot: FrameLot) -> list[tuple[str, list[str]]]:
    """Return the files that were not taken by why, the commonest reason first."""
    names: dict[str, list[str]] = {}
    for name, why in lot.faults:
        names.setdefault(why, []).append(name)
    count = Counter({why: len(those) for why, those in names.items()})
    return [(why, names[why]) for why, _n in count.most_common()]


@require_POST
@may("change", "frame", "planning")
def frames_settle(request: HttpRequest, pk: int) -> HttpResponse:
    """Say by one press whose a body is."""
    workshop = found_workshop(request, pk)
    form = BodyForm(request.POST, workshop=workshop)
    if not form.is_valid():
        messages.error(request, _("Choose whose the body is, then press again."))
        return redirect("workshop-frames", pk)
    body, booking = form.cleaned_data["body"], form.cleaned_data["booking"]
    try:
        count = settle_body(by=request.user, workshop=workshop, body=body, booking=booking)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("workshop-frames", pk)
    told = {"count": count, "body": body or _("no body named")}
    if booking:
        told["person"] = booking.person
        sentence = _("%(body)s: %(count)d frames are now %(person)s’s.")
    else:
        sentence = _("%(body)s: %(count)d frames are nobody’s again.")
    messages.success(request, sentence % told)
    return redirect(reverse("workshop-frames", args=[pk]) + "#bodies")


@may("delete", "framelot", "planning")
def frame_lot_delete(request: HttpRequest, pk: int) -> HttpResponse:
    lot = found(request, FrameLot.objects.select_related("workshop"), pk)
    back = reverse("workshop-frames", args=[lot.workshop_id])
    by = request.user
    return delete(request, lot, back=back, then=back, erase=lambda: delete_whole(by=by, lot=lot))
