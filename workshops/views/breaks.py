"""The breaks of a workshop, which the order of its day keeps free."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from workshops.access import found, found_workshop, may
from workshops.forms.breaks import BreakForm
from workshops.models import Workshop, WorkshopBreak
from workshops.models.base import in_zone
from workshops.views.edit import answer, delete, saved_by

# Where the form begins: lunch, three hours into the day. Common practice, no source.
AFTER, SPAN = timedelta(hours=3), timedelta(hours=1)


@may("add", "workshopbreak")
def break_new(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    begin = in_zone(workshop.start_at + AFTER, workshop.timezone_name).replace(tzinfo=None)
    initial = {"earliest_at": begin, "latest_at": begin + SPAN}
    rest = WorkshopBreak(workshop=workshop)
    form = BreakForm(request.POST or None, instance=rest, house=request.house, initial=initial)
    return _break(request, form, workshop, {"heading": _("A break")})


@may("change", "workshopbreak")
def break_edit(request: HttpRequest, pk: int) -> HttpResponse:
    rest = found(request, WorkshopBreak.objects.select_related("workshop"), pk)
    form = BreakForm(request.POST or None, instance=rest, house=request.house)
    context = {"heading": str(rest), "remove": reverse("break-delete", args=[pk])}
    return _break(request, form, rest.workshop, context)


def _break(
    request: HttpRequest, form: BreakForm, workshop: Workshop, context: dict
) -> HttpResponse:
    back = reverse("workshop-day", args=[workshop.pk])
    lead = _("It lies in no set and not on the way; the order of the day finds its time.")
    return answer(
        request,
        form,
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _saved: back,
        context=context | {"back": back, "back_to": str(workshop), "lead": lead},
    )


@may("delete", "workshopbreak")
def break_delete(request: HttpRequest, pk: int) -> HttpResponse:
    rest = found(request, WorkshopBreak, pk)
    then = reverse("workshop-day", args=[rest.workshop_id])
    return delete(request, rest, back=reverse("break-edit", args=[pk]), then=then)
