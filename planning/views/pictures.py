"""Pictures of a set for its handouts."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from planning.forms.pictures import PictureForm
from planning.models import PlannedSet, SetPicture
from planning.services.pictures import MOST_EACH, add_picture
from workshops.access import found, may
from workshops.views.edit import BAD, delete


@may("view", "setpicture", "planning")
def set_pictures(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a set's pictures; POST brings one in."""
    planned_set = found(request, PlannedSet.objects.select_related("workshop"), pk)
    form = PictureForm(request.POST or None, request.FILES or None)
    if request.method == "POST":
        if not request.user.has_perm("planning.add_setpicture"):
            raise PermissionDenied
        if form.is_valid() and _added(request, planned_set, form):
            return redirect("set-pictures", pk)
    context = {
        "planned_set": planned_set,
        "form": form,
        "pictures": planned_set.pictures.defer("content"),
        "most": MOST_EACH,
    }
    status = BAD if form.errors else 200
    return render(request, "planning/pictures.html", context, status=status)


def _added(request: HttpRequest, planned_set: PlannedSet, form: PictureForm) -> bool:
    try:
        add_picture(
            by=request.user,
            planned_set=planned_set,
            content=form.cleaned_data["file"].read(),
            words=form.cleaned_data["words"],
            credit=form.cleaned_data["credit"],
        )
    except ValidationError as refusal:
        form.add_error("file", " ".join(refusal.messages))
        return False
    messages.success(request, _("The picture is kept: handouts show it."))
    return True


@may("view", "setpicture", "planning")
def picture(request: HttpRequest, pk: int) -> HttpResponse:
    one = found(request, SetPicture, pk, "planned_set__workshop")
    headers = {"Cache-Control": "private, max-age=3600", "X-Content-Type-Options": "nosniff"}
    return HttpResponse(bytes(one.content), content_type="image/jpeg", headers=headers)


@may("delete", "setpicture", "planning")
def picture_delete(request: HttpRequest, pk: int) -> HttpResponse:
    one = found(request, SetPicture, pk, "planned_set__workshop")
    back = reverse("set-pictures", args=[one.planned_set_id])
    return delete(request, one, back=back, then=back)
