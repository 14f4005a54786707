"""People and their cameras."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from workshops.access import asked, may, own, own_people
from workshops.forms.people import CameraForm, PersonForm
from workshops.models import CameraBody
from workshops.selectors.people import bookings_of, people
from workshops.views.edit import LIST_LENGTH, answer, delete, saved_by


@may("view", "person")
def people_list(request: HttpRequest) -> HttpResponse:
    rows = people(asked(request), own_people(request.user))
    page = Paginator(rows, LIST_LENGTH).get_page(request.GET.get("page"))
    return render(request, "workshops/people.html", {"page": page, "asked": asked(request)})


@may("view", "person")
def person(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(own_people(request.user).prefetch_related("cameras"), pk=pk)
    context = {"person": found, "bookings": own(request.user, bookings_of(found))}
    return render(request, "workshops/person.html", context)


@may("add", "person")
def person_new(request: HttpRequest) -> HttpResponse:
    return answer(
        request,
        PersonForm(request.POST or None, house=request.house),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda made: reverse("person", args=[made.pk]),
        context={"heading": _("A new person"), "back": reverse("people"), "back_to": _("People")},
    )


@may("change", "person")
def person_edit(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(own_people(request.user), pk=pk)
    back = reverse("person", args=[pk])
    return answer(
        request,
        PersonForm(request.POST or None, instance=found, house=request.house),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _saved: back,
        context={
            "heading": str(found),
            "back": back,
            "back_to": str(found),
            "remove": reverse("person-delete", args=[pk]),
        },
    )


@may("delete", "person")
def person_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(own_people(request.user), pk=pk)
    return delete(request, found, back=reverse("person", args=[pk]), then=reverse("people"))


@may("add", "camerabody")
def camera_new(request: HttpRequest, pk: int) -> HttpResponse:
    owner = get_object_or_404(own_people(request.user), pk=pk)
    back = reverse("person", args=[pk])
    camera = CameraBody(owner=owner)
    return answer(
        request,
        CameraForm(request.POST or None, instance=camera, house=request.house),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _made: back,
        context={
            "heading": _("A camera of %(owner)s") % {"owner": owner},
            "back": back,
            "back_to": str(owner),
        },
    )


@may("change", "camerabody")
def camera_edit(request: HttpRequest, pk: int) -> HttpResponse:
    camera = _camera(request, pk)
    back = reverse("person", args=[camera.owner_id])
    return answer(
        request,
        CameraForm(request.POST or None, instance=camera, house=request.house),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _saved: back,
        context={
            "heading": str(camera),
            "back": back,
            "back_to": str(camera.owner),
            "remove": reverse("camera-delete", args=[pk]),
        },
    )


def _camera(request: HttpRequest, pk: int) -> CameraBody:
    rows = CameraBody.objects.filter(owner__in=own_people(request.user))
    return get_object_or_404(rows.select_related("owner"), pk=pk)


@may("delete", "camerabody")
def camera_delete(request: HttpRequest, pk: int) -> HttpResponse:
    camera = _camera(request, pk)
    then = reverse("person", args=[camera.owner_id])
    return delete(request, camera, back=reverse("camera-edit", args=[pk]), then=then)
