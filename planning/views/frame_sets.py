"""The frames of each set and turn, and those that belong to another set than their time says."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.after.clocks import AS_CAMERA_SAYS, AS_PLACE
from planning.after.frames import Placed
from planning.forms.clocks import BY_TIME, NO_SET, SettleForm
from planning.frames_shown import frame_lines, set_lines
from planning.models import PlannedSet
from planning.selectors.frames import WorkshopFrames, workshop_frames
from planning.selectors.tally import set_tallies
from planning.services.clocks import release_frames, settle_frames
from planning.sheets.options import print_options
from workshops.access import found_workshop, may
from workshops.errors import Refused
from workshops.views.edit import BAD, add_refusal

ON_A_PAGE = 100
GUESSES = (AS_CAMERA_SAYS, AS_PLACE)


@may("view", "frame", "planning")
def frames_sets(request: HttpRequest, pk: int) -> HttpResponse:
    """Every set's frames added up, and the list of those asked for by ``?set=``."""
    workshop = found_workshop(request, pk)
    found = workshop_frames(workshop)
    asked = request.GET.get("set", "")
    chosen = next((one for one in found.sets if str(one.pk) == asked), None)
    named = [one.body for one in found.bodies if one.body]
    form = SettleForm(request.POST or None, workshop=workshop, sets=found.sets, bodies=named)
    if request.method == "POST":
        if not request.user.has_perm("planning.change_frame"):
            raise PermissionDenied
        if _moved(request, found, form):
            return redirect(f"{reverse('frames-sets', args=[pk])}?{_query(request.GET)}")
    page = Paginator(_asked(found, chosen, asked), ON_A_PAGE).get_page(request.GET.get("page"))
    tallies = set_tallies(workshop)
    house = request.house
    context = {
        "workshop": workshop,
        "lines": set_lines(found, tallies, print_options(house), house.test_flash_share),
        "no_set": len(found.day.of_no_set),
        "all": len(found.day.placed),
        "guessed": sum(line.way in GUESSES for line in found.lines.values()),
        "page": page,
        "frames": frame_lines(found, page.object_list),
        "asked": asked,
        "chosen": chosen,
        "form": form,
        "ticked": set(request.POST.getlist("frame")),
    }
    status = BAD if request.method == "POST" else 200
    return render(request, "planning/frames_sets.html", context, status=status)


def _asked(found: WorkshopFrames, chosen: PlannedSet | None, asked: str) -> list[Placed]:
    if asked == NO_SET:
        return [one for one in found.day.placed if one.set_id is None]
    if chosen is None:
        return list(found.day.placed)
    return [one for one in found.day.placed if one.set_id == chosen.pk]


def _query(asked: QueryDict) -> str:
    kept = QueryDict(mutable=True)
    for name in ("set", "page"):
        if asked.get(name):
            kept[name] = asked[name]
    return kept.urlencode()


def _moved(request: HttpRequest, found: WorkshopFrames, form: SettleForm) -> bool:
    """Move the ticked frames, or the stretch; False keeps the page with why it was refused."""
    if not form.is_valid():
        return False
    to = form.cleaned_data["to"]
    try:
        frames = _chosen(request.POST.getlist("frame"), found, form.cleaned_data)
        asked = {"by": request.user, "workshop": found.workshop, "frames": frames}
        if to == BY_TIME:
            count = release_frames(**asked)
        else:
            count = settle_frames(**asked, planned_set=form.sets.get(to))
    except ValidationError as refusal:
        add_refusal(form, refusal)
        return False
    told = ngettext("%(n)d frame moved.", "%(n)d frames moved.", count) % {"n": count}
    messages.success(request, told)
    return True


def _chosen(ticked: list[str], found: WorkshopFrames, typed: dict) -> list[int]:
    """Return the frames ticked, or all of the stretch of time. Raises Refused for both at once."""
    stretch, body = typed.get("stretch"), typed["body"]
    if stretch is None:
        if not all(one.isascii() and one.isdigit() for one in ticked):
            raise Refused(_("This press could not be read. Look again, then try anew."))
        return [int(one) for one in ticked]
    if ticked:
        raise Refused(_("Tick frames or enter a stretch of time, not both."))
    first_at, last_at = stretch
    chosen = [
        one.shot.frame_id
        for one in found.day.placed
        if one.shot.at is not None
        and first_at <= one.shot.at <= last_at
        and (not body or found.lines[one.shot.frame_id].body == body)
    ]
    if not chosen:
        raise Refused(_("No frame was taken in that stretch of time."))
    return chosen
